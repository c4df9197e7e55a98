"""What may take the place of the word at the cursor: verbs, options, ids, a question's rest."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from tui.completion.line import Typed
from tui.completion.standing import Standing, standing

ENTRIES = {"vehicle": "vehicle", "kit": "kit", "job": "job", "entry": ""}
"""Arguments that name an entry, and of which kind; by the names that the commands have for them."""


@dataclass(frozen=True)
class Offer:
    """`text` may stand in place of the word at the cursor from `start` on."""

    text: str
    help: str = ""
    start: int = 0


FILES = Offer("", "files")
"""The name of a file or a folder: the shell itself knows them, and how it writes them."""


def offers(typed: Typed, db: Path) -> Iterator[Offer]:
    """All that may stand there, the likeliest first."""
    place = standing(typed.before, typed.current)
    db = Path(place.values["db"]).expanduser() if "db" in place.values else db
    if place.options:
        yield from (Offer(o) for o in place.options if o.startswith(typed.current))
    elif place.argument is not None and place.argument.dest == "query":
        yield from _question(db, place.said, typed)
    elif place.argument is not None:
        begun = typed.current[place.start :]
        found = [pair for pair in _values(place, db, begun) if pair[0].startswith(begun)]
        yield from (Offer(text, help, place.start) for text, help in found)
        if _is_file(place.argument) and not found:
            yield FILES
    elif not place.verb:
        from tui.main import VERBS

        for verbs in VERBS.values():
            yield from (Offer(*verb) for verb in verbs.items() if verb[0].startswith(typed.current))


def _is_file(argument: argparse.Action) -> bool:
    """A job is named by its id, or by the file that it stands in."""
    names = str(argument.metavar or "")
    return argument.dest == "job" or names.startswith(("FILE", "FOLDER"))


def _values(place: Standing, db: Path, begun: str) -> Iterator[tuple[str, str]]:
    """What an argument may be."""
    argument = place.argument
    if argument is None:
        return
    if argument.choices is not None:
        # The script's own questions are no shells.
        yield from ((str(one), "") for one in argument.choices if not str(one).startswith("next"))
    elif argument.dest in ENTRIES:
        yield from _entries(db, ENTRIES[argument.dest], begun)
    elif argument.dest == "part":
        yield from _parts(db, place.values.get("kit", ""))
    elif argument.dest == "forget":
        yield from _saved(db)
    elif argument.dest == "subject":
        from kb.query.subjects import SUBJECTS

        yield from ((subject.name, subject.help) for subject in SUBJECTS)


def _question(db: Path, before: list[str], typed: Typed) -> Iterator[Offer]:
    from kb.errors import Refused
    from kb.query.complete import complete
    from kb.store.book import open_book

    current = typed.current
    head = "".join(word + " " for word in before)
    if current.startswith("@") and not before:
        saved = ((f"@{name}", text) for name, text in _saved(db))
        yield from (Offer(*one) for one in saved if one[0].startswith(current))
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


def _saved(db: Path) -> list[tuple[str, str]]:
    from kb.query.saved import saved_queries
    from kb.store.book import open_book

    with open_book(db).reading() as connection:
        return list(saved_queries(connection))


def _parts(db: Path, kit: str) -> list[tuple[str, str]]:
    from kb.store.book import open_book

    with open_book(db).reading() as connection:
        return connection.execute(
            "SELECT p.part, p.use FROM part p JOIN kit k ON k.kit = p.kit AND k.answers = 1"
            " WHERE k.id = ? ORDER BY p.position",
            (kit,),
        ).fetchall()


def _entries(db: Path, kind: str, begun: str) -> list[tuple[str, str]]:
    from kb.store.book import open_book

    with open_book(db).reading() as connection:
        return connection.execute(
            "SELECT DISTINCT id, kind FROM entry WHERE id >= :low AND id < :high"
            " AND :kind IN ('', kind) ORDER BY id LIMIT 60",
            {"low": begun, "high": begun + "\U0010ffff", "kind": kind},
        ).fetchall()
