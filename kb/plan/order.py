"""The order of work: what to do at the car, step by step, from this job's data.

Promise: nothing generic that does not apply; panels come off in the order in which the wires need
them and go back in reverse; the battery's negative is off before the first panel and the first
joint, and comes on last; kit's and vehicle's own steps stand at the stage that they name.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from kb.answers.duties import DUTY_WORDS, duties_in_words
from kb.documents.vocabulary import STEP_STAGES
from kb.plan.alternatives import panel_minutes
from kb.plan.cautions import srs_wait_words
from kb.plan.conductors import size_in_words
from kb.plan.facts import judge
from kb.plan.finishing import checks, close_up, gains, listen, power_on
from kb.plan.fitting import fittings_of, minutes_of
from kb.plan.leftovers import CutBack, FitLoad
from kb.plan.metering import metering_steps
from kb.plan.plan import Plan
from kb.plan.reach import Fix, WireWay
from kb.plan.settings import SettingPlan
from kb.plan.speaker_wire import wire_words
from kb.plan.taps import cuts_and_taps, idle_lead
from kb.plan.uses import source_words, sources_of_channel, swapped_leads
from kb.plan.why import number
from kb.plan.wiring import SUPPLY
from kb.query.facts import Fact


@dataclass(frozen=True)
class Step:
    """One thing to do, under the heading of its phase; `caution` is what to mind doing it."""

    phase: str
    do: str
    caution: str | None = None


PHASES = (
    "Before the battery goes off",
    "Battery off",
    "Panels off",
    "Meter at the plugs",
    "At the plugs",
    "Fit speakers",
    "New wire",
    "Amplifier and supply",
    "Switches",
    "Power on",
    "Listen",
    "Gains",
    "Checks",
    "Close up",
)


def steps_of(
    plan: Plan, settings: tuple[SettingPlan, ...], facts: Mapping[str, Fact]
) -> tuple[Step, ...]:
    """All steps in order."""
    own = _own_steps(plan, facts)
    written = (
        (*_before(plan), *own["prepare"], *_park(), *own["before-power-off"]),
        _battery_off(plan),
        (*_panels_off(plan), *own["panels"]),
        metering_steps(plan),
        (*_at_the_plugs(plan), *own["wiring"]),
        _fit(plan),
        _new_wire(plan),
        _amplifier(plan),
        _switches(settings),
        (*power_on(plan), *own["power-on"]),
        listen(plan),
        gains(plan),
        (*checks(plan), *own["checks"]),
        (*own["close-up"], *close_up(plan, panels_in_order(plan))),
    )
    return tuple(
        Step(phase, do, caution)
        for phase, lines in zip(PHASES, written, strict=True)
        for do, caution in lines
    )


_Written = Iterator[tuple[str, str | None]]


def _own_steps(plan: Plan, facts: Mapping[str, Fact]) -> dict[str, list[tuple[str, str | None]]]:
    """The kit's and the vehicle's own steps that apply, by stage; one that names none is done at
    the end."""
    found: dict[str, list[tuple[str, str | None]]] = {stage: [] for stage in STEP_STAGES}
    for content in (plan.papers.kit, plan.papers.vehicle):
        for row in content.get("step", ()):
            judged = judge(row.get("when"), facts)
            if judged.holds is not False:
                when = f" (when {row['when']})" if judged.holds is None else ""
                step = (f"{row['do'].strip().rstrip('.')}{when}", row.get("caution"))
                found[row.get("stage", "close-up")].append(step)
    return found


def panels_in_order(plan: Plan) -> list[str]:
    """The panels as the wires meet them from the amplifier's place outward, then those at ends."""
    found: dict[str, None] = dict.fromkeys(sorted(plan.wiring.task.off_anyway & _at_start(plan)))
    walks = sorted(
        (way for way in plan.reach.ways if way.walk), key=lambda w: w.walk.length if w.walk else 0
    )
    for way in walks:
        found.update(dict.fromkeys(_along(plan, way)))
        found.update(dict.fromkeys(sorted(way.wire.panels)))
    found.update(dict.fromkeys(plan.reach.panels))
    return [panel for panel in found if panel in plan.reach.panels]


def _at_start(plan: Plan) -> frozenset[str]:
    return plan.vehicle.place_panels(plan.wiring.task.start)


def _along(plan: Plan, way: WireWay) -> list[str]:
    found: list[str] = []
    places = way.walk.places if way.walk else ()
    for i in range(len(places) - 1):
        here = plan.vehicle.network.neighbours.get(places[i], ())
        usable = [
            stretch
            for near, stretch in here
            if near == places[i + 1] and stretch.panels <= set(plan.reach.panels)
        ]
        found += sorted(min(usable, key=lambda s: s.length).panels)
    return found


