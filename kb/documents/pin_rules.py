"""What the pins of a vehicle's connectors must agree on: ways, circuits, poles.

It stands alone because the pin table is what every answer rests on.
"""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from kb.documents.carried import has_wire
from kb.documents.circuits import (
    USUAL_CIRCUITS,
    NamedCircuit,
    SpeakerPole,
    UnreadableCircuit,
    read_circuit,
)
from kb.documents.findings import Path, Problem
from kb.documents.positions import position_number
from kb.documents.rows import Row, known, missing
from kb.nearest import nearest


@dataclass(frozen=True, slots=True)
class _Carried:
    """One circuit on one pin; `unit` is None on an in-line connector."""

    path: Path
    pin: Path
    circuit: SpeakerPole | NamedCircuit
    unit: str | None


def pin_problems(connectors: list[Row], speakers: list[Row], units: list[Row]) -> Iterator[Problem]:
    """All findings about pins."""
    for connector in connectors:
        yield from _ways(connector)
        for pin in connector.rows("pins"):
            yield from _untold(pin)
            if "mm2" in pin.values and "awg" in pin.values:
                yield Problem(pin.at("awg"), "the size is given as mm2 and as awg", "keep one")
    carried = [item for connector in connectors for item in _carried(connector)]
    names = known(speakers)
    if names is not None:
        yield from _speakers(carried, names)
        carried = [
            item
            for item in carried
            if isinstance(item.circuit, SpeakerPole) and item.circuit.speaker in names
        ]
    yield from _coils(carried)
    yield from _both_poles(carried)
    yield from _lone_poles(carried)
    yield from _claims(carried, known(units))


def _untold(pin: Row) -> Iterator[Problem]:
    """A wire without a word of what it carries: by oversight or not, it is no empty way."""
    at = pin.position("at")
    if at is not None and "carries" not in pin.values and has_wire(pin.values):
        yield Problem(
            pin.path,
            f"way {at} has a wire and nobody wrote what it carries",
            'meter it, and until then take it as live; `carries = "?"` says so plainly',
            "warning",
        )


def _ways(connector: Row) -> Iterator[Problem]:
    ways, rows = connector.whole("ways"), connector.whole("rows")
    pins = connector.rows("pins")
    if ways is not None and rows is not None and rows > ways:
        yield Problem(
            connector.at("rows"), f"{rows} rows are more than its {ways} ways", "mend one"
        )
    if ways is not None and len(pins) > ways:
        yield Problem(
            connector.at("ways"), f"it has {len(pins)} pins and {ways} ways", "mend one of the two"
        )
    seen: set[str] = set()
    numbers: dict[int, str] = {}
    for pin in pins:
        at = pin.position("at")
        if at is None:
            continue
        number = position_number(at)
        if at in seen:
            yield Problem(
                pin.at("at"),
                f'way "{at}" stands twice',
                "list the circuits of a shared way together",
            )
        elif number is not None and number in numbers:
            yield Problem(
                pin.at("at"),
                f'ways "{numbers[number]}" and "{at}" are the same number',
                "write each as the moulding has it",
                "warning",
            )
        seen.add(at)
        if number is not None:
            numbers.setdefault(number, at)
            if ways is not None and number > ways:
                yield Problem(
                    pin.at("at"), f'way "{at}" is beyond its {ways} ways', "mend the way or `ways`"
                )


def _carried(connector: Row) -> Iterator[_Carried]:
    for pin in connector.rows("pins"):
        for path, text in pin.texts("carries"):
            try:
                circuit = read_circuit(text)
            except UnreadableCircuit:
                continue  # said by the rule of the value
            yield _Carried(path, pin.path, circuit, connector.text("unit"))


