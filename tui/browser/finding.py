"""What the one field of Find means, and what it finds; asked of kb, never worked out here."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from kb.query.as_typed import COUNTED, ListedVehicle, vehicles_as_typed
from kb.query.set_aside import SetAside, set_aside
from kb.query.vin import BadVin, looks_like_vin, read_vin, why_no_vin

if TYPE_CHECKING:
    from grammar.errors import QueryError
    from kb.query.bound import Bound
    from kb.query.complete import Completion
    from kb.query.run import Answer

AT_MOST = 100  # lines that a list of vehicles shows
ROWS_AT_MOST = 500  # rows that a question shows


@dataclass(frozen=True)
class Found:
    """What a text found, what it was taken for, and how many there are, in words.

    `problem`: what keeps a question from being run, with what could stand there.
    `vehicle`: the one that a question names; `path`: the kit that it names, and the parts that it
    adds. `makers`: of a VIN's vehicles, whether the maker that it names is theirs. `doubt`: why the
    first line of the list may not be the car; a scanner sends Enter with the number, before anybody
    has read that. `aside`: vehicles that fit and of which no revision answers; they come last.
    """

    meant: str
    count: str
    vehicles: tuple[ListedVehicle, ...] = ()
    answer: Answer | None = None
    problem: str = ""
    vehicle: str | None = None
    path: tuple[str, tuple[str, ...]] | None = None
    makers: Mapping[str, str] = field(default_factory=dict)
    guessed: bool = False
    doubt: str = ""
    aside: tuple[SetAside, ...] = ()
    in_empty_book: bool = False  # no vehicle answers at all


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
    """What Tab would put in, beyond what stands there already: nothing while the text can be words
    of a vehicle only.
    """
    if not text.strip() or not (is_question(text) or _begins_question(text)):
        return None
    from kb.query.complete import complete

    offered = complete(connection, text)
    typed = text[offered.start :].strip().casefold()
    options = tuple(option for option in offered.options if option.text.casefold() != typed)
    return replace(offered, options=options)


def _begins_question(text: str) -> bool:
    """Whether the one word that is there may become the first of a question."""
    from kb.query.bind import COUNT
    from kb.query.subjects import SUBJECTS

    word = text.lstrip().casefold()
    return " " not in word and any(
        name.startswith(word) for name in (COUNT, *(subject.name for subject in SUBJECTS))
    )


def _by_words(connection: Any, text: str) -> Found:
    found = _in_words(connection, text)
    if found.vehicles or found.answer is not None:
        return found
    (some,) = connection.execute("SELECT EXISTS (SELECT 1 FROM vehicle WHERE answers)").fetchone()
    return replace(found, in_empty_book=not some)


def _in_words(connection: Any, text: str) -> Found:
    listing = vehicles_as_typed(connection, text, limit=AT_MOST)
    words = " and ".join(f"“{word}”" for word in text.split())
    meant = listing.note or f"read as words: vehicles with {words}"
    count = _count(listing.total, listing.many, sought=bool(words))
    aside = set_aside(connection, text)
    if aside:
        count += f" · {_aside_in_words(aside)}"
    if words and not listing.total and not aside:
        return _guess(connection, text, Found(meant, count))
    doubt = _doubt(text, listing.total)
    makers = {
        vehicle.id: f"maker {listing.maker}" if vehicle.id in listing.by_maker else "maker ?"
        for vehicle in (listing.vehicles if listing.maker else ())
    }
    meant = meant if words else ""
    return Found(meant, count, listing.vehicles, doubt=doubt, makers=makers, aside=aside)


def _aside_in_words(aside: tuple[SetAside, ...]) -> str:
    """How many there are and why none of them answers: Enter opens the review of such a line."""
    states = Counter(one.vehicle.state for one in aside)
    counted = " and ".join(f"{many} {state}" for state, many in sorted(states.items()))
    return f"{counted}, in no answer: Enter opens its review"


def _doubt(text: str, fitting: int) -> str:
    """What is wrong with a VIN in the text, or that it fits several vehicles."""
    for word in text.split():
        if why_no_vin(word):
            return "This is no whole VIN"
        if looks_like_vin(word):
            try:
                read_vin(word)
            except BadVin:
                return "The check digit of this VIN is wrong"
            if fitting > 1:
                return "Several vehicles fit this VIN"
    return ""


def _guess(connection: Any, text: str, nothing: Found) -> Found:
    """What a text that fits no vehicle may have meant, labelled as a guess."""
    if repaired := _as_question(text):
        asked = _ask(connection, repaired)
        return replace(asked, meant=f"a guess: {repaired}; {asked.meant}", guessed=True)
    from kb.query.near_as_typed import guessed_vehicles

    near = guessed_vehicles(connection, text, limit=AT_MOST)
    if not near.total:
        return replace(nothing, meant=near.note or nothing.meant)
    listed = "1 is listed as a guess" if near.total == 1 else f"{near.total} as a guess"
    if near.total > AT_MOST:
        many = f"more than {COUNTED}" if near.many else str(near.total)
        listed = f"{many} as a guess, and the first {AT_MOST} are listed"
    count = f"no vehicle fits all of it; {listed}"
    doubt = near.doubt or _doubt(text, near.total)
    return Found(near.note or "", count, near.vehicles, guessed=True, doubt=doubt)


def _as_question(text: str) -> str | None:
    """The question that a text is but for the spelling of its first word."""
    from kb.nearest import nearest
    from kb.query.bind import COUNT
    from kb.query.subjects import SUBJECTS

    first, _, rest = text.strip().partition(" ")
    if not re.search(r"[<>=~]|\b(?:where|with|of|for|on|by|show|sorted)\b", rest.casefold()):
        return None
    near = nearest(first, (COUNT, *(subject.name for subject in SUBJECTS)))
    return f"{near} {rest.strip()}" if near else None


def _ask(connection: Any, text: str) -> Found:
    from grammar.errors import QueryError
    from kb.query.bind import read_and_bind
    from kb.query.run import answer

    try:
        bound = read_and_bind(connection, text)
        first = min(bound.first or ROWS_AT_MOST, ROWS_AT_MOST)
        made = answer(connection, replace(bound, first=first))
    except QueryError as fault:
        begun = _is_begun(connection, text, fault)
        how = "not finished yet" if begun else "something in it is wrong"
        return Found(f"read as a question, and {how}", "", problem=fault.render())
    listed = len(made.rows)
    said = [f"{listed} row{'' if listed == 1 else 's'}"]
    if listed == ROWS_AT_MOST:
        said = [f"the first {ROWS_AT_MOST} rows"]
    if made.unverified:
        said.append(f"{made.unverified} not verified")
    if made.unknowns:
        said.append(f"? {made.unknowns} more that the book cannot tell: unknown is not no")
    if made.why_empty:  # its sentences count the unknowns too
        return Found(_meant(made), " ".join(made.why_empty), answer=made)
    vehicle = _vehicle_named(connection, bound)
    path = _path_named(connection, bound)
    return Found(_meant(made), " · ".join(said), answer=made, vehicle=vehicle, path=path)


def _vehicle_named(connection: Any, bound: Bound) -> str | None:
    """The id of the vehicle that the whole question is about, where it is about one."""
    from kb.query.vehicles import id_of_vehicle

    named = bound.scope if bound.subject.of == "vehicle" else bound.vehicles
    return id_of_vehicle(connection, int(named[0])) if named and len(named) == 1 else None


def _path_named(connection: Any, bound: Bound) -> tuple[str, tuple[str, ...]] | None:
    """The kit with the parts that the whole question is about, where it is about one."""
    from kb.answers.path import as_named

    if bound.kits is None or bound.kits.kit is None:
        return None
    return as_named(connection, bound.kits.kit, bound.kits.parts)


def _meant(answer: Answer) -> str:
    """What is said of an answer but for what it is warned of, which stands apart."""
    said = [note for note in answer.notes if note not in answer.warned]
    return " ".join(("read as a question.", *said)) if said else "read as a question"


def _is_begun(connection: Any, text: str, fault: QueryError) -> bool:
    """Whether nothing is wrong yet but that the text ends here, or in the middle of a word."""
    end = len(text.rstrip())
    if fault.span is None or fault.span.end < end:
        return False
    if fault.span.start >= end:
        return True
    offered = offer(connection, text) if text == text.rstrip() else None
    return offered is not None and offered.start == fault.span.start and bool(offered.options)


def _count(total: int, many: bool, *, sought: bool) -> str:
    vehicles = "vehicle fits" if total == 1 else "vehicles fit"
    if not sought:
        vehicles = "vehicle in this book" if total == 1 else "vehicles in this book"
    if many:
        return f"more than {COUNTED} {vehicles}; the first {AT_MOST} are listed"
    listed = f"; the first {AT_MOST} are listed" if total > AT_MOST else ""
    return f"{total or 'no'} {vehicles}{listed}"
