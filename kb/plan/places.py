"""Places that decide something by themselves: the two that a job names, and the kit's module.

Promise: a misspelt place is one sentence with the place that was meant, not a page of speakers that
nothing reaches; where the module sits is not guessed. It stands alone because only here the job's
words for a place meet the vehicle's.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from kb.answers.papers import Papers, places_of
from kb.nearest import nearest
from kb.plan.network import Walk
from kb.plan.reach import Reach
from kb.plan.wiring import Vehicle, Wiring


def misplaced(papers: Papers) -> Mapping[str, str]:
    """A sentence for each place of the job that this vehicle has not and that is near one which it
    has, by the place. One that is near none may be right, and merely undocumented."""
    known = places_of(papers.vehicle)
    found = {}
    for key in ("amplifier_place", "battery_place"):
        place = papers.job["job"][key]
        near = None if place in known else nearest(place, known)
        if near is not None:
            found[place] = (
                f"the job's {key} {place!r} is no place of {papers.vehicle['vehicle']['id']}; the "
                f"nearest is {near}: correct it, or document the place"
            )
    return found


def flagged(reach: Reach, wrong: Mapping[str, str], to_meter: Sequence[str]) -> Reach:
    """The choice with a flag for each speaker that is to be metered first, and without those flags
    that only say once more what `wrong` says."""
    flags = [
        flag for flag in reach.flags if not any(flag.find(f" {place}:") > 0 for place in wrong)
    ]
    flags += [
        f"{name} shall play and its feed is unknown: meter first; its way is not in these figures"
        for name in to_meter
    ]
    return replace(reach, flags=tuple(flags))


def module_walk(papers: Papers, reach: Reach, wiring: Wiring) -> Walk | None:
    """The way from the kit's module to the amplifier, with the panels off.

    Where the module sits is not documented: it is taken to be where the chosen parts plug in, if
    they all do so at one place, and is unknown if not.
    """
    vehicle = Vehicle(papers.vehicle)
    parts = {part["id"]: part for part in papers.kit.get("part", ())}
    start = wiring.task.start
    places = {
        vehicle.connector_place(connector)
        for part in (*papers.runs.path.chosen, *reach.parts)
        for connector in vehicle.mates_of(parts[part])
    }
    place = places.pop() if len(places) == 1 else None
    if place is None or start is None:
        return None
    return vehicle.network.walks(start, frozenset(reach.panels)).get(place)


def in_engine_bay(papers: Papers, reach: Reach) -> bool:
    """Whether the supply cable starts in an engine bay: the battery's place, or the next one on the
    cable's way, is named as a bay (`bay-left`)."""
    ways = [way for way in reach.ways if way.wire.kind == "supply" and way.walk]
    first = [place for way in ways if way.walk for place in way.walk.places[-2:]]
    places = [papers.job["job"]["battery_place"], *first]
    return any(place.split("-")[0] == "bay" for place in places)
