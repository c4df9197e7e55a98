"""The joint choice: one fix for every speaker not carried, one way for every wire, least in all.

Promise: exact, and only then said to be so. Least minutes of the union of all panels that come off;
among equals the fewest metres, every wire counted and the supply's included; then the fewest taps;
then the fewest runs. It knows nothing of vehicles or kits: a `Task` says what is to be joined.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Literal

from kb.plan.network import (
    LENGTH_STEPS,
    MINUTE_STEPS,
    Network,
    Panel,
    PanelCosts,
    Walk,
)

WireKind = Literal["lead", "tap", "tail", "run", "supply"]
"""A tail is the minus of a tap by itself, where its poles are at two places; no tap of its own."""
FixWay = Literal["part", "run", "tap"]


@dataclass(frozen=True)
class Wire:
    """One wire from the amplifier's place to `place` (None: undocumented), and the panels there."""

    id: str
    kind: WireKind
    place: str | None
    panels: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Fix:
    """One way to bring a speaker to the amplifier: the wires it pulls and the parts it buys."""

    speaker: str
    way: FixWay
    wires: tuple[str, ...]
    parts: tuple[str, ...] = ()


@dataclass(frozen=True)
class Task:
    """What is to be joined, and over what.

    `needed` wires are pulled in any case (leads of the parts chosen already, the supply). `off` are
    panels that come off in any case (units where those parts plug in, the amplifier's own place).
    `part_panels` are the panels of the units where an unchosen part plugs in. `apart` are pairs of
    fixes that cannot both be, each with what would be wrong, and `barred` the parts that are out of
    the choice, each with why.
    """

    start: str | None
    network: Network
    panels: tuple[Panel, ...]
    wires: tuple[Wire, ...]
    needed: tuple[str, ...]
    fixes: tuple[Fix, ...]
    part_panels: Mapping[str, frozenset[str]]
    off: frozenset[str] = frozenset()
    apart: tuple[tuple[Fix, Fix, str], ...] = ()
    barred: Mapping[str, str] = field(default_factory=dict)

    @cached_property
    def costs(self) -> PanelCosts:
        """The minutes of every panel that is named anywhere in the task."""
        named = set(self.off)
        for stretch in self.network.stretches:
            named |= stretch.panels
        for wire in self.wires:
            named |= wire.panels
        for panels in self.part_panels.values():
            named |= panels
        return PanelCosts.of(self.panels, named)

    @cached_property
    def by_id(self) -> dict[str, Wire]:
        """The wires by their ids."""
        return {wire.id: wire for wire in self.wires}

    @cached_property
    def off_anyway(self) -> frozenset[str]:
        """Panels that come off whatever is chosen, the ends of wires out of reach among them."""
        return self.off.union(*(self.by_id[wire].panels for wire in self.needed))

    @cached_property
    def within_reach(self) -> frozenset[str]:
        """Ids of the wires that a documented route serves, when every panel is off."""
        if self.start is None:
            return frozenset()
        walks = self.network.walks(self.start)
        return frozenset(wire.id for wire in self.wires if wire.place in walks)

    @cached_property
    def off_the_routes(self) -> bool:
        """Whether no stretch at all leaves the amplifier's place."""
        return self.start is not None and self.start not in self.network.neighbours

    @cached_property
    def speakers(self) -> tuple[str, ...]:
        """The speakers that need a fix, in the order of the fixes."""
        return tuple(dict.fromkeys(fix.speaker for fix in self.fixes))

    @cached_property
    def usable(self) -> tuple[Fix, ...]:
        """The fixes whose wires all lie within reach."""
        return tuple(fix for fix in self.fixes if self.within_reach.issuperset(fix.wires))

    @cached_property
    def unreachable(self) -> tuple[str, ...]:
        """Speakers that no usable fix serves."""
        served = {fix.speaker for fix in self.usable}
        return tuple(speaker for speaker in self.speakers if speaker not in served)


