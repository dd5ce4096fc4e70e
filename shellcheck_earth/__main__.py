"""The command line's first and last word: `python -m shellcheck_earth`, and the command `shellcheck-earth`.

Whatever happens, from the first moment on, ends in one sentence and in an exit code that says what it was:
0 meets, 1 falls short, 2 cannot say or input refused, 3 could not run (a fault of this program, a full disk, an
interrupt, nobody to read the answer). A verdict's code is given only after the answer has been written out.
Everything else is imported under that roof, so this module needs the standard library alone.
"""

from __future__ import annotations

import errno
import os
import signal
import sys
from collections.abc import Sequence
from typing import Any

__all__ = ["COULD_NOT_RUN", "TRACE", "main", "start"]

COULD_NOT_RUN = 3

TRACE = "SHELLCHECK_EARTH_TRACE"
"""Environment variable: 1 prints where an unexpected fault happened, for whoever mends the program."""

STOPPED = (
    "Stopped; no report was written. Finished parts of long work (block cases, sampled domes, compared designs) are"
    " kept in the output folder."
)
BESIDE = "beside"
"""Name of threads whose result nobody may come to ask for."""

UNREAD = "Could not run. The answer could not be written out"
UNWRITTEN = (errno.ENOSPC, errno.EIO, errno.EBADF, errno.EFBIG, errno.EDQUOT)


def _say(text: str) -> None:
    """To the error stream; silence where that has gone too."""
    try:
        print(text, file=sys.stderr, flush=True)
    except (OSError, ValueError):
        _to_nowhere(sys.stderr)


def _to_nowhere(stream: Any) -> None:
    """What is left in the stream's buffer would end the interpreter with a code of its own."""
    try:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())
        os.close(nowhere)
    except (OSError, ValueError, AttributeError):
        pass


def _fault(error: BaseException) -> str:
    if os.environ.get(TRACE, "") not in ("", "0"):
        import traceback

        _say("".join(traceback.format_exception(error)))
    if isinstance(error, MemoryError):
        return "Could not run. The memory of this machine was not enough."
    if isinstance(error, ImportError):
        return f"Could not run. A part of the installation is missing or cannot be loaded: {error}."
    if isinstance(error, OSError) and error.filename and error.strerror:
        return f"Could not run. {error.filename}: {error.strerror.lower()}."
    words = " ".join(f"{type(error).__name__}: {error}".split())[:300]
    return (
        f"Could not run. A fault in this program or on this machine, not in your design: {words}"
        f" ({TRACE}=1 shows where)."
    )


def _run(tokens: Sequence[str] | None) -> int:
    """The exit code of a command; a sentence on the error stream for whatever is no answer."""
    try:
        from shellcheck_earth.views.cli.main import run

        code = run(tokens)
        sys.stdout.flush()
        return code
    except BrokenPipeError:  # whoever read the output has gone away (a pager, `head`)
        _to_nowhere(sys.stdout)
    except SystemExit:
        # No part of this program ends that way: a library did, because the output has gone.
        _to_nowhere(sys.stdout)
    except BaseException as error:
        from shellcheck_earth.basics.texts import clean

        if isinstance(error, KeyboardInterrupt) or _heard:
            _say(STOPPED)  # a library that was just being loaded makes another exception of an interrupt
        elif isinstance(error, OSError) and error.errno in UNWRITTEN and not error.filename:
            _to_nowhere(sys.stdout)
            _say(f"{UNREAD}: {str(error.strerror).lower()}.")
        else:
            _say(clean(_fault(error)))
    return COULD_NOT_RUN


def main(tokens: Sequence[str] | None = None) -> None:
    """Run one command and leave with its exit code (SystemExit). `tokens`: as after the command's name."""
    code = _run(tokens)
    try:
        sys.stdout.flush()
    except (OSError, ValueError):
        _to_nowhere(sys.stdout)
        code = COULD_NOT_RUN
    sys.exit(code)


def _lost(unraisable: Any) -> None:
    """An interrupt that hit a moment in which Python cannot raise it: end all the same."""
    if isinstance(unraisable.exc_value, KeyboardInterrupt):
        _stop_at_once()
    if not _heard:  # what an interrupt left half made has no more to say
        sys.__unraisablehook__(unraisable)


_heard: list[int] = []
"""The interrupts of this process."""


def _interrupt(number: int, _: object) -> None:
    _heard.append(number)
    raise KeyboardInterrupt


def _stop_at_once(*_: object) -> None:
    os.write(2, f"{STOPPED}\n".encode())
    os._exit(COULD_NOT_RUN)


def _still_at_work() -> bool:
    """Whether a thread nobody waits for any more is under way: solvers break off with a noise when Python takes itself
    apart under them. All has been written out by then."""
    import threading

    return any(one.daemon and one.name == BESIDE for one in threading.enumerate())


def start() -> None:
    """The program itself: as `main`, and in charge of the process's signals and streams."""
    signal.signal(signal.SIGINT, _stop_at_once)  # nothing is under way yet that would have to be ended in order
    if sys.stderr is None:
        sys.stderr = open(os.devnull, "w")  # noqa: SIM115
    if sys.stdout is None:
        _say(f"{UNREAD}: the output is closed.")
        os._exit(COULD_NOT_RUN)
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # a letter the terminal does not know is no reason to stop
    try:
        import shellcheck_earth.views.cli.main as _loaded
    except Exception as error:
        del error  # said by `_run`, which meets it again
    else:
        del _loaded
    sys.unraisablehook = _lost
    try:
        signal.signal(signal.SIGINT, _interrupt)
        main()
    except KeyboardInterrupt:
        _stop_at_once()
    except SystemExit as end:
        if _still_at_work():
            os._exit(end.code if isinstance(end.code, int) else COULD_NOT_RUN)
        raise
    finally:
        signal.signal(signal.SIGINT, signal.SIG_IGN)


if __name__ == "__main__":
    start()
