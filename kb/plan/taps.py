"""What is cut and joined by hand at the plugs: taps, outputs that a lead leaves on, idle leads.

Promise: every way of each pole is named, for an output that is cut off on one of two still drives
the wire. It stands apart from the order of work because here a way forgotten destroys two outputs,
or leaves a circuit of the car dead.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator

from kb.answers.factory_cuts import FactoryCut
from kb.answers.fixes import Joint
from kb.answers.pole_ways import PoleWay, ways_in_words
from kb.plan.leftovers import CutBack
from kb.plan.plan import Plan
from kb.plan.reach import Fix


def idle_lead(lead: CutBack) -> tuple[str, str | None]:
    """What becomes of a lead that nothing plays on, with what to mind."""
    name, opened = f"lead {lead.lead} of {lead.part}", lead.opened
    if opened is None:
        colour = f", {lead.wire}" if lead.wire else ""
        return f"Cut back and insulate {name}{colour} ({lead.why})", lead.care
    name += f" ({lead.wire})" if lead.wire else ""
    ways = f"way{'s' if len(lead.rest) > 1 else ''} {' and '.join(lead.rest)}"
    rest = f"; cut back and insulate its {ways} ({lead.why})" if lead.rest else ""
    if opened.sure:
        do = f"Join the two sides of {name} through again, {opened.through}, insulated"
        return f"{do}{rest}", lead.care
    at = f"{opened.connector} way{'s' if len(opened.ways) > 1 else ''} {' and '.join(opened.ways)}"
    return (
        f"Look whether part {lead.part} opens the wires at {at}, for nobody recorded it: if it "
        f"does, join the two sides of {name} through again, {opened.through}, insulated{rest}; if "
        "it only listens, cut all of it back and insulate it",
        lead.care,
    )


def cuts_and_taps(plan: Plan) -> Iterator[tuple[str, str | None]]:
    """Each thing to do with what to mind; the cuts first."""
    at_once: dict[tuple[object, ...], list[FactoryCut]] = {}
    for cut in plan.factory_cuts:
        spots = frozenset(way.spot for way in cut.ways)
        at_once.setdefault((spots, cut.leads, cut.reason), []).append(cut)
    for cuts in at_once.values():
        yield _factory_cut(cuts[0], [cut.speaker for cut in cuts])
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


def _factory_cut(cut: FactoryCut, speakers: Collection[str]) -> tuple[str, str | None]:
    """`speakers` are all that this one cut is made for."""
    leads = " and ".join(f"lead {lead} of {part}" for part, lead in cut.leads)
    others = [name for name in cut.takes_along if name not in speakers]
    along = f"; it takes {' and '.join(others)} off the output too" if others else ""
    ways, side = ways_in_words(cut.ways), f"on {cut.unit}'s side of {leads}"
    several, those = len(cut.ways) > 1, ", ".join(speakers)
    if cut.reason == "listens":
        do = (
            f"Cut {cut.unit}'s output off {ways}, {side}, and insulate both ends "
            f"({those}): {cut.part} only listens"
        )
    elif cut.reason == "may listen":
        do = (
            f"Look whether part {cut.part} opens the wire{'s' if several else ''} at {ways} "
            f"({those}), for nobody recorded it; if it only listens, cut {cut.unit}'s "
            f"output off there, {side}, and insulate both ends"
        )
    else:
        do = (
            f"Cut {cut.unit}'s output off {ways} and insulate both ends: {' and '.join(speakers)} "
            f"{'is' if len(speakers) == 1 else 'are'} on {'them' if several else 'it'} too, and "
            f"{leads} leave{'' if len(cut.leads) > 1 else 's'} it joined there"
        )
    return do, f"two outputs destroy each other{along}"
