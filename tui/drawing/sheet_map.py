"""The vehicle's places from above as a picture: where wires go and which panels come off for them.

Promise: only what the plan uses is drawn; front is up and left is left; a place whose words say
nothing of where it is stands in a list beside the drawing and is never guessed; lines differ by
width and dash, not by colour.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from kb.plan.plan import Plan
from kb.plan.whole import WholePlan
from tui.drawing.sheet_text import escaped
from tui.drawing.vehicle_from_above import read_place

WIDTH, HEIGHT = 500, 430
LEFT, RIGHT, MIDDLE = 180, 320, 250
TOP, BOTTOM = 26, 410
APART = 17


@dataclass
class _Node:
    place: str
    x: float
    y: float
    side: int


def draw_map(whole: WholePlan) -> tuple[str, list[str]]:
    """The picture as SVG, and the places of the plan that could not be drawn."""
    plan = whole.plan
    used = _places(plan)
    nodes, lost = _settle(used)
    numbers = {panel: i for i, panel in enumerate(whole.panels, 1)}
    body = [_body(), *_stretches(plan, nodes, numbers), *_nodes(plan, nodes, numbers)]
    svg = (
        f'<svg viewBox="0 0 {WIDTH} {HEIGHT}" role="img" aria-label="the places of this plan, '
        'seen from above">' + "".join(body) + "</svg>"
    )
    return svg, lost


def _places(plan: Plan) -> list[str]:
    """Every place that a wire of the plan passes, the amplifier's first."""
    found: dict[str, None] = {}
    if plan.wiring.task.start:
        found[plan.wiring.task.start] = None
    for way in plan.reach.ways:
        for place in way.walk.places if way.walk else (way.wire.place,):
            if place is not None:
                found[place] = None
    return list(found)


def _settle(places: Iterable[str]) -> tuple[dict[str, _Node], list[str]]:
    """Each place at its depth and side, those that would cover each other moved apart."""
    nodes, lost = [], []
    for place in places:
        where = read_place(place)
        if where is None:
            lost.append(place)
            continue
        x = {-1: LEFT, 0: MIDDLE, 1: RIGHT}[where.side]
        inner = any(word in place.split("-") for word in ("seat", "bench", "console"))
        x += -where.side * 26 if inner else 0
        nodes.append(_Node(place, x, TOP + where.depth / 100 * (BOTTOM - TOP), where.side))
    nodes.sort(key=lambda node: (node.y, node.x))
    for side in (-1, 0, 1):
        last = float(TOP - APART)
        for node in nodes:
            if node.side == side:
                node.y = max(node.y, last + APART)
                last = node.y
    return {node.place: node for node in nodes}, lost


def _body() -> str:
    """The outline of a car: nose, windscreen, rear window."""
    left, right = LEFT - 14, RIGHT + 14
    return (
        f'<path d="M{left} 60 Q{left} 8 {MIDDLE} 8 Q{right} 8 {right} 60 V{BOTTOM - 18} '
        f"Q{right} {BOTTOM + 14} {MIDDLE} {BOTTOM + 14} Q{left} {BOTTOM + 14} {left} "
        f'{BOTTOM - 18} Z" fill="none" stroke="#777" stroke-width="1.5"/>'
        f'<path d="M{left + 8} 84 Q{MIDDLE} 62 {right - 8} 84" fill="none" stroke="#999"/>'
        f'<text x="{MIDDLE}" y="21" class="faint" text-anchor="middle">front</text>'
    )