@dataclass(frozen=True)
class WireWay:
    """A wire that is pulled, and its way; `walk` is None where no documented route serves it."""

    wire: Wire
    walk: Walk | None


@dataclass(frozen=True)
class Reach:
    """The choice, measured again in whole steps after the solver has spoken.

    `minutes` and `metres` (speaker wire) are None where they are unknown: no panel has minutes, a
    wire that must be pulled has no documented way, a speaker is out of reach. `known_minutes` and
    `known_metres` are then the least that it will be. `exact` is True only where the solver's
    bound proves every stage. `guessed` are the panels off whose minutes nobody wrote down.
    """

    fixes: tuple[Fix, ...]
    ways: tuple[WireWay, ...]
    panels: tuple[str, ...]
    minutes: float | None
    known_minutes: float | None
    metres: float | None
    known_metres: float
    supply_metres: float | None
    taps: int
    runs: int
    unreachable: tuple[str, ...]
    exact: bool
    flags: tuple[str, ...]
    guessed: tuple[str, ...]
    key: tuple[int, int, int, int]

    @property
    def parts(self) -> tuple[str, ...]:
        """The further parts that the chosen fixes buy."""
        return tuple(dict.fromkeys(part for fix in self.fixes for part in fix.parts))


def choose(task: Task, *, seconds: float = 20.0) -> Reach:
    """Choose fixes and ways; `seconds` limits the solver, whose bound decides `exact`."""
    from kb.plan.solver import solve

    solution = solve(task, seconds=seconds)
    reach = measure(task, solution.fixes, solution.off, proved=solution.proved)
    if solution.proved and reach.key != solution.key:
        return measure(task, solution.fixes, solution.off, proved=False)
    return reach


def measure(task: Task, fixes: Sequence[Fix], off: frozenset[str], *, proved: bool) -> Reach:
    """The cost of given fixes with given panels off, in whole steps; panels not needed stay on."""
    pulled = [*task.needed, *(wire for fix in fixes for wire in fix.wires)]
    wires = [task.by_id[wire] for wire in dict.fromkeys(pulled)]
    fixed = set(task.off_anyway)
    for wire in wires:
        fixed |= wire.panels
    for fix in fixes:
        for part in fix.parts:
            fixed |= task.part_panels.get(part, frozenset())
    off = _shed_free_panels(task, wires, frozenset(fixed), off | fixed)
    ways = _ways(task, wires, off)
    for way in ways:
        fixed |= way.walk.panels if way.walk else frozenset()
    speaker_ways = [way for way in ways if way.wire.kind != "supply"]
    supply_ways = [way for way in ways if way.wire.kind == "supply"]
    taps = sum(wire.kind == "tap" for wire in wires)
    runs = sum(wire.kind == "run" for wire in wires)
    steps = task.costs.steps(fixed)
    lost = bool(task.unreachable) or any(way.walk is None for way in ways)
    return Reach(
        fixes=tuple(fixes),
        ways=ways,
        panels=tuple(sorted(fixed)),
        minutes=steps / MINUTE_STEPS if task.costs.known and not lost else None,
        known_minutes=steps / MINUTE_STEPS if task.costs.known else None,
        metres=None if task.unreachable else _metres(speaker_ways),
        known_metres=sum(way.walk.length for way in speaker_ways if way.walk) / LENGTH_STEPS,
        supply_metres=_metres(supply_ways) if supply_ways else None,
        taps=taps,
        runs=runs,
        unreachable=task.unreachable,
        exact=proved,
        flags=(*_flags(task, fixed, ways, proved=proved), *_at_odds(task, fixes)),
        guessed=tuple(sorted(fixed & task.costs.guessed)) if task.costs.known else (),
        key=(steps, sum(way.walk.length for way in ways if way.walk), taps, runs),
    )


