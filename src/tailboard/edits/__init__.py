"""What writes or changes the user's text. Nothing that stands on the disk is ever overwritten or lost."""
