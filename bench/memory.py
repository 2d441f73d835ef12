"""Check one folder and print the most memory this process took, in MB. Started by the bench as a process of its own."""

from __future__ import annotations

import contextlib
import io
import resource
import sys
from pathlib import Path

from tailboard.cli.main import main

BYTES_A_UNIT = 1 if sys.platform == "darwin" else 1024  # getrusage(2): kilobytes on Linux, bytes on macOS
STATUS = Path("/proc/self/status")


def most_bytes() -> int:
    """Return the most memory of this process. Linux's getrusage counts what the starting process held before exec too."""
    if STATUS.exists():
        line = next(line for line in STATUS.read_text().splitlines() if line.startswith("VmHWM:"))
        return int(line.split()[1]) * 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * BYTES_A_UNIT


if __name__ == "__main__":
    with contextlib.redirect_stdout(io.StringIO()):
        code = main(["check", sys.argv[1]])
    assert code in {0, 1}, code
    print(most_bytes() / 1e6)
