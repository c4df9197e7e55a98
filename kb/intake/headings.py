"""Which column means what: headings matched loosely, and the match said, so that it can be put
right.

It stands alone because a wrong match is the one mistake of intake that no later check can see.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, get_args

from kb.errors import Refused
from kb.intake.tables import Table

Meaning = Literal["position", "circuit", "colour", "mm2", "awg", "size", "note", "connector"]
MEANINGS: tuple[Meaning, ...] = get_args(Meaning)
SKIP = "skip"
ROWS_SEARCHED = 20
LEAST_LIKENESS = 82.0  # of 100; below it two headings are two words

# Words of the trade for each meaning; common practice, no source.
_WORDS: dict[Meaning, tuple[str, ...]] = {
    "position": (
        "position", "pos", "pin", "pin no", "pin number", "pin nr", "way", "way no", "cavity",
        "cav", "terminal", "term", "contact", "at", "no", "nr", "slot",
    ),
    "circuit": (
        "circuit", "carries", "function", "signal", "description", "circuit name", "signal name",
        "pin function", "circuit description", "use", "assignment",
    ),
    "colour": (
        "colour", "color", "wire", "wire colour", "wire color", "col", "cable colour",
        "cable color", "insulation colour", "insulation color",
    ),
    "mm2": ("mm2", "mm 2", "sq mm", "sqmm", "csa", "cross section", "size mm2", "wire mm2"),
    "awg": ("awg", "gauge", "wire gauge", "ga", "size awg"),
    "size": ("size", "wire size"),
    "note": ("note", "notes", "remark", "remarks", "comment", "comments"),
    "connector": ("connector", "conn", "connector id", "plug id", "socket"),
}  # fmt: skip
_KNOWN = {word: meaning for meaning, words in _WORDS.items() for word in words}


@dataclass(frozen=True)
class Column:
    """One column: its heading, what it was taken for (None: nothing), and why."""

    index: int
    heading: str
    meaning: Meaning | None
    why: str


@dataclass(frozen=True)
class Match:
    """The row of the headings and all columns; `rows` are those below it."""

    row: int
    columns: tuple[Column, ...]
    rows: tuple[tuple[int, tuple[str, ...]], ...]

    def index_of(self, meaning: Meaning) -> int | None:
        """The column of a meaning."""
        return next((c.index for c in self.columns if c.meaning == meaning), None)


def match_headings(table: Table, said: Mapping[str, str] | None = None) -> Match:
    """Find the heading row and match its columns; `said` is heading -> meaning, by a person.

    Raises Refused where no row has a position and a circuit, or two columns mean the same.
    """
    said = {_plain(heading): meaning for heading, meaning in (said or {}).items()}
    for heading, meaning in said.items():
        if meaning not in (*MEANINGS, SKIP):
            raise Refused(
                f"{meaning!r} is nothing that a column can mean ({heading}); "
                f"write one of {', '.join(MEANINGS)} or {SKIP}."
            )
    for place, (number, cells) in enumerate(table.rows[:ROWS_SEARCHED]):
        columns = _columns(cells, said)
        found = {column.meaning for column in columns}
        if {"position", "circuit"} <= found or {"position", "colour"} <= found:
            _check(table.name, columns, cells, said)
            return Match(number, tuple(_one_each(table.name, columns)), table.rows[place + 1 :])
    first = ", ".join(repr(cell) for cell in table.rows[0][1] if cell)
    raise Refused(
        f"{table.name}: no row of headings with a position and a circuit was found; its first row "
        f"has {first[:200]}. Name them as `--column 'HEADING=position'`."
    )


def _columns(cells: Sequence[str], said: Mapping[str, str]) -> list[Column]:
    columns = []
    for index, heading in enumerate(cells):
        plain = _plain(heading)
        if not plain:
            continue
        if plain in said:
            meaning = said[plain]
            named = None if meaning == SKIP else next(m for m in MEANINGS if m == meaning)
            columns.append(Column(index, heading, named, "as you said"))
        elif plain in _KNOWN:
            columns.append(Column(index, heading, _KNOWN[plain], "the same word"))
        else:
            columns.append(_likened(index, heading, plain))
    return columns


def _likened(index: int, heading: str, plain: str) -> Column:
    from rapidfuzz import fuzz, process

    found = process.extractOne(plain, list(_KNOWN), scorer=fuzz.ratio, score_cutoff=LEAST_LIKENESS)
    if found is not None:
        word = str(found[0])
        return Column(index, heading, _KNOWN[word], f"like {word!r}")
    return Column(index, heading, None, "not used")


def _check(
    name: str, columns: Sequence[Column], cells: Sequence[str], said: Mapping[str, str]
) -> None:
    headings = {_plain(column.heading) for column in columns}
    for heading in said:
        if heading not in headings:
            known = ", ".join(repr(cell) for cell in cells if cell)
            raise Refused(f"{name} has no column {heading!r}; it has {known}.")


def _one_each(name: str, columns: list[Column]) -> list[Column]:
    """At most one column for each meaning: what a person said, then the same word, wins."""
    ranks = {"as you said": 0, "the same word": 1}
    for meaning in MEANINGS:
        claims = [column for column in columns if column.meaning == meaning]
        best = min((ranks.get(column.why, 2) for column in claims), default=0)
        winners = [column for column in claims if ranks.get(column.why, 2) == best]
        if len(winners) > 1:
            names = " and ".join(repr(column.heading) for column in winners)
            raise Refused(
                f"{name}: the columns {names} could both be the {meaning}; say which with "
                f"--column 'HEADING={meaning}', and the other with --column 'HEADING={SKIP}'."
            )
        columns = [
            column
            if column not in claims or column in winners
            else Column(column.index, column.heading, None, f"not used: {winners[0].heading} is it")
            for column in columns
        ]
    return columns


def _plain(heading: str) -> str:
    text = heading.casefold().replace("²", "2").replace("#", " no ").replace("_", " ")
    return " ".join(re.sub(r"[^\w]+", " ", text).split())
