"""A kit that plugs in nowhere carries nothing, whatever else of the vehicle nobody documented."""

from __future__ import annotations

from collections import Counter
from itertools import product
from pathlib import Path
from typing import Any

import pytest

from kb.query.run import ask
from tests.books import book_of
from tests.kb.query.conftest import Asked
from tests.kb.query.judges import plugs_in
from tests.kb.query.world import World

TESTS = (("= 0", lambda n: n == 0), ("> 0", lambda n: n > 0), ("< 2", lambda n: n < 2))


def judged(world: World, kit: str) -> dict[str, tuple[Counter[str], int]]:
    """By vehicle: the outcomes of its speakers, and how many of them a kit may yet carry."""
    made = {}
    for vehicle, content in world.vehicles.items():
        speakers = world.speakers(vehicle)
        found = Counter(world.outcome(vehicle, s["id"], kit, set()) for s in speakers)
        unlisted = max(0, content["vehicle"].get("sold_speakers", 0) - len(speakers))
        may = found["unknown"] + unlisted if plugs_in(world, vehicle, kit) else 0
        made[vehicle] = found, may
    return made


def test_counts_over_all_vehicles_are_decided_as_far_as_plugs_tell(asked: Asked) -> None:
    decided = 0
    for kit in asked.world.kits:
        counts = judged(asked.world, kit)
        decided += sum(found["unknown"] > may for found, may in counts.values())
        for name, (sign, test) in product(("carried", "partial", "reversed"), TESTS):
            truths = {
                vehicle: {test(found[name] + more) for more in range(may + 1)}
                for vehicle, (found, may) in counts.items()
            }
            answer = ask(asked.connection, f"vehicles with {kit} where {name} {sign}")
            assert {row["id"] for row in answer.rows} == {v for v in truths if truths[v] == {True}}
            assert answer.unknowns == sum(len(either) == 2 for either in truths.values())
    assert decided  # some kit plugs in nowhere where a speaker is unknown


def car(id: str, *connectors: dict[str, Any]) -> dict[str, Any]:
    """A radio whose plug is known, an amplifier, and a speaker of which a pole is missing."""
    radio = {"id": "R", "unit": "radio", "plug": "HR-9", "ways": 8, "pins": [
        {"at": 1, "carries": "door+", "wire": "WH"}]}  # fmt: skip
    return {
        "kind": "vehicle",
        "vehicle": {"id": id, "make": "Oster", "model": "Fell", "years": "2020", "audio": "x"},
        "unit": [{"id": "radio", "kind": "radio"}, {"id": "amp", "kind": "amplifier"}],
        "speaker": [{"id": "door", "role": "woofer"}],
        "connector": [radio, *connectors],
    }


def kit(id: str, unit: str) -> dict[str, Any]:
    lead = {"lead": "1", "plug": "HA-4", "plus": "1", "minus": "2"}
    part = {"id": "main", "use": "always", "unit": unit, "plugs": ["HA-4"], "leads": [lead]}
    return {
        "kind": "kit",
        "kit": {"id": id, "maker": "Oku", "name": id, "takes_out": [unit], "line_outputs": 2},
        "part": [part],
    }


@pytest.mark.parametrize(
    ("of", "with_", "rows", "unknowns"),
    [
        ("told", "to-amp", 1, 0),  # its amplifier has another plug
        ("untold", "to-amp", 0, 1),  # nobody documented a plug of the amplifier
        ("untold", "to-radio", 1, 0),  # that kit goes to the radio, whose plug is another
        ("unitless", "to-amp", 0, 1),  # no unit at all is documented
    ],
)
def test_a_plug_that_nobody_documented_leaves_it_open(
    tmp_path: Path, of: str, with_: str, rows: int, unknowns: int
) -> None:
    amp = {"id": "A", "unit": "amp", "plug": "HA-3", "ways": 4, "pins": [{"at": 1}]}
    unitless = car("unitless") | {"unit": [], "connector": []}
    book = book_of(
        tmp_path / "b.db",
        [car("told", amp), car("untold"), unitless, kit("to-amp", "amplifier"),
         kit("to-radio", "radio")],
    )  # fmt: skip
    with book.reading() as connection:
        for name in ("carried", "partial", "reversed"):
            for query in (
                f"vehicles of {of} with {with_} where {name} = 0",
                f"kits for {of} where kit = {with_} and {name} = 0",
            ):
                answer = ask(connection, query)
                assert (len(answer.rows), answer.unknowns) == (rows, unknowns), query
        left = ask(connection, f"vehicles of {of} with {with_} where left out = 0")
        assert (len(left.rows), left.unknowns) == (0, 1)
        none = ask(connection, f"vehicles of {of} with {with_} where carried is unknown")
        assert len(none.rows) == unknowns
