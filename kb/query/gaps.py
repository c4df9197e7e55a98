"""How many more things a row has than are documented, as SQL: what `no` must not rule out.

A vehicle was sold with more speakers than are listed, a connector has ways that nobody wrote down,
a speaker a pole that nobody found, a wire speakers that nobody traced it to. Where nobody wrote how
many there are, those that are documented count as all. And no speaker of an unknown outcome is
carried by a kit that plugs in nowhere. Aliases are those of kb.query.catalogue.
"""

from __future__ import annotations

from dataclasses import replace

from kb.query.catalogue import Field

_WAYS = (
    "max(0, coalesce({c}.ways, 0) - (SELECT count(*) FROM pin y@"
    " WHERE y@.vehicle = {c}.vehicle AND y@.connector = {c}.connector))"
)

UNLISTED = "max(0, coalesce(v@.sold_speakers, 0) - v@.speakers)"
UNLISTED_SPEAKERS = UNLISTED.replace("@", "^")
OPEN_WAYS = _WAYS.format(c="c^")
_SUM_OF_WAYS = f"(SELECT coalesce(sum({_WAYS.format(c='c@')}), 0) FROM connector c@"
OPEN_WAYS_OF_VEHICLE = f"{_SUM_OF_WAYS} WHERE c@.vehicle = v^.vehicle)"

OF_THE_CONNECTOR = frozenset({"vehicle", "connector", "unit", "plug", "state"})
"""Fields that a pin has from its connector: a way that nobody wrote down has them too."""

OPEN_WAYS_WHERE = {
    OPEN_WAYS: f"{_SUM_OF_WAYS}{{joins}} WHERE c@.vehicle = c^.vehicle"
    " AND c@.connector = c^.connector AND {may_count})",
    OPEN_WAYS_OF_VEHICLE: f"{_SUM_OF_WAYS}{{joins}} WHERE c@.vehicle = v^.vehicle"
    " AND {may_count})",
}
"""The same gaps, of those connectors alone that `may_count` picks."""

_ANY_NUMBER = 1_000
# A pole that nobody found may be on any number of ways, at its unit and in line.
OPEN_POLES = (
    f"(SELECT {_ANY_NUMBER} * coalesce(max(z@.plus IS NULL OR z@.minus IS NULL), 0) FROM feed z@"
    " WHERE z@.vehicle = s^.vehicle AND z@.speaker = s^.speaker)"
)
# Of a wire that nobody traced, any speaker of the vehicle may be at its end.
SPEAKERS_ON_UNTOLD = (
    "iif(p^.carries IS NULL, (SELECT z@.speakers FROM vehicle z@ WHERE z@.vehicle = p^.vehicle), 0)"
)

MAY_PLUG_IN = (
    "EXISTS (SELECT 1 FROM path y@ JOIN part a@ ON a@.kit = y@.kit AND a@.part = y@.part"
    " LEFT JOIN unit u@ ON u@.vehicle = v@.vehicle WHERE y@.path = {path}"
    " AND (u@.unit IS NULL OR (a@.unit IS NULL OR a@.unit = u@.kind) AND NOT EXISTS"
    " (SELECT 1 FROM connector d@ WHERE d@.vehicle = u@.vehicle AND d@.unit = u@.unit)))"
)
"""Some part of the path may go to a unit of which nobody documented a connector."""

_ON_A_LEAD = frozenset({"carried", "partial", "reversed"})
"""Outcomes that a speaker comes to only where some part of the path plugs in."""


def none_where_unplugged(counts: tuple[Field, ...], plugs_in: str) -> tuple[Field, ...]:
    """The counts of outcomes, surely 0 for a path that plugs in nowhere, whatever else is unknown;
    `plugs_in` tells in SQL whether a part of it does.
    """
    unsure = f"t@.unknown + {UNLISTED}"
    more = f"iif({unsure} > 0 AND ({plugs_in} OR {MAY_PLUG_IN}), {unsure}, 0)"
    return tuple(
        replace(field, most=f"({field.sql} + {more})") if field.key in _ON_A_LEAD else field
        for field in counts
    )
