"""Conditions on several pins of a speaker mean one feed: `plus = 3 and minus = 7` is a pair.

Each condition alone looks at every feed, so that a dual-coil speaker would meet one by its first
coil and one by its second, and the row that is found would be of a pair that the car has not.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from grammar.tree import And
from kb.query.bound import BoundCondition, Either, Missing, OfOneFeed, Test
from kb.query.catalogue import Field
from kb.query.signs import Bind, any_sql, within_each

_FEEDS = (
    "feed g LEFT JOIN pole w ON 0 LEFT JOIN pin n ON 0"
    " WHERE g.vehicle = s@.vehicle AND g.speaker = s@.speaker"
)
"""Each feed by itself; which ways of one that is `doubled` belong together is not decided here."""


def of_one_feed(parts: Sequence[BoundCondition], source: And) -> tuple[OfOneFeed, ...]:
    """What else must hold where several of these are about pins of a feed; nothing for most."""
    about: dict[str, list[BoundCondition]] = {}
    for part in parts:
        field = _field_of_feed(part)
        if field is not None:
            about.setdefault(field.key, []).append(part)
    # Of two conditions on the same pin each may mean another coil.
    if len(about) < 2 or any(len(found) > 1 for found in about.values()):
        return ()
    tied = tuple(found[0] for found in about.values())
    return (OfOneFeed(tied, replace(source, parts=tuple(part.source for part in tied))),)


def _field_of_feed(part: BoundCondition) -> Field | None:
    """The field of a condition that some feed meets, None for any other condition."""
    if isinstance(part, Either):
        fields = {_field_of_feed(one) for one in part.parts}
        return fields.pop() if len(fields) == 1 else None
    if isinstance(part, Test) and part.sign != "=" and part.sign != "~":
        return None
    if isinstance(part, Test | Missing) and part.field.each and "feed" in part.field.joins:
        return part.field
    return None


def one_feed_sql(condition: OfOneFeed, bind: Bind) -> str:
    """1, 0 or NULL, still without its place."""
    met = " AND ".join(f"({_of_feed(part, bind)})" for part in condition.parts)
    return any_sql(_FEEDS, f"iif(g.doubled, 1, {met})")


def _of_feed(part: BoundCondition, bind: Bind) -> str:
    if isinstance(part, Either):
        return " OR ".join(f"({_of_feed(one, bind)})" for one in part.parts)
    if isinstance(part, Missing):
        return f"({part.field.test_sql}) IS NULL"
    assert isinstance(part, Test)
    return within_each(part, bind)