def _before(plan: Plan) -> _Written:
    duties = dict.fromkeys(duty for s in plan.runs.speakers for duty in s.duties or ())
    heard = "".join(f" and {DUTY_WORDS.get(duty, duty)}" for duty in duties)
    yield f"Hear every speaker{heard} as the car came in, and write down what does not work", None
    if any(unit["kind"] == "radio" for unit in plan.vehicle.rows("unit")):
        yield (
            "Write down the radio's presets and settings; have its code at hand if it asks for one",
            "they may go with the battery",
        )


def _park() -> _Written:
    yield (
        "Park, boot open and a window down, ignition off, key away from the car",
        "without a battery what is shut stays shut",
    )


def _battery_off(plan: Plan) -> _Written:
    yield "Battery negative off, and held away from its post", None
    yield f"Wait {srs_wait_words(plan)}", "airbags keep a charge after the battery is off"


def _panels_off(plan: Plan) -> _Written:
    notes = {row["id"]: row.get("note") for row in plan.vehicle.rows("panel")}
    for panel in panels_in_order(plan):
        minutes = panel_minutes(plan.wiring.task, panel)
        time = "minutes unknown" if minutes is None else f"{number(minutes, 1)} min with refitting"
        yield f"{panel} off ({time})", notes.get(panel)
    for fitting in fittings_of(plan):
        for panel in fitting.panels:
            minutes = minutes_of(plan, panel)
            time = "minutes unknown" if minutes is None else f"{number(minutes, 1)} min"
            yield f"{panel} off ({time}, to fit {fitting.speaker})", notes.get(panel)


def _duties_lost_with(plan: Plan, lead: CutBack) -> str | None:
    """What more than music goes with a lead that is cut back: a step must not be ticked for it."""
    for speaker in plan.runs.speakers:
        held = any((grip.part, grip.lead) == (lead.part, lead.lead) for grip in speaker.grips)
        if held and speaker.duties and plan.fates[speaker.speaker] == "lost":
            return f"{duties_in_words(speaker.duties)} would be lost with {speaker.speaker}"
    return None


def _at_the_plugs(plan: Plan) -> _Written:
    vehicle, kit = plan.vehicle, plan.papers.kit
    out = kit["kit"].get("takes_out", ())
    for unit in vehicle.rows("unit"):
        if unit["kind"] in out:
            plugs = [c["id"] for c in vehicle.rows("connector") if c.get("unit") == unit["id"]]
            yield f"Unplug {unit['id']} ({', '.join(plugs)}); it comes out{_at(unit)}", None
    for lead in plan.cut_back:
        do, mind = idle_lead(lead)
        lost = _duties_lost_with(plan, lead)
        yield do, f"FAULT: {lost}; not before that is put right" if lost else mind
    parts = {part["id"]: part for part in kit.get("part", ())}
    for name in plan.runs.path.chosen:
        if name in plan.runs.does_not_plug_in:
            continue
        mates = vehicle.mates_of(parts[name])
        in_line = all("unit" not in vehicle.connectors[mate] for mate in mates)
        how = "into" if not parts[name].get("intercepts") else "between the plug and its unit at"
        if in_line:
            how = "between the halves of in-line plug"
        yield f"Part {name} {how} {', '.join(mates)}", None
    for (part, mark), held in swapped_leads(plan).items():
        names = ", ".join(f"{g.speaker} coil {g.coil}" if g.coil else g.speaker for g in held)
        yield (
            f"Swap plus and minus of lead {mark} of {part} ({names}): the kit has them the other "
            "way round",
            None,
        )
    yield from cuts_and_taps(plan)
    for load in plan.loads:
        yield _fit_load(load), None


def _at(unit: Mapping[str, object]) -> str:
    return f" at {unit['place']}" if unit.get("place") else ""


def _fit_load(load: FitLoad) -> str:
    where = f"{load.unit}, {load.ways}, {load.side}"
    if load.resistor is None:
        return (
            f"Fit a load on {where}: the ohms of {' and '.join(load.speakers)} are unknown, meter "
            "first"
        )
    resistor = load.resistor
    rating = f"{number(resistor.rating)} W" if resistor.rating else "more than 100 W"
    return (
        f"Fit {number(resistor.ohms)} Ω, {rating} across {where}, on metal and clear of trim: it "
        "gets hot"
    )


def _fit(plan: Plan) -> _Written:
    for fitting in fittings_of(plan):
        yield (
            f"{fitting.speaker}: fit the new speaker ({fitting.what}), poles as before, unless it "
            "is in already",
            fitting.mind,
        )


