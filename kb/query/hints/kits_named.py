"""Which kit a person means: an id, or words that point at one.

As with vehicles: the exact id, all words among the kit's own, each word the beginning of one; the
last is a guess and is labelled as one, and where several fit, none is chosen. It stands alone
because commands name kits as questions do.
"""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Sequence

from kb.answers.entries import answering
from kb.errors import Refused
from kb.query.vehicles import MOST_LISTED, begins_word


class NoKit(Exception):
    """Nothing fits, or several kits do: then `candidates` are ids with what they are."""

    def __init__(self, sentence: str, candidates: Sequence[tuple[str, str]] = ()) -> None:
        super().__init__(sentence)
        self.candidates = tuple(candidates)

    @property
    def lines(self) -> list[str]:
        """The candidates to choose from, with a heading; none where nothing fits."""
        if not self.candidates:
            return []
        lines = [f"  {id}  ({title})" for id, title in self.candidates[:MOST_LISTED]]
        if len(self.candidates) > MOST_LISTED:
            lines.append(f"  and {len(self.candidates) - MOST_LISTED} more")
        return ["They are:", *lines]


def find_kit(
    connection: sqlite3.Connection, name: str, *, newest: bool = False
) -> tuple[int, str, str | None]:
    """The revision and the id of the one kit that `name` points at, and what to say of how it was
    read where that was not by its id. Raises NoKit.
    """
    try:
        found = answering(connection, "kit", "-".join(name.lower().split()), newest=newest)
    except Refused as fault:
        return _by_words(connection, name, newest, str(fault))
    return found.revision, found.id, None


def _by_words(
    connection: sqlite3.Connection, name: str, newest: bool, refusal: str
) -> tuple[int, str, str | None]:
    words = re.findall(r"\w+", name.casefold())
    rows = connection.execute(
        "SELECT kit, id, maker, name FROM kit"
        f" WHERE {'newest' if newest else 'answers'} = 1 ORDER BY id"
    ).fetchall()
    own = {row[0]: re.findall(r"\w+", " ".join(row[1:]).casefold()) for row in rows}
    whole = [row for row in rows if words and set(words) <= set(own[row[0]])]
    begun = [
        row
        for row in rows
        if words and all(any(begins_word(one, word) for one in own[row[0]]) for word in words)
    ]
    found = whole or begun
    if not found:
        raise NoKit(refusal)
    if len(found) > 1:
        raise NoKit(
            f'"{name}" fits {len(found)} kits; name one of them.',
            [(id, f"{maker} {title}") for _, id, maker, title in found],
        )
    kit, id, maker, title = found[0]
    return (
        int(kit),
        str(id),
        f'{"" if whole else "A guess: "}"{name}" taken as {id} ({maker} {title}).',
    )


def kits_of_part(connection: sqlite3.Connection, name: str, *, newest: bool = False) -> list[str]:
    """The kits of which a part bears the name."""
    rows = connection.execute(
        "SELECT DISTINCT k.id FROM part p JOIN kit k USING (kit) WHERE p.part = ?"
        f" AND k.{'newest' if newest else 'answers'} = 1 ORDER BY k.id",
        ("-".join(name.lower().split()),),
    )
    return [id for (id,) in rows]
