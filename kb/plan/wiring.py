"""From the papers of a job to what is to be joined: wires, fixes, panels and routes.

Promise: nothing is decided here. Outcomes and fixes are those of `kb.answers`; this module says at
which place each wire ends, what must come off there, and who hangs on it. It stands alone because
it is the one bridge from documents to the joint choice.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from kb.answers.fixes import Fix as KnownFix
from kb.answers.fixes import Joint
from kb.answers.papers import Content, Papers
from kb.answers.runs import Runs, SpeakerAnswer
from kb.plan.clashes import barred_parts, clashes, is_opened, opened_in_line
from kb.plan.network import Network, Panel, Stretch
from kb.plan.reach import Fix, Task, Wire

CARRIED = ("carried", "reversed")
NEEDS_A_FIX = ("left out", "partial")
Pin = tuple[str, str]
"""A way of a connector: the connector's id and the position."""
Pins = tuple[tuple[Pin, ...], tuple[Pin, ...]]
"""The ways that a wire's plus and its minus land on."""


@dataclass(frozen=True)
class Vehicle:
    """The places of a vehicle: where things are and what must come off to get at them."""

    content: Content

    def rows(self, table: str) -> list[Mapping[str, Any]]:
        """The rows of one table of the document."""
        return list(self.content.get(table, ()))

    @cached_property
    def network(self) -> Network:
        """The routes."""
        return Network(
            tuple(
                Stretch(
                    row["from"],
                    row["to"],
                    row["metres"],
                    frozenset(row.get("panels", ())),
                    row.get("note"),
                )
                for row in self.rows("route")
            )
        )

    @cached_property
    def panels(self) -> tuple[Panel, ...]:
        """The panels with their minutes."""
        return tuple(Panel(row["id"], row.get("minutes")) for row in self.rows("panel"))

    @cached_property
    def units(self) -> dict[str, Mapping[str, Any]]:
        """The units by id."""
        return {row["id"]: row for row in self.rows("unit")}

    @cached_property
    def speakers(self) -> dict[str, Mapping[str, Any]]:
        """The speakers by id."""
        return {row["id"]: row for row in self.rows("speaker")}

    @cached_property
    def connectors(self) -> dict[str, Mapping[str, Any]]:
        """The connectors by id."""
        return {row["id"]: row for row in self.rows("connector")}

    def connector_place(self, connector: str | None) -> str | None:
        """Where a connector is: its own place, else its unit's."""
        row = self.connectors.get(connector or "", {})
        place: str | None = row.get("place") or self._unit_of(row).get("place")
        return place

    def connector_panels(self, connector: str | None) -> frozenset[str]:
        """What comes off to get at a connector: its own panels and its unit's."""
        row = self.connectors.get(connector or "", {})
        return frozenset((*row.get("panels", ()), *self._unit_of(row).get("panels", ())))

    def speaker_panels(self, speaker: str) -> frozenset[str]:
        """What comes off to get at a speaker."""
        return frozenset(self.speakers[speaker].get("panels", ()))

    def place_panels(self, place: str | None) -> frozenset[str]:
        """What comes off to get at a place: that of the units that sit there.

        Only units are asked: the new amplifier and the battery go where a unit would, not into a
        speaker's opening.
        """
        return frozenset(
            panel
            for unit in self.rows("unit")
            if place is not None and unit.get("place") == place
            for panel in unit.get("panels", ())
        )

    def mates_of(self, part: Mapping[str, Any]) -> list[str]:
        """Connectors that a part of a kit plugs into."""
        found = []
        for connector in self.rows("connector"):
            kind = self._unit_of(connector).get("kind") if "unit" in connector else "in-line"
            fits = part.get("unit") in (None, kind)
            if connector["plug"] in part["plugs"] and fits:
                found.append(connector["id"])
        return found

    def _unit_of(self, connector: Mapping[str, Any]) -> Mapping[str, Any]:
        return self.units.get(connector.get("unit", ""), {})


