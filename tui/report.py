"""The one owner of standard output, standard error and exit codes.

Every error of every command has one shape: `loombook: ` and one clear sentence on standard error.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable

from tui.clean import clean_lines

DONE = 0
REFUSED = 1
USAGE = 2
INTERRUPTED = 130  # 128 + SIGINT, as shells count


def say(text: str = "") -> None:
    """Print for a person or a script; the text must have been cleaned where it holds data."""
    sys.stdout.write(text if text.endswith("\n") else text + "\n")


def warn(text: str) -> None:
    """Say something on standard error that stops nothing."""
    sys.stderr.write(f"loombook: {clean_lines(text)}\n")


def answer_or_report(command: Callable[[], int]) -> int:
    """Run a command; turn whatever it raises into one message and an exit status."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            # A terminal that cannot show a letter shows its escape instead of failing.
            stream.reconfigure(errors="backslashreplace")
    try:
        status = command()
        sys.stdout.flush()
        return status
    except BrokenPipeError:
        # The reader went away (`| head`): nothing to tell, and nobody to tell it to.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    except KeyboardInterrupt:
        sys.stderr.write("loombook: stopped; nothing half-done was kept.\n")
        return INTERRUPTED
    except Exception as fault:
        return _report(fault)


def _report(fault: Exception) -> int:
    from grammar.errors import QueryError
    from kb.errors import Refused

    if isinstance(fault, Refused):
        warn(str(fault))
        return REFUSED
    if isinstance(fault, QueryError):
        sys.stderr.write(clean_lines(fault.render()) + "\n")
        return USAGE
    if getattr(fault, "exit_status", None) == USAGE:
        warn(str(fault))
        return USAGE
    if os.environ.get("LOOMBOOK_TRACE"):
        raise fault
    warn(
        f"this is a mistake of Loombook's own ({type(fault).__name__}: {fault}); nothing was "
        "changed. Run it again with LOOMBOOK_TRACE=1 and pass on what it prints."
    )
    return REFUSED
