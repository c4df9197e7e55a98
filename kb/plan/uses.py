"""Who uses which way of which connector, and which wires come to which channel.

It stands alone because the drawings of faces and the order of work must name the same leads.
"""

from __future__ import annotations

from dataclasses import dataclass

from kb.answers.factory_cuts import FactoryCut
from kb.answers.fixes import Joint
from kb.answers.grips import Grip
from kb.documents.colours import read_colour
from kb.plan.plan import Plan
from kb.plan.reach import WireWay


@dataclass(frozen=True)
class Use:
    """What the job does with one way: the lead that lands there, or a tap; pole is + or -."""

    mark: str
    pole: str


@dataclass(frozen=True)
class Source:
    """One pair of wires for a channel: what it is (`lead A of main`), its colour, its speakers."""

    name: str
    wire: str | None
    speakers: tuple[str, ...]


TAP = "T"
"""The mark of a tap in the drawing of a face; with a number where there are several."""
CUT = "cut"
"""The mark of a way on which the factory output is cut off; alone, where nothing is joined."""
MAYBE_CUT = "cut?"
"""The same, if the part there does not open the wire: nobody recorded it."""


def ways_in_use(plan: Plan) -> dict[str, dict[str, Use]]:
    """The connectors with ways that this job uses, and each such way's use."""
    found: dict[str, dict[str, Use]] = {}
    pulled = {way.wire.id for way in plan.reach.ways}
    for part in plan.papers.kit.get("part", ()):
        for lead in part.get("leads", ()):
            if f"lead {part['id']}.{lead['lead']}" not in pulled:
                continue
            for connector in plan.vehicle.mates_of(part):
                if plan.vehicle.connectors[connector]["plug"] == lead["plug"]:
                    uses = found.setdefault(connector, {})
                    uses[str(lead["plus"])] = Use(str(lead["lead"]), "+")
                    uses[str(lead["minus"])] = Use(str(lead["lead"]), "-")
    tapped: dict[tuple[str, str, str], list[str]] = {}
    for _, joint, mark in marked_taps(plan):
        ends = [(joint.connector, joint.plus, "+"), (joint.minus_connector, joint.minus, "-")]
        for end in (*ends, *((way.connector, way.at, way.pole) for way in joint.also)):
            marks = tapped.setdefault(end, [])
            marks += [mark] if mark not in marks else []
    for (connector, at, pole), marks in tapped.items():
        found.setdefault(connector, {})[at] = Use(" ".join(marks), pole)
    _mark_cuts(plan, found)
    return found


def _mark_cuts(plan: Plan, found: dict[str, dict[str, Use]]) -> None:
    """A lead that does not open its way bears the cut beside its own mark."""
    for cut in plan.factory_cuts:
        for way in cut.ways:
            uses = found.setdefault(way.connector, {})
            here = uses.get(way.at)
            if here is None:
                uses[way.at] = Use(cut_mark(cut), way.pole)
            elif cut.reason != "further ways" and CUT not in here.mark:
                uses[way.at] = Use(f"{here.mark} {cut_mark(cut)}", here.pole)


def cut_mark(cut: FactoryCut) -> str:
    """What its ways bear on a face."""
    return MAYBE_CUT if cut.reason == "may listen" else CUT


def marked_taps(plan: Plan) -> list[tuple[str, Joint, str]]:
    """Every feed that is tapped: its speaker, where, and its mark: `T`, or `T1`, `T2` of several.

    Two of them differ, because a plus and a minus of two speakers look like a pair; those of
    speakers that hang on the same two ways do not.
    """
    joints = [
        (fix.speaker, joint)
        for fix in plan.reach.fixes
        if fix.way == "tap"
        for joint in plan.wiring.known[fix].joints
    ]
    ends = [(j.connector, j.plus, j.minus_connector, j.minus) for _, j in joints]
    apart = list(dict.fromkeys(ends))
    return [
        (speaker, joint, TAP if len(apart) == 1 else f"{TAP}{apart.index(end) + 1}")
        for (speaker, joint), end in zip(joints, ends, strict=True)
    ]


def swapped_leads(plan: Plan) -> dict[tuple[str, str], list[Grip]]:
    """By part and lead, the holds of leads in use that have plus and minus the wrong way round."""
    idle = {(lead.part, lead.lead) for lead in plan.cut_back}
    found: dict[tuple[str, str], list[Grip]] = {}
    for speaker in plan.runs.speakers:
        for feed in speaker.feeds if speaker.speaker in plan.reversed else ():
            if feed.swapped and feed.grip and (feed.grip.part, feed.grip.lead) not in idle:
                found.setdefault((feed.grip.part, feed.grip.lead), []).append(feed.grip)
    return found


def sources(plan: Plan) -> tuple[Source, ...]:
    """Every pair of wires that comes to the amplifier, in the order of the plan."""
    colours = {
        f"lead {part['id']}.{lead['lead']}": (f"lead {lead['lead']} of {part['id']}", lead)
        for part in plan.papers.kit.get("part", ())
        for lead in part.get("leads", ())
    }
    scheme = plan.papers.kit.get("colours", "iec")
    found = []
    for way in _pair_ways(plan):
        ends = plan.wiring.on_wire.get(way.wire.id, ())
        names = tuple(f"{name} coil {coil}" if coil else name for name, coil in ends)
        if way.wire.id in colours:
            name, lead = colours[way.wire.id]
            wire = lead.get("wire")
            code = None if wire is None else read_colour(wire, scheme).code
            found.append(Source(name, code, names))
        else:
            found.append(Source(way.wire.kind, None, names))
    return tuple(found)


def _pair_ways(plan: Plan) -> list[WireWay]:
    """The ways of whole pairs: neither the supply's nor those of a tap's second pole."""
    return [way for way in plan.reach.ways if way.wire.kind not in ("supply", "tail")]


def sources_of_channel(plan: Plan, speakers: tuple[str, ...]) -> tuple[Source, ...]:
    """The pairs of wires that a channel's speakers hang on."""
    wanted = set(speakers)
    ends = {
        index: {name for name, _ in plan.wiring.on_wire.get(way.wire.id, ())}
        for index, way in enumerate(_pair_ways(plan))
    }
    return tuple(s for i, s in enumerate(sources(plan)) if ends[i] & wanted)


def source_words(source: Source) -> str:
    """`lead A of main, WH: door-fl, sail-l`."""
    colour = f", {source.wire}" if source.wire else ""
    return f"{source.name}{colour}: {', '.join(source.speakers)}"
