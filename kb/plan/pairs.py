"""What hangs on each pair of wires that a plan brings to the amplifier, whoever it was pulled for.

Promise: the pin tables decide, not the wishes of the job: two speakers on the same two ways play
together, and a cut at those ways takes both off the factory output. It stands alone because loads,
lost duties and load resistors must all count the same speakers.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from kb.documents.carried import carried
from kb.documents.circuits import SpeakerPole, read_circuit
from kb.plan.reach import Reach, WireKind
from kb.plan.wiring import Pin, Vehicle, Wiring

End = tuple[str, str | None]
"""A speaker and one of its coils; None where it has only one."""


@dataclass(frozen=True)
class Pair:
    """One pair of wires and its ends.

    `whole` have both poles on it, in the vehicle's order; `half` are speakers with one pole on it,
    which play on nothing once the pair is cut off its output.
    """

    wire: str
    kind: WireKind
    whole: tuple[End, ...]
    half: tuple[str, ...] = ()

    @property
    def names(self) -> tuple[str, ...]:
        """The speakers that play when the pair does."""
        return tuple(dict.fromkeys(name for name, _ in self.whole))


def pairs_of(vehicle: Vehicle, wiring: Wiring, reach: Reach) -> tuple[Pair, ...]:
    """Every pair that the plan pulls, the supply left out.

    A speaker that gets a run of its own leaves the factory pair, and hangs on its run alone.
    """
    run = {fix.speaker for fix in reach.fixes if fix.way == "run"}
    found = []
    for way in reach.ways:
        wire = way.wire
        if wire.kind == "run":
            found.append(Pair(wire.id, wire.kind, wiring.on_wire[wire.id]))
        elif wire.kind in ("lead", "tap"):
            plus, minus = wiring.pins[wire.id]
            whole, half = _hanging(vehicle, plus, minus)
            found.append(
                Pair(
                    wire.id,
                    wire.kind,
                    tuple(end for end in whole if end[0] not in run),
                    tuple(name for name in half if name not in run),
                )
            )
    return tuple(found)


def _hanging(
    vehicle: Vehicle, plus: Iterable[Pin], minus: Iterable[Pin]
) -> tuple[list[End], list[str]]:
    """The ends with both poles on the two wires, and the speakers with one."""
    on_plus = _poles_at(vehicle, one_wire(vehicle, plus))
    on_minus = _poles_at(vehicle, one_wire(vehicle, minus))
    ends = dict.fromkeys((pole.speaker, pole.coil) for pole in (*on_plus, *on_minus))
    whole = [end for end in ends if _has(on_plus, end) and _has(on_minus, end)]
    names = {name for name, _ in whole}
    half = dict.fromkeys(name for name, _ in ends if name not in names)
    order = list(vehicle.speakers)
    return sorted(whole, key=lambda end: order.index(end[0])), list(half)


def _has(poles: Iterable[SpeakerPole], end: End) -> bool:
    return any((pole.speaker, pole.coil) == end for pole in poles)


def one_wire(vehicle: Vehicle, pins: Iterable[Pin]) -> frozenset[Pin]:
    """The ways given and all that a pole makes one wire with them: a pole on several ways of its
    unit, or of one connector in line, is joined between them."""
    joined: dict[tuple[SpeakerPole, str], set[Pin]] = {}
    for name, connector in vehicle.connectors.items():
        side = f"unit {connector['unit']}" if "unit" in connector else f"in line {name}"
        for pin in connector.get("pins", ()):
            for pole in _poles_of(pin):
                joined.setdefault((pole, side), set()).add((name, str(pin["at"])))
    found = set(pins)
    while more := set().union(*(ways for ways in joined.values() if ways & found)) - found:
        found |= more
    return frozenset(found)


def _poles_of(pin: Mapping[str, Any]) -> list[SpeakerPole]:
    circuits = [read_circuit(text) for text in carried(pin) or ()]
    return [circuit for circuit in circuits if isinstance(circuit, SpeakerPole)]


def _poles_at(vehicle: Vehicle, pins: Iterable[Pin]) -> list[SpeakerPole]:
    wanted = set(pins)
    found = []
    for connector in {name for name, _ in wanted}:
        for pin in vehicle.connectors[connector].get("pins", ()):
            if (connector, str(pin["at"])) in wanted:
                found += _poles_of(pin)
    return found


def along_with(
    pairs: Iterable[Pair], speakers: Collection[str], elsewhere: Collection[str]
) -> tuple[End, ...]:
    """What else plays when `speakers` are driven: the other ends of their pairs, without those of
    `elsewhere` (driven by another channel, or disconnected because they shall be silent)."""
    return tuple(
        dict.fromkeys(
            end
            for pair in pairs
            if not set(speakers).isdisjoint(pair.names)
            for end in pair.whole
            if end[0] not in speakers and end[0] not in elsewhere
        )
    )