def _new_wire(plan: Plan) -> _Written:
    for wire in plan.speaker_wire:
        yield wire_words(wire), "; ".join(wire.notes) or None
    for fix in plan.reach.fixes:
        if fix.way == "run":
            yield _off_the_factory_pair(plan, fix)
    yield from _supply_run(plan)


def _off_the_factory_pair(plan: Plan, fix: Fix) -> tuple[str, str | None]:
    """What a run asks for at the speaker: the old pair off it, or two outputs meet there."""
    speaker = next(s for s in plan.runs.speakers if s.speaker == fix.speaker)
    stays = speaker.fed_by_kind not in plan.papers.kit["kit"].get("takes_out", ())
    caution = (
        f"{speaker.fed_by or 'a unit'} still drives the factory pair: two outputs on one speaker "
        "destroy each other"
    )
    several = len(fix.wires) > 1
    return (
        f"At {fix.speaker}: disconnect the factory pair{'s' if several else ''} and insulate each "
        f"end; then the new pair{'s' if several else ''} on, plus to plus",
        caution if stays else None,
    )


def _supply_run(plan: Plan) -> _Written:
    supply = plan.supply
    way = next((w for w in plan.reach.ways if w.wire.id == SUPPLY), None)
    if way is None or way.walk is None or supply.metres is None:
        yield "Supply cable: no documented way from the battery; find one and measure it", None
        return
    size = "size unknown" if supply.awg is None else size_in_words(supply.awg)
    yield (
        f"Supply cable, {number(supply.metres)} m of {size} {supply.material}: "
        f"{' → '.join(reversed(way.walk.places))}; not connected yet",
        _notes_along(plan, way),
    )


def _notes_along(plan: Plan, way: WireWay) -> str | None:
    places = way.walk.places if way.walk else ()
    steps = {frozenset(places[i : i + 2]) for i in range(len(places) - 1)}
    notes = [
        row["note"]
        for row in plan.vehicle.rows("route")
        if row.get("note") and frozenset((row["from"], row["to"])) in steps
    ]
    return "; ".join(notes) or None


def _amplifier(plan: Plan) -> _Written:
    supply, head = plan.supply, plan.papers.amplifier["amplifier"]
    size = "" if supply.awg is None else f", {size_in_words(supply.awg)}"
    place = plan.papers.job["job"]["amplifier_place"]
    yield (
        f"Mount the {head['maker']} {head['name']} at {place}, with air around it",
        "look behind before you drill: wiring, brake and fuel lines, tank, airbags",
    )
    yield (
        f"Ground lead, {number(supply.ground_metres)} m{size}, from the amplifier's minus to bare "
        "metal",
        "no seat-belt bolt",
    )
    fuse = "" if supply.fuse_amps is None else f" for {number(supply.fuse_amps)} A"
    yield f"Fuse holder{fuse} at the battery, within 18 in (46 cm); fuse still out", None
    yield (
        "Supply cable to the amplifier's plus and to the holder, the holder to the battery's plus",
        "fuse out and negative off",
    )
    yield from _signal(plan)
    yield (
        "Turn-on lead of the kit to the amplifier's turn-on input",
        plan.turn_on.removeprefix("turn-on: "),
    )
    for channel in plan.channels:
        pairs = "; ".join(
            source_words(source) for source in sources_of_channel(plan, channel.speakers)
        )
        if not pairs:
            names = " and ".join(channel.speakers)
            yield f"Channel {channel.channel}: nothing to connect: no wire comes from {names}", None
            continue
        several = ";" in pairs
        joined = f", joined in {channel.wiring}" if several else ""
        mind = None
        if channel.fault:
            mind = f"FAULT: {channel.fault}; do not connect"
        elif channel.nominal_ohms is None:
            mind = "load unknown: meter its ohms before you connect it"
        yield f"Channel {channel.channel}: {pairs}{joined}", mind


def _signal(plan: Plan) -> _Written:
    for lead in plan.signal:
        if lead.output:
            yield f"Line output {lead.output} to channel {lead.channel}", lead.note
    unknown = [lead for lead in plan.signal if not lead.output]
    if unknown:
        wanted = ", ".join(
            f"{lead.carries or 'by ear'} to channel {lead.channel}" for lead in unknown
        )
        notes = dict.fromkeys(lead.note for lead in unknown if lead.note)
        yield f"Line outputs: {wanted}", "; ".join(notes) or None


def _switches(settings: tuple[SettingPlan, ...]) -> _Written:
    for setting in settings:
        name = f"{setting.id}, {setting.name}" if setting.name else setting.id
        when = f"if {setting.when}: " if setting.applies is None else ""
        yield f"{when}{name} of {setting.of} to {setting.position}", None
