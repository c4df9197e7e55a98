"""The vehicles that fit what is typed so far, as a list, within a frame of the screen.

Every word must begin one of the vehicle's own words (make, model, body, audio, id) or, of digits,
be or begin a model year of its span (`22` is also 2022, and `2` begins both); a word with the form
of a VIN narrows by its model year and its maker. Unlike `find_vehicle` it never decides for one.

It stands alone because it must answer from an index for each letter, where `find_vehicle` may look
at every vehicle once.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from kb.query.vin import BadVin, as_it_stands, looks_like_vin, read_vin
from kb.store.words import words_of_text

COUNTED = 1000
"""More than this many are not counted out."""

CENTURIES = (1900, 2000)

SIGNED_LESS = (
    "coalesce((SELECT CASE WHEN e.reason IS NOT NULL THEN 'on less than measured'"
    " WHEN e.alone = 1 THEN 'alone' END FROM entry e WHERE e.revision = v.vehicle), '')"
)


@dataclass(frozen=True)
class ListedVehicle:
    """One vehicle of the list."""

    id: str
    make: str
    model: str
    first_year: int
    last_year: int | None
    body: str | None
    audio: str | None
    speakers: int
    state: str
    signed_less: str
    """Of a verified one: `alone`, or `on less than measured`; else empty."""


@dataclass(frozen=True)
class Listing:
    """The first vehicles by make, model and year; `total` is all of them where it is `exact`, else
    counted up to `COUNTED` and one more. `doubt`: why none may be opened before it was looked at.
    `maker`: that of a VIN, and `by_maker` the ids of those listed for which it is recorded; for the
    others nobody recorded a maker.
    """

    vehicles: tuple[ListedVehicle, ...]
    total: int
    note: str | None = None
    exact: bool = False
    doubt: str = ""
    maker: str | None = None
    by_maker: frozenset[str] = frozenset()

    @property
    def many(self) -> bool:
        """Whether there are more than were counted."""
        return self.total > COUNTED and not self.exact


@dataclass
class Sought:
    """What a vehicle must meet, as SQL over `vehicle v`, and what was read into the text.

    `first` is what a vehicle need not meet, but comes first where it does: the maker of a VIN, and
    of `20` the year 2020 before one that is still being written.
    """

    conditions: list[str] = field(default_factory=list)
    parameters: list[object] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    first: list[tuple[str, list[object]]] = field(default_factory=list)
    maker: str | None = None

    def listed(self, connection: sqlite3.Connection, limit: int) -> Listing:
        """The vehicles that meet all of it."""
        where = " AND ".join(["v.answers = 1", *self.conditions])
        best = "".join(f"({sql}) DESC, " for sql, _ in self.first)
        wanted = [value for _, values in self.first for value in values]
        inner = f"ORDER BY {best}v.vehicle" if best else ""
        rows = connection.execute(
            f"""
            WITH fitting AS MATERIALIZED (
                SELECT v.vehicle FROM vehicle v WHERE {where} {inner} LIMIT {COUNTED + 1})
            SELECT v.id, v.make, v.model, v.first_year, v.last_year, v.body, v.audio, v.speakers,
                   v.state, {SIGNED_LESS}, count(*) OVER ()
            FROM fitting JOIN vehicle v USING (vehicle)
            ORDER BY {best}v.make, v.model, v.first_year, v.id LIMIT ?
            """,
            (*self.parameters, *wanted, *wanted, limit),
        ).fetchall()
        total = rows[0][-1] if rows else 0
        note = "; ".join(self.notes) or None
        return Listing(tuple(_listed(row[:-1]) for row in rows), total, note)


def vehicles_as_typed(connection: sqlite3.Connection, text: str, *, limit: int = 100) -> Listing:
    """The vehicles that answer and fit all words of the text; all vehicles for no words."""
    sought = Sought()
    words = text.split()
    for number in [word for word in words if looks_like_vin(word)]:
        words.remove(number)
        _by_vin(connection, number, sought)
    for word in sorted(words_of_text(" ".join(words)), key=len, reverse=True):
        by_word(word, sought)
    if not sought.conditions:
        return _all(connection, limit)
    listing = sought.listed(connection, limit)
    return _with_maker(connection, listing, sought.maker) if sought.maker else listing


def _with_maker(connection: sqlite3.Connection, listing: Listing, maker: str) -> Listing:
    """The listing with which of its vehicles are known to be of the maker: they come first."""
    ids = json.dumps([vehicle.id for vehicle in listing.vehicles])
    rows = connection.execute(
        "SELECT v.id FROM wmi w JOIN vehicle v USING (vehicle) WHERE w.wmi = ? AND v.answers = 1"
        " AND v.id IN (SELECT value FROM json_each(?))",
        (maker, ids),
    )
    known = frozenset(id for (id,) in rows)
    many = len(known)
    if not many:
        said = f"maker {maker} is recorded for none of these, and no other is"
    elif many == len(listing.vehicles):
        said = f"maker {maker}"
    else:
        first = "the first" if many == 1 else f"the first {many}"
        said = f"maker {maker} is recorded for {first} only; for the others nobody recorded a maker"
    note = "; ".join(filter(None, (listing.note, said)))
    return replace(listing, note=note, maker=maker, by_maker=known)


def _listed(row: Sequence[Any]) -> ListedVehicle:
    return ListedVehicle(*row)


def _all(connection: sqlite3.Connection, limit: int) -> Listing:
    """The first of all vehicles, straight from the index of their names."""
    rows = connection.execute(
        "SELECT v.id, v.make, v.model, v.first_year, v.last_year, v.body, v.audio, v.speakers,"
        f" v.state, {SIGNED_LESS}"
        " FROM vehicle v WHERE v.answers = 1 ORDER BY make, model, first_year, id LIMIT ?",
        (limit,),
    ).fetchall()
    (total,) = connection.execute("SELECT count(*) FROM vehicle WHERE answers = 1").fetchone()
    return Listing(tuple(_listed(row) for row in rows), total, exact=True)


def by_word(word: str, sought: Sought, also: Sequence[str] = ()) -> None:
    """A word that begins one of the vehicle's, or a year or its beginning; or is one of `also`."""
    begins = "v.vehicle IN (SELECT w.vehicle FROM vehicle_word w WHERE w.word >= ? AND w.word < ?)"
    choices = [begins]
    values: list[object] = [word, word + "\U0010ffff"]
    for other in also:
        choices.append("v.vehicle IN (SELECT w.vehicle FROM vehicle_word w WHERE w.word = ?)")
        values.append(other)
    years = years_meant(word)
    for first, last in years:
        choices.append("(v.first_year <= ? AND (v.last_year IS NULL OR v.last_year >= ?))")
        values += [last, first]
    if len(word) == 2 and len(years) > len(CENTURIES):  # its last span is one still being written
        sought.first.append((" OR ".join(choices[:-1]), values[:-2]))
    sought.parameters += values
    sought.conditions.append(f"({' OR '.join(choices)})")


