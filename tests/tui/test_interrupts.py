"""Ctrl-C, in real processes: quiet at any moment from our first line on, and told in a command."""

import os
import signal
import subprocess
import sys
import time
import tomllib

import pytest

from tests.command import ROOT, environment

INTERRUPTED_AT = """
import os, signal, sys
class Interrupt:
    def find_spec(self, name, path=None, target=None):
        if name == {module!r}:
            os.kill(os.getpid(), signal.SIGINT)
sys.meta_path.insert(0, Interrupt())
from tui.__main__ import main
sys.argv[1:] = ["--db", "nowhere.db", "runs", "x", "--kit", "y"]
sys.exit(main())
"""


@pytest.mark.parametrize(
    "module", ["tui.main", "argparse", "tui.report", "tui.clean", "tui.commands.runs", "sqlite3"]
)
def test_an_interrupt_while_modules_are_imported_is_quiet(module: str) -> None:
    """A real SIGINT at the moment when a module is about to be imported."""
    done = subprocess.run(
        [sys.executable, "-c", INTERRUPTED_AT.format(module=module)],
        capture_output=True,
        cwd=ROOT,
        env=environment(),
        check=False,
    )
    assert done.returncode == 130, done
    assert done.stdout == b""
    assert done.stderr in (b"", b"loombook: stopped; nothing half-done was kept.\n")


AROUND_MAIN = """
import os, signal, sys
from tui.__main__ import main
{before}
status = main()
{after}
sys.exit(status)
"""
CTRL_C = "os.kill(os.getpid(), signal.SIGINT)"


@pytest.mark.parametrize(("before", "after"), [(CTRL_C, ""), ("", CTRL_C)])
def test_an_interrupt_in_the_script_around_the_command_is_quiet(before: str, after: str) -> None:
    done = subprocess.run(
        [sys.executable, "-c", AROUND_MAIN.format(before=before, after=after), "--version"],
        capture_output=True,
        cwd=ROOT,
        env=environment(),
        check=False,
    )
    assert (done.returncode, done.stderr) == (130, b"")
    assert done.stdout.startswith(b"loombook ") == bool(after)


AT_THE_END = """
import os, signal, sys, threading
from tui.__main__ import main
status = main()
threading._register_atexit(lambda: {what})
sys.exit(status)
"""


@pytest.mark.parametrize(
    ("what", "status", "heard"),
    [(CTRL_C, 130, b""), ("1 / 0", 0, b"ZeroDivisionError: division by zero\n")],
)
def test_an_interrupt_while_python_closes_down_is_quiet(
    what: str, status: int, heard: bytes
) -> None:
    """What the command wrote is out by then; any other fault there is shown."""
    done = subprocess.run(
        [sys.executable, "-c", AT_THE_END.format(what=what), "--version"],
        capture_output=True, cwd=ROOT, env=environment(), check=False,
    )  # fmt: skip
    assert done.returncode == status and done.stdout.startswith(b"loombook ")
    assert done.stderr.endswith(heard) and bool(done.stderr) == bool(heard)


IN_THE_COMMAND = """
import os, signal, sys, types
def run(arguments):
    {what}
    return 0
words = types.ModuleType("tui.commands.words")
words.HELP, words.add_arguments, words.run = "", lambda parser: None, run
sys.modules["tui.commands.words"] = words
from tui.__main__ import main
sys.argv[1:] = ["words"]
sys.exit(main())
"""
NAMED = "type('Pin', (), {'__set_name__': lambda *_: os.kill(os.getpid(), signal.SIGINT)})"


@pytest.mark.parametrize(
    ("what", "status", "heard"),
    [
        (CTRL_C, 130, b"loombook: stopped; nothing half-done was kept.\n"),
        # Python turns what is raised while a class is made into a fault of its own.
        (f"type('Face', (), {{'pin': {NAMED}()}})", 130,
         b"loombook: stopped; nothing half-done was kept.\n"),
        # and loses what is raised where an object is thrown away.
        (f"type('Gone', (), {{'__del__': lambda _: {CTRL_C}}})()", 0, b""),
    ],
)  # fmt: skip
def test_an_interrupt_in_a_command_is_never_a_fault_of_ours(
    what: str, status: int, heard: bytes
) -> None:
    done = subprocess.run(
        [sys.executable, "-c", IN_THE_COMMAND.format(what=what)],
        capture_output=True, cwd=ROOT, env=environment(), check=False,
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (status, heard)


def test_who_ignores_ctrl_c_for_us_is_obeyed() -> None:
    """As a shell does for what it starts in the background."""
    ignored = "import signal; signal.signal(signal.SIGINT, signal.SIG_IGN)"
    done = subprocess.run(
        [sys.executable, "-c", ignored + AROUND_MAIN.format(before=CTRL_C, after=CTRL_C),
         "--version"],
        capture_output=True, cwd=ROOT, env=environment(), check=False,
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, b"") and done.stdout.startswith(b"loombook ")


@pytest.mark.parametrize("milliseconds", range(0, 90, 6))
def test_an_interrupt_at_any_moment_shows_no_line_of_ours(milliseconds: int) -> None:
    """Python's own start, before our first line, may still show its own."""
    process = subprocess.Popen(
        [sys.executable, "-m", "tui", "words"],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=ROOT, env=environment(),
    )  # fmt: skip
    time.sleep(milliseconds / 1000)
    process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=60)
    if process.returncode == 130:
        assert err in (b"", b"loombook: stopped; nothing half-done was kept.\n")
    elif process.returncode == 0:  # it was done
        assert out and not err
    else:
        assert str(ROOT / "tui").encode() not in err, err


def test_the_script_and_the_module_start_at_the_same_quiet_place() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert project["scripts"] == {"loombook": "tui.__main__:main"}
    ran = subprocess.run(
        [sys.executable, "-c", "import sys, tui.__main__; print('tui.main' in sys.modules)"],
        capture_output=True,
        cwd=ROOT,
        env=dict(os.environ),
        check=True,
    )
    assert ran.stdout == b"False\n"
