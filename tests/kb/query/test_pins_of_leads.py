"""The pins that `ask` shows of a feed are those of every other screen: the lead's where one holds
it. Which way is right is judged by the graph in tests/outside/test_outcomes_by_graph.py."""

from __future__ import annotations

from pathlib import Path
from random import Random
from typing import Any

from kb.answers.feeds import Feed
from kb.answers.runs import SpeakerAnswer, runs
from kb.query.run import ask
from tests.books import book_of
from tests.kb.query.conftest import Asked
from tests.kb.query.world import read_world
from tests.topologies import kit, vehicle

PINS = ("connector", "plus", "minus", "plus_wire", "minus_wire")


def with_wires(chance: Random, car: dict[str, Any]) -> dict[str, Any]:
    """Colours by chance, some of them unknown: a colour must not stray to another way's pin."""
    for connector in car["connector"]:
        for pin in connector["pins"]:
            pin["wire"] = chance.choice(("WH", "BK", "GN", "VT/BU", "RD"))
            if pin.get("carries") and chance.random() < 0.3:
                del pin["wire"]
    return car


def feed_of_the_lead(speaker: SpeakerAnswer) -> Feed:
    """The one that the lead to be turned round holds, else the first that a lead holds; a lead is
    no answer where the outcome is unknown."""
    if speaker.outcome == "unknown":
        return speaker.feeds[0]
    swapped = [feed for feed in speaker.feeds if feed.swapped]
    held = [feed for feed in speaker.feeds if feed.grip]
    return [*swapped, *held, *speaker.feeds][0]


def test_the_columns_are_the_pins_of_runs(tmp_path: Path) -> None:
    moved = elsewhere = in_line = second = 0
    for seed in range(8):
        chance = Random(seed)
        cars = [with_wires(chance, vehicle(chance, f"car-{n}")) for n in range(25)]
        kits = [kit(chance, f"kit-{n}") for n in range(2)]
        with book_of(tmp_path / f"{seed}.db", [*cars, *kits]).reading() as connection:
            for the_kit in ("kit-0", "kit-1"):
                every = ask(connection, f"speakers with {the_kit}").rows
                for car in cars:
                    id = car["vehicle"]["id"]
                    if not car["speaker"]:
                        continue
                    told = runs(connection, id, the_kit).speakers
                    named = {s.speaker: feed_of_the_lead(s) for s in told}
                    plain = {r["speaker"]: r for r in ask(connection, f"speakers of {id}").rows}
                    asked = ask(connection, f"speakers of {id} with {the_kit}").rows
                    # The columns are there where some row of the table needs them.
                    apart = {r["speaker"]: r.pop("minus_connector", None) for r in asked}
                    lead_at = {r["speaker"]: r.pop("lead_connector", None) for r in asked}
                    of_id = [row for row in every if row["vehicle"] == id]
                    for row in of_id:
                        row.pop("minus_connector", None)
                        row.pop("lead_connector", None)
                    assert asked == of_id
                    for row in asked:
                        feed = named[row["speaker"]]
                        if row["outcome"] != "unknown":
                            assert row["lead"] == (feed.lead or ""), (row, car)
                            at, shown_at = feed.lead_connector or "", lead_at[row["speaker"]]
                            of_pins = (row["connector"], feed.minus_connector)
                            assert (
                                at == shown_at
                                if shown_at is not None
                                else (not at or None in of_pins or at in of_pins)
                            ), (row, car)
                            in_line += bool(at) and at not in of_pins
                            second += bool(feed.coil) and feed.coil != "a"
                        shown = [getattr(feed, name) for name in PINS]
                        assert [row[name] for name in PINS] == shown, (row, car)
                        if feed.minus:
                            minus_on = apart[row["speaker"]] or row["connector"]
                            assert minus_on == feed.minus_connector, (row, car)
                            elsewhere += minus_on != row["connector"]
                        moved += shown != [plain[row["speaker"]][name] for name in PINS]
                        if feed.plus:
                            question = f'speakers of {id} with {the_kit} where plus = "{feed.plus}"'
                            found = [r["speaker"] for r in ask(connection, question).rows]
                            assert row["speaker"] in found
    assert elsewhere > 10  # a minus on another connector than the plus
    assert moved > 10  # pins that are not the first in the document's order
    assert in_line > 10  # a lead that joins elsewhere than at the unit
    assert second > 3  # pins of the second coil, because the lead that is named holds that one


