"""Quantifiers over pins, with ways that nobody wrote down: what their connector says decides.

Such a way stands on a connector whose id, unit and plug are written, so that of `plug = P1 and wire
= WH` it is surely not where the plug is another. Questions are made by chance, and each is judged
in plain Python: of a way that nobody wrote down, whatever is told of a way itself is unknown, and
so is whether it counts where the condition may be true of it.
"""

# ruff: noqa: ARG005 (every judge is called alike)

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from kb.query.run import ask
from tests.books import book_of
from tests.kb.query.conftest import Asked
from tests.kb.query.judges import Truth, all_of, any_of, carries, is_empty, neg, size, wire
from tests.kb.query.world import Doc, World, read_world

Way = tuple[str, Doc, Doc | None]
"""The vehicle, the connector, and the pin; None for a way that nobody wrote down."""
Judge = Callable[[World, Way], Truth]
Made = tuple[str, Judge]
QUANTIFIERS = ("any", "no", "every", "at least 1", "at least 2", "at least 3", "at least 5")
SIGNS = ("=", "!=")


@pytest.fixture(scope="module")
def partly_told(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Asked]:
    """Small connectors of all kinds: whole, in part, without a pin, without a number of ways."""
    chance = random.Random(11)
    cars = [_car(chance, number) for number in range(40)]
    path: Path = tmp_path_factory.mktemp("open") / "book.db"
    book = book_of(path, cars)
    with book.reading() as connection:
        world = read_world(connection)
        connectors = [c for v in world.vehicles.values() for c in v.get("connector", [])]
        bare = [c for c in connectors if not c.get("pins") and "ways" in c]
        whole = [c for c in connectors if len(c.get("pins", [])) == c.get("ways")]
        assert len(bare) > 5 and len(whole) > 5 and len(connectors) > len(bare) + len(whole) + 20
        yield Asked(connection, world, book, "car-0", "car-1", "", "")


