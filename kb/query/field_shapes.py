"""The shapes of field that the list of subjects is written with: one short call for each field."""

from __future__ import annotations

from typing import Any

from kb.query.catalogue import Field, Kind, Needs
from kb.query.gaps import UNLISTED

# Nothing is not unknown: a way that is known to be empty has no wire, a plain wire no stripe.
EMPTY_WAY = "p@.carries IS ''"
# Two coils make two feeds; where no pole of it is documented, nobody knows how many it has.
FEEDS = (
    "(SELECT nullif(count(*), 0) FROM feed z@ WHERE z@.vehicle = s@.vehicle"
    " AND z@.speaker = s@.speaker AND EXISTS (SELECT 1 FROM pole y@"
    " WHERE y@.vehicle = s@.vehicle AND y@.speaker = s@.speaker))"
)
# A draft was never handed in, nor was one that its author withdrew as a draft.
NEVER_SUBMITTED = (
    "e@.state IN ('draft', 'withdrawn') AND NOT EXISTS"
    " (SELECT 1 FROM record y@ WHERE y@.revision = e@.hash AND y@.act = 'submit')"
)
SUBMITTED = f"iif({NEVER_SUBMITTED}, '', e@.submitted)"
PIN_WIRE = f"iif({EMPTY_WAY}, '', p@.wire)"
PIN_BASE = f"iif({EMPTY_WAY}, '', p@.base)"
PIN_STRIPE = f"iif({EMPTY_WAY} OR p@.wire IS NOT NULL, coalesce(p@.stripe, ''), NULL)"
PIN_MM2 = f"iif({EMPTY_WAY}, '', p@.mm2)"
PIN_AWG = f"iif(p@.mm2 IS NULL AND NOT {EMPTY_WAY}, NULL, coalesce(p@.awg, ''))"


def text(name: str, sql: str, help: str, *joins: str, **more: Any) -> Field:
    return Field(name, Kind.TEXT, sql, help, joins=joins, **more)


def known(name: str, sql: str, help: str, *joins: str, **more: Any) -> Field:
    return Field(name, Kind.TEXT, sql, help, joins=joins, known=True, **more)


def choice(
    name: str, sql: str, choices: tuple[str, ...], help: str, *joins: str, **more: Any
) -> Field:
    return Field(name, Kind.CHOICE, sql, help, joins=joins, choices=choices, **more)


def number(name: str, kind: Kind, sql: str, help: str, *joins: str, **more: Any) -> Field:
    return Field(name, kind, sql, help, joins=joins, **more)


def colour(name: str, sql: str, help: str, *joins: str, **more: Any) -> Field:
    return Field(name, Kind.COLOUR, sql, help, joins=joins, **more)


def pins_of_feed() -> tuple[Field, ...]:
    """Where a speaker's feed leaves its unit: a pole may be on another connector than the other."""
    return (
        _of_feed(
            "connector",
            Kind.TEXT,
            "where its plus leaves that unit; a condition looks at either pole, so with `minus = 1`"
            " write `minus connector = C1`",
            "plus_connector",
            "minus_connector",
        ),
        _of_feed("plus", Kind.TEXT, "way of its plus there", "plus"),
        _of_feed(
            "minus connector",
            Kind.TEXT,
            "where its minus leaves that unit; in the table where it is another for some speaker",
            "minus_connector",
            listed=False,
        ),
        _of_feed("minus", Kind.TEXT, "way of its minus, on its own connector", "minus"),
        _of_feed("plus wire", Kind.COLOUR, "colour on the plus", "plus_wire"),
        _of_feed("minus wire", Kind.COLOUR, "colour on the minus", "minus_wire"),
    )


def _of_feed(name: str, kind: Kind, help: str, *columns: str, listed: bool = True) -> Field:
    """A pin of a speaker's feed, in the first of `columns` that is known.

    A pole may be on several ways of its unit. One is shown, with a kit that of its lead; conditions
    look at all of them, of every feed.
    """
    shown, first = (
        ", ".join(sql.format(c) for c in columns) for sql in ("{{shown f@ {}}}", "g.{}")
    )
    last = ", ".join(f"g.{c}" for c in reversed(columns))
    either = len(columns) > 1
    if either:
        shown, first, last = (f"coalesce({one})" for one in (shown, first, last))
    pole, _, fact = columns[0].partition("_")
    way = {"": "w.at", "wire": "n.wire", "connector": "w.connector"}[fact]
    only = "" if either else f" AND w.pole = '{'+' if pole == 'plus' else '-'}'"
    each = f"feed g{_WAYS}{only}{_WIRE if fact == 'wire' else ''}{_OF_SPEAKER}"
    return Field(
        name,
        kind,
        shown,
        help,
        joins=("feed",),
        tested=f"iif(g.doubled, {way}, {first})",
        also=f"iif(g.doubled, {way}, {last})" if either else "",
        each=each,
        listed=listed,
        order="" if kind is Kind.COLOUR else f"counted({shown})",
    )


_WAYS = (
    " LEFT JOIN pole w ON g.doubled = 1 AND w.vehicle = g.vehicle AND w.speaker = g.speaker"
    " AND w.coil = g.coil AND w.unit = g.unit"
)
_WIRE = " LEFT JOIN pin n ON n.vehicle = w.vehicle AND n.connector = w.connector AND n.at = w.at"
_OF_SPEAKER = " WHERE g.vehicle = s@.vehicle AND g.speaker = s@.speaker"


def counts(needs: Needs) -> tuple[Field, ...]:
    """How many speakers of a vehicle come to each outcome under a kit."""
    made = (
        ("carried", "speakers that the kit carries"),
        ("left out", "speakers that it leaves out"),
        ("partial", "speakers that it holds in part"),
        ("reversed", "speakers whose plus and minus it swaps"),
        ("unknown", "speakers documented too little to say"),
    )
    return tuple(
        number(
            name,
            Kind.NUMBER,
            f"t@.{name.replace(' ', '_')}",
            help,
            "tally",
            needs=needs,
            known=name == "unknown",
            # A speaker whose outcome is unknown, or that nobody listed, may be any of these.
            most=""
            if name == "unknown"
            else f"(t@.{name.replace(' ', '_')} + t@.unknown + {UNLISTED})",
        )
        for name, help in made
    )
