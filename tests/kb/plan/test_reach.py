"""The joint choice of fixes and ways: the example by hand, and every small vehicle tried out."""

import itertools
import random
import tomllib
from dataclasses import replace
from pathlib import Path

import pytest

from kb.plan.network import LENGTH_STEPS, MINUTE_STEPS, Network, Panel, Stretch
from kb.plan.reach import Fix, Task, Wire, avoiding, choose, measure, preferring, without_parts
from kb.plan.ways import End, way_cost

ROOT = Path(__file__).parents[3]
QUARTERS_AND_CENTRE = {
    "quarter-l": ("quarter-left", "quarter-trim-left"),
    "quarter-r": ("quarter-right", "quarter-trim-right"),
    "centre": ("dash-top", "dash-top-grille"),
}


def example_task() -> Task:
    """The Tarn with the kit at its amplifier, written out by hand from the two documents."""
    path = ROOT / "seed_data/vehicles/halden-tarn-19-concert10.toml"
    vehicle = tomllib.loads(path.read_text("utf-8"))
    network = Network(
        tuple(
            Stretch(route["from"], route["to"], route["metres"], frozenset(route["panels"]))
            for route in vehicle["route"]
        )
    )
    panels = tuple(Panel(panel["id"], panel["minutes"]) for panel in vehicle["panel"])
    facia = frozenset(["dash-facia"])
    wires = [Wire(f"lead {letter}", "lead", "seat-front-left") for letter in "ABCDGH"]
    wires.append(Wire("supply", "supply", "bay-left"))
    needed = tuple(wire.id for wire in wires)
    fixes = []
    for letter, speaker in (("J", "quarter-l"), ("K", "quarter-r")):
        wires.append(Wire(f"lead {letter}", "lead", "dash-centre", facia))
        fixes.append(Fix(speaker, "part", (f"lead {letter}",), ("radio-28",)))
    for speaker, (place, panel) in QUARTERS_AND_CENTRE.items():
        wires.append(Wire(f"run {speaker}", "run", place, frozenset([panel])))
        wires.append(Wire(f"tap {speaker}", "tap", "dash-centre", facia))
        fixes.append(Fix(speaker, "run", (f"run {speaker}",)))
        fixes.append(Fix(speaker, "tap", (f"tap {speaker}",)))
    return Task(
        start="seat-front-left",
        network=network,
        panels=panels,
        wires=tuple(wires),
        needed=needed,
        fixes=tuple(fixes),
        part_panels={"radio-28": facia},
    )


def ways_of(reach) -> dict[str, str]:
    return {fix.speaker: fix.way for fix in reach.fixes}


def test_example_by_hand() -> None:
    """22 (facia) + 6 (console side) + 3 (front scuff plate, for the supply) = 31 minutes."""
    reach = choose(example_task())
    assert ways_of(reach) == {"quarter-l": "part", "quarter-r": "part", "centre": "tap"}
    assert reach.panels == ("console-side-left", "dash-facia", "scuff-plate-front-left")
    assert (reach.minutes, reach.metres, reach.supply_metres) == (31, 4.2, 2.4)
    assert (reach.taps, reach.runs, reach.parts) == (1, 0, ("radio-28",))
    assert reach.exact
    assert reach.flags == ()


def test_example_all_direct() -> None:
    """The issue's own other plan: every speaker by a wire of its own, 72 min, 8.3 m, no tap."""
    reach = choose(preferring(example_task(), "run"))
    assert (reach.minutes, reach.metres, reach.taps, reach.runs) == (72, 8.3, 0, 3)


def test_example_without_the_part_and_without_taps() -> None:
    without = choose(without_parts(example_task(), ["radio-28"]))
    assert (without.minutes, without.metres, without.taps) == (31, 4.2, 3)
    no_tap = avoiding(example_task(), "tap")
    assert no_tap is not None
    untapped = choose(no_tap)
    assert (untapped.minutes, untapped.metres, untapped.taps, untapped.runs) == (35, 4.7, 0, 1)


def test_single_fix_costs_of_the_example() -> None:
    task = example_task()
    start = End("seat-front-left")
    direct = way_cost(
        task.network, task.panels, start, [End("quarter-right", frozenset(["quarter-trim-right"]))]
    )
    assert direct.panels == (
        "quarter-trim-right",
        "rear-bench",
        "scuff-plate-front-left",
        "scuff-plate-rear-left",
    )
    assert (direct.minutes, direct.metres) == (28, 3.8)
    tap = way_cost(
        task.network, task.panels, start, [End("dash-centre", frozenset(["dash-facia"]))]
    )
    assert (tap.minutes, tap.metres) == (28, 1.4)
    here = way_cost(task.network, task.panels, start, [End("seat-front-left")])
    assert (here.panels, here.minutes, here.metres) == ((), 0, 0)


