"""Pasting in a real terminal: what is pasted is text, whatever bytes are in it."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.tui.browser.test_browser_terminal import START, TMUX, Terminal
from tui.browser.kept_entries import kept_names, kept_work

pytestmark = pytest.mark.skipif(TMUX is None, reason="no tmux here")
EVIL = "evil \x1b]52;c;aGk=\x07 \x1b[A\x1b[31m\rsecond line\x1b"


@pytest.fixture
def terminal(book: Path, state: Path, tmp_path: Path) -> Iterator[Terminal]:
    command = [sys.executable, "-c", START, "--db", str(book), "--as", "mira", "browse"]
    made = Terminal(tmp_path / "tmux", (100, 30), command, {"LOOMBOOK_STATE": str(state)})
    made.until("vehicles in this book")
    yield made
    made.close()


def paste(terminal: Terminal, text: str, *flags: str) -> None:
    subprocess.run([*terminal._tmux, "load-buffer", "-"], input=text.encode(), check=True)
    subprocess.run([*terminal._tmux, "paste-buffer", "-p", *flags], check=True)


def test_escapes_in_a_paste_are_no_keys(terminal: Terminal) -> None:
    """In Find, the carriage return would open the vehicle and the letters would press its keys."""
    paste(terminal, EVIL, "-r")
    text = terminal.until("second line")
    assert "evil" in text and "What is on the bay?" in text
    assert "]52;c;aGk=" in text


def test_a_block_with_doubled_ends_has_no_blank_rows(terminal: Terminal) -> None:
    """tmux turns each LF of CR LF into a CR more, where it is not told to leave it."""
    terminal.keys("F5")
    terminal.until("BEGIN")
    terminal.keys("Enter")
    terminal.until("Needed at least")
    terminal.keys("F6")
    paste(terminal, "radio\tradio\tdash\r\namp\tamplifier\tbench\r\n")
    text = terminal.until("2 lines of 3 columns")
    lines = text.splitlines()
    at = next(n for n, line in enumerate(lines) if "▸ radio" in line)
    assert "amp" in lines[at + 1]


def test_words_typed_at_once_fall_into_their_cells(terminal: Terminal) -> None:
    terminal.keys("F5")
    terminal.until("BEGIN")
    terminal.keys("Enter")
    terminal.until("Needed at least")
    terminal.keys("ost", "Enter", "Oster", "Enter", "Fell", "Enter", "2020-", "Enter", "C-q")
    terminal.until("ended with 0")
    (name,) = kept_names()
    work = kept_work(name)
    assert work is not None and work.content["vehicle"] == {
        "id": "ost", "make": "Oster", "model": "Fell", "years": "2020-"}  # fmt: skip


def test_a_killed_browser_leaves_every_letter(terminal: Terminal) -> None:
    terminal.keys("F5")
    terminal.until("BEGIN")
    terminal.keys("Enter")
    terminal.until("Needed at least")
    terminal.keys("ost", "Enter", "Oste")
    terminal.until("Oste")
    shell = int(terminal.ask("#{pane_pid}"))
    children = Path(f"/proc/{shell}/task/{shell}/children").read_text().split()
    os.kill(int(children[0]), signal.SIGKILL)
    terminal.until("ended with 137")
    (name,) = kept_names()
    work = kept_work(name)
    assert work is not None and work.content["vehicle"] == {"id": "ost", "make": "Oste"}
