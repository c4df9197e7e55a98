"""The routes of a vehicle as a network, and the shortest way along them under given panels.

Promise: lengths are whole tenths of a millimetre and minutes whole thousandths, so sums and
comparisons are exact. It stands alone because every cost of a wire, single or joint, rests on it.
"""

from __future__ import annotations

import heapq
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

LENGTH_STEPS = 10_000
"""Steps in one metre: lengths are kept as whole tenths of a millimetre."""
MINUTE_STEPS = 1_000
"""Steps in one minute."""


@dataclass(frozen=True)
class Stretch:
    """One stretch that a wire can follow, usable both ways; `panels` must all be off to use it.

    `note` is what its author says of laying a wire there.
    """

    start: str
    end: str
    metres: float
    panels: frozenset[str] = frozenset()
    note: str | None = None

    @property
    def length(self) -> int:
        """The length in whole steps of a tenth of a millimetre."""
        return round(self.metres * LENGTH_STEPS)


@dataclass(frozen=True)
class Panel:
    """Something that must come off; `minutes` to take off and refit, None where nobody knows."""

    id: str
    minutes: float | None = None


@dataclass(frozen=True)
class Walk:
    """A way through the network: the places in order, its length in steps, the panels it needs."""

    places: tuple[str, ...]
    length: int
    panels: frozenset[str]

    @property
    def metres(self) -> float:
        """The length in metres."""
        return self.length / LENGTH_STEPS


@dataclass(frozen=True)
class Network:
    """All stretches of a vehicle."""

    stretches: tuple[Stretch, ...]

    @cached_property
    def neighbours(self) -> Mapping[str, tuple[tuple[str, Stretch], ...]]:
        """For each place, the places one stretch away, in the order of the document."""
        found: dict[str, list[tuple[str, Stretch]]] = {}
        for stretch in self.stretches:
            found.setdefault(stretch.start, []).append((stretch.end, stretch))
            found.setdefault(stretch.end, []).append((stretch.start, stretch))
        return {place: tuple(near) for place, near in found.items()}

    def stretches_of(self, walk: Walk) -> tuple[Stretch, ...]:
        """The stretches that a walk follows, in its order: of several between two places, the
        shortest whose panels the walk takes off."""
        found = []
        for here, there in pairwise(walk.places):
            usable = [
                stretch
                for near, stretch in self.neighbours[here]
                if near == there and stretch.panels <= walk.panels
            ]
            found.append(min(usable, key=lambda stretch: stretch.length))
        return tuple(found)

    def walks(self, start: str, panels: Collection[str] | None = None) -> dict[str, Walk]:
        """The shortest walk from `start` to every place, with only `panels` off (None: all off).

        A place that no stretch reaches is absent; `start` itself is always there, at length 0.
        """
        best: dict[str, Walk] = {}
        queue: list[tuple[int, tuple[str, ...], frozenset[str]]] = [(0, (start,), frozenset())]
        while queue:
            length, places, needed = heapq.heappop(queue)
            place = places[-1]
            if place in best:
                continue
            best[place] = Walk(places, length, needed)
            for near, stretch in self.neighbours.get(place, ()):
                usable = panels is None or all(panel in panels for panel in stretch.panels)
                if usable and near not in best:
                    step = (length + stretch.length, (*places, near), needed | stretch.panels)
                    heapq.heappush(queue, step)
        return best


@dataclass(frozen=True)
class PanelCosts:
    """Panels' minutes in whole steps, a panel without minutes counted as the dearest known one.

    `weights` holds every panel that `panels` or `also` names. `guessed` are those without minutes.
    Where no panel at all has minutes, every weight is one step and `known` is False: the fewest
    panels come off, and no minutes can be told.
    """

    weights: Mapping[str, int]
    guessed: frozenset[str]
    known: bool

    @classmethod
    def of(cls, panels: Iterable[Panel], also: Iterable[str] = ()) -> PanelCosts:
        """Costs of the documented panels and of those that are only named somewhere (`also`)."""
        minutes: dict[str, float | None] = dict.fromkeys(also)
        minutes.update({panel.id: panel.minutes for panel in panels})
        told = {
            panel: round(value * MINUTE_STEPS)
            for panel, value in minutes.items()
            if value is not None
        }
        dearest = max(told.values(), default=1)
        weights = {panel: told.get(panel, dearest) for panel in minutes}
        return cls(weights, frozenset(minutes) - frozenset(told), bool(told) or not minutes)

    def steps(self, panels: Iterable[str]) -> int:
        """The minutes of a set of panels, in steps; each panel once."""
        return sum(self.weights[panel] for panel in set(panels))
