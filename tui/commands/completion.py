"""`completion`: makes the shell complete verbs, ids and questions; and answers the shell's asking.

The shell's script (tui/completion/scripts.py) calls `loombook completion next-…` at each Tab.
"""

from __future__ import annotations

import argparse
import os
from pathlib import Path

from tui.clean import clean
from tui.completion.line import line_of, words_as_given
from tui.completion.offers import offers
from tui.completion.scripts import SCRIPTS
from tui.completion.told import told
from tui.report import DONE, say

HELP = """Make the shell complete verbs, ids and questions.

  loombook completion --install        for the shell that $SHELL names
  loombook completion bash             print the script instead

Complete a question inside quotes: loombook ask 'speakers of <Tab>"""

QUOTED = "next-quoted"
WORDS = ("next", QUOTED)
"""Asked with the words so far, the last of them inside quotes or not."""
LINES = {"next-bash": "bash", "next-zsh": "zsh", "next-fish": "fish"}
"""Asked with the line as it is typed up to the cursor; zsh adds the end of it that is replaced,
fish gives all that is replaced and how much of that stands after the cursor."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Which shell; or, for the scripts, the words of the line."""
    parser.add_argument("shell", nargs="?", choices=[*SCRIPTS, *WORDS, *LINES], metavar="SHELL")
    # All that follows, as it is: among other positionals argparse would drop a word that is `--`.
    parser.add_argument("words", nargs=argparse.REMAINDER, help=argparse.SUPPRESS)
    parser.add_argument(
        "--install", action="store_true", help="put the script where the shell finds it"
    )


def run(arguments: argparse.Namespace) -> int:
    """Print a script, install it, or answer the shell."""
    if arguments.shell in (*WORDS, *LINES):
        words = arguments.words or [""]
        if words[0] == "--" and len(words) > 1:
            words = words[1:]
        shell = LINES.get(arguments.shell)
        if shell is None:
            typed = words_as_given(words, quoted=arguments.shell == QUOTED)
        else:
            typed = line_of(shell, words[0], words[1] if len(words) > 1 else None)
        for text, help in told(typed, offers(typed, arguments.db), shell):
            say(f"{clean(text)}\t{clean(help)}")
        return DONE
    shell = arguments.shell or Path(os.environ.get("SHELL", "bash")).name
    if shell not in SCRIPTS:
        from tui.main import UsageError

        raise UsageError(f"completion is for {', '.join(SCRIPTS)}; $SHELL is {shell}")
    if arguments.install or arguments.words == ["--install"]:
        return _install(shell)
    say(SCRIPTS[shell])
    return DONE


def _install(shell: str) -> int:
    home = Path.home()
    data = Path(os.environ.get("XDG_DATA_HOME") or home / ".local" / "share")
    config = Path(os.environ.get("XDG_CONFIG_HOME") or home / ".config")
    place, then = {
        "bash": (
            data / "bash-completion" / "completions" / "loombook",
            "A new bash has it, where the bash-completion package is installed; without that "
            "package, put this line into ~/.bashrc: . {place}",
        ),
        "zsh": (
            data / "zsh" / "site-functions" / "_loombook",
            "Put this line into ~/.zshrc, before compinit: fpath=({folder} $fpath)",
        ),
        "fish": (config / "fish" / "completions" / "loombook.fish", "A new fish has it."),
    }[shell]
    place.parent.mkdir(parents=True, exist_ok=True)
    place.write_text(SCRIPTS[shell], "utf-8")
    say(f"Written: {place}\n{then.format(place=place, folder=place.parent)}")
    return DONE
