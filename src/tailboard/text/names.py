"""Names of files that no reader should take for the user's text."""


def is_lock_file(name: str) -> bool:
    """Return whether a file is what a spreadsheet leaves beside a file that it has open: `~$show.xlsx`, `.~lock.lines.csv#`.

    name  path with '/' between its parts.
    """
    last = name.rpartition("/")[2]
    return last.startswith("~$") or (last.startswith(".~lock.") and last.endswith("#"))


def locked_name(name: str) -> str:
    """Return the name of the file that a lock file stands for."""
    parent, slash, last = name.rpartition("/")
    return parent + slash + last.removeprefix("~$").removeprefix(".~lock.").removesuffix("#")
