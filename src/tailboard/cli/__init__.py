"""The command line: one module a command, loaded only when the command runs."""
