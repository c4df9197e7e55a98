"""What the one field of Find means, and what it finds; asked of kb, never worked out here."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from kb.query.as_typed import COUNTED, ListedVehicle, vehicles_as_typed

if TYPE_CHECKING:
    from kb.query.complete import Completion
    from kb.query.run import Answer

AT_MOST = 100  # lines that a list of vehicles shows
ROWS_AT_MOST = 500  # rows that a question shows


@dataclass(frozen=True)
class Found:
    """What a text found, what it was taken for, and how many there are, in words.

    `problem`: what keeps a question from being run, with what could stand there.
    """

    meant: str
    count: str
    vehicles: tuple[ListedVehicle, ...] = ()
    answer: Answer | None = None
    problem: str = ""


def look_up(connection: Any, text: str) -> Found:
    """A question where the first word is a subject of one; else words or a VIN."""
    return _ask(connection, text) if is_question(text) else _by_words(connection, text)


def is_question(text: str) -> bool:
    """Whether the text begins as a question of the query language does, and goes on."""
    first, gap, _ = text.lstrip().partition(" ")
    if not gap:
        return False
    from kb.query.bind import COUNT
    from kb.query.subjects import SUBJECTS

    return first.casefold() in {COUNT, *(subject.name for subject in SUBJECTS)}


def offer(connection: Any, text: str) -> Completion | None:
    """What Tab would put in: nothing while the text can be words of a vehicle only."""
    if not text.strip() or not (is_question(text) or _begins_question(text)):
        return None
    from kb.query.complete import complete

    return complete(connection, text)


def _begins_question(text: str) -> bool:
    """Whether the one word that is there may become the first of a question."""
    from kb.query.bind import COUNT
    from kb.query.subjects import SUBJECTS

    word = text.lstrip().casefold()
    return " " not in word and any(
        name.startswith(word) for name in (COUNT, *(subject.name for subject in SUBJECTS))
    )


def _by_words(connection: Any, text: str) -> Found:
    listing = vehicles_as_typed(connection, text, limit=AT_MOST)
    words = " and ".join(f"“{word}”" for word in text.split())
    meant = listing.note or f"read as words: vehicles with {words}"
    count = _count(listing.total, listing.many, sought=bool(words))
    return Found(meant if words else "", count, listing.vehicles)


def _ask(connection: Any, text: str) -> Found:
    from grammar.errors import QueryError
    from kb.query.bind import read_and_bind
    from kb.query.run import answer

    try:
        bound = read_and_bind(connection, text)
        first = min(bound.first or ROWS_AT_MOST, ROWS_AT_MOST)
        made = answer(connection, replace(bound, first=first))
    except QueryError as fault:
        return Found("read as a question, and not finished yet", "", problem=fault.render())
    listed = len(made.rows)
    said = [f"{listed} row{'' if listed == 1 else 's'}"]
    if listed == ROWS_AT_MOST:
        said = [f"the first {ROWS_AT_MOST} rows"]
    if made.why_empty:
        said = list(made.why_empty)
    if made.unverified:
        said.append(f"{made.unverified} not verified")
    if made.unknowns:
        said.append(f"? {made.unknowns} more that the book cannot tell: unknown is not no")
    meant = "; ".join(("read as a question", *made.notes))
    return Found(meant, " · ".join(said), answer=made)


def _count(total: int, many: bool, *, sought: bool) -> str:
    vehicles = "vehicle fits" if total == 1 else "vehicles fit"
    if not sought:
        vehicles = "vehicle in this book" if total == 1 else "vehicles in this book"
    if many:
        return f"more than {COUNTED} {vehicles}; the first {AT_MOST} are listed"
    listed = f"; the first {AT_MOST} are listed" if total > AT_MOST else ""
    return f"{total or 'no'} {vehicles}{listed}"
