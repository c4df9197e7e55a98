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
from tui.clean import clean
from tui.drawing.sheet_text import escaped
from tui.drawing.vehicle_from_above import read_place
from tui.tables import CUT

HEIGHT = 356
LEFT, RIGHT, MIDDLE = 205, 355, 280
TOP, BOTTOM = 26, 336
APART = 19
LETTER = 8.4
"""The width of a bold letter of a label."""
LONGEST = 36
"""Letters of a label; a longer one is cut with a mark."""


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
    left, right = _edges(plan, nodes)
    svg = (
        f'<svg viewBox="{left:.0f} 0 {right - left:.0f} {HEIGHT}" role="img" '
        'aria-label="the places of this plan, seen from above">' + "".join(body) + "</svg>"
    )
    return svg, lost


def _edges(plan: Plan, nodes: dict[str, _Node]) -> tuple[float, float]:
    """How far the labels reach to the left and to the right."""
    left, right = LEFT - 60.0, RIGHT + 60.0
    for node in nodes.values():
        wide = len(_label(plan, node.place)) * LETTER
        if node.side < 0:
            left = min(left, LEFT - 24 - wide)
        else:
            right = max(right, RIGHT + 24 + wide)
    return left, right


def _label(plan: Plan, place: str) -> str:
    """A place with what it is in this plan: `dash-centre: tap, harness`."""
    kinds: set[str] = {way.wire.kind for way in plan.reach.ways if way.wire.place == place}
    what = _what(place == plan.wiring.task.start, kinds)
    name = clean(place)
    name = name if len(name) <= LONGEST else name[: LONGEST - 1] + CUT
    return f"{name}: {what}" if what else name


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
    # Names stand left of the body for what is on the left, and right of it for all else.
    for left in (True, False):
        last = float(TOP - APART)
        for node in nodes:
            if (node.side < 0) == left:
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
            yield _badge((one.x + two.x) / 2 + 18 * i, (one.y + two.y) / 2, number)


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
        f'<circle cx="{x:.0f}" cy="{y:.0f}" r="9" fill="#fff" stroke="#000"/>'
        f'<text x="{x:.0f}" y="{y + 4.4:.1f}" text-anchor="middle" class="badge">{number}</text>'
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
        edge, anchor, toward = (LEFT - 20, "end", -1) if node.side < 0 else (RIGHT + 20, "start", 1)
        y = node.y + 5
        name = escaped(_label(plan, node.place))
        weight = ' font-weight="700"' if ": " in name else ""
        yield (
            f'<line x1="{edge - 2 * toward:.0f}" y1="{node.y:.0f}" '
            f'x2="{node.x + 8 * toward:.0f}" y2="{node.y:.0f}" stroke="#aaa" '
            'stroke-width=".7"/>'
        )
        yield (
            f'<text x="{edge:.0f}" y="{y:.0f}" text-anchor="{anchor}" class="halo"{weight}>'
            f"{name}</text>"
        )
        inward = 1 if node.side > 0 else -1
        for i, panel in enumerate(sorted(at_end.get(node.place, ()), key=numbers.__getitem__)):
            yield _badge(node.x - inward * 20 * (i + 1), node.y - 11, numbers[panel])


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
