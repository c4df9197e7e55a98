"""The quirks that the shipped book must show, each a test of one vehicle's document."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

from kb.documents.circuits import SpeakerPole, read_circuit

Content = dict[str, Any]


def pins(vehicle: Content) -> Iterator[tuple[Content, Content]]:
    """Each pin of a vehicle with its connector."""
    for connector in vehicle.get("connector", ()):
        for pin in connector.get("pins", ()):
            yield connector, pin


def circuits(pin: Content) -> list[str]:
    carries = pin.get("carries", [])
    return [carries] if isinstance(carries, str) else carries


def poles(vehicle: Content) -> list[tuple[str | None, str, SpeakerPole]]:
    """Unit (None: in line), connector and pole of everything that is a speaker's."""
    found = []
    for connector, pin in pins(vehicle):
        for circuit in circuits(pin):
            read = read_circuit(circuit)
            if isinstance(read, SpeakerPole):
                found.append((connector.get("unit"), connector["id"], read))
    return found


def unit_kinds(vehicle: Content) -> dict[str, str]:
    return {unit["id"]: unit["kind"] for unit in vehicle.get("unit", ())}


def everything_on_the_radio(vehicle: Content) -> bool:
    return set(unit_kinds(vehicle).values()) == {"radio"}


def split_system(vehicle: Content) -> bool:
    kinds = unit_kinds(vehicle)
    return {kinds[unit] for unit, _, _ in poles(vehicle) if unit} >= {"radio", "amplifier"}


def processor_that_drives(vehicle: Content) -> bool:
    kinds = unit_kinds(vehicle)
    return "processor" in {kinds[unit] for unit, _, _ in poles(vehicle) if unit}


def dual_coil(vehicle: Content) -> bool:
    return {pole.coil for _, _, pole in poles(vehicle)} >= {"a", "b"}


def shared_pin(vehicle: Content) -> bool:
    return any(len({read_circuit(text) for text in circuits(pin)}) > 1 for _, pin in pins(vehicle))


def in_line_connector(vehicle: Content) -> bool:
    return any(unit is None for unit, _, _ in poles(vehicle))


def doubled_way(vehicle: Content) -> bool:
    return any(count > 1 for count in Counter(poles(vehicle)).values())


def half_documented(vehicle: Content) -> bool:
    seen: dict[str, set[str]] = {}
    for _, _, pole in poles(vehicle):
        seen.setdefault(f"{pole.speaker}.{pole.coil}", set()).add(pole.pole)
    return any(len(ends) == 1 for ends in seen.values())


def undocumented(vehicle: Content) -> bool:
    return bool(
        {speaker["id"] for speaker in vehicle["speaker"]}
        - {pole.speaker for _, _, pole in poles(vehicle)}
    )


def claimed_twice(vehicle: Content) -> bool:
    claims: dict[str, set[str]] = {}
    for unit, _, pole in poles(vehicle):
        if unit:
            claims.setdefault(pole.speaker, set()).add(unit)
    return any(len(units) > 1 for units in claims.values())


def customary_iso_10487(vehicle: Content) -> bool:
    """Customary assignment of the eight speaker ways; the standard fixes the connector alone."""
    wanted = {}
    for first, speaker in ((1, "rear-r"), (3, "front-r"), (5, "front-l"), (7, "rear-l")):
        wanted |= {f"B{first}": [f"{speaker}+"], f"B{first + 1}": [f"{speaker}-"]}
    return any(
        {pin["at"]: circuits(pin) for pin in connector["pins"]} == wanted
        for connector in vehicle["connector"]
    )


def diagnostic_connector(vehicle: Content) -> bool:
    """SAE J1962: only the ways that its readers agree on are documented."""
    kinds = unit_kinds(vehicle)
    return any(
        kinds.get(connector.get("unit", "")) == "other"
        and connector["ways"] == 16
        and {pin["at"] for pin in connector["pins"]} == {"4", "5", "6", "7", "14", "15", "16"}
        for connector in vehicle["connector"]
    )


def german_letters(vehicle: Content) -> bool:
    return vehicle.get("colours") == "de"


def unknown_minutes(vehicle: Content) -> bool:
    return any("minutes" not in panel for panel in vehicle["panel"])


def unknown_ohms(vehicle: Content) -> bool:
    return any("ohms" not in speaker for speaker in vehicle["speaker"])


def load_sensing(vehicle: Content) -> bool:
    return any(unit.get("senses_load") for unit in vehicle["unit"])


def rows_not_recorded(vehicle: Content) -> bool:
    return any("rows" not in connector for connector in vehicle["connector"])


def numbering_recorded(vehicle: Content) -> bool:
    return any("numbering" in connector for connector in vehicle["connector"])


QUIRKS = (
    everything_on_the_radio,
    split_system,
    processor_that_drives,
    dual_coil,
    shared_pin,
    in_line_connector,
    doubled_way,
    half_documented,
    undocumented,
    claimed_twice,
    customary_iso_10487,
    diagnostic_connector,
    german_letters,
    unknown_minutes,
    unknown_ohms,
    load_sensing,
    rows_not_recorded,
    numbering_recorded,
)
