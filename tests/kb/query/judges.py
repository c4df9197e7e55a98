"""What a row should answer, judged in plain Python: True, False, or None for an unknown.

The judges read the documents of a book and know nothing of its SQL; the questions are in
`test_questions`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable

from tests.kb.query.conftest import Asked
from tests.kb.query.world import Doc, World, area, circuits, told

Truth = bool | None
Judged = Iterable[tuple[tuple[object, ...], Truth]]
Oracle = Callable[[Asked], Judged]


def neg(truth: Truth) -> Truth:
    return None if truth is None else not truth


def all_of(*truths: Truth) -> Truth:
    return False if False in truths else None if None in truths else True


def any_of(*truths: Truth) -> Truth:
    return True if True in truths else None if None in truths else False


def every(truths: list[Truth]) -> Truth:
    return all_of(*truths) if truths else False


def at_least(number: int, truths: list[Truth]) -> Truth:
    sure, possible = truths.count(True), len(truths) - truths.count(False)
    return True if sure >= number else None if possible >= number else False


def known(value: object, test: Callable[[object], bool]) -> Truth:
    return None if value is None else test(value)


def vehicles(test: Callable[[World, str, Doc], Truth]) -> Oracle:
    def oracle(asked: Asked) -> Judged:
        for id, content in asked.world.vehicles.items():
            yield (id,), test(asked.world, id, content)

    return oracle


def speakers(test: Callable[[World, str, Doc], Truth], *only: str) -> Oracle:
    def oracle(asked: Asked) -> Judged:
        wanted = {getattr(asked, name) for name in only}
        for vehicle, speaker in asked.world.every_speaker():
            if not wanted or vehicle in wanted:
                yield (vehicle, speaker["id"]), test(asked.world, vehicle, speaker)

    return oracle


def pins(test: Callable[[World, str, Doc, Doc], Truth], *only: str) -> Oracle:
    def oracle(asked: Asked) -> Judged:
        wanted = {getattr(asked, name) for name in only}
        for vehicle, connector, pin in asked.world.every_pin():
            if not wanted or vehicle in wanted:
                key = (vehicle, connector["id"], str(pin["at"]))
                yield key, test(asked.world, vehicle, connector, pin)

    return oracle


def connectors(test: Callable[[World, str, Doc], Truth]) -> Oracle:
    def oracle(asked: Asked) -> Judged:
        for vehicle, content in asked.world.vehicles.items():
            for connector in content.get("connector", []):
                yield (vehicle, connector["id"]), test(asked.world, vehicle, connector)

    return oracle


def outcomes(test: Callable[[str, Doc], Truth], *, part: bool = False) -> Oracle:
    """Over the speakers of V with K: the outcome, `unknown` where nobody can say."""

    def oracle(asked: Asked) -> Judged:
        parts = {asked.part} if part else set()
        for speaker in asked.world.speakers(asked.vehicle):
            outcome = asked.world.outcome(asked.vehicle, speaker["id"], asked.kit, parts)
            yield (asked.vehicle, speaker["id"]), test(outcome, speaker)

    return oracle


def fleet_outcomes(test: Callable[[list[tuple[str, Doc]]], Truth]) -> Oracle:
    """Over all vehicles with K: a test on the outcomes of all their speakers."""

    def oracle(asked: Asked) -> Judged:
        for id in asked.world.vehicles:
            found = [
                (asked.world.outcome(id, s["id"], asked.kit, set()), s)
                for s in asked.world.speakers(id)
            ]
            yield (id,), test(found)

    return oracle


def fleet_speakers(
    pick: Callable[[list[Truth]], Truth], test: Callable[[str, Doc], Truth]
) -> Oracle:
    """Over all vehicles with K: a quantifier over all its speakers, those not listed included."""

    def oracle(asked: Asked) -> Judged:
        for id in asked.world.vehicles:
            found = [
                test(asked.world.outcome(id, s["id"], asked.kit, set()), s)
                for s in asked.world.speakers(id)
            ]
            yield (id,), pick(found + unlisted(asked.world, id))

    return oracle


def for_vehicle(test: Callable[[Counter[str]], Truth]) -> Oracle:
    """Over all kits for V: a test on how many speakers come to each outcome."""

    def oracle(asked: Asked) -> Judged:
        for kit in asked.world.kits:
            counts = Counter(
                asked.world.outcome(asked.vehicle, s["id"], kit, set())
                for s in asked.world.speakers(asked.vehicle)
            )
            counts["plugs in"] = int(plugs_in(asked.world, asked.vehicle, kit))
            yield (kit,), test(counts)

    return oracle


def plugs_in(world: World, vehicle: str, kit: str) -> bool:
    """Whether an always-part of the kit has a plug of the vehicle, at a unit of its kind."""
    return any(
        connector["plug"] in part["plugs"]
        and part.get("unit")
        in (None, world.kind_of(vehicle, connector["unit"]) if "unit" in connector else "in-line")
        for part in world.kits[kit]["part"]
        if part["use"] == "always"
        for connector in world.vehicles[vehicle].get("connector", [])
    )


def left_out(outcome: str) -> Truth:
    return None if outcome == "unknown" else outcome == "left out"


def sure(counts: Counter[str], name: str, test: Callable[[int], bool]) -> Truth:
    """A test on a number that each unknown outcome may still raise by one; of what is on a lead,
    only where the kit plugs in.
    """
    may = counts["unknown"] if name == "left out" or counts["plugs in"] else 0
    found = {test(counts[name] + more) for more in range(may + 1)}
    return found.pop() if len(found) == 1 else None


def carried(outcome: str) -> Truth:
    return None if outcome == "unknown" else outcome == "carried"


def ohms(speaker: Doc, test: Callable[[float], bool]) -> Truth:
    value = speaker.get("ohms")
    return None if value is None else test(value)


def place_has(speaker: Doc, word: str) -> Truth:
    place = speaker.get("place")
    return None if place is None else word in place


def carries(pin: Doc, test: Callable[[list[str]], bool]) -> Truth:
    found = told(pin)
    return None if found is None else test(found)


def is_empty(pin: Doc) -> bool:
    """A way with a wire is not empty, whatever the wire carries."""
    return told(pin) == []


def on_wire(world: World, v: str, pin: Doc, test: Callable[[Doc], Truth]) -> list[Truth]:
    """Each speaker on a way judged; of a wire that nobody traced, any of the vehicle's may be."""
    names = {c[:-1].partition(".")[0] for c in circuits(pin) if c[-1] in "+-"}
    judged = [test(s) for s in world.speakers(v) if s["id"] in names]
    return judged if told(pin) is not None else [None] * len(world.speakers(v))


