"""A book read in plain Python from its documents: what the questions' answers are held against.

Written apart from the product: it reads the canonical JSON of the revisions that answer and knows
nothing of the projection, of SQL or of the outcomes' text.
"""

from __future__ import annotations

import json
import sqlite3
from dataclasses import dataclass, field
from typing import Any

Doc = dict[str, Any]
Key = tuple[Any, ...]


@dataclass
class World:
    """The documents by id."""

    vehicles: dict[str, Doc] = field(default_factory=dict)
    kits: dict[str, Doc] = field(default_factory=dict)
    states: dict[str, str] = field(default_factory=dict)

    def speakers(self, vehicle: str) -> list[Doc]:
        return list(self.vehicles[vehicle].get("speaker", []))

    def every_speaker(self) -> list[tuple[str, Doc]]:
        return [(v, s) for v in self.vehicles for s in self.speakers(v)]

    def every_pin(self) -> list[tuple[str, Doc, Doc]]:
        return [
            (v, c, p)
            for v, content in self.vehicles.items()
            for c in content.get("connector", [])
            for p in c.get("pins", [])
        ]

    def owners(self, vehicle: str, speaker: str) -> set[str]:
        """The units that own a pin of the speaker."""
        return {
            connector["unit"]
            for connector, _, _, _ in self.poles(vehicle, speaker)
            if "unit" in connector
        }

    def poles(self, vehicle: str, speaker: str) -> list[tuple[Doc, str, str, str]]:
        """(connector, way, coil, pole) of each circuit of a speaker."""
        found = []
        for connector in self.vehicles[vehicle].get("connector", []):
            for pin in connector.get("pins", []):
                for circuit in circuits(pin):
                    stem, pole = circuit[:-1], circuit[-1]
                    name, _, coil = stem.partition(".")
                    if pole in "+-" and name == speaker:
                        found.append((connector, str(pin["at"]), coil, pole))
        return found

    def fed_by(self, vehicle: str, speaker: str) -> str | None:
        owners = self.owners(vehicle, speaker)
        return next(iter(owners)) if len(owners) == 1 else None

    def fed_kind(self, vehicle: str, speaker: str) -> str | None:
        unit = self.fed_by(vehicle, speaker)
        return None if unit is None else self.kind_of(vehicle, unit)

    def kind_of(self, vehicle: str, unit: str) -> str:
        units = {u["id"]: u["kind"] for u in self.vehicles[vehicle].get("unit", [])}
        return str(units[unit])

    def is_fed_by(self, vehicle: str, speaker: str, name: str) -> bool | None:
        unit = self.fed_by(vehicle, speaker)
        return None if unit is None else name in (unit, self.kind_of(vehicle, unit))

    def outcome(self, vehicle: str, speaker: str, kit: str, parts: set[str]) -> str:
        """Design section 4, read literally."""
        poles = self.poles(vehicle, speaker)
        coils = ({coil for _, _, coil, _ in poles if coil} and {"a", "b"}) or {""}
        unit = self.fed_by(vehicle, speaker)
        at_unit = {(coil, pole) for c, _, coil, pole in poles if c.get("unit") == unit}
        if unit is None or any((coil, pole) not in at_unit for coil in coils for pole in "+-"):
            return "unknown"
        held: dict[str, set[str]] = {coil: set() for coil in coils}
        for part in self.kits[kit]["part"]:
            if part["use"] != "always" and part["id"] not in parts:
                continue
            for lead in part.get("leads", []):
                for coil, fit in self._grips(vehicle, poles, part, lead):
                    held[coil].add(fit)
        if not any(held.values()):
            return "left out"
        if any(not fits & {"straight", "swapped"} for fits in held.values()):
            return "partial"
        return "reversed" if any("swapped" in fits for fits in held.values()) else "carried"

    def leads_on(self, vehicle: str, speaker: str, kit: str, parts: set[str]) -> set[str]:
        """Every lead of the path that holds anything of the speaker."""
        poles = self.poles(vehicle, speaker)
        return {
            lead["lead"]
            for part in self.kits[kit]["part"]
            if part["use"] == "always" or part["id"] in parts
            for lead in part.get("leads", [])
            if self._grips(vehicle, poles, part, lead)
        }

    def _grips(
        self, vehicle: str, poles: list[tuple[Doc, str, str, str]], part: Doc, lead: Doc
    ) -> list[tuple[str, str]]:
        found = []
        for connector in self.vehicles[vehicle].get("connector", []):
            kind = self.kind_of(vehicle, connector["unit"]) if "unit" in connector else "in-line"
            if connector["plug"] != lead["plug"] or part.get("unit", kind) != kind:
                continue
            for coil in {coil for _, _, coil, _ in poles}:
                on = {
                    side: {
                        pole
                        for c, at, k, pole in poles
                        if c is connector and at == str(lead[side]) and k == coil
                    }
                    for side in ("plus", "minus")
                }
                if "+" in on["plus"] and "-" in on["minus"]:
                    found.append((coil, "straight"))
                elif "-" in on["plus"] and "+" in on["minus"]:
                    found.append((coil, "swapped"))
                elif on["plus"] or on["minus"]:
                    found.append((coil, "short"))
        return found


def told(pin: Doc) -> list[str] | None:
    """Its circuits, none on an empty way; None for a wire and no word of what it carries."""
    carries = pin.get("carries")
    if carries is None:
        return None if {"wire", "mm2", "awg"} & pin.keys() else []
    if carries == "?":
        return None
    return [carries] if isinstance(carries, str) else list(carries)


def circuits(pin: Doc) -> list[str]:
    return told(pin) or []


def years(content: Doc) -> tuple[int, int]:
    first, dash, last = content["vehicle"]["years"].partition("-")
    return int(first), int(last or 9999) if dash else int(first)


def area(pin: Doc) -> float | None:
    """mm2 of a pin; AWG by the formula of ASTM B258, written here a second time."""
    if "mm2" in pin:
        return float(pin["mm2"])
    if "awg" not in pin:
        return None
    text = str(pin["awg"])
    gauge = 1 - int(text[0]) if text.endswith("/0") else int(text)
    inches = 0.005 * 92 ** ((36 - gauge) / 39)
    return float(3.141592653589793 * (inches * 25.4) ** 2 / 4)


def read_world(connection: sqlite3.Connection) -> World:
    world = World()
    rows = connection.execute(
        "SELECT e.kind, e.id, e.state, r.content FROM entry e"
        " JOIN revision r ON r.hash = e.hash WHERE e.answers = 1"
    )
    for kind, id, state, content in rows:
        world.states[id] = state
        if kind == "vehicle":
            world.vehicles[id] = json.loads(content)
        elif kind == "kit":
            world.kits[id] = json.loads(content)
    return world