def _car(chance: random.Random, number: int) -> dict[str, Any]:
    connectors = []
    for mark in range(chance.randint(1, 3)):
        ways = chance.randint(1, 6)
        told = sorted(chance.sample(range(1, ways + 1), chance.choice((0, ways, ways // 2, 1))))
        connector: dict[str, Any] = {"id": f"C{mark}", "plug": f"P{chance.randint(1, 3)}"}
        unit = chance.choice(("radio", "amp", "amp", None))
        connector |= {"unit": unit} if unit else {}
        connector |= {"ways": ways} if chance.random() < 0.9 else {}
        connector["pins"] = [_pin(chance, at) for at in told]
        connectors.append(connector)
    return {
        "kind": "vehicle",
        "vehicle": {
            "id": f"car-{number}",
            "make": "Oster",
            "model": f"Fell {number}",
            "years": "2020",
            "audio": "plain",
        },
        "unit": [{"id": "radio", "kind": "radio"}, {"id": "amp", "kind": "amplifier"}],
        "connector": connectors,
    }


def _pin(chance: random.Random, at: int) -> dict[str, Any]:
    pin: dict[str, Any] = {"at": at}
    if chance.random() < 0.3:
        return pin  # an empty way
    pin["wire"] = chance.choice(("WH", "BK", "GN"))
    if chance.random() < 0.6:
        pin["carries"] = chance.choice(("battery", "ground"))
    if chance.random() < 0.5:
        pin["mm2"] = chance.choice((0.5, 1.5))
    return pin


def _own(text: str, test: Callable[[Doc], Truth]) -> Made:
    """A condition on what is told of a way itself."""
    return text, lambda world, way: None if way[2] is None else test(way[2])


def _shared(field: str, sign: str, values: list[str], names: Callable[[World, Way], Any]) -> Made:
    """A condition on what all ways of a connector have from it."""

    def judge(world: World, way: Way) -> Truth:
        has = {str(name).casefold() for name in names(world, way)}
        return (not has.isdisjoint(value.casefold() for value in values)) != (sign == "!=")

    asked = values[0] if len(values) == 1 else f"({', '.join(values)})"
    return f"{field} {'in' if len(values) > 1 else sign} {asked}", judge


def _unit_names(world: World, way: Way) -> tuple[str, str]:
    unit = way[1].get("unit")
    return (unit, world.kind_of(way[0], unit)) if unit else ("", "in-line")


def _leaf(chance: random.Random, world: World) -> Made:
    """One condition, of the connector's or of the way's own."""
    connectors = [(v, c) for v in world.vehicles for c in world.vehicles[v].get("connector", [])]
    vehicle, connector = chance.choice(connectors)
    other = chance.choice(connectors)
    sign = chance.choice(SIGNS)
    both = sign == "=" and chance.random() < 0.3 and other[1]["id"] != connector["id"]
    ids = [connector["id"], other[1]["id"]] if both else [connector["id"]]
    two = both and other[1]["plug"] != connector["plug"]
    plugs = [connector["plug"], other[1]["plug"]] if two else [connector["plug"]]
    name = chance.choice(("radio", "amplifier", "in-line", connector.get("unit", "in-line")))
    return chance.choice(
        (
            _shared("connector", sign, ids, lambda w, way: (way[1]["id"],)),
            _shared("plug", sign, plugs, lambda w, way: (way[1]["plug"],)),
            _shared("unit", sign, [name], _unit_names),
            _shared("vehicle", sign, [vehicle], lambda w, way: (way[0],)),
            _shared("state", sign, ["submitted"], lambda w, way: (w.states[way[0]],)),
            _own("at = 1", lambda p: str(p["at"]) == "1"),
            _own("wire = WH", lambda p: wire(p, lambda x: x == "WH")),
            _own("wire is unknown", lambda p: "wire" not in p and not is_empty(p)),
            _own("carries = battery", lambda p: carries(p, lambda x: "battery" in x)),
            _own("empty", is_empty),
            _own("size > 1 mm2", lambda p: size(p, lambda a: a > 1)),
        )
    )


def _condition(chance: random.Random, world: World, depth: int) -> Made:
    kind = chance.random()
    if depth == 0 or kind < 0.2:
        return _leaf(chance, world)
    text, judge = _condition(chance, world, depth - 1)
    if kind < 0.35:
        return f"not ({text})", lambda w, way: neg(judge(w, way))
    said, second = _condition(chance, world, depth - 1)
    word, together = ("or", any_of) if kind < 0.6 else ("and", all_of)
    return f"({text}) {word} ({said})", lambda w, way: together(judge(w, way), second(w, way))


def _judged(quantifier: str, told: list[Truth], untold: list[Truth]) -> Truth:
    """A quantifier over the ways that are told and those that are not, which may count or not."""
    may = [None for truth in untold if truth is not False]
    if quantifier in ("any", "no"):
        found = any_of(*told, *may)
        return found if quantifier == "any" else neg(found)
    if quantifier == "every":
        if not told:
            return None if untold else False
        return all_of(*told, *(None for truth in untold if truth is not True))
    least = int(quantifier.removeprefix("at least "))
    if told.count(True) >= least:
        return True
    return None if told.count(True) + told.count(None) + len(may) >= least else False


def _ways(vehicle: str, connector: Doc) -> tuple[list[Way], list[Way]]:
    """Those that are told, and one for each that is not."""
    pins = connector.get("pins", [])
    open_ = max(0, connector.get("ways", 0) - len(pins))
    return [(vehicle, connector, pin) for pin in pins], [(vehicle, connector, None)] * open_


def _rows(world: World, subject: str) -> Iterator[tuple[tuple[str, ...], tuple[list[Way], ...]]]:
    for id, content in world.vehicles.items():
        each = [_ways(id, connector) for connector in content.get("connector", [])]
        if subject == "connectors":
            keys = [(id, connector["id"]) for connector in content.get("connector", [])]
            yield from zip(keys, each, strict=True)
        else:
            yield (id,), ([w for t, _ in each for w in t], [w for _, u in each for w in u])


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.parametrize("name", ["partly_told", "shipped"])
def test_conditions_made_by_chance(request: pytest.FixtureRequest, name: str, seed: int) -> None:
    asked: Asked = request.getfixturevalue(name)
    world, chance = asked.world, random.Random(seed)
    seen = {True: 0, False: 0, None: 0}
    for _ in range(40):
        text, judge = _condition(chance, world, 2)
        subject = chance.choice(("vehicles", "connectors"))
        quantifier = chance.choice(QUANTIFIERS)
        pins = "pins" if quantifier.startswith("at") else "pin"
        query = f"{subject} where {quantifier} {pins} ({text})"
        expected = {
            key: _judged(quantifier, *([judge(world, way) for way in ways] for ways in both))
            for key, both in _rows(world, subject)
        }
        answer = ask(asked.connection, query)
        keys = ("id",) if subject == "vehicles" else ("vehicle", "connector")
        found = {tuple(row[key] for key in keys) for row in answer.rows}
        assert found == {key for key, truth in expected.items() if truth is True}, query
        assert answer.unknowns == list(expected.values()).count(None), query
        for truth in expected.values():
            seen[truth] += 1
    assert min(seen.values()) > 20


@pytest.mark.parametrize("seed", range(4))
def test_a_quantifier_within_another(partly_told: Asked, seed: int) -> None:
    """The quantifier over pins compiled within one over connectors, where its SQL is another."""
    world, chance = partly_told.world, random.Random(100 + seed)
    for _ in range(40):
        text, judge = _condition(chance, world, 2)
        quantifier, outer = chance.choice(QUANTIFIERS), chance.choice(("any", "no", "every"))
        pins = "pins" if quantifier.startswith("at") else "pin"
        query = f"vehicles where {outer} connector ({quantifier} {pins} ({text}))"
        expected: dict[str, Truth] = {}
        for (id, _), both in _rows(world, "connectors"):
            inner = _judged(quantifier, *([judge(world, way) for way in ways] for ways in both))
            so_far = expected.get(id, outer == "every")
            expected[id] = (all_of if outer == "every" else any_of)(so_far, inner)
        if outer == "no":
            expected = {id: neg(truth) for id, truth in expected.items()}
        answer = ask(partly_told.connection, query)
        assert {row["id"] for row in answer.rows} == {v for v in expected if expected[v]}, query
        assert answer.unknowns == list(expected.values()).count(None), query


@pytest.mark.parametrize("quantifier", ["no", "any", "at least 1", "at least 4"])
def test_what_is_asked_besides_never_makes_less_known(partly_told: Asked, quantifier: str) -> None:
    """Where no pin is on C1, none is on it and white."""
    pins = "pins" if quantifier.startswith("at") else "pin"
    for shared in ("connector = C1", "unit = radio", "plug in (P1, P2)", "unit != in-line"):
        for own in ("wire = WH", "empty", "carries is unknown", "at = 2 or size > 1 mm2"):
            wide = f"{quantifier} {pins} ({shared})"
            narrow = f"{quantifier} {pins} ({shared} and ({own}))"
            none, fewer = (
                {
                    row["id"]
                    for row in ask(
                        partly_told.connection,
                        f"vehicles where {'' if quantifier == 'no' else 'not '}{which}",
                    ).rows
                }
                for which in (wide, narrow)
            )
            assert none <= fewer, narrow
