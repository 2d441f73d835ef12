"""The show's own record: what the crew ticked, heard and measured, by whom and when. Append-only."""
