"""What each way of a face must say on the sheet, and what the sheet's marks stand for.

A way may have to say several things at once, and none may hide another: a lead to cut back whose
way may be live burns whoever reads only the first. It stands alone because this is about the plan,
and how it is drawn (`sheet_face`) is not.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence

from kb.answers.cautions import SUPPLIES
from kb.answers.face import Face
from kb.answers.factory_cuts import Reason
from kb.answers.fixes import Joint
from kb.plan.plan import Plan
from kb.plan.uses import CUT, cut_mark, marked_taps, sources, swapped_leads

Words = Mapping[str, tuple[str, ...]]
"""By way, everything that it must say, the gravest first."""

LIVE, MAYBE_LIVE, CUT_BACK, JOIN, RIVAL = "live", "live?", "cut", "join", "rival"
SWAP = "swap"

_LEGEND = {
    LIVE: "the car's own supply, keep off",
    MAYBE_LIVE: "may be live, nobody knows what its wire carries",
    CUT_BACK: "a lead of the kit to cut back, not the car's wire",
    JOIN: "a lead of the kit that opens the car's wire here, or may: its two sides through again",
    SWAP: "a lead in use that has plus and minus swapped: turn them round at the amplifier",
    RIVAL: "another revision of this entry has this way otherwise, take it as live until metered",
}

_CUT_MEANS: Mapping[Reason, str] = {
    "listens": "cut the factory output off here, its lead only listens",
    "may listen": "cut the factory output off here if its lead only listens, nobody recorded it",
    "further ways": "cut the factory output off here too",
}


def way_words(plan: Plan, face: Face, used: Collection[str], placed: Collection[str]) -> Words:
    """What the ways of a face must say beside their use: live, cut back, swapped, disputed.

    A way of which nothing is written is perhaps live where the job lands on it; where not, its
    dashes say so. `placed` are the ways that the face draws.
    """
    cut: dict[str, list[str]] = {}
    for lead in plan.cut_back:
        for at in (lead.plus, lead.minus) if lead.connector == face.connector else ():
            if lead.why != "no such way" or at in placed:
                word = JOIN if lead.opened and at in lead.opened.ways else CUT_BACK
                cut.setdefault(at, []).append(f"{word} {lead.lead}")
    swapped: dict[str, list[str]] = {}
    for (_, name), held in swapped_leads(plan).items():
        for connector, at in dict.fromkeys(spot for grip in held for spot in grip.spots):
            if connector == face.connector:
                swapped.setdefault(at, []).append(f"{SWAP} {name}")
    written = {pin.at for pin in face.pins}
    live = {pin.at for pin in face.carrying if not set(SUPPLIES).isdisjoint(pin.circuits or ())}
    maybe = {pin.at for pin in face.untold} | ({*used, *cut} - written)
    return {
        at: (
            *((LIVE,) if at in live else (MAYBE_LIVE,) if at in maybe else ()),
            *cut.get(at, ()),
            *swapped.get(at, ()),
            *((RIVAL,) if at in face.disputed else ()),
        )
        for at in live | maybe | {*cut, *swapped} | face.disputed
    }


def legend(plan: Plan, words: Collection[Words]) -> Iterator[tuple[str, str]]:
    """Each word that some face says, and what it means; the marks of cuts in the car's own wire
    too, for the word of a lead to cut back is much like them."""
    said = {word.split()[0] for ways in words for told in ways.values() for word in told}
    yield from ((word, meaning) for word, meaning in _LEGEND.items() if word in said)
    if plan.factory_cuts:
        yield f"{CUT}+ {CUT}-", "the car's own wire, cut off its factory output"


def marks_stand_for(plan: Plan, connector: str) -> Sequence[str]:
    """What each mark in a face stands for: `A of main: door-fl, sail-l`."""
    said = []
    parts = {part["id"]: part for part in plan.papers.kit.get("part", ())}
    swapped = swapped_leads(plan)
    for source in sources(plan):
        name, _, part = source.name.removeprefix("lead ").partition(" of ")
        if source.name.startswith("lead ") and connector in plan.vehicle.mates_of(parts[part]):
            leads = {str(row["lead"]): row for row in parts[part]["leads"]}
            if leads[name]["plug"] == plan.vehicle.connectors[connector]["plug"]:
                wrong = ", SWAPPED" if (part, name) in swapped else ""
                said.append(f"{name} of {part}: {', '.join(source.speakers)}{wrong}")
    said += [
        f"{mark}: tap for {_fed(speaker, joint)}{_off_the_output(plan, joint, connector)}"
        for speaker, joint, mark in marked_taps(plan)
        if connector in {*joint.connectors, *(way.connector for way in joint.also)}
    ]
    said += [
        f"{cut_mark(cut)}: {cut.speaker}, {_CUT_MEANS[cut.reason]}"
        for cut in plan.factory_cuts
        if any(way.connector == connector for way in cut.ways)
    ]
    return said


def _fed(speaker: str, joint: Joint) -> str:
    return f"{speaker} coil {joint.coil}" if joint.coil else speaker


def _off_the_output(plan: Plan, joint: Joint, connector: str) -> str:
    if _is_out(plan, connector):
        return ", any one way of each pole" if joint.also else ""
    if joint.also:
        return ", cut the factory output off all its ways, join one of each pole"
    return ", cut off the factory output"


def _is_out(plan: Plan, connector: str) -> bool:
    """Whether the connector's unit comes out, so that nothing drives its wires any more."""
    unit = plan.vehicle.connectors[connector].get("unit")
    kind = plan.vehicle.units.get(unit or "", {}).get("kind")
    return kind in plan.papers.kit["kit"].get("takes_out", ())
