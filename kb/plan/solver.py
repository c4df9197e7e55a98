"""The joint choice as a mixed-integer programme for HiGHS (through SciPy), grown cut by cut.

Promise: the aims of `reach` are solved one after the other, each with the earlier ones held at
their optimum. The programme is a relaxation: it knows the network only through the cuts found so
far (`cuts`). Each answer is checked against the network itself; what it violates is added as cuts
and it is solved again. The first answer that violates nothing is a best one, for a relaxation
never costs more than the truth. Costs are whole numbers, so a bound that lies less than one step
below the value found proves it. It stands alone because the proof of a plan rests on it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce
from math import ceil, gcd, inf
from time import monotonic
from typing import Any

from kb.plan.cuts import Barrier, Room, barriers, narrowest, toll
from kb.plan.programme import Programme, Relaxed, Terms
from kb.plan.reach import Fix, Task, Wire

_SLACK = 1e-4
"""How far the solver's arithmetic may stray from a whole number."""
_ROUNDS = 40
"""How often the relaxation is tightened before whole numbers are asked for."""


@dataclass(frozen=True)
class Solution:
    """The chosen fixes, the panels off, and what the solver made of the four aims.

    `key` holds minutes and metres in steps, taps and runs, as far as they were reached; `proved`
    says that each value's bound rules out a better one.
    """

    fixes: list[Fix]
    off: frozenset[str]
    proved: bool
    key: tuple[int, ...]


def solve(task: Task, *, seconds: float) -> Solution:
    """Minutes, metres, taps and runs, each the least possible with the earlier ones held."""
    needed = [task.by_id[wire] for wire in task.needed if wire in task.within_reach]
    if task.start is None or not (needed or task.usable):
        return Solution([], task.off_anyway, True, (task.costs.steps(task.off_anyway), 0, 0, 0))
    return _Search(task, task.start, needed, monotonic() + seconds).run()


