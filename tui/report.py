"""The one owner of standard output, standard error and exit codes.

Every error of every command has one shape: `loombook: ` and one clear sentence on standard error.
A stream that is closed, full or poor in letters is dealt with here, so that no command blames the
book for it.
"""

from __future__ import annotations

import io
import os
import sys
from collections.abc import Callable
from contextlib import suppress
from typing import NoReturn, TextIO

from tui import stand_ins
from tui.clean import clean_lines

DONE = 0
REFUSED = 1
USAGE = 2
INTERRUPTED = 130  # 128 + SIGINT, as shells count


class OutputLost(Exception):
    """Standard output cannot be written; `str()` says why. What the command did stands."""


def say(text: str = "") -> None:
    """Print for a person or a script; the text must have been cleaned where it holds data.

    Raises OutputLost where nothing can be written.
    """
    stream = sys.stdout
    if getattr(stream, "errors", None) == stand_ins.SHOWN and not text.isascii():
        from tui.tables import terminal_width

        text = stand_ins.aligned(text, stream.encoding, terminal_width())
    try:
        stream.write(text if text.endswith("\n") else text + "\n")
    except BrokenPipeError:
        raise
    except OSError as fault:
        raise OutputLost(fault.strerror or str(fault)) from fault


def warn(text: str) -> None:
    """Say something on standard error that stops nothing."""
    _tell(f"loombook: {clean_lines(text)}\n")


def keep_exact() -> None:
    """From here on the output is for a script: no letter of a value is replaced by another."""
    reconfigure = getattr(sys.stdout, "reconfigure", None)
    if reconfigure is not None:
        reconfigure(errors=stand_ins.EXACT)


def answer_or_report(command: Callable[[], int]) -> int:
    """Run a command; turn whatever it raises into one message and an exit status."""
    _make_ready()
    try:
        status = _run_and_flush(command)
    except BrokenPipeError:
        # The reader went away (`| head`): nothing to tell, and nobody to tell it to.
        _abandon(sys.stdout)
        return DONE
    except OutputLost as fault:
        _abandon(sys.stdout)
        warn(
            f"standard output cannot be written ({fault}), so what should stand there is lost; "
            "what the command had stored before is kept."
        )
        return REFUSED
    except KeyboardInterrupt:
        return _stopped()
    except Exception as fault:
        return _stopped() if _is_of_ctrl_c(fault) else _report(fault)
    return status


def _stopped() -> int:
    _tell("loombook: stopped; nothing half-done was kept.\n")
    return INTERRUPTED


def _is_of_ctrl_c(fault: BaseException | None) -> bool:
    """Whether Ctrl-C is at the bottom of it: where a class is being made, Python wraps it."""
    while fault is not None and not isinstance(fault, KeyboardInterrupt):
        fault = fault.__cause__ or fault.__context__
    return fault is not None


def _run_and_flush(command: Callable[[], int]) -> int:
    try:
        status = command()
    except SystemExit as end:  # argparse, after its help
        status = end.code if isinstance(end.code, int) else DONE
    try:
        sys.stdout.flush()
    except BrokenPipeError:
        raise
    except OSError as fault:
        raise OutputLost(fault.strerror or str(fault)) from fault
    return status


def _report(fault: Exception) -> int:
    from grammar.errors import QueryError
    from kb.errors import Refused

    if isinstance(fault, Refused):
        warn(str(fault))
        return REFUSED
    if isinstance(fault, QueryError):
        from shutil import get_terminal_size

        width = get_terminal_size((80, 24)).columns
        _tell(clean_lines(fault.render(width)) + "\n")
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


def _tell(text: str) -> None:
    """Onto standard error; where that cannot be written either, there is nobody to tell."""
    stream = sys.stderr
    if getattr(stream, "errors", None) == stand_ins.SHOWN and not text.isascii():
        text = stand_ins.aligned(text, stream.encoding, 0)
    try:
        stream.write(text)
        stream.flush()
    except OSError:
        _abandon(stream)


def _make_ready() -> None:
    """Streams that every command can use: closed ones replaced, letters that they lack replaced."""
    stand_ins.register()
    if sys.stdin is None:  # closed by whoever started the process (`<&-`); so are the others
        sys.stdin = _ClosedInput()
    if sys.stdout is None:
        sys.stdout = _ClosedOutput()
    if sys.stderr is None:
        sys.stderr = io.StringIO()
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors=stand_ins.SHOWN)


def _abandon(stream: TextIO) -> None:
    """Let what is still in a stream's buffer go nowhere, so that Python's exit does not trip."""
    with suppress(OSError):  # a stream of tests or of ours has no file below it
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


class _ClosedOutput(io.TextIOBase):
    """Standard output of a process that was started without one."""

    def write(self, _text: str) -> NoReturn:
        raise OutputLost("it is closed")


class _ClosedInput(io.TextIOBase):
    """Standard input of a process that was started without one, as text and as bytes."""

    @property
    def buffer(self) -> _ClosedInput:
        return self

    def read(self, _size: int | None = -1) -> NoReturn:
        from kb.errors import Refused

        raise Refused("standard input is closed, so `-` has nothing to read; name a file.")

    readline = read