def _stretches(plan: Plan, nodes: dict[str, _Node], numbers: dict[str, int]) -> Iterator[str]:
    """A line for each stretch in use: thick and dashed the supply, thin a speaker wire."""
    drawn: dict[tuple[str, str], set[str]] = {}
    for way in plan.reach.ways:
        places = way.walk.places if way.walk else ()
        for here, there in pairwise(places):
            a, b = sorted((here, there))
            kind = "supply" if way.wire.kind == "supply" else "speaker"
            drawn.setdefault((a, b), set()).add(kind)
    for (a, b), kinds in drawn.items():
        if a not in nodes or b not in nodes:
            continue
        one, two = nodes[a], nodes[b]
        line = f'x1="{one.x:.0f}" y1="{one.y:.0f}" x2="{two.x:.0f}" y2="{two.y:.0f}"'
        if "supply" in kinds:
            yield f'<line {line} stroke="#000" stroke-width="5" stroke-dasharray="7 4"/>'
        if "speaker" in kinds:
            yield f'<line {line} stroke="#fff" stroke-width="4"/>' if "supply" in kinds else ""
            yield f'<line {line} stroke="#000" stroke-width="1.8"/>'
        panels = sorted(numbers[p] for p in _panels(plan, a, b) if p in numbers)
        for i, number in enumerate(panels):
            yield _badge((one.x + two.x) / 2 + 15 * i, (one.y + two.y) / 2, number)


def _panels(plan: Plan, a: str, b: str) -> frozenset[str]:
    off = set(plan.reach.panels)
    usable = [
        stretch
        for near, stretch in plan.vehicle.network.neighbours.get(a, ())
        if near == b and stretch.panels <= off
    ]
    return min(usable, key=lambda s: s.length).panels if usable else frozenset()


def _badge(x: float, y: float, number: int) -> str:
    return (
        f'<circle cx="{x:.0f}" cy="{y:.0f}" r="7.5" fill="#fff" stroke="#000"/>'
        f'<text x="{x:.0f}" y="{y + 3.6:.0f}" text-anchor="middle" class="badge">{number}</text>'
    )


def _nodes(plan: Plan, nodes: dict[str, _Node], numbers: dict[str, int]) -> Iterator[str]:
    """A mark for each place, its name outside the body, its own panels as badges."""
    at_end: dict[str, set[str]] = {}
    kinds: dict[str, set[str]] = {}
    for way in plan.reach.ways:
        if way.wire.place is not None:
            at_end.setdefault(way.wire.place, set()).update(way.wire.panels)
            kinds.setdefault(way.wire.place, set()).add(way.wire.kind)
    for node in nodes.values():
        start = node.place == plan.wiring.task.start
        yield _mark(node, start, kinds.get(node.place, set()))
        edge = {-1: LEFT - 20, 0: MIDDLE, 1: RIGHT + 20}[node.side]
        anchor = {-1: "end", 0: "middle", 1: "start"}[node.side]
        y = node.y + 4 if node.side else node.y + 19
        what = _what(start, kinds.get(node.place, set()))
        name = escaped(node.place) + (f": {what}" if what else "")
        weight = ' font-weight="700"' if what else ""
        if node.side:
            yield (
                f'<line x1="{edge + 2 * -node.side:.0f}" y1="{node.y:.0f}" '
                f'x2="{node.x + 8 * node.side:.0f}" y2="{node.y:.0f}" stroke="#aaa" '
                'stroke-width=".7"/>'
            )
        yield (
            f'<text x="{edge:.0f}" y="{y:.0f}" text-anchor="{anchor}" class="halo"{weight}>'
            f"{name}</text>"
        )
        for i, panel in enumerate(sorted(at_end.get(node.place, ()), key=numbers.__getitem__)):
            yield _badge(node.x + 17 * (i + 1), node.y - 9, numbers[panel])


def _what(start: bool, kinds: set[str]) -> str:
    words = ["amplifier"] if start else []
    words += [
        word
        for kind, word in (("supply", "battery"), ("tap", "tap"), ("run", "run"))
        if kind in kinds
    ]
    if "lead" in kinds and not start:
        words.append("harness")
    return ", ".join(words)


def _mark(node: _Node, start: bool, kinds: set[str]) -> str:
    if start:
        return (
            f'<rect x="{node.x - 6:.0f}" y="{node.y - 6:.0f}" width="12" height="12" fill="#000"/>'
        )
    if "supply" in kinds:
        return (
            f'<path d="M{node.x:.0f} {node.y - 8:.0f} l8 14 h-16 Z" fill="#fff" stroke="#000" '
            'stroke-width="2"/>'
        )
    fill = "#000" if kinds else "#fff"
    return (
        f'<circle cx="{node.x:.0f}" cy="{node.y:.0f}" r="{4.5 if kinds else 3}" fill="{fill}" '
        'stroke="#000"/>'
    )
