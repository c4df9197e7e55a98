"""Leads that another live revision of a kit tells otherwise, where an answer rests on them.

An outcome rests on which ways a lead is on as much as on what these ways carry. Here too the very
condition is asked of the rival's leads; of outcomes, the leads are told that could join somewhere
in the scope. Nothing of it is stored, so that no book has to be made anew: kits are few and small,
and it is worked out only where one has a rival.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass, replace

from kb.answers.path import as_named
from kb.answers.rival_leads import Lead, rival_kits, told_otherwise, units_taken_out
from kb.query.bound import Both, Bound, BoundCondition, Kits, Missing, Negated, Parts, Test
from kb.query.catalogue import Field
from kb.query.compile import FROM_OUTCOMES, Compiler
from kb.query.compile_conditions import conjuncts

_FACTS = frozenset({"plug", "plus", "minus", "wire"})
"""Fields of a lead that two revisions may tell otherwise; `idle` and `why` follow from them."""


@dataclass(frozen=True)
class DisputedLeads:
    """By the kit's id; `hangs`: for them, rows may have been left out."""

    leads: dict[str, frozenset[Lead]]
    taken_out: tuple[str, ...]
    hangs: bool


def disputed_leads(
    connection: sqlite3.Connection, bound: Bound, revisions: set[int]
) -> DisputedLeads:
    """What to tell of an answer whose rows rest on these revisions."""
    hangs = bound.where is not None and _hangs_on_leads(bound, bound.where)
    effects = ("speakers", "effect") in _asked(bound.where, bound.subject.name) or any(
        field.key == "effect" for field in bound.fields_shown()
    )
    told: dict[str, set[Lead]] = {}
    taken_out: set[str] = set()
    if hangs or any(_rests_on_leads(bound, field) for field in bound.fields_shown()):
        for kit, id, rival in _rivals(connection, bound):
            if not hangs and bound.subject.name != "leads" and kit not in revisions:
                continue
            found = _told(connection, bound, kit, rival)
            if found:
                told.setdefault(id, set()).update(found)
            if effects and units_taken_out(connection, kit) != units_taken_out(connection, rival):
                taken_out.add(id)
    leads = {id: frozenset(found) for id, found in told.items()}
    return DisputedLeads(leads, tuple(sorted(taken_out)), hangs)


def _rivals(connection: sqlite3.Connection, bound: Bound) -> list[tuple[int, str, int]]:
    """The kits that are asked about (number, id), each beside its rivals."""
    found = rival_kits(connection, newest=bound.newest)
    asked = None if bound.subject.of != "kit" else bound.scope
    if bound.kits is not None and bound.kits.kit is not None:
        asked = (bound.kits.kit,)
    return [(one.kit, one.id, one.rival) for one in found if asked is None or one.kit in asked]


def _told(connection: sqlite3.Connection, bound: Bound, kit: int, rival: int) -> set[Lead]:
    """The leads of one kit to tell of, of those that the rival has otherwise or not at all."""
    asks_of_wires = ("leads", "wire") in _asked(bound.where, bound.subject.name)
    of_wires = bound.subject.name == "leads" or asks_of_wires
    otherwise = told_otherwise(connection, kit, rival, of_wires=of_wires, untold=asks_of_wires)
    if not otherwise:
        return set()
    if bound.subject.name == "leads":
        mine, theirs = _of_kit(connection, bound, kit, kit), _of_kit(connection, bound, kit, rival)
        found = _leads_met(connection, mine)
        # Where the first rows are the same whatever a lead is on, the rival's are these too.
        if bound.first is None or (bound.where is not None and _hangs_on_leads(bound, bound.where)):
            found |= _leads_met(connection, theirs)
        return found & otherwise.keys()
    if bound.kits is None:  # kits by what their leads are on
        both = (replace(bound, scope=(one,)) for one in (kit, rival))
        return set(otherwise) if any(_meets(connection, one) for one in both) else set()
    paths = {*_path(connection, bound, kit, kit), *_path(connection, bound, kit, rival)}
    joined = {lead: plugs for lead, plugs in otherwise.items() if lead[0] in paths}
    plugs = {plug for found in joined.values() for plug in found}
    return set(joined) if plugs and _joins(connection, bound, kit, plugs) else set()


