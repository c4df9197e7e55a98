"""The least-minute way of one wire: what each fix of `runs` costs on its own.

Promise: exact. A panel that two stretches of one way need is paid once, so this is no plain
shortest path; labels (minutes, length, places, panels off) are settled in the order of their cost,
and one is dropped only when another at its place stays as cheap even after paying for every panel
that only the dropped one has off and that could serve again. It stands apart from the joint choice
because it must answer without a solver, for every speaker of a list; only a network so tangled that
labels pile up is handed to the solver.
"""

from __future__ import annotations

import heapq
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from kb.plan.network import LENGTH_STEPS, MINUTE_STEPS, Network, Panel, PanelCosts, Walk

_Label = tuple[int, int, tuple[str, ...], tuple[str, ...]]
"""Minutes and length so far in steps, the places in order, the panels off for it."""

_MOST_LABELS = 20_000
"""Labels that wait at once before the solver is asked instead."""


class Tangled(Exception):
    """A network in which very many ways cost about the same: the solver's work."""


@dataclass(frozen=True)
class End:
    """Where a wire ends: its place (None: nobody wrote it down), and what must come off there."""

    place: str | None
    panels: frozenset[str] = frozenset()


@dataclass(frozen=True)
class WayCost:
    """What one fix costs by itself.

    `panels` in order of name; `minutes` None where the way or a panel's minutes are unknown;
    `metres` of new wire, all its wires summed, None where no documented route leads there. Where
    something is unknown, `unknown` says what is missing.
    """

    panels: tuple[str, ...]
    minutes: float | None
    metres: float | None
    walks: tuple[Walk, ...] = ()
    unknown: str | None = None


def least_minutes_walk(
    network: Network, costs: PanelCosts, start: str, end: str, free: frozenset[str]
) -> Walk | None:
    """The walk from `start` to `end` with the fewest panel minutes, then the fewest metres.

    `free` are panels that come off anyway. None where no documented route leads there. Raises
    `Tangled` where labels pile up.
    """
    shared = _shared_panels(network)
    settled: dict[str, list[_Label]] = {}
    queue: list[_Label] = [(0, 0, (start,), ())]
    while queue:
        if len(queue) > _MOST_LABELS:
            raise Tangled
        label = heapq.heappop(queue)
        minutes, length, places, off = label
        place = places[-1]
        if place == end:
            return Walk(places, length, _panels_along(network, places, frozenset(off) | free))
        if any(_beats(other, label, costs, shared) for other in settled.get(place, ())):
            continue
        settled.setdefault(place, []).append(label)
        for near, stretch in network.neighbours.get(place, ()):
            more = stretch.panels.difference(free, off)
            further = (
                minutes + costs.steps(more),
                length + stretch.length,
                (*places, near),
                tuple(sorted((*off, *more))),
            )
            heapq.heappush(queue, further)
    return None


def _shared_panels(network: Network) -> frozenset[str]:
    """Panels on more than one stretch: only these can be paid for now and used again later."""
    named = Counter(panel for stretch in network.stretches for panel in stretch.panels)
    return frozenset(panel for panel, times in named.items() if times > 1)


def _beats(one: _Label, other: _Label, costs: PanelCosts, shared: frozenset[str]) -> bool:
    """True where no continuation of `other` can be cheaper than the same continuation of `one`.

    At worst `one` must still pay for every shared panel that only `other` has paid for.
    """
    owed = one[0] + costs.steps(shared.intersection(other[3]).difference(one[3]))
    return owed < other[0] or (owed == other[0] and one[1] <= other[1])


def _panels_along(
    network: Network, places: Sequence[str], allowed: frozenset[str]
) -> frozenset[str]:
    needed: frozenset[str] = frozenset()
    for here, there in pairwise(places):
        usable = [
            stretch
            for near, stretch in network.neighbours[here]
            if near == there and stretch.panels <= allowed
        ]
        needed |= min(usable, key=lambda stretch: stretch.length).panels
    return needed


def way_cost(
    network: Network,
    panels: Iterable[Panel],
    start: End,
    ends: Sequence[End],
    also_off: frozenset[str] = frozenset(),
) -> WayCost:
    """What it costs to take one wire from `start` to each of `ends`: the least possible.

    `also_off` are further panels that this fix takes off (other units where its part plugs in).
    Ends at several places (two coils fed by two units) are a joint choice and call the solver.
    """
    if len({end.place for end in ends}) > 1:
        return _joint_cost(network, tuple(panels), start, ends, also_off)
    named = {panel for stretch in network.stretches for panel in stretch.panels}
    off = start.panels | also_off | frozenset(panel for end in ends for panel in end.panels)
    costs = PanelCosts.of(panels, named | off)
    walks: list[Walk] = []
    for end in ends:
        walk = None
        if start.place is not None and end.place is not None:
            try:
                walk = least_minutes_walk(network, costs, start.place, end.place, off)
            except Tangled:
                return _joint_cost(network, tuple(panels), start, ends, also_off)
        if walk is None:
            missing = missing_route(network, start.place, end.place)
            return WayCost(tuple(sorted(off)), None, None, unknown=missing)
        off |= walk.panels
        walks.append(walk)
    told = not off & costs.guessed
    return WayCost(
        panels=tuple(sorted(off)),
        minutes=costs.steps(off) / MINUTE_STEPS if told else None,
        metres=sum(walk.length for walk in walks) / LENGTH_STEPS,
        walks=tuple(walks),
        unknown=None if told else _untold(costs, off),
    )


def missing_route(network: Network, start: str | None, end: str | None) -> str:
    """Why no documented route leads from one place to another: what nobody recorded."""
    if start is None:
        return "where the amplifier goes is not recorded"
    if end is None:
        return "where this wire ends is not recorded"
    if start not in network.neighbours:
        return f"no route is recorded from {start}"
    if end not in network.neighbours:
        return f"no route is recorded to {end}"
    return f"the stretch that joins the routes from {start} to those of {end} is not recorded"


def _untold(costs: PanelCosts, off: Iterable[str]) -> str:
    """Which panels nobody wrote minutes of."""
    panels = sorted(costs.guessed.intersection(off))
    return f"nobody wrote the minutes of {', '.join(panels)}"


def _joint_cost(
    network: Network,
    panels: tuple[Panel, ...],
    start: End,
    ends: Sequence[End],
    also_off: frozenset[str],
) -> WayCost:
    from kb.plan.reach import Task, Wire, choose

    wires = tuple(Wire(f"run {i}", "run", end.place, end.panels) for i, end in enumerate(ends))
    needed = tuple(wire.id for wire in wires)
    off = start.panels | also_off
    task = Task(start.place, network, panels, wires, needed, (), {}, off)
    reach = choose(task)
    walks = tuple(way.walk for way in reach.ways if way.walk)
    if len(walks) < len(ends):
        lost = next(way.wire.place for way in reach.ways if way.walk is None)
        missing = missing_route(network, start.place, lost)
        return WayCost(reach.panels, None, None, unknown=missing)
    told = not task.costs.guessed.intersection(reach.panels)
    return WayCost(
        reach.panels,
        reach.minutes if told else None,
        reach.metres,
        walks,
        None if told else _untold(task.costs, reach.panels),
    )
