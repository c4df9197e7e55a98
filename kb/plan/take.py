"""What to take to the car: parts, cable and tools that this job needs, and no more.

It stands alone because it is read in the store room, before all else.
"""

from __future__ import annotations

from collections import Counter

from kb.plan.conductors import size_in_words
from kb.plan.fitting import fittings_of
from kb.plan.plan import Plan
from kb.plan.why import number


def take_of(plan: Plan) -> tuple[str, ...]:
    """The list, what is bought first, then what measures."""
    papers = plan.papers
    amplifier = papers.amplifier["amplifier"]
    parts = [part for part in plan.runs.path.chosen if part not in plan.runs.does_not_plug_in]
    return (
        f"{plan.runs.kit_title}: {', '.join(parts) or 'the module'}",
        f"{amplifier['maker']} {amplifier['name']} amplifier, screws for it",
        *(
            f"speaker for {f.speaker} ({f.what}), unless it is in already"
            for f in fittings_of(plan)
        ),
        *_supply(plan),
        *_speaker_wire(plan),
        *_resistors(plan),
        *(_signal(plan)),
        *_tools(plan),
    )


def _supply(plan: Plan) -> list[str]:
    supply = plan.supply
    found = []
    if supply.awg is None or supply.metres is None:
        length = "length" if supply.metres is None else ""
        unknown = " and ".join(filter(None, ("" if supply.awg is not None else "size", length)))
        size = "" if supply.awg is None else f"{size_in_words(supply.awg)} "
        found.append(f"{size}{supply.material} cable for supply and ground, {unknown} unknown")
    else:
        metres = supply.metres + supply.ground_metres
        size = size_in_words(supply.awg)
        found.append(
            f"{number(metres)} m of {size} {supply.material} cable ({number(supply.metres)} m "
            f"supply, {number(supply.ground_metres)} m ground), plus slack"
        )
    if supply.fuse_amps is not None:
        found.append(f"fuse holder and {number(supply.fuse_amps)} A fuse, grommet, terminals")
    return found


def _speaker_wire(plan: Plan) -> list[str]:
    by_size: Counter[int] = Counter()
    for wire in plan.speaker_wire:
        if wire.awg is not None and wire.metres is not None:
            by_size[wire.awg] += round(wire.metres * 1000)
    found = [
        f"{number(mm / 1000)} m of {awg} AWG speaker pair, plus slack"
        if mm
        else f"a tail of {awg} AWG speaker pair"
        for awg, mm in sorted(by_size.items())
    ]
    for wire in plan.speaker_wire:
        if wire.awg is None:
            length = "length and" if wire.metres is None else f"{number(wire.metres)} m,"
            found.append(f"speaker pair for {', '.join(wire.speakers)}, {length} size unknown")
    return found


def _resistors(plan: Plan) -> list[str]:
    counted = Counter(load.resistor for load in plan.loads if load.resistor)
    return [
        f"{count} × {number(resistor.ohms)} Ω "
        + (f"{number(resistor.rating)} W" if resistor.rating else "over 100 W")
        + " resistor for a load"
        for resistor, count in counted.items()
    ]


def _signal(plan: Plan) -> list[str]:
    if not plan.signal:
        return []
    length = "length to be measured"
    if plan.signal_metres is not None:
        length = f"{number(plan.signal_metres)} m" if plan.signal_metres else "short"
    leads = [f"{len(plan.signal)} line lead{'s' if len(plan.signal) > 1 else ''}, {length} each"]
    split = _y_leads(plan)
    return (
        [*leads, f"{split} Y lead{'' if split == 1 else 's'} for line outputs"] if split else leads
    )


def _y_leads(plan: Plan) -> int:
    """How many times an output is split: as routed, and no fewer than the outputs fall short."""
    outputs = plan.papers.kit["kit"].get("line_outputs")
    short = 0 if outputs is None else max(0, len(plan.signal) - outputs)
    return max(short, sum(lead.shared for lead in plan.signal))


def _tools(plan: Plan) -> list[str]:
    tools = ["multimeter that reads true AC volts", "test tones: a sine for the gains"]
    if plan.reach.taps:
        tools.append("joints and insulation for the taps")
    through = sum(lead.opened is not None for lead in plan.cut_back)
    if len(plan.cut_back) > through:
        tools.append(_insulation(len(plan.cut_back) - through))
    if through:
        leads = "the lead that is" if through == 1 else f"{through} leads that are"
        tools.append(f"joints and insulation for {leads} joined through again")
    return tools


def _insulation(leads: int) -> str:
    if leads == 1:
        return "insulation for the lead that is cut back"
    return f"insulation for {leads} leads that are cut back"