def _speakers(carried: list[_Carried], names: set[str]) -> Iterator[Problem]:
    for item in carried:
        circuit = item.circuit
        if isinstance(circuit, NamedCircuit):
            yield from _named(item.path, circuit.name, names)
        elif circuit.speaker in USUAL_CIRCUITS and circuit.speaker not in names:
            yield Problem(
                item.path,
                f'"{circuit.text}" has a pole, which only speakers and pairs have',
                f'write "{circuit.speaker}"',
            )
        elif circuit.speaker not in names:
            found = missing(item.path, f'"{circuit.text}": speaker', circuit.speaker, names)
            right = f"{found.right}; other circuits end in no pole, or begin with line- or data"
            yield Problem(item.path, found.what, right)


def _named(path: Path, name: str, names: set[str]) -> Iterator[Problem]:
    if name in names:
        yield Problem(
            path, f'"{name}" is a speaker without its pole', f'write "{name}+" or "{name}-"'
        )
        return
    near = nearest(name, USUAL_CIRCUITS)
    if near is not None and name != near and not name.startswith(f"{near}-"):
        yield Problem(
            path,
            f'"{name}" is written almost like the usual circuit "{near}"',
            f'write "{near}" if it is that one',
            "warning",
        )


def _coils(carried: list[_Carried]) -> Iterator[Problem]:
    first: dict[str, SpeakerPole] = {}
    said: set[str] = set()
    for item in carried:
        circuit = item.circuit
        if not isinstance(circuit, SpeakerPole):
            continue
        other = first.setdefault(circuit.speaker, circuit)
        if (other.coil is None) != (circuit.coil is None) and circuit.speaker not in said:
            said.add(circuit.speaker)
            name = circuit.speaker
            yield Problem(
                item.path,
                f'speaker "{name}" has both "{other.text}" and "{circuit.text}"',
                f'write either "{name}+ {name}-" or its coils, "{name}.a+ {name}.a-"',
            )


def _both_poles(carried: list[_Carried]) -> Iterator[Problem]:
    first: dict[tuple[Path, str], SpeakerPole] = {}
    for item in carried:
        circuit = item.circuit
        if not isinstance(circuit, SpeakerPole):
            continue
        other = first.setdefault((item.pin, circuit.speaker), circuit)
        if other.pole == circuit.pole:
            continue
        if other.coil == circuit.coil:
            yield Problem(
                item.path,
                f'one way carries both poles of speaker "{circuit.speaker}"',
                "each pole has a way of its own",
            )
        else:
            yield Problem(
                item.path,
                f'one way carries "{other.text}" and "{circuit.text}"',
                "meter it; two coils in series meet inside the speaker as a rule",
                "warning",
            )


def _lone_poles(carried: list[_Carried]) -> Iterator[Problem]:
    poles: dict[tuple[str, str | None], dict[str, Path]] = defaultdict(dict)
    for item in carried:
        if isinstance(item.circuit, SpeakerPole) and item.unit is not None:
            feed = (item.circuit.speaker, item.circuit.coil)
            poles[feed].setdefault(item.circuit.pole, item.path)
    for (speaker, coil), found in poles.items():
        if len(found) == 1:
            (pole, path), other = next(iter(found.items())), "-" if "+" in found else "+"
            name = speaker if coil is None else f"{speaker}.{coil}"
            yield Problem(
                path,
                f'"{name}{pole}" is documented and "{name}{other}" is not',
                f"meter for it; until then the feed of {name} is unknown",
                "warning",
            )


def _claims(carried: list[_Carried], units: set[str] | None) -> Iterator[Problem]:
    """Speakers whose pins two units own: which feeds it is unknown."""
    owner: dict[str, str] = {}
    said: set[str] = set()
    for item in carried:
        circuit, unit = item.circuit, item.unit
        if not isinstance(circuit, SpeakerPole) or unit is None or unit not in (units or {unit}):
            continue
        other = owner.setdefault(circuit.speaker, unit)
        if other != unit and circuit.speaker not in said:
            said.add(circuit.speaker)
            yield Problem(
                item.path,
                f'units {other} and {unit} both claim speaker "{circuit.speaker}"',
                "meter which one feeds it; until then it is unknown",
                "warning",
            )