def _of_kit(connection: sqlite3.Connection, bound: Bound, kit: int, revision: int) -> Bound:
    """A question about leads, asked of one revision of one kit."""
    if bound.kits is None:
        return replace(bound, scope=(revision,))
    kits = Kits(revision, _path(connection, bound, kit, revision))
    return replace(bound, scope=(revision,), kits=kits)


def _path(connection: sqlite3.Connection, bound: Bound, kit: int, revision: int) -> tuple[str, ...]:
    """The parts in use, of the revision that answers or of a rival: those that it always uses, and
    the choice that the question names.
    """
    named: tuple[str, ...] = ()
    if bound.kits is not None and bound.kits.kit is not None:
        named = as_named(connection, kit, bound.kits.parts)[1]
    rows = connection.execute("SELECT part, use FROM part WHERE kit = ?", (revision,))
    return tuple(part for part, use in rows if use == "always" or part in named)


def _leads_met(connection: sqlite3.Connection, bound: Bound) -> set[Lead]:
    """The leads that meet the condition, or may."""
    compiler = Compiler(bound)
    fields = [order.field for order in bound.order if order.field is not None]
    source = compiler.source(fields, bound.where)
    limited = bound.first is not None and not bound.query.count
    if limited and not (bound.where is not None and _hangs_on_leads(bound, bound.where)):
        source += f"\nORDER BY {compiler.order()} LIMIT {bound.first:d}"
    made = compiler.statement(f"SELECT l.part, l.lead\n{source}")
    return {(part, lead) for part, lead in connection.execute(made.sql, made.parameters)}


def _meets(connection: sqlite3.Connection, bound: Bound, *also: str) -> bool:
    """Whether any row meets the condition, or may, and this SQL besides."""
    compiler = Compiler(bound)
    source = compiler.source([], bound.where, also=also)
    made = compiler.statement(f"SELECT 1\n{source}\nLIMIT 1")
    return connection.execute(made.sql, made.parameters).fetchone() is not None


def _joins(connection: sqlite3.Connection, bound: Bound, kit: int, plugs: set[str]) -> bool:
    """Whether any row of the scope, whatever comes of it, is of a vehicle with one of the plugs."""
    sure = tuple(part for part in conjuncts(bound.where) if not _hangs_on_leads(bound, part))
    where = Both(sure, sure[0].source) if sure else None
    if bound.subject.of == "kit":
        bound = replace(bound, scope=(kit,))
    listed = ", ".join("'" + plug.replace("'", "''") + "'" for plug in sorted(plugs))
    also = [
        f"EXISTS (SELECT 1 FROM connector z WHERE z.vehicle = v.vehicle AND z.plug IN ({listed}))",
        *([f"k.kit = {kit:d}"] if "any kit" in bound.given else ()),
    ]
    return _meets(connection, replace(bound, where=where), *also)


def _rests_on_leads(bound: Bound, field: Field) -> bool:
    if bound.subject.name == "leads" and field.key in _FACTS:
        return True
    return field.key == "fits" or not FROM_OUTCOMES.isdisjoint(field.joins)


def _hangs_on_leads(bound: Bound, condition: BoundCondition) -> bool:
    """Whether what a lead is on may decide the condition."""
    if isinstance(condition, Test | Missing):
        return _rests_on_leads(bound, condition.field)
    if isinstance(condition, Negated):
        return _hangs_on_leads(bound, condition.inner)
    if isinstance(condition, Parts):
        if condition.subject.name == "leads":
            return True
        return condition.inner is not None and _hangs_on_leads(bound, condition.inner)
    return any(_hangs_on_leads(bound, part) for part in condition.parts)


def _asked(condition: BoundCondition | None, subject: str) -> Iterator[tuple[str, str]]:
    """What a condition asks about at any depth: the subject and the key of each field."""
    if condition is None:
        return
    if isinstance(condition, Test | Missing):
        yield subject, condition.field.key
    elif isinstance(condition, Negated):
        yield from _asked(condition.inner, subject)
    elif isinstance(condition, Parts):
        yield from _asked(condition.inner, condition.subject.name)
    else:
        for part in condition.parts:
            yield from _asked(part, subject)
