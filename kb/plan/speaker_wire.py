"""The speaker wire to pull: for each wire its metres, its load and its size.

It stands alone because what is bought and cut for the job is read off here.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

from kb.plan.channels import Played
from kb.plan.conductors import SPEAKER_SIZES, ohms_per_metre, size_in_words, thinnest_speaker_wire
from kb.plan.impedance import nominal_ohms
from kb.plan.reach import Reach, WireWay
from kb.plan.why import COMMON_PRACTICE, Why, number
from kb.plan.wiring import Wiring


@dataclass(frozen=True)
class SpeakerWire:
    """One wire from the amplifier. `metres` None: no documented way; `awg` None: unknown load or
    way, or a `fault`. `places` are those that it passes; `notes` say what to mind on the way there,
    and where nothing plays on it."""

    wire: str
    kind: str
    to: str | None
    speakers: tuple[str, ...]
    coil: str | None
    places: tuple[str, ...]
    metres: float | None
    load_ohms: float | None
    awg: int | None
    fault: str | None
    why: Why | None
    notes: tuple[str, ...] = ()


def speaker_wires(
    wiring: Wiring,
    reach: Reach,
    played: Mapping[str, Played],
    share: float,
    without_channel: Collection[str] = (),
) -> tuple[SpeakerWire, ...]:
    """Every wire that leaves the amplifier's place or whose way is unknown, and every new run, if
    it is a short tail at the amplifier itself. `without_channel` are ids of wires on which nothing
    plays."""
    return tuple(
        replace(
            _wire(way, wiring, played, share),
            notes=tuple(_notes(way, wiring, way.wire.id in without_channel)),
        )
        for way in reach.ways
        if way.wire.kind != "supply"
        and (way.walk is None or way.walk.length or way.wire.kind == "run")
    )


def _wire(way: WireWay, wiring: Wiring, played: Mapping[str, Played], share: float) -> SpeakerWire:
    ends = wiring.on_wire[way.wire.id]
    ohms = [played[name].ohms for name, _ in ends]
    known = [value for value in ohms if value is not None]
    load = nominal_ohms(known, "parallel") if known and len(known) == len(ohms) else None
    metres = None if way.walk is None else way.walk.metres
    awg, fault, why = None, None, None
    names = tuple(dict.fromkeys(name for name, _ in ends))
    if metres is not None and load is not None:
        awg = thinnest_speaker_wire(metres, load, share=share)
        if awg is None:
            fault = (
                f"no speaker wire sold keeps {number(metres)} m within {share:.0%} of "
                f"{number(load)} Ω: shorten the way"
            )
        else:
            why = _why(names, metres, load, awg, share)
    return SpeakerWire(
        wire=way.wire.id,
        kind=way.wire.kind,
        to=way.wire.place,
        speakers=names,
        coil=ends[0][1] if len(ends) == 1 else None,
        places=() if way.walk is None else way.walk.places,
        metres=metres,
        load_ohms=load,
        awg=awg,
        fault=fault,
        why=why,
    )


def wire_words(wire: SpeakerWire) -> str:
    """One wire to pull: to where, for whom, how long, how thick, by which places."""
    who = ", ".join(wire.speakers) + (f" coil {wire.coil}" if wire.coil else "")
    size = "size unknown" if wire.awg is None else f"{wire.awg} AWG"
    if wire.metres is None:
        return f"{who}: no documented way to {wire.to or 'its place'}; find one and measure it"
    if not wire.metres:
        return f"{who}: at the amplifier's own place; a short tail of {size} pair"
    way = f"{number(wire.metres)} m of {size} pair, {' → '.join(wire.places)}"
    return f"{who}: {way}; FAULT: {wire.fault}" if wire.fault else f"{who}: {way}"


def wire_line(wire: SpeakerWire) -> str:
    """The same with what to mind on the way."""
    return "; ".join((wire_words(wire), *wire.notes))


def _notes(way: WireWay, wiring: Wiring, without_channel: bool) -> list[str]:
    stretches = wiring.task.network.stretches_of(way.walk) if way.walk else ()
    found = list(dict.fromkeys(stretch.note for stretch in stretches if stretch.note))
    if way.wire.kind == "tail":
        found.append("the minus alone, to be twisted with its plus as far as both go")
    if without_channel:
        found.append("on no channel: insulate both ends")
    return found


def _why(names: tuple[str, ...], metres: float, load: float, awg: int, share: float) -> Why:
    ohms = 2 * metres * ohms_per_metre(awg)
    return Why(
        f"speaker wire to {', '.join(names)}",
        size_in_words(awg),
        f"the thinnest sold ({SPEAKER_SIZES[0]} to {SPEAKER_SIZES[-1]} AWG) whose ohms out and "
        f"back are at most {share:.0%} of the load",
        f"2 × {number(metres)} m make {number(ohms, 3)} Ω, load {number(load)} Ω",
        f"ASTM B258 and IEC 60028 for the ohms; the limit and the sizes are {COMMON_PRACTICE}",
    )
