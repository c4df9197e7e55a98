"""Barriers and tolls hold for every set of panels: a cut that does not would rule out the best."""

import itertools
import random

import pytest

from kb.plan.cuts import Room, barriers, narrowest, reached, toll
from tests.kb.plan.test_reach import floyd_warshall, small_task

SEEDS = range(25)


def every_set(names: list[str]) -> list[frozenset[str]]:
    return [
        frozenset(chosen)
        for size in range(len(names) + 1)
        for chosen in itertools.combinations(names, size)
    ]


@pytest.mark.parametrize("seed", SEEDS)
def test_reached_is_what_the_distances_say(seed: int) -> None:
    task = small_task(seed)
    for off in every_set([panel.id for panel in task.panels]):
        assert reached(task.network, task.start, off) == set(floyd_warshall(task, off))


@pytest.mark.parametrize("seed", SEEDS)
def test_a_barrier_holds_until_one_of_its_panels_is_off(seed: int) -> None:
    task = small_task(seed)
    sets = every_set([panel.id for panel in task.panels])
    places = [place for place in task.network.neighbours if place != task.start]
    found = 0
    for off in sets:
        for cut in barriers(task.network, task.costs, task.start, places, off):
            found += 1
            for other in sets:
                if not cut.panels & other:
                    assert not cut.beyond & reached(task.network, task.start, other)
    assert found or all(reached(task.network, task.start, off) >= set(places) for off in sets)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_narrowest_barrier_holds_and_is_violated(seed: int) -> None:
    task = small_task(seed)
    dice = random.Random(seed)
    names = [panel.id for panel in task.panels]
    places = [place for place in task.network.neighbours if place != task.start]
    for _ in range(20):
        fractions = {name: dice.choice([0, 0.25, 0.5, 0.75, 1]) for name in names}
        end = dice.choice(places)
        cut = narrowest(Room(task.network, fractions), task.start, {end: 1.0})
        if cut is None:
            continue
        assert end in cut.beyond
        assert sum(fractions[panel] for panel in cut.panels) < 1
        for off in every_set(names):
            if not cut.panels & off:
                assert not cut.beyond & reached(task.network, task.start, off)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_toll_is_never_more_than_the_way_is_long(seed: int) -> None:
    task = small_task(seed)
    sets = every_set([panel.id for panel in task.panels])
    distances = {off: floyd_warshall(task, off) for off in sets}
    for off in sets:
        for place in distances[off]:
            if place == task.start:
                continue
            cut = toll(task.network, task.start, place, off)
            assert cut.length == distances[off][place]
            for other in sets:
                if place in distances[other]:
                    saved = sum(cut.savings.get(panel, 0) for panel in other)
                    assert distances[other][place] >= cut.length - saved
