"""Check one folder and print the most memory this process took, in MB. Started by the bench as a process of its own."""

from __future__ import annotations

import contextlib
import io
import resource
import sys

from tailboard.cli.main import main

BYTES_A_UNIT = 1 if sys.platform == "darwin" else 1024  # getrusage(2): kilobytes on Linux, bytes on macOS

if __name__ == "__main__":
    with contextlib.redirect_stdout(io.StringIO()):
        code = main(["check", sys.argv[1]])
    assert code in {0, 1}, code
    print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * BYTES_A_UNIT / 1e6)