def test_a_panel_that_serves_twice_is_paid_once() -> None:
    network = Network(
        (
            Stretch("a", "b", 1, frozenset(["long"])),
            Stretch("b", "c", 1, frozenset(["long"])),
            Stretch("c", "d", 1, frozenset(["long"])),
            Stretch("a", "d", 1, frozenset(["one", "two"])),
        )
    )
    panels = [Panel("long", 5), Panel("one", 3), Panel("two", 3)]
    cost = way_cost(network, panels, End("a"), [End("d")])
    assert (cost.panels, cost.minutes, cost.metres) == (("long",), 5, 3)


def test_two_coils_at_two_places_are_a_joint_choice() -> None:
    """Each alone would take its own cheap panel; together one dearer panel serves both."""
    network = Network(
        (
            Stretch("s", "a", 1, frozenset(["pa"])),
            Stretch("s", "b", 1, frozenset(["pb"])),
            Stretch("s", "h", 1, frozenset(["both"])),
            Stretch("h", "a", 1, frozenset(["both"])),
            Stretch("h", "b", 1, frozenset(["both"])),
        )
    )
    panels = [Panel("pa", 4), Panel("pb", 4), Panel("both", 6)]
    cost = way_cost(network, panels, End("s"), [End("a"), End("b")])
    assert (cost.panels, cost.minutes, cost.metres) == (("both",), 6, 4)


def test_missing_minutes_and_routes_are_said() -> None:
    task = example_task()
    unknown = tuple(
        Panel("dash-facia") if panel.id == "dash-facia" else panel for panel in task.panels
    )
    reach = choose(replace(task, panels=unknown))
    assert reach.minutes == 12 + 6 + 3  # the dearest known panel is a quarter trim's 12
    assert any("dash-facia" in flag and "12 min" in flag for flag in reach.flags)
    cost = way_cost(
        task.network, unknown, End("seat-front-left"), [End("quarter-left"), End("dash-top")]
    )
    assert cost.minutes is None
    assert cost.metres == pytest.approx(2.6 + 1.9)
    nowhere = way_cost(task.network, task.panels, End("seat-front-left"), [End("roof")])
    assert (nowhere.minutes, nowhere.metres) == (None, None)

    cut = Network(tuple(s for s in task.network.stretches if "bench-left" not in (s.start, s.end)))
    lost = choose(preferring(replace(task, network=cut), "run"))
    assert ways_of(lost) == {"quarter-l": "part", "quarter-r": "part", "centre": "run"}
    only_runs = tuple(fix for fix in task.fixes if fix.way == "run")
    stranded = choose(replace(task, network=cut, fixes=only_runs))
    assert stranded.unreachable == ("quarter-l", "quarter-r")
    assert sum("nothing documented reaches" in flag for flag in stranded.flags) == 2
    assert ways_of(stranded) == {"centre": "run"}


def test_no_amplifier_place_and_no_minutes_at_all() -> None:
    task = example_task()
    nowhere = choose(replace(task, start=None))
    assert nowhere.unreachable == ("quarter-l", "quarter-r", "centre")
    assert nowhere.metres is None
    assert any("amplifier's place" in flag for flag in nowhere.flags)
    untimed = choose(replace(task, panels=()))
    assert untimed.minutes is None
    assert len(untimed.panels) == 3
    assert any("no panel of this vehicle has minutes" in flag for flag in untimed.flags)