def _ways(task: Task, wires: Iterable[Wire], off: frozenset[str]) -> tuple[WireWay, ...]:
    walks = {} if task.start is None else task.network.walks(task.start, off)
    return tuple(
        WireWay(wire, None if wire.place is None else walks.get(wire.place)) for wire in wires
    )


def _shed_free_panels(
    task: Task, wires: Sequence[Wire], fixed: frozenset[str], off: frozenset[str]
) -> frozenset[str]:
    """Leave on every panel whose absence saves no wire (one that costs no minutes, say)."""

    def length(panels: frozenset[str]) -> tuple[int, int]:
        ways = _ways(task, wires, panels)
        found = [way.walk.length for way in ways if way.walk]
        return len(ways) - len(found), sum(found)

    target = length(off)
    for panel in sorted(off - fixed):
        if length(off - {panel}) == target:
            off -= {panel}
    return off


def _metres(ways: Sequence[WireWay]) -> float | None:
    total = 0
    for way in ways:
        if way.walk is None:
            return None
        total += way.walk.length
    return total / LENGTH_STEPS


def _flags(task: Task, off: Iterable[str], ways: Iterable[WireWay], *, proved: bool) -> list[str]:
    flags = []
    guessed = sorted(set(off) & task.costs.guessed)
    if not task.costs.known:
        flags.append(
            "no panel of this vehicle has minutes: the plan takes off the fewest panels, "
            "and its minutes are unknown"
        )
    elif guessed:
        dearest = max(task.costs.weights.values()) / MINUTE_STEPS
        flags.append(
            f"no minutes for {', '.join(guessed)}: counted as the dearest known panel, "
            f"{dearest:g} min each"
        )
    if task.start is None:
        flags.append("the amplifier's place is not given: no way can be worked out")
    elif task.off_the_routes:
        flags.append(f"no documented route leaves {task.start}: ways and metres are unknown")
    else:
        flags += [
            f"no documented way for the {describe_wire(way.wire)}: its metres and panels are "
            "unknown"
            for way in ways
            if way.walk is None
        ]
        flags += [f"nothing documented reaches {speaker}" for speaker in task.unreachable]
    flags += [f"part {part} is no choice here: {why}" for part, why in sorted(task.barred.items())]
    if not proved:
        flags.append("the solver did not prove that no cheaper plan exists")
    return flags


def _at_odds(task: Task, fixes: Sequence[Fix]) -> Iterator[str]:
    """Only where the solver found nothing better: chosen fixes that cannot both be."""
    for one, other, why in task.apart:
        if one in fixes and other in fixes:
            yield why


def describe_wire(wire: Wire) -> str:
    """A wire in words, for a flag or a step."""
    where = wire.place or "a place that nobody wrote down"
    if wire.kind == "supply":
        return f"supply cable to {where}"
    return f"{wire.kind} {wire.id.removeprefix(wire.kind).strip()} to {where}"


def without_parts(task: Task, parts: Iterable[str]) -> Task:
    """The task with some parts ruled out."""
    barred = set(parts)
    return replace(
        task, fixes=tuple(fix for fix in task.fixes if not barred.intersection(fix.parts))
    )


def preferring(task: Task, way: FixWay, speakers: Iterable[str] | None = None) -> Task:
    """The task with `way` for every speaker (or the given ones) that can be reached so."""
    asked = set(task.speakers if speakers is None else speakers)
    able = {fix.speaker for fix in task.usable if fix.way == way} & asked
    return replace(
        task,
        fixes=tuple(fix for fix in task.fixes if fix.speaker not in able or fix.way == way),
    )


def avoiding(task: Task, way: FixWay) -> Task | None:
    """The task without `way`, or None where a speaker that was in reach would fall out of it."""
    left = replace(task, fixes=tuple(fix for fix in task.fixes if fix.way != way))
    served = {fix.speaker for fix in left.usable}
    return left if served.issuperset(fix.speaker for fix in task.usable) else None