def test_a_speaker_is_found_by_every_way_and_wire_of_its_poles(tmp_path: Path) -> None:
    """Held against the documents: a way that is not shown is no way that it is not on."""
    doubled = 0
    for seed in range(6):
        chance = Random(seed)
        cars = [with_wires(chance, vehicle(chance, f"car-{n}")) for n in range(25)]
        with book_of(tmp_path / f"{seed}.db", [*cars, kit(chance, "kit")]).reading() as connection:
            world = read_world(connection)
            for car in cars:
                id = car["vehicle"]["id"]
                for speaker in (row["id"] for row in car["speaker"]):
                    unit = world.fed_by(id, speaker)
                    ways = [
                        (c, at, pole)
                        for c, at, _, pole in world.poles(id, speaker)
                        if unit is not None and c.get("unit") == unit
                    ]
                    doubled += len(ways) > 2
                    for connector, at, pole in ways:
                        field = "plus" if pole == "+" else "minus"
                        wire = next(p for p in connector["pins"] if str(p["at"]) == at).get("wire")
                        asked = [f'{field} = "{at}"', f"connector = {connector['id']}"]
                        asked.append(
                            f"{field} wire = {wire}" if wire else f"{field} wire is unknown"
                        )
                        for condition in asked:
                            for scope in (f"of {id}", f"of {id} with kit"):
                                question = f"speakers {scope} where {condition}"
                                found = [row["speaker"] for row in ask(connection, question).rows]
                                assert speaker in found, (question, car)
    assert doubled > 10


def on_two_ways(*kits: str) -> list[dict[str, Any]]:
    """A sub whose plus is on two ways, and kits that plug in there."""
    pins = ((8, "sub+", "WH"), (2, "sub+", "PK"), (7, "sub-", "BK"))
    car = {
        "kind": "vehicle",
        "vehicle": {"id": "car", "make": "Oster", "model": "Fell", "years": "2020", "audio": "x"},
        "unit": [{"id": "amp", "kind": "amplifier"}],
        "speaker": [{"id": "sub", "role": "subwoofer"}],
        "connector": [
            {
                "id": "A1", "unit": "amp", "plug": "P", "ways": 20,
                "pins": [{"at": at, "carries": on, "wire": wire} for at, on, wire in pins],
            }
        ],
    }  # fmt: skip
    part = {
        "id": "main",
        "use": "always",
        "plugs": ["P"],
        "leads": [{"lead": "G", "plug": "P", "plus": 8, "minus": 7}],
    }
    more = {"line_outputs": 2, "output_volts": [4], "takes_out": ["amplifier"]}
    heads = [{"id": id, "maker": "Ilex", "name": "K"} | more for id in kits]
    return [car, *({"kind": "kit", "kit": one, "part": [part]} for one in heads)]


def test_it_is_said_that_a_pole_is_on_more_ways(tmp_path: Path) -> None:
    with book_of(tmp_path / "b.db", on_two_ways("kit")).reading() as connection:
        first = ask(connection, "speakers of car show speaker, plus, plus wire")
        leads = ask(connection, "speakers of car with kit show speaker, plus, plus wire, lead")
    assert [row["plus"] for row in first.rows] == ["2"]
    assert [(row["plus"], row["plus_wire"], row["lead"]) for row in leads.rows] == [
        ("8", "WH", "G")
    ]
    assert any("(the first of each pole)" in note for note in first.notes)
    assert any("1 speaker is on more ways" in n and "under its lead" in n for n in leads.notes)


def test_a_speaker_that_comes_with_each_kit_is_one(tmp_path: Path) -> None:
    with book_of(tmp_path / "b.db", on_two_ways("kit", "other")).reading() as connection:
        listed = ask(connection, "speakers with any kit")
        counted = ask(connection, "count speakers by plus with any kit")
    assert len(listed.rows) == 2
    assert [(row["plus"], row["count"]) for row in counted.rows] == [("8", 2)]
    for notes in (listed.notes, counted.notes):
        assert [n for n in notes if n.startswith("1 speaker is on more ways")], notes


def test_speakers_of_two_vehicles_are_two(shipped: Asked) -> None:
    """A like name on another vehicle is another speaker."""
    answer = ask(shipped.connection, "speakers with any kit where speaker = sub and feeds = 2")
    number = len({row["vehicle"] for row in answer.rows})
    assert number > 1
    assert any(note.startswith(f"{number} speakers have a second") for note in answer.notes)


def test_two_parts_for_one_plug_are_told_as_runs_tells_them(tmp_path: Path) -> None:
    car, one_kit = on_two_ways("kit")
    second = one_kit["part"][0] | {"id": "second", "use": "choice"}
    both = one_kit | {"part": [*one_kit["part"], second]}
    told = "parts main and second both go into A1 (P), which takes one plug"
    with book_of(tmp_path / "b.db", [car, both]).reading() as connection:
        for subject in ("speakers of car", "leads on car", "vehicles of car"):
            notes = " ".join(ask(connection, f"{subject} with kit + second").notes)
            assert told in notes
            assert told not in " ".join(ask(connection, f"{subject} with kit").notes)
        assert told in " ".join(runs(connection, "car", "kit", ["second"]).cautions)
