"""Bringing what others changed into work that was begun before: three contents become one.

A pin, a lead and a line of evidence are each one thing; of everything else each value is. What only
one side touched is taken from it; where both did, and not alike, ours stays and the conflict is
told. A measurement of ours vouches for no pin that theirs tells otherwise: that is left out.
It stands alone because it knows neither states nor people.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from copy import deepcopy
from dataclasses import dataclass
from typing import Any

from kb.store.older_evidence import told, told_otherwise
from kb.store.rows import pins_named, ways_of

Content = Mapping[str, Any]
Row = Mapping[str, Any]


@dataclass(frozen=True)
class Conflict:
    """One thing that both sides told otherwise; None where a side has it no longer."""

    where: str
    ours: object
    theirs: object


@dataclass(frozen=True)
class Merged:
    """The outcome. `left_out`: pins of our evidence that theirs tells otherwise."""

    content: dict[str, Any]
    conflicts: tuple[Conflict, ...]
    left_out: tuple[str, ...]


class NotMergeable(Exception):
    """The contents are not of one form; the text says why."""


_KEYS: dict[str, Callable[[Row], str]] = {
    **dict.fromkeys(
        ("unit", "speaker", "connector", "panel", "output", "part", "channel", "setting"),
        lambda row: str(row.get("id")),
    ),
    "pins": lambda row: str(row.get("at")),
    "leads": lambda row: str(row.get("lead")),
    "route": lambda row: f"{row.get('from')} to {row.get('to')}",
    "drive": lambda row: str(row.get("channel")),
    "fitted": lambda row: str(row.get("speaker")),
    "step": lambda row: str(row.get("do")),
}
_WHOLE = {"pins", "leads"}  # a row of these is one thing: its colour says what its circuit means


def merged(base: Content, ours: Content, theirs: Content, *, theirs_wins: bool = False) -> Merged:
    """Ours with what theirs changed of the base; `theirs_wins` where both did.

    Raises NotMergeable.
    """
    if len({str(content.get("colours", "iec")) for content in (base, ours, theirs)}) > 1:
        raise NotMergeable("the two are written in different colour letters")
    conflicts: list[Conflict] = []
    without = (
        {key: value for key, value in content.items() if key != "evidence"}
        for content in (base, ours, theirs)
    )
    was, mine, yours = without
    content = _tables(was, mine, yours, "", conflicts)
    if theirs_wins and conflicts:
        content = _tables(was, yours, mine, "", [])
    lines, left_out = _evidence(base, ours, theirs, content)
    if lines:
        content["evidence"] = lines
    return Merged(content, tuple(conflicts), left_out)


def _tables(
    base: Row, ours: Row, theirs: Row, where: str, conflicts: list[Conflict]
) -> dict[str, Any]:
    made: dict[str, Any] = {}
    for key in [*ours, *(key for key in theirs if key not in ours)]:
        three = base.get(key), ours.get(key), theirs.get(key)
        place = f"{where} {key}".strip()
        if _are_rows(key, *three):
            old, mine, yours = (value or [] for value in three)
            value: Any = _rows(key, old, mine, yours, where, conflicts)
            if value or key in ours:
                made[key] = value
        elif not where and all(isinstance(value, Mapping) for value in three[1:]):
            # A table of the document, its head; a value such as watts by load is one thing.
            made[key] = _tables(three[0] or {}, ours[key], theirs[key], key, conflicts)
        else:
            value = _one(*three, place, conflicts)
            if value is not None:
                made[key] = value
    return made


def _are_rows(key: str, *values: object) -> bool:
    return key in _KEYS and all(value is None or isinstance(value, list) for value in values)


def _rows(
    table: str,
    base: list[Row],
    ours: list[Row],
    theirs: list[Row],
    where: str,
    conflicts: list[Conflict],
) -> list[Row]:
    key_of = _KEYS[table]
    keyed = [{key_of(row): row for row in rows} for rows in (base, ours, theirs)]
    if any(
        len(found) != len(rows) for found, rows in zip(keyed, (base, ours, theirs), strict=True)
    ):
        raise NotMergeable(f"two rows of {table} have the same name")
    was, mine, yours = keyed
    made: list[Row] = []
    for id in [*mine, *(id for id in yours if id not in mine)]:
        name = f"{where.split(' ')[-1]}.{id}" if table in _WHOLE else f"{table} {id}"
        three = was.get(id), mine.get(id), yours.get(id)
        if table in _WHOLE or None in three[1:] or three[0] is None:
            row: Any = _one(*three, name, conflicts)
        else:
            row = _tables(was[id], mine[id], yours[id], name, conflicts)
        if row is not None:
            made.append(row)
    return made


def _one(
    base: object, ours: object, theirs: object, where: str, conflicts: list[Conflict]
) -> object:
    if ours == theirs or theirs == base:
        return deepcopy(ours)
    if ours == base:
        return deepcopy(theirs)
    conflicts.append(Conflict(where, ours, theirs))
    return deepcopy(ours)


def _evidence(
    base: Content, ours: Content, theirs: Content, content: Content
) -> tuple[list[dict[str, Any]], tuple[str, ...]]:
    was, yours = list(base.get("evidence", ())), list(theirs.get("evidence", ()))
    mine = list(ours.get("evidence", ()))
    ways, then, now = ways_of(content), told(ours), told(content)
    lines: list[dict[str, Any]] = []
    left_out: dict[str, None] = {}
    for line in mine:
        if line in was and line not in yours:
            continue  # theirs took it away
        if line in was:
            lines.append(deepcopy(line))
            continue
        named = [
            (name, pins_named(name, ways_of(ours)) or pins_named(name, ways)) for name in line["of"]
        ]
        kept: list[str] = []
        for name, pins in named:
            other = [
                pin
                for pin in pins
                if pin in then and (pin not in now or told_otherwise(then[pin], now[pin]))
            ]
            if not other:
                kept.append(name)
                continue
            left_out.update(dict.fromkeys(f"{pin[0]}.{pin[1]}" for pin in other))
            kept += [f"{pin[0]}.{pin[1]}" for pin in pins if pin not in other]
        if kept:
            lines.append({**deepcopy(line), "of": kept})
    lines += [deepcopy(line) for line in yours if line not in was and line not in mine]
    return lines, tuple(left_out)