def years_meant(word: str) -> list[tuple[int, int]]:
    """The spans of years that digits may stand for: `22` 2022, 1922 and nothing else."""
    if not (word.isascii() and word.isdigit() and len(word) <= 4):
        return []
    if len(word) == 1:  # of a year with its century, or without
        begun = [(century + int(word) * 10, century + int(word) * 10 + 9) for century in CENTURIES]
        return [*begun, (int(word) * 1000, int(word) * 1000 + 999)]
    if len(word) == 2:
        spans = [(century + int(word),) * 2 for century in CENTURIES]
        if word in ("19", "20"):  # or the beginning of a year that is still being written
            spans.append((int(word) * 100, int(word) * 100 + 99))
        return spans
    room = 10 ** (4 - len(word))
    return [(int(word) * room, int(word) * room + room - 1)]


def _by_vin(connection: sqlite3.Connection, number: str, sought: Sought) -> None:
    """By model year and maker; with a wrong check digit too, and that is said first."""
    latest = date.today().year + 1
    try:
        vin = read_vin(number, latest=latest)
        sought.notes.append(f"VIN {vin.text}: check digit right, {vin.years_said}")
    except BadVin as fault:
        vin = as_it_stands(number, latest=latest)
        sought.notes.append(f"! {fault}; if the rest is right: {vin.years_said}")
    if vin.years:
        spans = []
        for model_year in vin.years:
            spans.append("(v.first_year <= ? AND (v.last_year IS NULL OR v.last_year >= ?))")
            sought.parameters += [model_year, model_year]
        sought.conditions.append(f"({' OR '.join(spans)})")
    named = connection.execute("SELECT 1 FROM wmi WHERE wmi = ? LIMIT 1", (vin.wmi,)).fetchone()
    # Where nobody wrote the makers down, that is no reason to drop a vehicle.
    sought.conditions.append(
        "(v.vehicle IN (SELECT w.vehicle FROM wmi w WHERE w.wmi = ?)"
        " OR v.vehicle NOT IN (SELECT w.vehicle FROM wmi w))"
    )
    sought.parameters.append(vin.wmi)
    sought.first.append(("v.vehicle IN (SELECT w.vehicle FROM wmi w WHERE w.wmi = ?)", [vin.wmi]))
    if named:
        sought.maker = vin.wmi
    else:
        sought.notes.append(f"no vehicle here lists maker {vin.wmi}, so the maker is open")
