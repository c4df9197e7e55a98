"""Poles that stand on several ways of one unit: right where one wire has two ways, else a slip.

It stands alone because a form says it while it is written, before there is a row to ask.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from kb.documents.circuits import SpeakerPole, UnreadableCircuit, read_circuit
from kb.documents.findings import Path


def on_several_ways(content: Mapping[str, Any]) -> Iterator[tuple[Path, str]]:
    """The path of each second way of a pole, and what to say of it; a review says the same."""
    first: dict[tuple[str, str], str] = {}
    for number, connector in enumerate(content.get("connector", ())):
        unit = connector.get("unit")
        if not isinstance(unit, str):  # in line: a wire passes there, and is fed by nothing
            continue
        for at, pin in enumerate(connector.get("pins", ())):
            name = f"{connector.get('id')}.{pin.get('at')}"
            carries = pin.get("carries")
            for circuit in [carries] if isinstance(carries, str) else carries or ():
                if not _is_pole(circuit):
                    continue
                before = first.setdefault((unit, circuit), name)
                if before != name:
                    said = f"{circuit} is on {before} and {name}"
                    yield ("connector", number, "pins", at, "carries"), said


def _is_pole(circuit: object) -> bool:
    try:
        return isinstance(circuit, str) and isinstance(read_circuit(circuit), SpeakerPole)
    except UnreadableCircuit:
        return False
