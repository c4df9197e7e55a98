"""What a set of panels that is still too small must satisfy: the cuts that drive the joint choice.

Promise: every cut holds for every plan, so the solver's relaxation never rules out the best one.
A `Barrier` says that a place is out of reach unless one more of some panels comes off; a `Toll`
says how short a wire can get for each further panel. They stand apart from the solver because
they are statements about the network alone, and are tested as such.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from kb.plan.network import Network, PanelCosts, Stretch

_MILLION = 1_000_000
_SINK = ""
"""Where all ends flow together; no place has an empty name."""


@dataclass(frozen=True)
class Barrier:
    """No place in `beyond` can be reached unless at least one of `panels` comes off."""

    beyond: frozenset[str]
    panels: frozenset[str]


@dataclass(frozen=True)
class Toll:
    """A wire to `place` is at least `length` steps long, less `savings` for each panel off."""

    place: str
    length: int
    savings: Mapping[str, int]


def reached(network: Network, start: str, off: frozenset[str]) -> frozenset[str]:
    """All places that a wire can come to from `start` with the panels `off`."""
    found, waiting = {start}, [start]
    while waiting:
        for near, stretch in network.neighbours.get(waiting.pop(), ()):
            if near not in found and stretch.panels <= off:
                found.add(near)
                waiting.append(near)
    return frozenset(found)


def barriers(
    network: Network, costs: PanelCosts, start: str, places: Iterable[str], off: frozenset[str]
) -> Iterator[Barrier]:
    """Barriers that the panels `off` do not break, nested outward and around each place."""
    every = frozenset(network.neighbours) | {start}
    inside = reached(network, start, off)
    waiting = [place for place in dict.fromkeys(places) if place not in inside]
    for place in waiting:
        around = reached(network, place, off)
        yield Barrier(frozenset([place]), _crossing(network, costs, around, off))
    while any(place not in inside for place in waiting):
        panels = _crossing(network, costs, inside, off)
        yield Barrier(every - inside, panels)
        if not panels:
            return
        off |= panels
        inside = reached(network, start, off)


def _crossing(
    network: Network, costs: PanelCosts, inside: frozenset[str], off: frozenset[str]
) -> frozenset[str]:
    """One missing panel for each stretch that leaves `inside`: few of them, and dear ones."""
    missing = [
        stretch.panels - off
        for stretch in network.stretches
        if (stretch.start in inside) != (stretch.end in inside)
    ]
    often = Counter(panel for panels in missing for panel in panels)
    chosen: set[str] = set()
    for panels in sorted(missing, key=lambda panels: (len(panels), sorted(panels))):
        if not chosen & panels:
            chosen.add(max(sorted(panels), key=lambda p: (often[p], costs.weights[p])))
    return frozenset(chosen)


def toll(network: Network, start: str, place: str, off: frozenset[str]) -> Toll:
    """The toll that the panels `off` pay in full: `place` must be in reach with them.

    Each place's distance, cut off at that of `place`, is a price; a stretch that is still closed
    could at most save what the prices at its ends differ by beyond its own length.
    """
    walks = network.walks(start, off)
    target = walks[place].length

    def price(at: str) -> int:
        return min(walks[at].length, target) if at in walks else target

    savings: dict[str, int] = {}
    for stretch in network.stretches:
        saving = abs(price(stretch.start) - price(stretch.end)) - stretch.length
        if saving > 0:
            panel = _dearest_missing(stretch, off, savings)
            savings[panel] = savings.get(panel, 0) + saving
    return Toll(place, target, savings)


def _dearest_missing(stretch: Stretch, off: frozenset[str], savings: Mapping[str, int]) -> str:
    return max(sorted(stretch.panels - off), key=lambda panel: savings.get(panel, -1))


class Room:
    """How much each stretch lets through when fractions of panels are off: the least of its own.

    Counted in whole millionths, so that sums are exact.
    """

    def __init__(self, network: Network, panels: Mapping[str, float]) -> None:
        self.network = network
        self.panels = dict(panels)
        self.between: dict[str, dict[str, int]] = {place: {} for place in network.neighbours}
        for stretch in network.stretches:
            self._add(stretch, self._width(stretch))

    def take_off(self, panels: Iterable[str]) -> None:
        """Take these panels off whole."""
        new = set(panels)
        touched = [stretch for stretch in self.network.stretches if stretch.panels & new]
        for stretch in touched:
            self._add(stretch, -self._width(stretch))
        self.panels.update(dict.fromkeys(new, 1.0))
        for stretch in touched:
            self._add(stretch, self._width(stretch))

    def copy(self) -> Room:
        """The same room, to change on its own."""
        other = object.__new__(Room)
        other.network, other.panels = self.network, dict(self.panels)
        other.between = self.spare()
        return other

    def spare(self) -> dict[str, dict[str, int]]:
        """What each place lets through to its neighbours, for a flow to use up."""
        return {place: dict(heads) for place, heads in self.between.items()}

    def _width(self, stretch: Stretch) -> int:
        width = min((self.panels.get(panel, 0.0) for panel in stretch.panels), default=1.0)
        return round(width * _MILLION)

    def _add(self, stretch: Stretch, width: int) -> None:
        out, back = self.between[stretch.start], self.between[stretch.end]
        out[stretch.end] = out.get(stretch.end, 0) + width
        back[stretch.start] = back.get(stretch.start, 0) + width


def narrowest(room: Room, start: str, ends: Mapping[str, float]) -> Barrier | None:
    """The barrier that fractions of panels violate most, or None where they suffice.

    `ends` are the shares of one wire that end at each place (1 in all). By the theorem of the
    greatest flow and the narrowest cut.
    """
    spare = room.spare()
    spare.setdefault(start, {})
    spare[_SINK] = {}
    wanted = 0
    for place, share in ends.items():
        if place != start and share > 0:
            spare.setdefault(place, {})[_SINK] = round(share * _MILLION)
            wanted += round(share * _MILLION)
    flow, inside = _greatest_flow(spare, start, wanted)
    if flow >= wanted - _MILLION // 100:
        return None
    chosen: set[str] = set()
    for stretch in room.network.stretches:
        if (stretch.start in inside) != (stretch.end in inside) and not chosen & stretch.panels:
            chosen.add(min(sorted(stretch.panels), key=lambda panel: room.panels.get(panel, 0.0)))
    return Barrier(frozenset(spare) - inside - {_SINK}, frozenset(chosen))


def _greatest_flow(
    room: dict[str, dict[str, int]], start: str, wanted: int
) -> tuple[int, set[str]]:
    """The greatest flow from `start` to the sink (shortest augmenting paths; uses `room` up), and
    the places that still have room from `start`: the near side of a narrowest cut."""
    total = 0
    while True:
        if total >= wanted:
            return total, set()
        came_from: dict[str, str] = {start: start}
        waiting = [start]
        for place in waiting:
            for near, left in room[place].items():
                if left > 0 and near not in came_from:
                    came_from[near] = place
                    waiting.append(near)
            if _SINK in came_from:
                break
        if _SINK not in came_from:
            return total, set(came_from)
        path = [_SINK]
        while path[-1] != start:
            path.append(came_from[path[-1]])
        steps = [(tail, head) for head, tail in pairwise(path)]
        least = min(room[tail][head] for tail, head in steps)
        for tail, head in steps:
            room[tail][head] -= least
            room[head][tail] = room[head].get(tail, 0) + least
        total += least
