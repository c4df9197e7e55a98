"""`completion`: makes the shell complete verbs, ids and questions; and answers the shell's asking.

The shell's script is a few lines that call `loombook completion next` at each Tab; what may come
next is known to the grammar and the book, never to the script.
"""

from __future__ import annotations

import argparse
import os
from collections.abc import Iterator
from pathlib import Path

from tui.clean import clean
from tui.report import DONE, say

HELP = """Make the shell complete verbs, ids and questions.

  loombook completion --install        for the shell that $SHELL names
  loombook completion bash             print the script instead

Complete a question inside quotes: loombook ask 'speakers of <Tab>"""

BASH = """# loombook: completion for bash
_loombook() {
    local line cur="${COMP_LINE:0:COMP_POINT}" words=() word
    for word in "${COMP_WORDS[@]:1:COMP_CWORD}"; do words+=("${word#[\\"\\']}"); done
    local how=next
    [[ "${COMP_WORDS[COMP_CWORD]}" == [\\"\\']* ]] && how=next-quoted
    COMPREPLY=()
    while IFS= read -r line; do COMPREPLY+=("${line%%$'\\t'*}"); done \\
        < <(LOOMBOOK_BREAKS="$COMP_WORDBREAKS" loombook completion $how -- "${words[@]}" \\
            2>/dev/null)
    # A second way to end keeps bash from closing the quote after the only way to go on.
    [[ $how == next-quoted && ${#COMPREPLY[@]} == 1 ]] && COMPREPLY+=("${COMPREPLY[0]} ")
    compopt -o nospace -o nosort 2>/dev/null
}
complete -F _loombook loombook
"""

ZSH = """#compdef loombook
# loombook: completion for zsh
_loombook() {
    local how=next line
    local -a words_so_far found shown
    [[ "${words[CURRENT]}" == [\\"\\']* ]] && how=next-quoted
    words_so_far=("${(@)words[2,CURRENT]#[\\"\\']}")
    while IFS= read -r line; do
        found+=("${line%%$'\\t'*}")
        shown+=("${line/$'\\t'/  -- }")
    done < <(loombook completion $how -- "${words_so_far[@]}" 2>/dev/null)
    compadd -S '' -l -d shown -- "${found[@]}"
}
if [ "$funcstack[1]" = "_loombook" ]; then _loombook; else compdef _loombook loombook; fi
"""

FISH = """# loombook: completion for fish
function __loombook_next
    set -l how next
    string match -qr '^["\\']' -- (commandline -ct); and set how next-quoted
    set -l before (commandline -opc)
    set -l current (commandline -ct | string replace -r '^["\\']' '')
    loombook completion $how -- $before[2..-1] "$current" 2>/dev/null
end
complete -c loombook -f -a '(__loombook_next)'
"""

QUOTED = "next-quoted"
ASKED = ("next", QUOTED)
"""What the scripts ask with: the words so far, the last of them inside quotes or not."""
SCRIPTS = {"bash": BASH, "zsh": ZSH, "fish": FISH}
ENTRY_VERBS = ("review", "verify", "return", "withdraw", "history", "submit")
IDS = {
    "runs": "vehicle",
    "face": "vehicle",
    "browse": "vehicle",
    "plan": "job",
    "sheet": "job",
    **dict.fromkeys(ENTRY_VERBS, "entry"),
}
"""What the first word after a verb names."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Which shell; or, for the scripts, the words of the line."""
    parser.add_argument("shell", nargs="?", choices=[*SCRIPTS, *ASKED], metavar="SHELL")
    # All that follows, as it is: among other positionals argparse would drop a word that is `--`.
    parser.add_argument("words", nargs=argparse.REMAINDER, help=argparse.SUPPRESS)
    parser.add_argument(
        "--install", action="store_true", help="put the script where the shell finds it"
    )


def run(arguments: argparse.Namespace) -> int:
    """Print a script, install it, or answer the shell."""
    if arguments.shell in ASKED:
        words = arguments.words or [""]
        if words[0] == "--" and len(words) > 1:
            words = words[1:]
        quoted = arguments.shell == QUOTED
        for text, help in _next(arguments.db, words, quoted=quoted):
            shown = text if quoted else _after_break(text, words[-1])
            say(f"{clean(shown)}\t{clean(help)}")
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


