"""What the rows of an answer rest on, and what they have beside what they show.

A speaker may have two feeds, a pole on several ways, hang on two leads, or have its minus on
another connector than its plus: a row shows one of each, and whoever cuts by that row must hear of
the rest. Each is a column that the compiler adds behind those shown, and one sentence here.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

from kb.query.bound import Bound
from kb.query.catalogue import Field
from kb.query.compile_conditions import fields_of
from kb.query.gaps import UNLISTED

MORE_FEEDS, MORE_WAYS, MORE_LEADS = 1, 2, 4
"""Why a row has more than it shows: a second feed; a pole on several ways of its unit; another lead
of the chosen parts that holds something of it."""

_MORE_PINS = (
    f"(SELECT (count(*) > 1) * {MORE_FEEDS} + max(z.doubled) * {MORE_WAYS} FROM feed z"
    " WHERE z.vehicle = s.vehicle AND z.speaker = s.speaker)"
)
_ON_MORE_LEADS = (
    "iif(o.outcome = 'unknown', 0,"
    f" (SELECT (count(DISTINCT z.part || ' ' || z.lead) > 1) * {MORE_LEADS} FROM grip z"
    " WHERE z.vehicle = s.vehicle AND z.path = {path} AND z.speaker = s.speaker))"
)

_SPEAKER = "s.vehicle || ' ' || s.speaker"
"""Which speaker a row is about, where each comes once for each kit."""

OF_LEADS = frozenset({"lead", "lead_connector"})
_SHOW_A_MINUS = frozenset({"connector", "minus", "minus_wire"})
"""Columns that mislead where the minus leaves the unit on another connector, and it is not said."""

MINUS_APART = (
    "iif({shown f@ plus_connector} <> {shown f@ minus_connector}, s@.speaker || ' of ' || v@.id"
    " || ' (' || {shown f@ minus_connector} || ' way ' || {shown f@ minus} || ')', NULL)"
)
_LEAD_APART = (
    "iif(o@.outcome <> 'unknown' AND o@.connector <> {shown f@ plus_connector}"
    " AND o@.connector <> {shown f@ minus_connector}, s@.speaker || ' of ' || v@.id"
    " || ' (lead ' || o@.lead || ' at ' || o@.connector || ')', NULL)"
)


def more_than_shown(fields: Iterable[Field]) -> str:
    """SQL for the bits of what a speaker has beside what these columns show; empty where none of
    them shows one of several."""
    keys = {field.key for field in fields if field.each}
    bits = [_MORE_PINS] if keys - OF_LEADS else []
    bits += [_ON_MORE_LEADS] if keys & OF_LEADS else []
    return " + ".join(bits)


def rests_of_rows(bound: Bound, *, on_tally: bool) -> dict[str, str]:
    """SQL, still without its place, of the columns behind those shown, by the names that `Rests.of`
    knows; each has its price. A kit that is named stands in no row of its own."""
    subject, count = bound.subject, bound.query.count
    made: dict[str, str] = {}
    if subject.of == "vehicle":
        made["vehicle"] = subject.scope
    elif subject.of == "entry":
        made["vehicle"] = "e.revision"
    elif bound.vehicles is not None:
        made["vehicle"] = "v.vehicle"
    if subject.of == "kit":
        made["kit"] = subject.scope
    elif bound.kits is not None and bound.kits.kit is None:
        made["kit"] = "k.kit"
    if on_tally:
        made["unknown"] = f"t.unknown + {UNLISTED}"
    if subject.name != "speakers":
        return made
    shown = frozenset() if count else frozenset(field.key for field in bound.columns)
    more = "" if count else more_than_shown(bound.columns)
    if more:
        made["more"] = more
        if "any kit" in bound.given:
            made["speaker"] = _SPEAKER
    if not _SHOW_A_MINUS.isdisjoint(shown):
        made["minus_apart"] = MINUS_APART
    if "lead" in shown and not shown.isdisjoint({"connector", "plus", "minus"}):
        made["lead_apart"] = _LEAD_APART
    return made


def speakers_with_more(by: Field) -> str:
    """Columns of a count: of how many speakers it counts one feed, way or lead, of several."""
    more = more_than_shown([by])
    return ", ".join(
        f"count(DISTINCT iif(({more}) & {bit}, {_SPEAKER}, NULL))"
        for bit in (MORE_FEEDS, MORE_WAYS, MORE_LEADS)
    )


@dataclass
class Rests:
    """The revisions that rows rest on, and which rows hold more than they show. `minus_apart`: the
    speakers whose minus is on another connector than their plus, each with its way; `lead_apart`:
    those whose lead joins at another connector than the pins that are shown.
    """

    revisions: set[int] = field(default_factory=set)
    rows_with_unknowns: int = 0
    more_feeds: int = 0
    more_ways: int = 0
    more_leads: int = 0
    minus_apart: frozenset[str] = frozenset()
    lead_apart: frozenset[str] = frozenset()

    @classmethod
    def of(cls, names: tuple[str, ...], rows: Sequence[tuple[Any, ...]], at: int = 0) -> Rests:
        """From the columns of all rows, the first of them at `at`; what a speaker has more counts
        once, however often the speaker comes.
        """
        if not names or not rows:
            return cls()
        found = {name: [row[n] for row in rows] for n, name in enumerate(names, start=at)}
        revisions = {*found.get("vehicle", ()), *found.get("kit", ())} - {None}
        whose = found.get("speaker", range(len(rows)))
        more = [of for of in zip(found.get("more", ()), whose, strict=False) if of[0]]
        feeds, ways, leads = (
            len({speaker for bits, speaker in more if bits & bit})
            for bit in (MORE_FEEDS, MORE_WAYS, MORE_LEADS)
        )
        return cls(
            revisions,
            _truths(found.get("unknown", ())),
            feeds,
            ways,
            leads,
            frozenset(found.get("minus_apart", ())) - {None},
            frozenset(found.get("lead_apart", ())) - {None},
        )

    def may_be_met_beside(self, bound: Bound) -> bool:
        """Whether a condition may be met by what a row has beside what it shows."""
        if bound.where is None or bound.subject.name != "speakers":
            return False
        if not any(field.each for field in fields_of(bound.where)):
            return False
        if self.more_feeds or self.more_ways or self.more_leads:
            return True
        # Of a speaker whose lead alone is shown, it was not looked how many feeds it has.
        shown = (bound.by,) if bound.query.count else bound.columns
        keys = {field.key for field in shown if field is not None and field.each}
        return bool(keys) and keys <= OF_LEADS

    def columns_missing(self) -> tuple[str, ...]:
        """Keys of columns that are listed where a row would mislead without them."""
        apart = (("minus_connector", self.minus_apart), ("lead_connector", self.lead_apart))
        return tuple(key for key, speakers in apart if speakers)

    def sentences(self, bound: Bound) -> tuple[str, ...]:
        """Counts of outcomes leave out the speakers that nobody documented, and columns show one
        feed, way and lead: said, where there are such.
        """
        said = []
        told = "counted" if bound.query.count else "shown"
        if self.rows_with_unknowns:
            said.append(_unknown_outcomes(self.rows_with_unknowns))
        if self.minus_apart:
            said.append(
                f"Of {_speakers(self.minus_apart)} the minus is on another connector than the plus "
                f"(column minus connector): {named(sorted(self.minus_apart))}."
            )
        if self.lead_apart:
            said.append(
                f"Of {_speakers(self.lead_apart)} the lead joins in line, not at the connector of "
                f"the pins {told} (column lead connector): {named(sorted(self.lead_apart))}."
            )
        if self.more_feeds:
            of = "1 speaker has" if self.more_feeds == 1 else f"{self.more_feeds} speakers have"
            said.append(
                f"{of} a second feed that is not {told} here (column feeds); "
                "`pins of VEHICLE where any speaker (speaker = NAME)` lists all its pins."
            )
        if self.more_ways:
            shown = "those under its lead, else the first," if bound.kits else "the first"
            said.append(
                f"{_are(self.more_ways)} on more ways than are {told} here ({shown} of each pole), "
                "and a cut must be made on all; `pins of VEHICLE where any speaker (speaker = "
                "NAME)` lists them."
            )
        if self.more_leads:
            said.append(
                f"{_are(self.more_leads)} on more leads than the one {told} here; `loombook runs "
                "VEHICLE --kit KIT` names each with its pins."
            )
        return tuple(said)


def _truths(values: Sequence[int | None]) -> int:
    return len(values) - values.count(0) - values.count(None)


def _are(number: int) -> str:
    return "1 speaker is" if number == 1 else f"{number} speakers are"


def _speakers(apart: frozenset[str]) -> str:
    """How many speakers these are, each once, though it may come with a way for every kit."""
    number = len({way.partition(" (")[0] for way in apart})
    return "1 speaker" if number == 1 else f"{number} speakers"


def _unknown_outcomes(number: int) -> str:
    of = "1 row" if number == 1 else f"{number} rows"
    return (
        f"Unknown is not no: {of} of these {'has' if number == 1 else 'have'} speakers "
        "documented too little to say (column unknown), or sold and not listed; they count "
        "neither as carried nor as left out. `speakers of VEHICLE with KIT where unknown` "
        "lists what to meter."
    )


MOST_NAMED = 3


def named(names: list[str], of: str = "") -> str:
    """The first few names, and how many more."""
    more = f" and {len(names) - MOST_NAMED} more{of}" if len(names) > MOST_NAMED else ""
    return ", ".join(names[:MOST_NAMED]) + more
