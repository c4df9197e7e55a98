"""Poles that stand on several ways of one unit: right where one wire has two ways, else a slip.

It stands alone, and reads the document and no row, because a form says it while it is written and
a review of what was handed in: both by this one rule. `feed.doubled` in kb/store/derive.sql is made
of rows and held against it by the tests.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from kb.documents.carried import carried
from kb.documents.circuits import SpeakerPole, UnreadableCircuit, read_circuit
from kb.documents.findings import Path

LOOK = "right only where one wire has two ways"


@dataclass(frozen=True)
class SeveralWays:
    """A pole, its ways as `A1.3` in the order of the document, and the path to each."""

    pole: str
    ways: tuple[str, ...]
    paths: tuple[Path, ...]


def on_several_ways(content: Mapping[str, Any]) -> list[SeveralWays]:
    """Every pole that is on two ways or more of the one unit that has it.

    Where two units have a pole they contradict each other, which is told of them; in line a wire
    only passes, and is fed by nothing. The content may be half written.
    """
    found: dict[str, dict[str, Path]] = {}
    units: dict[str, set[str]] = {}
    for number, connector in enumerate(content.get("connector", ())):
        unit = connector.get("unit")
        for index, pin in enumerate(connector.get("pins", ()) if isinstance(unit, str) else ()):
            way = f"{connector.get('id')}.{pin.get('at')}"
            for pole in filter(_is_pole, carried(pin) or ()):
                path = ("connector", number, "pins", index, "carries")
                found.setdefault(pole, {}).setdefault(way, path)
                units.setdefault(pole, set()).add(unit)
    return [
        SeveralWays(pole, tuple(ways), tuple(ways.values()))
        for pole, ways in found.items()
        if len(ways) > 1 and len(units[pole]) == 1
    ]


def _is_pole(circuit: object) -> bool:
    try:
        return isinstance(circuit, str) and isinstance(read_circuit(circuit), SpeakerPole)
    except UnreadableCircuit:
        return False
