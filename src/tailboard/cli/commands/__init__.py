"""One module a command; each has `run(options, out) -> exit code`."""
