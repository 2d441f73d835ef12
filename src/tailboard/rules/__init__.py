"""Rules: one rule one file, with its document; each turns answers into claims."""
