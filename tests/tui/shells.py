"""Real shells, each on a terminal of its own: keys go in, and the line that they make comes out."""

from __future__ import annotations

import os
import pty
import select
import shlex
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.command import ROOT, environment, loombook

SHELLS = ("bash", "zsh", "fish")
LEFT = "\x02"
TAB = "\t"
SHOW = "\x07"
"""Ctrl-B goes left in each of them; Ctrl-G is bound here to write down the line."""

READY = "ready>"
PATIENCE = 60.0

_BASH = """\
bind 'set enable-bracketed-paste off'
PS1='{ready}'
loombook() {{ {command} "$@"; }}
. {script}
bind -x '"\\C-g": printf "%s" "$READLINE_LINE" > {shown}.part && mv {shown}.part {shown}'
"""
_ZSH = """\
PS1='{ready}' PROMPT_SP= ; unsetopt prompt_cr prompt_sp beep; bindkey -e
loombook() {{ {command} "$@" }}
autoload -Uz compinit; compinit -u -D
. {script}
shown() {{ print -rn -- "$BUFFER" > {shown}.part && mv {shown}.part {shown} }}
zle -N shown; bindkey '^G' shown
"""
_FISH = """\
function fish_prompt; echo -n '{ready}'; end
set -g fish_greeting
set -g fish_autosuggestion_enabled 0
function loombook; {command} $argv; end
source {script}
bind \\cg 'commandline | string collect > {shown}.part; mv {shown}.part {shown}'
"""


def needed(shell: str) -> str:
    """The shell, or a skipped test where it is not installed."""
    path = shutil.which(shell)
    if path is None:
        pytest.skip(f"{shell} is not installed")
    return path


def line_after(shell: str, book: Path, place: Path, keys: str) -> str:
    """The line once these keys were pressed in a new shell, whose files stand in `place`."""
    path = needed(shell)
    arguments = _prepared(shell, book, place)
    shown = place / "shown"
    shown.unlink(missing_ok=True)
    pid, terminal = pty.fork()
    if pid == 0:  # pragma: no cover
        os.chdir(place)
        os.execve(path, [path, *arguments], _surroundings(place))
    try:
        _read_until(terminal, READY)
        os.write(terminal, (keys + SHOW).encode())
        ends = time.monotonic() + PATIENCE
        while not shown.exists():
            assert time.monotonic() < ends, f"{shell} shows no line after {keys!r}"
            _read(terminal, 0.02)
        return shown.read_text("utf-8").rstrip("\n")
    finally:
        os.kill(pid, signal.SIGKILL)
        os.close(terminal)
        os.waitpid(pid, 0)


def run_by(shell: str, book: Path, place: Path, line: str) -> subprocess.CompletedProcess[bytes]:
    """What a line does once it is entered."""
    path = needed(shell)
    given = f'loombook() {{ {_command(book)} "$@"; }}\n'
    if shell == "fish":
        given = f"function loombook; {_command(book)} $argv; end\n"
    return subprocess.run(
        [path, "-c", given + line], capture_output=True, cwd=place, env=_surroundings(place),
        check=False,
    )  # fmt: skip


def _command(book: Path) -> str:
    return f"{shlex.quote(sys.executable)} -m tui --db {shlex.quote(str(book))}"


def _surroundings(place: Path) -> dict[str, str]:
    home = str(place)
    return environment(
        PYTHONPATH=str(ROOT), HOME=home, ZDOTDIR=home, XDG_CONFIG_HOME=home, XDG_DATA_HOME=home,
        TERM="xterm", LC_ALL="C.UTF-8", COLUMNS="200", INPUTRC="/dev/null",
    )  # fmt: skip


def _prepared(shell: str, book: Path, place: Path) -> list[str]:
    """The files that the shell reads as it starts, and the arguments that say so."""
    script = place / f"loombook.{shell}"
    script.write_text(loombook("completion", shell).out, "utf-8")
    written = {"bash": _BASH, "zsh": _ZSH, "fish": _FISH}[shell].format(
        ready=READY, command=_command(book), script=script, shown=place / "shown"
    )
    start = place / (".zshrc" if shell == "zsh" else f"start.{shell}")
    start.write_text(written, "utf-8")
    return {
        "bash": ["--noprofile", "--rcfile", str(start), "-i"],
        "zsh": ["-d", "-i"],
        "fish": ["--no-config", "-C", f"source {start}", "-i"],
    }[shell]


def _read(terminal: int, seconds: float) -> str:
    ready, _, _ = select.select([terminal], [], [], seconds)
    return os.read(terminal, 65536).decode(errors="replace") if ready else ""


def _read_until(terminal: int, mark: str) -> None:
    seen = ""
    ends = time.monotonic() + PATIENCE
    while mark not in seen:
        assert time.monotonic() < ends, f"no prompt: {seen!r}"
        seen += _read(terminal, 0.1)