def _after_break(text: str, current: str) -> str:
    """bash replaces only what follows its last word break (`=`, `:`) of an unquoted word."""
    breaks = os.environ.get("LOOMBOOK_BREAKS", "")
    last = max((current.rfind(mark) for mark in breaks if mark in "=:@"), default=-1)
    return text[last + 1 :] if last >= 0 and text.startswith(current[: last + 1]) else text


def _next(db: Path, words: list[str], *, quoted: bool) -> Iterator[tuple[str, str]]:
    """What may take the place of the last word, with a word about it."""
    from tui.main import VERBS

    *before, current = words
    before, db = _without_book(before, db)
    if not before:
        for group in VERBS.values():
            yield from (pair for pair in group.items() if pair[0].startswith(current))
        return
    verb = before[0]
    if current.startswith("-") and current != "-":
        yield from ((option, "") for option in _options(verb) if option.startswith(current))
    elif verb == "ask":
        said = [word for word in before[1:] if not word.startswith("--")]
        yield from _question(db, said, current, quoted=quoted)
    elif before[-1] in ("--kit", "--part") or (verb in IDS and len(before) == 1):
        yield from _ids(db, before, current)
    elif verb == "words":
        from kb.query.subjects import SUBJECTS

        yield from ((s.name, s.help) for s in SUBJECTS if s.name.startswith(current))


def _without_book(before: list[str], db: Path) -> tuple[list[str], Path]:
    """The words without `--db FILE` and `--as NAME`, and the book that they name."""
    while len(before) > 1 and before[0] in ("--db", "--as"):
        if before[0] == "--db":
            db = Path(before[1])
        before = before[2:]
    return before, db


def _options(verb: str) -> list[str]:
    from importlib import import_module

    from tui.main import MODULES

    parser = argparse.ArgumentParser(add_help=False)
    try:
        import_module(f"tui.commands.{MODULES.get(verb, verb)}").add_arguments(parser)
    except ImportError:
        return []
    return sorted(
        option
        for action in parser._actions  # the one list that argparse keeps of them
        if action.help is not argparse.SUPPRESS
        for option in action.option_strings
        if option.startswith("--")
    )


def _question(
    db: Path, before: list[str], current: str, *, quoted: bool
) -> Iterator[tuple[str, str]]:
    from kb.errors import Refused
    from kb.query.complete import complete
    from kb.store.book import open_book

    head = "".join(word + " " for word in before)
    text = head + current
    if current.startswith("@") and not before:
        yield from _saved(db, current)
        return
    try:
        with open_book(db).reading() as connection:
            found = complete(connection, text)
    except Refused:
        found = complete(None, text)
    if found.start < len(head):
        return
    kept = current[: found.start - len(head)]
    for option in found.options:
        text = option.text if quoted else option.one_word or option.text
        # Outside quotes the shell itself would read these.
        if quoted or not set("<>()~!$&;|'\" ") & set(text):
            yield kept + text, option.help


def _saved(db: Path, current: str) -> Iterator[tuple[str, str]]:
    from kb.query.saved import saved_queries
    from kb.store.book import open_book

    with open_book(db).reading() as connection:
        for name, text in saved_queries(connection):
            if f"@{name}".startswith(current):
                yield f"@{name}", text


def _ids(db: Path, before: list[str], current: str) -> Iterator[tuple[str, str]]:
    from kb.store.book import open_book

    kind = "kit" if before[-1] == "--kit" else IDS.get(before[0], "entry")
    with open_book(db).reading() as connection:
        if before[-1] == "--part":
            kit = before[before.index("--kit") + 1] if "--kit" in before else ""
            rows = connection.execute(
                "SELECT p.part, p.use FROM part p JOIN kit k ON k.kit = p.kit AND k.answers = 1"
                " WHERE k.id = ? AND p.part >= ? AND p.part < ?",
                (kit, current, current + "\U0010ffff"),
            ).fetchall()
        else:
            narrow = "" if kind == "entry" else " AND kind = :kind"
            rows = connection.execute(
                "SELECT DISTINCT id, kind FROM entry WHERE id >= :low AND id < :high"
                f"{narrow} ORDER BY id LIMIT 60",
                {"low": current, "high": current + "\U0010ffff", "kind": kind},
            ).fetchall()
    yield from ((id, help) for id, help in rows)
