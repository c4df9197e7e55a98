"""A real terminal: start, find, flag, quit under tmux, in every kind of terminal that is met."""

from __future__ import annotations

import os
import re
import shlex
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

TMUX = shutil.which("tmux")
pytestmark = pytest.mark.skipif(TMUX is None, reason="no tmux here")
START = "from tui.main import main; raise SystemExit(main())"
TERMINALS = {
    "truecolour": {"COLORTERM": "truecolor"},
    "sixteen colours": {"TERM": "xterm-16color", "COLORTERM": ""},
    "no colour": {"NO_COLOR": "1"},
    "light": {"COLORFGBG": "0;15"},
}


class Terminal:
    """One tmux session of a server of its own."""

    def __init__(
        self, socket: Path, size: tuple[int, int], command: list[str], extra: dict[str, str]
    ):
        self._tmux = [str(TMUX), "-S", str(socket), "-f", "/dev/null"]
        clean = {k: v for k, v in os.environ.items() if k not in ("NO_COLOR", "TMUX", "COLORFGBG")}
        words = ["env", *(f"{name}={value}" for name, value in extra.items()), *command]
        told = f"{shlex.join(words)}; echo ended with $?; sleep 60"
        subprocess.run(
            [*self._tmux, "new-session", "-d", "-x", str(size[0]), "-y", str(size[1]), told],
            check=True, env=clean,
        )  # fmt: skip

    def keys(self, *keys: str) -> None:
        subprocess.run([*self._tmux, "send-keys", *keys], check=True)

    def screen(self, *flags: str) -> str:
        shown = subprocess.run(
            [*self._tmux, "capture-pane", "-p", *flags], check=True, capture_output=True, text=True
        )
        return shown.stdout

    def ask(self, form: str) -> str:
        shown = subprocess.run(
            [*self._tmux, "display", "-p", form], check=True, capture_output=True, text=True
        )
        return shown.stdout.strip()

    def until(self, words: str, seconds: float = 20) -> str:
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            text = self.screen()
            if words in text:
                return text
            time.sleep(0.05)
        raise AssertionError(f"{words!r} never came:\n{text}")

    def close(self) -> None:
        subprocess.run([*self._tmux, "kill-server"], check=False)


@pytest.fixture(params=TERMINALS)
def terminal(request: pytest.FixtureRequest, book: Path, tmp_path: Path) -> Iterator[Terminal]:
    command = [sys.executable, "-c", START, "--db", str(book), "browse"]
    made = Terminal(tmp_path / "tmux", (80, 24), command, TERMINALS[request.param])
    yield made
    made.close()


def test_start_find_flag_quit(terminal: Terminal) -> None:
    terminal.until("vehicles in this book")
    terminal.keys("tarn")
    terminal.until("3 vehicles fit")
    terminal.keys("Enter")
    terminal.until("KITS THAT PLUG IN")
    terminal.keys("Enter")
    text = terminal.until("3 OF 10 SPEAKERS NEED A WAY OF THEIR OWN")
    assert "✗ quarter-l" in text and "✗ centre" in text
    terminal.keys("C-q")
    terminal.until("ended with 0")


def test_no_colour_reaches_a_terminal_that_wants_none(book: Path, tmp_path: Path) -> None:
    command = [sys.executable, "-c", START, "--db", str(book), "browse"]
    terminal = Terminal(tmp_path / "tmux", (120, 40), command, TERMINALS["no colour"])
    try:
        terminal.until("vehicles in this book")
        terminal.keys("tarn")
        terminal.until("3 vehicles fit")  # an Enter ahead of several would stay with their list
        terminal.keys("Enter")
        terminal.until("KITS THAT PLUG IN")
        terminal.keys("Enter")
        terminal.until("OF 10 SPEAKERS")
        painted = terminal.screen("-e")
    finally:
        terminal.close()
    assert not re.search(
        r"\x1b\[[0-9;]*(?:3[0-7]|4[0-7]|9[0-7]|10[0-7]|[34]8[;:])[0-9;:]*m", painted
    )
    assert "\x1b[" in painted  # bold and reversed still tell what stands out
