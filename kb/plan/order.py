"""The order of work: what to do at the car, step by step, from this job's data.

Promise: nothing generic that does not apply; panels come off in the order in which the wires need
them and go back in reverse; the battery's negative goes off first and on last.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from kb.answers.cautions import DUTY_WORDS
from kb.answers.fixes import Joint
from kb.plan.alternatives import panel_minutes
from kb.plan.cautions import srs_wait_words
from kb.plan.conductors import size_in_words
from kb.plan.facts import judge
from kb.plan.plan import Plan
from kb.plan.reach import Fix, WireWay
from kb.plan.settings import SettingPlan
from kb.plan.speaker_wire import SpeakerWire
from kb.plan.uses import source_words, sources_of_channel
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
    "At the plugs",
    "New wire",
    "Amplifier and supply",
    "Switches",
    "Power on",
    "Listen",
    "Gains",
    "Close up",
)


def steps_of(
    plan: Plan, settings: tuple[SettingPlan, ...], facts: Mapping[str, Fact]
) -> tuple[Step, ...]:
    """All steps in order."""
    written = (
        _before(plan),
        _battery_off(plan),
        _panels_off(plan),
        _at_the_plugs(plan),
        _new_wire(plan),
        _amplifier(plan),
        _switches(settings),
        _power_on(plan),
        _listen(plan),
        _gains(plan),
        _close_up(plan, facts),
    )
    return tuple(
        Step(phase, do, caution)
        for phase, lines in zip(PHASES, written, strict=True)
        for do, caution in lines
    )


_Written = Iterator[tuple[str, str | None]]


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
    duties = dict.fromkeys(duty for s in plan.runs.speakers for duty in s.duties)
    heard = "".join(f" and {DUTY_WORDS.get(duty, duty)}" for duty in duties)
    yield f"Hear every speaker{heard} as the car came in, and write down what does not work", None
    for speaker in plan.runs.speakers:
        if speaker.speaker in plan.wiring.not_planned:
            yield f"Meter {speaker.speaker}: {speaker.to_meter or 'its feed'} is unknown", None
    for speaker in plan.runs.speakers:
        if speaker.disputed:
            yield f"Meter {speaker.speaker}'s pins: two entries disagree on them", None
    if plan.papers.state != "verified":
        yield (
            "Meter each feed below before cutting it: this plan rests on entries that nobody "
            "verified",
            None,
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


def _at_the_plugs(plan: Plan) -> _Written:
    vehicle, kit = plan.vehicle, plan.papers.kit
    out = kit["kit"].get("takes_out", ())
    for unit in vehicle.rows("unit"):
        if unit["kind"] in out:
            plugs = [c["id"] for c in vehicle.rows("connector") if c.get("unit") == unit["id"]]
            yield f"Unplug {unit['id']} ({', '.join(plugs)}); it comes out{_at(unit)}", None
    for lead in plan.cut_back:
        colour = f", {lead.wire}" if lead.wire else ""
        yield (
            f"Cut back and insulate lead {lead.lead} of {lead.part}{colour} ({lead.why})",
            None,
        )
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
    for speaker in plan.runs.speakers:
        if speaker.speaker in plan.reversed:
            yield (
                f"Swap plus and minus of lead {speaker.lead} of {speaker.part} "
                f"({speaker.speaker}): the kit has them the other way round",
                None,
            )
    for fix in plan.reach.fixes:
        if fix.way == "tap":
            yield from _tap(plan, fix)
    for load in plan.loads:
        yield _fit_load(load.unit, load.connector, load.plus, load.minus, load), None


def _at(unit: Mapping[str, object]) -> str:
    return f" at {unit['place']}" if unit.get("place") else ""


def _tap(plan: Plan, fix: Fix) -> _Written:
    known = plan.wiring.known[fix]
    unit = plan.vehicle.connectors[known.connector or ""].get("unit")
    out = plan.papers.kit["kit"].get("takes_out", ())
    gone = unit is not None and plan.vehicle.units.get(unit, {}).get("kind") in out
    joints = "; ".join(_joint(joint) for joint in known.joints)
    caution = (
        None if gone else "cut the factory output off here first: two outputs destroy each other"
    )
    yield f"Tap {fix.speaker} at {known.connector}: {joints}", caution


def _joint(joint: Joint) -> str:
    coil = f"coil {joint.coil} " if joint.coil else ""
    plus, minus = joint.plus_wire or "colour unknown", joint.minus_wire or "colour unknown"
    return f"{coil}+ way {joint.plus} ({plus}), - way {joint.minus} ({minus})"


def _fit_load(
    unit: str, connector: str | None, plus: str | None, minus: str | None, load: object
) -> str:
    where = f"{unit}, {connector} ways {plus} and {minus}"
    resistor = getattr(load, "resistor", None)
    if resistor is None:
        return f"Fit a load on {where}: the ohms are unknown, meter the speaker first"
    rating = f"{number(resistor.rating)} W" if resistor.rating else "more than 100 W"
    return (
        f"Fit {number(resistor.ohms)} Ω, {rating} across {where}, on metal and clear of trim: it "
        "gets hot"
    )


def _new_wire(plan: Plan) -> _Written:
    for wire in plan.speaker_wire:
        yield wire_words(wire), None
    yield from _supply_run(plan)


def wire_words(wire: SpeakerWire) -> str:
    """One wire to pull: to where, for whom, how long, how thick, by which places."""
    who = ", ".join(wire.speakers) + (f" coil {wire.coil}" if wire.coil else "")
    size = "size unknown" if wire.awg is None else f"{wire.awg} AWG"
    if wire.metres is None:
        return f"{who}: no documented way to {wire.to or 'its place'}; find one and measure it"
    return f"{who}: {number(wire.metres)} m of {size} pair, {' → '.join(wire.places)}"


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
    supply = plan.supply
    size = "" if supply.awg is None else f", {size_in_words(supply.awg)}"
    yield (
        f"Ground lead, {number(supply.ground_metres)} m{size}: to bare metal, no seat-belt bolt",
        None,
    )
    yield from _signal(plan)
    yield plan.turn_on[0].upper() + plan.turn_on[1:], None
    for channel in plan.channels:
        pairs = "; ".join(
            source_words(source) for source in sources_of_channel(plan, channel.speakers)
        )
        several = ";" in pairs
        joined = f", joined in {channel.wiring}" if several else ""
        fault = f"FAULT: {channel.fault}; do not connect" if channel.fault else None
        yield f"Channel {channel.channel}: {pairs}{joined}", fault
    fuse = "" if supply.fuse_amps is None else f" for {number(supply.fuse_amps)} A"
    yield f"Fuse holder{fuse} at the battery, within 18 in (46 cm); fuse still out", None


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


def _power_on(plan: Plan) -> _Written:
    yield "All gains down; all joints insulated; nothing loose between metal and metal", None
    rating = "" if plan.supply.fuse_amps is None else f", {number(plan.supply.fuse_amps)} A"
    yield f"Main fuse in{rating}; then battery negative on, last of all", None
    wait = plan.papers.kit["kit"].get("wait_seconds")
    if wait:
        yield f"Wait {number(wait, 0)} s: the kit asks for it", None


def _listen(plan: Plan) -> _Written:
    for channel in plan.channels:
        yield f"Channel {channel.channel} alone, low: only {', '.join(channel.speakers)} play", None
    if len(plan.channels) > 1:
        yield "Polarity of each pair: a polarity pop, or mono bass that stays when both play", None
    fades = [lead for lead in plan.signal if lead.fades]
    steady = [lead.channel for lead in plan.signal if lead.fades is False]
    if fades:
        stay = f"; channel {', '.join(steady)} stays" if steady else ""
        yield f"Balance and fade move channels {', '.join(f.channel for f in fades)}{stay}", None
    for speaker in plan.runs.speakers:
        for duty in speaker.duties:
            yield f"{speaker.speaker}: hear {DUTY_WORDS.get(duty, duty)}", "must not be lost"
    yield "Engine on, lights and blower on: no whine, no hum", None


def _gains(plan: Plan) -> _Written:
    volts = plan.input.output_volts
    if volts is not None:
        yield f"Kit's output setting: {number(volts)} V", None
    if any(channel.gain_volts for channel in plan.channels):
        yield "Speakers of the channel disconnected, a sine, AC volts at its output:", None
    for channel in plan.channels:
        if channel.fault:
            yield f"Channel {channel.channel}: no gain before its fault is put right", None
        elif channel.gain_volts is None:
            yield f"Channel {channel.channel}: load unknown, so no target; meter its ohms", None
        else:
            yield f"Channel {channel.channel}: {number(channel.gain_volts, 1)} V", None


def _close_up(plan: Plan, facts: Mapping[str, Fact]) -> _Written:
    for content in (plan.papers.kit, plan.papers.vehicle):
        for row in content.get("step", ()):
            judged = judge(row.get("when"), facts)
            if judged.holds is not False:
                when = f" (when {row['when']})" if judged.holds is None else ""
                yield f"{row['do'].strip().rstrip('.')}{when}", row.get("caution")
    for keep in plan.keep:
        yield f"{keep.speaker} stays in its place: {keep.why}", None
    back = list(reversed(panels_in_order(plan)))
    if back:
        yield f"Panels back: {', '.join(back)}", None
    yield "Every speaker and duty once more, with the panels on; write up the readings", None
