"""Where the process starts: `loombook`, or `python -m tui` where the script is not on the path.

It imports next to nothing by itself, and sees to Ctrl-C first: while the rest is being imported,
and when the command is done and Python closes down, it ends the process at once and in silence;
in between `tui.report` answers for it. What Python and the installed script do before our first
line (some 15 ms) is out of our hands.
"""

import gc
import os
import sys
from _signal import (  # type: ignore[import-not-found]  # what `signal` wraps, and always loaded
    SIGINT,
    default_int_handler,
    getsignal,
    signal,
)
from collections.abc import Callable

OBJECTS_BETWEEN_COLLECTIONS = 50_000
"""The imports of a command make many objects and hardly any garbage: looking through them every
700, as Python does by itself, is a twentieth of what a question takes."""
INTERRUPTED = 130  # 128 + SIGINT, as shells count


def main() -> int:
    """Run one command and return its exit status."""
    try:
        gc.set_threshold(OBJECTS_BETWEEN_COLLECTIONS, 10, 10)
        from tui.main import main as run

        _on_ctrl_c(default_int_handler)
        return run()
    except KeyboardInterrupt:
        return INTERRUPTED
    finally:
        _on_ctrl_c(_leave)


def _on_ctrl_c(handler: Callable[..., object]) -> None:
    if getsignal(SIGINT) in (default_int_handler, _leave):  # else whoever started us ignores it
        signal(SIGINT, handler)


def _leave(*_: object) -> None:
    os._exit(INTERRUPTED)  # no command runs, so nothing is left to finish or to flush


def _lost(fault: "sys.UnraisableHookArgs") -> None:
    """Ctrl-C that came where Python can raise nothing is lost, and one presses it again."""
    if fault.exc_type is not KeyboardInterrupt:
        sys.__unraisablehook__(fault)


_on_ctrl_c(_leave)
sys.unraisablehook = _lost

if __name__ == "__main__":
    raise SystemExit(main())
