"""What is cut and joined by hand at the factory's plugs: taps, and outputs that a lead leaves on.

Promise: every way of each pole is named, for an output that is cut off on one of two still drives
the wire. It stands apart from the order of work because here a way forgotten destroys two outputs.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from kb.answers.factory_cuts import FactoryCut
from kb.answers.fixes import Joint
from kb.answers.pole_ways import PoleWay, ways_in_words
from kb.plan.plan import Plan
from kb.plan.reach import Fix


def cuts_and_taps(plan: Plan) -> Iterator[tuple[str, str | None]]:
    """Each thing to do with what to mind; the cuts first."""
    for cut in plan.factory_cuts:
        yield _factory_cut(cut)
    for fix in plan.reach.fixes:
        if fix.way == "tap":
            yield _tap(plan, fix)


def _tap(plan: Plan, fix: Fix) -> tuple[str, str | None]:
    known = plan.wiring.known[fix]
    unit = plan.vehicle.connectors[known.connector or ""].get("unit")
    out = plan.papers.kit["kit"].get("takes_out", ())
    gone = unit is not None and plan.vehicle.units.get(unit, {}).get("kind") in out
    joints = "; ".join(_joint(joint) for joint in known.joints)
    where = "on every way named" if known.also else "here"
    caution = (
        None
        if gone
        else f"cut the factory output off {where} first: two outputs destroy each other"
    )
    return f"Tap {fix.speaker} at {' and '.join(known.connectors)}: {joints}", caution


def _joint(joint: Joint) -> str:
    coil = f"coil {joint.coil} " if joint.coil else ""
    plus, minus = joint.plus_wire or "colour unknown", joint.minus_wire or "colour unknown"
    apart = len(joint.connectors) > 1
    plus_at = f"{joint.connector} " if apart else ""
    minus_at = f"{joint.minus_connector} " if apart else ""
    return (
        f"{coil}+ {plus_at}way {joint.plus} ({plus}){_also(joint.plus_also)}, "
        f"- {minus_at}way {joint.minus} ({minus}){_also(joint.minus_also)}"
    )


def _also(ways: Iterable[PoleWay]) -> str:
    """Further ways of the pole: ` and V1 way 18 (OG/YE)`."""
    return "".join(
        f" and {way.connector} way {way.at} ({way.wire or 'colour unknown'})" for way in ways
    )


def _factory_cut(cut: FactoryCut) -> tuple[str, str | None]:
    leads = " and ".join(f"lead {lead} of {part}" for part, lead in cut.leads)
    along = (
        f"; it takes {' and '.join(cut.takes_along)} off the output too" if cut.takes_along else ""
    )
    return (
        f"Cut {cut.unit}'s output off {ways_in_words(cut.ways)} and insulate both ends: "
        f"{cut.speaker} is on {'it' if len(cut.ways) == 1 else 'them'} too, and {leads} "
        f"leave{'' if len(cut.leads) > 1 else 's'} it joined there",
        f"two outputs destroy each other{along}",
    )