def wire(pin: Doc, test: Callable[[str], bool]) -> Truth:
    if "wire" not in pin:
        return False if is_empty(pin) else None  # an empty way has no wire
    return test(code(pin["wire"]))


WORDS = {"gray": "GY", "grey": "GY", "black": "BK", "yellow": "YE", "purple": "VT", "violet": "VT"}
WORDS |= {"white": "WH"}
GERMAN = {"sw": "BK", "ws": "WH", "gr": "GY", "rt": "RD", "bl": "BU", "gn": "GN", "br": "BN"}
GERMAN |= {"ge": "YE", "vi": "VT", "or": "OG", "rs": "PK", "tk": "TQ"}


def code(written: str) -> str:
    parts = written.replace("-", "/").split("/")
    return "/".join(WORDS.get(p.lower(), GERMAN.get(p, p.upper())) for p in parts)


def size(pin: Doc, test: Callable[[float], bool]) -> Truth:
    value = area(pin)
    if value is None:
        return False if is_empty(pin) else None
    return test(value)


AWG16, AWG14, AWG10 = 1.3087, 2.0809, 5.2611


def sub(world: World, v: str, test: Callable[[Doc], Truth]) -> list[Truth]:
    """Each speaker judged; of those that it was sold with and nobody listed, nobody can tell."""
    return [test(s) for s in world.speakers(v)] + unlisted(world, v)


def unlisted(world: World, v: str) -> list[Truth]:
    sold = world.vehicles[v]["vehicle"].get("sold_speakers", 0)
    return [None] * max(0, sold - len(world.speakers(v)))


def ways(connector: Doc, test: Callable[[Doc], Truth]) -> list[Truth]:
    """Each pin judged, and an unknown for each way that nobody documented."""
    pins_ = connector.get("pins", [])
    return [test(p) for p in pins_] + [None] * max(0, connector.get("ways", 0) - len(pins_))


def all_ways(content: Doc, test: Callable[[Doc], Truth]) -> list[Truth]:
    return [truth for c in content.get("connector", []) for truth in ways(c, test)]


def poles_of(world: World, v: str, speaker: str, test: Callable[[Doc], Truth]) -> list[Truth]:
    """Each pin of a speaker judged, and unknowns where a pole of it is not documented: it may be on
    any number of ways."""
    poles = world.poles(v, speaker)
    judged = [test(p) for k, at, _, _ in poles for p in k["pins"] if str(p["at"]) == at]
    unit = world.fed_by(v, speaker)
    coils = ({coil for _, _, coil, _ in poles if coil} and {"a", "b"}) or {""}
    at_unit = {(coil, pole) for c, _, coil, pole in poles if c.get("unit") == unit}
    whole = unit is not None and all((c, pole) in at_unit for c in coils for pole in "+-")
    return judged if whole else [*judged, *[None] * 99]
