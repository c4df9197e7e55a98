"""What each fix of `runs` costs by itself: panels, minutes, metres of new wire.

A cost here stands alone; the plan shares panels between fixes, so its sum is smaller. Where a route
or a panel's minutes are missing the cost is unknown, never zero.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from kb.answers.fixes import Fix as KnownFix
from kb.answers.papers import Content
from kb.answers.runs import Runs
from kb.plan.reach import Fix
from kb.plan.ways import End, WayCost, way_cost
from kb.plan.wiring import Vehicle, Wiring, fixes_of


def with_costs(
    answer: Runs,
    vehicle: Content,
    kit: Content,
    with_part: Mapping[str, Runs],
    place: str,
) -> Runs:
    """`answer` with the cost of every fix for an amplifier at `place`.

    `with_part` is the same answer with one further part each, for each part that a fix names.
    """
    wiring = fixes_of(answer, vehicle, kit, with_part, place)
    places = Vehicle(vehicle)
    costs: dict[tuple[str, KnownFix], WayCost] = {}
    found: dict[object, WayCost] = {}
    for fix, known in wiring.known.items():
        ends = [End(wiring.task.by_id[w].place, wiring.task.by_id[w].panels) for w in fix.wires]
        key = (tuple(ends), fix.parts)
        if key not in found:
            found[key] = _cost(places, wiring, fix, ends, place)
        costs[fix.speaker, known] = found[key]
    return replace(
        answer,
        speakers=tuple(
            replace(
                speaker,
                fixes=tuple(
                    _costed(fix, costs.get((speaker.speaker, fix))) for fix in speaker.fixes
                ),
            )
            for speaker in answer.speakers
        ),
    )


def _cost(places: Vehicle, wiring: Wiring, fix: Fix, ends: list[End], place: str) -> WayCost:
    also: frozenset[str] = frozenset().union(
        *(wiring.task.part_panels.get(part, frozenset()) for part in fix.parts)
    )
    start = End(place, places.place_panels(place))
    return way_cost(places.network, places.panels, start, ends, also)


def _costed(fix: KnownFix, cost: WayCost | None) -> KnownFix:
    if cost is None:
        return replace(fix, cost_unknown="where it plugs in is not recorded")
    panels = None if cost.metres is None else cost.panels
    return replace(
        fix,
        panels=panels,
        minutes=cost.minutes,
        metres=cost.metres,
        cost_unknown=cost.unknown,
    )