class _Search:
    """One task under the solver: the programme so far, and the last answer that held."""

    def __init__(self, task: Task, start: str, needed: Sequence[Wire], until: float) -> None:
        self.task, self.start, self.until = task, start, until
        self.programme = Programme()
        optional = dict.fromkeys(wire for fix in task.usable for wire in fix.wires)
        self.wires = list(dict.fromkeys([*needed, *(task.by_id[wire] for wire in optional)]))
        self.step = reduce(gcd, (s.length for s in task.network.stretches), 0) or 1
        self.tolls: set[tuple[str, frozenset[str]]] = set()
        self.needed = [wire.id for wire in needed]
        self.fixes: dict[str, list[tuple[int, Fix]]] = {}
        for i, fix in enumerate(task.usable):
            self.fixes.setdefault(fix.speaker, []).append((i, fix))
        self._choice_rows()
        self._first_barriers()

    def run(self) -> Solution:
        """Solve aim after aim; stop at the first one that time or proof runs out for."""
        best, key, proved = None, [], True
        for number, (aim, scale) in enumerate(self._aims()):
            if not aim:
                key.append(0)
                continue
            answer, value, certain = self._settle(aim, lengths=number > 0)
            proved = proved and certain
            if answer is None:
                break
            best = answer
            key.append(value * scale)
            self.programme.row(aim, -inf, value + 0.5)
        if best is None:
            return Solution(
                _one_each(self.task.usable, self.task.apart), self._everything(), False, tuple(key)
            )
        taps_and_runs = divmod(key.pop(), len(self.wires) + 1) if len(key) == 3 else ()
        chosen = [fix for i, fix in enumerate(self.task.usable) if ("fix", str(i)) in best]
        off = self.task.off_anyway | {name for kind, name in best if kind == "panel"}
        return Solution(_one_each(chosen), off, proved, (*key, *taps_and_runs))

    def _everything(self) -> frozenset[str]:
        return frozenset(self.task.costs.weights)

    def _settle(
        self, aim: Terms, *, lengths: bool
    ) -> tuple[frozenset[tuple[str, str]] | None, int, bool]:
        """The least sum of `aim` that the network bears out: what is on, the value, its proof."""
        relaxed = self._tighten(aim)
        while True:
            result = self.programme.minimise(aim, self.until - monotonic())
            if result.x is None:
                return None, 0, False
            on = frozenset(
                name for name, column in self.programme.columns.items() if result.x[column] > 0.5
            )
            value = round(result.fun)
            bound = -inf if result.mip_dual_bound is None else result.mip_dual_bound
            certain = abs(result.fun - value) < 0.01 and ceil(bound - _SLACK) >= value
            if not self._add_cuts(on, result.x, lengths=lengths):
                if relaxed is not None:
                    self.programme.rule_out(relaxed, value + 0.9)
                return on, value, certain
            if monotonic() > self.until:
                return None, 0, False

    def _tighten(self, aim: Terms) -> Relaxed | None:
        """Cuts that the relaxation violates, until few are left; the relaxation that remains.

        This is for speed alone: it spares most of the dearer solves in whole numbers.
        """
        relaxed = self.programme.relax(aim)
        for _ in range(_ROUNDS):
            if relaxed is None or not self._add_narrow_cuts(relaxed.x):
                break
            relaxed = self.programme.relax(aim)
        return relaxed

    def _add_narrow_cuts(self, x: Any) -> bool:
        panels = {name: float(x[i]) for name, i in self.programme.named("panel").items()}
        found: dict[frozenset[str], Barrier] = {}
        relaxed = Room(self.task.network, panels)
        for ends in self._demands(x):
            room = relaxed
            while cut := narrowest(room, self.start, ends):
                found.setdefault(cut.panels, cut)
                room = relaxed.copy() if room is relaxed else room
                room.take_off(cut.panels)
        for cut in found.values():
            self._add_barrier(cut)
        return bool(found)

    def _demands(self, x: Any) -> list[dict[str, float]]:
        """For each speaker, and each wire needed anyway, how much of it ends at which place."""
        fix = self.programme.named("fix")
        demands = [{self.task.by_id[wire].place or "": 1.0} for wire in self.needed]
        for fixes in self.fixes.values():
            demand: dict[str, float] = {}
            for i, some in fixes:
                place = self.task.by_id[some.wires[0]].place or ""
                demand[place] = demand.get(place, 0.0) + float(x[fix[str(i)]])
            demands.append(demand)
        return demands

    def _add_cuts(self, on: frozenset[tuple[str, str]], x: Any, *, lengths: bool) -> bool:
        """Whether `on` violates the network; if so, cuts that say how."""
        off = self.task.off_anyway | {name for kind, name in on if kind == "panel"}
        chosen = [fix for i, fix in enumerate(self.task.usable) if ("fix", str(i)) in on]
        ids = dict.fromkeys([*self.needed, *(wire for fix in chosen for wire in fix.wires)])
        pulled = [self.task.by_id[wire] for wire in ids]
        if self._add_barriers([wire.place or "" for wire in pulled], off):
            return True
        added = False
        for wire in pulled if lengths else ():
            if wire.place is None or wire.place == self.start:
                continue
            cut = toll(self.task.network, self.start, wire.place, off)
            length = x[self.programme.column("length", wire.id)] * self.step
            if length < cut.length - self.step / 2 and (wire.place, off) not in self.tolls:
                self.tolls.add((wire.place, off))
                self._add_toll(wire.place, cut.length, cut.savings)
                added = True
        return added

    def _add_toll(self, place: str, length: int, savings: Any) -> None:
        for wire in self.wires:
            if wire.place == place:
                terms = [
                    (self.programme.column("length", wire.id, upper=inf), 1.0),
                    (self.programme.column("wire", wire.id), -length / self.step),
                ]
                for panel, saving in savings.items():
                    terms.append((self.programme.column("panel", panel), saving / self.step))
                self.programme.row(terms, 0, inf)

    def _first_barriers(self) -> None:
        places = [wire.place for wire in self.wires if wire.place is not None]
        self._add_barriers(places, self.task.off_anyway)
        for place in dict.fromkeys(places):
            if place != self.start:
                cut = toll(self.task.network, self.start, place, self._everything())
                self._add_toll(place, cut.length, {})

    def _add_barriers(self, places: Sequence[str], off: frozenset[str]) -> bool:
        """Rows for the barriers between `off` and `places`; whether there were any."""
        task = self.task
        found = list(barriers(task.network, task.costs, self.start, places, off))
        for cut in found:
            self._add_barrier(cut)
        return bool(found)

    def _add_barrier(self, cut: Barrier) -> None:
        """Broken in every plan where all fixes of a speaker, or a wire needed anyway, must pass it;
        else broken by the fixes that pass it."""
        panels = [(self.programme.column("panel", name), 1.0) for name in sorted(cut.panels)]
        passing = [
            [i for i, fix in fixes if self._passes(fix, cut.beyond)]
            for fixes in self.fixes.values()
        ]
        all_of_one = any(
            len(some) == len(fixes)
            for some, fixes in zip(passing, self.fixes.values(), strict=True)
        )
        if all_of_one or any(self.task.by_id[wire].place in cut.beyond for wire in self.needed):
            self.programme.row(panels, 1, inf)
            return
        for some in passing:
            fixes = [(self.programme.column("fix", str(i)), -1.0) for i in some]
            if fixes:
                self.programme.row([*panels, *fixes], 0, inf)

    def _passes(self, fix: Fix, beyond: frozenset[str]) -> bool:
        return any(self.task.by_id[wire].place in beyond for wire in fix.wires)

    def _choice_rows(self) -> None:
        """One fix a speaker; a fix pulls its wires and opens its part's units; ends need panels."""
        column, row = self.programme.column, self.programme.row
        for name in sorted(self.task.costs.weights):
            known = column("panel", name)
            if name in self.task.off_anyway:
                row([(known, 1)], 1, 1)
        for wire_id in self.needed:
            row([(column("wire", wire_id), 1)], 1, 1)
        for fixes in self.fixes.values():
            row([(column("fix", str(i)), 1) for i, _ in fixes], 1, 1)
            needs: dict[tuple[str, str], Terms] = {}
            for i, fix in fixes:
                for need in self._needs_of(fix):
                    needs.setdefault(need, []).append((column("fix", str(i)), -1))
            for need, terms in needs.items():
                row([(column(*need), 1), *terms], 0, inf)
        number = {fix: str(i) for i, fix in enumerate(self.task.usable)}
        for one, other, _ in self.task.apart:
            if one in number and other in number:
                row([(column("fix", number[one]), 1), (column("fix", number[other]), 1)], 0, 1)

    def _needs_of(self, fix: Fix) -> set[tuple[str, str]]:
        panels = {panel for wire in fix.wires for panel in self.task.by_id[wire].panels}
        for part in fix.parts:
            panels |= self.task.part_panels.get(part, frozenset())
        return {("wire", wire) for wire in fix.wires} | {("panel", panel) for panel in panels}

    def _aims(self) -> list[tuple[Terms, int]]:
        """Minutes, metres, then taps before runs, and the steps in one unit of each aim."""
        column, weights = self.programme.column, self.task.costs.weights
        common = reduce(gcd, weights.values(), 0) or 1
        minutes = [
            (column("panel", name), weight / common)
            for name, weight in sorted(weights.items())
            if weight
        ]
        metres: Terms = [
            (column("length", wire.id, upper=inf), 1.0)
            for wire in self.wires
            if wire.place != self.start
        ]
        price = {"tap": len(self.wires) + 1.0, "run": 1.0}
        joints = [
            (column("wire", wire.id), price[wire.kind]) for wire in self.wires if wire.kind in price
        ]
        return [(minutes, common), (metres, self.step), (joints, 1)]


def _one_each(fixes: Sequence[Fix], apart: Sequence[tuple[Fix, Fix, str]] = ()) -> list[Fix]:
    """One fix a speaker, the first that those before it leave whole, where there is one."""
    chosen: dict[str, Fix] = {}
    for speaker in dict.fromkeys(fix.speaker for fix in fixes):
        own = [fix for fix in fixes if fix.speaker == speaker]
        free = [
            fix
            for fix in own
            if not any({fix, other} <= set(pair) for other in chosen.values() for pair in apart)
        ]
        chosen[speaker] = (free or own)[0]
    return list(chosen.values())
