"""The entry of the command line. It loads nothing before it can answer an interrupt or a fault in one sentence."""

import gc
import os
import sys
from collections.abc import Sequence
from importlib import import_module

CANNOT_RUN = 2
INTERRUPTED = 130  # 128 + SIGINT, as POSIX shells report it


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return the exit code: 0 no error, 1 an error found, 2 cannot run, 130 interrupted.

    argv  the arguments; None: those of the process, which ends after it.
    """
    gc.disable()  # one command ends before collecting would pay; `check --watch` switches it on again
    try:
        code: int = import_module("tailboard.cli.run").run(sys.argv[1:] if argv is None else list(argv))
    except KeyboardInterrupt:
        complain("interrupted")
        code = INTERRUPTED
    except SystemExit as end:
        code = end.code if isinstance(end.code, int) else CANNOT_RUN
    except Exception as fault:  # noqa: BLE001  whatever it is, the user gets a sentence and no traceback
        code = fault_code(fault)
    finally:
        if argv is None:
            gc.freeze()  # the process ends here: what is tidied up at its end need not be searched for cycles
        gc.enable()
    return code


def fault_code(fault: Exception) -> int:
    """Say why the command could not run and return the exit code. An unforeseen exception is our bug."""
    reason = getattr(fault, "sentence", "")
    if not reason and os.environ.get("TAILBOARD_DEBUG") == "1":
        raise fault
    complain(
        reason
        or f"this is a fault of tailboard ({type(fault).__name__}); please report it: TAILBOARD_DEBUG=1 shows where"
    )
    return CANNOT_RUN


def complain(sentence: str) -> None:
    """Write one sentence to the error stream, if there is one; signs that act on a terminal are left out."""
    shown = "".join(sign if sign.isprintable() else "?" for sign in sentence)
    try:
        if sys.stderr is not None:
            sys.stderr.write(f"tailboard: {shown}\n")
            sys.stderr.flush()
    except OSError:
        pass  # nobody is left to read it


if __name__ == "__main__":
    sys.exit(main())