@dataclass(frozen=True)
class Wiring:
    """The task of the joint choice, and what its ids stand for.

    `on_wire` are the (speaker, coil) that each wire is pulled for, `pins` the ways that each lead
    or tap lands on, `known` the fix of `runs` behind each fix of the task; `not_planned` are
    speakers that shall play and whose feed is unknown.
    """

    task: Task
    on_wire: Mapping[str, tuple[tuple[str, str | None], ...]]
    known: Mapping[Fix, KnownFix]
    not_planned: tuple[str, ...]
    pins: Mapping[str, Pins]


SUPPLY = "supply"


def wiring_of(papers: Papers) -> Wiring:
    """What must be joined for the job's playing speakers, and every documented way to do it."""
    builder = _Builder(papers.job, papers.vehicle, papers.kit, papers.runs, papers.with_part)
    return builder.build(jointly=True)


def fixes_of(
    answer: Runs, vehicle: Content, kit: Content, with_part: Mapping[str, Runs], place: str
) -> Wiring:
    """Every fix of an answer with its wires from `place`, where there is no job yet."""
    job = {"job": {"amplifier_place": place, "battery_place": None}}
    return _Builder(job, vehicle, kit, answer, with_part).build()


class _Builder:
    def __init__(
        self,
        job: Content,
        vehicle: Content,
        kit: Content,
        answer: Runs,
        with_part: Mapping[str, Runs],
    ) -> None:
        self.head, self.answer, self.with_part = job["job"], answer, with_part
        self.vehicle = Vehicle(vehicle)
        self.wires: dict[str, Wire] = {}
        self.on_wire: dict[str, dict[tuple[str, str | None], None]] = {}
        self.pins: dict[str, tuple[dict[Pin, None], dict[Pin, None]]] = {}
        self.known: dict[Fix, KnownFix] = {}
        self.parts = {part["id"]: part for part in kit.get("part", ())}

    def build(self, *, jointly: bool = False) -> Wiring:
        """The wiring; `jointly`: with what fixes of several speakers do to one another."""
        head = self.head
        silent = set(head.get("silent", ()))
        playing = [s for s in self.answer.speakers if s.speaker not in silent]
        needed = dict.fromkeys(
            wire
            for speaker in playing
            if speaker.outcome in CARRIED
            for wire in self._lead_wires(speaker)
        )
        battery = head["battery_place"]
        self._wire(Wire(SUPPLY, "supply", battery, self.vehicle.place_panels(battery)))
        fixes = [
            fix
            for speaker in playing
            if speaker.outcome in NEEDS_A_FIX
            for fix in self._fixes(speaker)
        ]
        opened, mates = {}, {}
        if jointly:
            opened = opened_in_line(self.with_part, {speaker.speaker for speaker in playing})
            mates = {id: frozenset(self.vehicle.mates_of(part)) for id, part in self.parts.items()}
        carried = [speaker.speaker for speaker in playing if speaker.outcome in CARRIED]
        barred = barred_parts(opened, carried, mates, self.answer.path.chosen) if jointly else {}
        fixes = [fix for fix in fixes if barred.keys().isdisjoint(fix.parts)]
        chosen = self.answer.path.chosen
        off = self.vehicle.place_panels(head["amplifier_place"])
        task = Task(
            start=head["amplifier_place"],
            network=self.vehicle.network,
            panels=self.vehicle.panels,
            wires=tuple(self.wires.values()),
            needed=(*needed, SUPPLY),
            fixes=tuple(fixes),
            part_panels={part: self._part_panels(part) for part in self.answer.path.unchosen},
            off=off.union(*(self._part_panels(part) for part in chosen)),
            apart=tuple(clashes(fixes, opened, mates)) if jointly else (),
            barred=barred,
        )
        return Wiring(
            task=task,
            on_wire={wire: tuple(ends) for wire, ends in self.on_wire.items()},
            known=self.known,
            not_planned=tuple(s.speaker for s in playing if s.outcome == "unknown"),
            pins={wire: (tuple(plus), tuple(minus)) for wire, (plus, minus) in self.pins.items()},
        )

    def _part_panels(self, part: str) -> frozenset[str]:
        mates = self.vehicle.mates_of(self.parts[part])
        return frozenset().union(*(self.vehicle.connector_panels(mate) for mate in mates))

    def _wire(self, wire: Wire, ends: Iterable[tuple[str, str | None]] = ()) -> str:
        self.wires.setdefault(wire.id, wire)
        self.on_wire.setdefault(wire.id, {}).update(dict.fromkeys(ends))
        return wire.id

    def _lands(self, wire: str, plus: Pin, minus: Pin) -> None:
        on_plus, on_minus = self.pins.setdefault(wire, ({}, {}))
        on_plus[plus] = on_minus[minus] = None

    def _lead_wires(self, speaker: SpeakerAnswer) -> list[str]:
        found = []
        for feed in speaker.feeds:
            connector = feed.lead_connector or feed.connector
            wire = Wire(
                f"lead {feed.part}.{feed.lead}",
                "lead",
                self.vehicle.connector_place(connector),
                self.vehicle.connector_panels(connector),
            )
            found.append(self._wire(wire, [(speaker.speaker, feed.coil)]))
            if feed.grip is not None:
                grip = feed.grip
                self._lands(wire.id, (grip.connector, grip.plus), (grip.connector, grip.minus))
        return list(dict.fromkeys(found))

    def _fixes(self, speaker: SpeakerAnswer) -> list[Fix]:
        found = []
        opened = any(is_opened(speaker, part) for part in self.answer.path.chosen)
        for known in speaker.fixes:
            if opened and known.way != "run":
                continue  # what feeds the wire before that plug never comes to the speaker
            fix = {"part": self._part_fix, "run": self._run_fix, "tap": self._tap_fix}[known.way](
                speaker, known
            )
            if fix is not None:
                self.known[fix] = known
                found.append(fix)
        return found

    def _part_fix(self, speaker: SpeakerAnswer, known: KnownFix) -> Fix | None:
        with_it: Runs | None = self.with_part.get(known.part or "")
        if with_it is None:
            return None
        then = next(s for s in with_it.speakers if s.speaker == speaker.speaker)
        return Fix(speaker.speaker, "part", tuple(self._lead_wires(then)), (known.part or "",))

    def _run_fix(self, speaker: SpeakerAnswer, known: KnownFix) -> Fix:
        place, panels = known.to, self.vehicle.speaker_panels(speaker.speaker)
        wires = []
        for coil in [feed.coil for feed in speaker.feeds] or [None]:
            name = f"{speaker.speaker}.{coil}" if coil else speaker.speaker
            wire = Wire(f"run {name}", "run", place, panels)
            wires.append(self._wire(wire, [(speaker.speaker, coil)]))
        return Fix(speaker.speaker, "run", tuple(wires))

    def _tap_fix(self, speaker: SpeakerAnswer, known: KnownFix) -> Fix:
        wires = [
            wire for joint in known.joints for wire in self._joint_wires(speaker.speaker, joint)
        ]
        return Fix(speaker.speaker, "tap", tuple(dict.fromkeys(wires)))

    def _joint_wires(self, speaker: str, joint: Joint) -> list[str]:
        """One pair to the joint; where its poles are at two places, the minus goes on by itself."""
        places = [self.vehicle.connector_place(name) for name in joint.connectors]
        panels = [self.vehicle.connector_panels(name) for name in joint.connectors]
        # Where the output is on further ways, the hand must come to those too.
        also = (self.vehicle.connector_panels(way.connector) for way in joint.also)
        panels[0] = panels[0].union(*also)
        name = joint_name(joint)
        apart = len(set(places)) > 1
        here = panels[0] if apart else panels[0].union(*panels)
        wire = Wire(f"tap {name}", "tap", places[0], here)
        self._lands(wire.id, (joint.connector, joint.plus), (joint.minus_connector, joint.minus))
        wires = [self._wire(wire, [(speaker, joint.coil)])]
        if apart:
            tail = Wire(f"tail {name}", "tail", places[1], panels[1])
            wires.append(self._wire(tail, [(speaker, joint.coil)]))
        return wires


def joint_name(joint: Joint) -> str:
    """`R1 11/25`, and `R1 3/R2 1` where the poles are on two connectors."""
    minus = f"{joint.minus_connector} " if len(joint.connectors) > 1 else ""
    return f"{joint.connector} {joint.plus}/{minus}{joint.minus}"
