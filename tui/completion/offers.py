"""What may take the place of the word at the cursor: verbs, options, ids, a question's rest."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from tui.completion.line import Typed

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


@dataclass(frozen=True)
class Offer:
    """`text` may stand in place of the word at the cursor from `start` on."""

    text: str
    help: str = ""
    start: int = 0


def offers(typed: Typed, db: Path) -> Iterator[Offer]:
    """All that may stand there, the likeliest first."""
    from tui.main import VERBS

    current = typed.current
    before, db = _without_book(list(typed.before), db)
    if not before:
        for group in VERBS.values():
            yield from (Offer(*pair) for pair in group.items() if pair[0].startswith(current))
        return
    verb = before[0]
    if current.startswith("-") and current != "-":
        yield from (Offer(option) for option in _options(verb) if option.startswith(current))
    elif verb == "ask":
        said = [word for word in before[1:] if not word.startswith("--")]
        yield from _question(db, said, typed)
    elif before[-1] in ("--kit", "--part") or (verb in IDS and len(before) == 1):
        yield from _ids(db, before, current)
    elif verb == "words":
        from kb.query.subjects import SUBJECTS

        yield from (Offer(s.name, s.help) for s in SUBJECTS if s.name.startswith(current))


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


def _question(db: Path, before: list[str], typed: Typed) -> Iterator[Offer]:
    from kb.errors import Refused
    from kb.query.complete import complete
    from kb.store.book import open_book

    current = typed.current
    head = "".join(word + " " for word in before)
    if current.startswith("@") and not before:
        yield from _saved(db, current)
        return
    try:
        with open_book(db).reading() as connection:
            found = complete(connection, head + current)
    except Refused:
        found = complete(None, head + current)
    start = found.start - len(head)
    if start < 0:
        return
    begun = current[start:].casefold()
    for option in found.options:
        # As it was begun: `plus-w` becomes `plus-wire`.
        one_word = begun and not option.text.casefold().startswith(begun)
        text = option.one_word if option.one_word.startswith(begun) and one_word else option.text
        yield Offer(text if typed.quote else option.one_word or text, option.help, start)


def _saved(db: Path, current: str) -> Iterator[Offer]:
    from kb.query.saved import saved_queries
    from kb.store.book import open_book

    with open_book(db).reading() as connection:
        for name, text in saved_queries(connection):
            if f"@{name}".startswith(current):
                yield Offer(f"@{name}", text)


def _ids(db: Path, before: list[str], current: str) -> Iterator[Offer]:
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
    yield from (Offer(id, help) for id, help in rows)