def small_task(seed: int) -> Task:
    """A small vehicle with every quirk: panels and leads shared, zero minutes."""
    dice = random.Random(seed)
    places = [f"n{i}" for i in range(dice.randint(4, 8))]
    panels = tuple(
        Panel(f"p{i}", dice.choice([0, 1, 2, 3, 2.5])) for i in range(dice.randint(2, 6))
    )
    names = [panel.id for panel in panels]

    def some(most: int) -> frozenset[str]:
        return frozenset(dice.sample(names, dice.randint(0, min(most, len(names)))))

    stretches = [
        Stretch(place, dice.choice(places[:i]), dice.randint(1, 9) / 10, some(2))
        for i, place in enumerate(places)
        if i and dice.random() < 0.95
    ]
    stretches += [
        Stretch(*dice.sample(places, 2), dice.randint(1, 9) / 10, some(2)) for _ in range(4)
    ]
    wires, fixes = [Wire("supply", "supply", dice.choice(places), some(1))], []
    units = dice.sample(places, 2)
    for i in range(dice.randint(1, 4)):
        speaker = f"s{i}"
        lead = f"lead {dice.randint(0, 1)}"
        if lead not in [wire.id for wire in wires]:
            wires.append(Wire(lead, "lead", dice.choice(units), some(1)))
        wires.append(Wire(f"tap {i}", "tap", dice.choice(units), some(1)))
        wires.append(Wire(f"run {i}a", "run", dice.choice(places), some(1)))
        wires.append(Wire(f"run {i}b", "run", wires[-1].place, wires[-1].panels))
        fixes += [
            Fix(speaker, "part", (lead,), (dice.choice(["x", "y"]),)),
            Fix(speaker, "tap", (f"tap {i}",)),
            Fix(speaker, "run", (f"run {i}a", f"run {i}b")[: dice.randint(1, 2)]),
        ]
    parts = {"x": some(2), "y": some(2)}
    off = some(1)
    return Task(
        places[0],
        Network(tuple(stretches)),
        panels,
        tuple(wires),
        ("supply",),
        tuple(fixes),
        parts,
        off,
    )


def best_by_trying_everything(task: Task) -> tuple[int, int, int, int]:
    """Every set of panels with every combination of fixes; none of the solver's code."""
    minutes = {panel.id: round((panel.minutes or 0) * MINUTE_STEPS) for panel in task.panels}
    reached = [s for s in task.speakers if s not in task.unreachable]
    options = [[fix for fix in task.usable if fix.speaker == speaker] for speaker in reached]
    needed = [wire for wire in task.needed if wire in task.within_reach]
    best: list[tuple[int, int, int, int]] = []
    for size in range(len(minutes) + 1):
        for off in map(frozenset, itertools.combinations(minutes, size)):
            distance = floyd_warshall(task, off)
            for fixes in itertools.product(*options):
                pulled = {*needed, *(wire for fix in fixes for wire in fix.wires)}
                wires = [task.by_id[wire] for wire in pulled]
                must = set(task.off).union(*(wire.panels for wire in wires))
                must = must.union(*(task.part_panels[p] for fix in fixes for p in fix.parts))
                must = must.union(
                    *(task.by_id[wire].panels for wire in task.needed if wire not in needed)
                )
                lengths = [distance.get(wire.place or "", None) for wire in wires]
                if must <= off and None not in lengths:
                    best.append(
                        (
                            sum(minutes[panel] for panel in off),
                            sum(length for length in lengths if length),
                            sum(wire.kind == "tap" for wire in wires),
                            sum(wire.kind == "run" for wire in wires),
                        )
                    )
    return min(best)


def floyd_warshall(task: Task, off: frozenset[str]) -> dict[str, int]:
    places = {task.start, *(s.start for s in task.network.stretches)}
    places |= {s.end for s in task.network.stretches}
    far = {(a, b): 0 if a == b else 10**9 for a in places for b in places}
    for stretch in task.network.stretches:
        if stretch.panels <= off:
            for pair in ((stretch.start, stretch.end), (stretch.end, stretch.start)):
                far[pair] = min(far[pair], round(stretch.metres * LENGTH_STEPS))
    for k in places:
        for a in places:
            for b in places:
                far[a, b] = min(far[a, b], far[a, k] + far[k, b])
    return {b: far[task.start, b] for b in places if far[task.start, b] < 10**9}


@pytest.mark.parametrize("seed", range(60))
def test_small_vehicles_tried_out_in_full(seed: int) -> None:
    task = small_task(seed)
    reach = choose(task)
    assert reach.exact
    assert reach.key == best_by_trying_everything(task)
    assert {fix.speaker for fix in reach.fixes} == set(task.speakers) - set(task.unreachable)
    assert measure(task, reach.fixes, frozenset(reach.panels), proved=True).key == reach.key


@pytest.mark.parametrize("seed", range(40))
def test_single_ways_tried_out_in_full(seed: int) -> None:
    task = small_task(seed)
    minutes = {panel.id: panel.minutes or 0 for panel in task.panels}
    for wire in task.wires:
        cost = way_cost(task.network, task.panels, End(task.start), [End(wire.place, wire.panels)])
        tried = [
            (sum(map(minutes.__getitem__, off)), floyd_warshall(task, off).get(wire.place or ""))
            for size in range(len(minutes) + 1)
            for off in map(frozenset, itertools.combinations(minutes, size))
            if wire.panels <= off
        ]
        within = [(least, far) for least, far in tried if far is not None]
        if not within:
            assert cost.metres is None
        else:
            least, far = min(within)
            assert (cost.minutes, cost.metres) == (least, far / LENGTH_STEPS)
