"""The joint choice against published networks and independent solvers.

A Steiner instance becomes a vehicle: each edge is a stretch with a panel of its own whose minutes
are the edge's weight, one terminal is the amplifier's place, the others are wires that must be
pulled. The least minutes are then the instance's optimum.
"""

import random

import networkx as nx
import pytest

from kb.plan.network import Network, Panel, Stretch
from kb.plan.reach import Reach, Task, Wire, choose
from kb.plan.ways import End, way_cost

Edge = tuple[object, object, float]

# Odd Wheel: the example instance of the STP format's description (SteinLib); optimum 5.
ODD_WHEEL: list[Edge] = [
    (a, b, 1) for a, b in [(1, 2), (1, 4), (1, 6), (2, 3), (3, 4), (4, 5), (5, 6), (6, 7), (7, 2)]
]
# The example in the documentation of petgraph's steiner_tree; optimum 12.
PETGRAPH: list[Edge] = [
    ("a", "b", 7), ("a", "f", 6), ("b", "c", 1), ("b", "f", 5), ("c", "d", 1),
    ("c", "e", 3), ("d", "e", 1), ("d", "f", 4), ("e", "f", 10),
]  # fmt: skip
# G1, G2, G3 of networkx's own tests of steiner_tree; optima 32, 16 and 14.
NETWORKX_G1: list[Edge] = [
    (1, 2, 10), (2, 3, 10), (3, 4, 10), (4, 5, 10), (5, 6, 10), (2, 7, 1), (7, 5, 1),
]  # fmt: skip
NETWORKX_G2: list[Edge] = [(0, 5, 6), (1, 2, 2), (1, 5, 3), (2, 4, 4), (3, 5, 5), (4, 5, 1)]
NETWORKX_G3: list[Edge] = [
    (1, 2, 8), (1, 9, 3), (1, 8, 6), (1, 10, 2), (1, 14, 3), (2, 3, 6), (3, 4, 3), (3, 10, 2),
    (3, 11, 1), (4, 5, 1), (4, 11, 1), (5, 6, 4), (5, 11, 2), (5, 12, 1), (5, 13, 3), (6, 7, 2),
    (6, 12, 3), (6, 13, 1), (7, 8, 3), (7, 9, 3), (7, 11, 5), (7, 13, 2), (7, 14, 4), (8, 9, 2),
    (9, 14, 1), (10, 11, 2), (10, 14, 1), (11, 12, 1), (11, 14, 7), (12, 14, 3), (12, 15, 1),
    (13, 14, 4), (13, 15, 1), (14, 15, 2),
]  # fmt: skip


def as_task(edges: list[Edge], terminals: list[object]) -> Task:
    stretches, panels = [], []
    for number, (a, b, weight) in enumerate(edges):
        panels.append(Panel(f"p{number}", weight))
        stretches.append(Stretch(str(a), str(b), 1.0, frozenset([f"p{number}"])))
    first, *rest = [str(terminal) for terminal in terminals]
    wires = tuple(Wire(f"run {place}", "run", place) for place in rest)
    needed = tuple(wire.id for wire in wires)
    return Task(first, Network(tuple(stretches)), tuple(panels), wires, needed, (), {})


def assert_joins_terminals(reach: Reach, edges: list[Edge], terminals: list[object]) -> None:
    graph = nx.Graph()
    graph.add_edges_from(edges[int(panel[1:])][:2] for panel in reach.panels)
    assert all(nx.has_path(graph, terminals[0], terminal) for terminal in terminals)


@pytest.mark.parametrize(
    ("edges", "terminals", "optimum"),
    [
        (ODD_WHEEL, [1, 3, 5, 7], 5),
        (PETGRAPH, ["a", "c", "e", "f"], 12),
        (NETWORKX_G1, [1, 2, 3, 4, 5], 32),
        (NETWORKX_G2, [0, 2, 3], 16),
        (NETWORKX_G3, [1, 3, 5, 6, 8, 10, 11, 12, 13], 14),
    ],
    ids=["odd wheel", "petgraph", "networkx G1", "networkx G2", "networkx G3"],
)
def test_published_optimum(edges: list[Edge], terminals: list[object], optimum: int) -> None:
    for turn in range(len(terminals)):
        turned = terminals[turn:] + terminals[:turn]
        reach = choose(as_task(edges, turned))
        assert reach.minutes == optimum
        assert reach.exact
        assert_joins_terminals(reach, edges, turned)


def test_odd_wheel_beats_the_approximation() -> None:
    """Mehlhorn's approximation gives 6 on the odd wheel: a heuristic would fail above."""
    graph = nx.Graph()
    graph.add_weighted_edges_from(ODD_WHEEL)
    tree = nx.algorithms.approximation.steiner_tree(graph, [1, 3, 5, 7], method="mehlhorn")
    assert tree.size() == 6


@pytest.mark.parametrize("seed", range(6))
def test_generated_networks_against_steinerpy(seed: int) -> None:
    """The package steinerpy solves the same networks by a model of its own."""
    from steinerpy import SteinerProblem

    dice = random.Random(seed)
    graph = nx.gnm_random_graph(24, 46, seed=seed)
    graph = graph.subgraph(max(nx.connected_components(graph), key=len)).copy()
    for a, b in graph.edges:
        graph.edges[a, b]["weight"] = dice.randint(1, 10)
    terminals = dice.sample(sorted(graph), 7)
    edges = [(a, b, graph.edges[a, b]["weight"]) for a, b in graph.edges]
    expected = SteinerProblem(graph, [terminals]).get_solution(time_limit=60)
    reach = choose(as_task(edges, terminals))
    assert reach.exact
    assert reach.minutes == pytest.approx(expected.objective, abs=1e-6)


@pytest.mark.parametrize("seed", range(8))
def test_single_runs_against_networkx(seed: int) -> None:
    """With one panel a stretch, the least-minute way of one wire is networkx's shortest path."""
    dice = random.Random(seed)
    graph = nx.gnm_random_graph(30, 55, seed=seed)
    stretches, panels = [], []
    for number, (a, b) in enumerate(graph.edges):
        minutes, metres = dice.randint(0, 9), dice.randint(1, 40) / 10
        graph.edges[a, b].update(minutes=minutes, cost=minutes * 10_000 + metres)
        panels.append(Panel(f"p{number}", minutes))
        stretches.append(Stretch(str(a), str(b), metres, frozenset([f"p{number}"])))
        graph.edges[a, b]["metres"] = metres
    network = Network(tuple(stretches))
    for end in range(1, 30):
        cost = way_cost(network, panels, End("0"), [End(str(end))])
        if not nx.has_path(graph, 0, end):
            assert cost.metres is None
            assert cost.minutes is None
            continue
        path = nx.dijkstra_path(graph, 0, end, weight="cost")
        assert cost.minutes == nx.path_weight(graph, path, "minutes")
        assert cost.metres == pytest.approx(nx.path_weight(graph, path, "metres"))
