"""The shipped book: it reads clean, and shows every quirk, outcome and effect it is there for."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import networkx
import pytest

import seed_data
from kb.answers.runs import Runs, runs
from kb.documents.reading import Reading, Source, read_documents
from kb.store.book import Book, open_book
from kb.store.revisions import add_documents
from tests.seed_data.quirks import QUIRKS, Content, circuits, pins


@pytest.fixture(scope="module")
def reading() -> Reading:
    return read_documents(
        [Source(found.name, found.read_bytes(), "toml") for found in seed_data.documents()]
    )


@pytest.fixture(scope="module")
def contents(reading: Reading) -> dict[str, dict[str, Content]]:
    """Contents by kind and id."""
    found: dict[str, dict[str, Content]] = {}
    for document in reading.documents:
        found.setdefault(document.kind, {})[document.id] = document.content
    return found


@pytest.fixture(scope="module")
def book(reading: Reading, tmp_path_factory: pytest.TempPathFactory) -> Book:
    book = open_book(tmp_path_factory.mktemp("book") / "book.db")
    with book.writing() as database:
        add_documents(database, reading.documents, author="nina")
    return book


def test_every_file_reads_without_an_error(reading: Reading) -> None:
    assert [finding for finding in reading.findings if finding.level == "error"] == []
    assert len(reading.documents) == len(seed_data.documents())


def test_the_only_warnings_are_the_ones_that_the_book_is_meant_to_show(reading: Reading) -> None:
    """A claim by two units, a half-documented speaker, and a speaker that nobody found."""
    assert sorted(finding.source for finding in reading.findings) == [
        "brask-orrin-17-van4.toml",
        "skarne-holt-23-tour8.toml",
        "torvane-sedge-20-studio9.toml",
    ]


def test_a_file_bears_the_id_of_its_entry_and_lies_in_the_folder_of_its_kind() -> None:
    for found in seed_data.documents():
        text = found.read_text("utf-8")
        kind = re.search(r'^kind = "(\w+)"$', text, re.M)
        ident = re.search(r'^id = "([^"]+)"$', text, re.M)
        assert kind is not None and ident is not None
        assert found.name == f"{ident[1]}.toml"
        assert Path(str(found)).parent.name == f"{kind[1]}s"


def test_there_is_enough_of_each_kind(contents: dict[str, dict[str, Content]]) -> None:
    assert 9 <= len(contents["vehicle"]) <= 12
    assert len(contents["kit"]) >= 5
    assert len(contents["job"]) >= 3
    sorts = {
        (head["amplifier"]["class"], len(head["channel"]))
        for head in contents["amplifier"].values()
    }
    assert sorts == {("D", 5), ("D", 1), ("AB", 4)}


@pytest.mark.parametrize("quirk", QUIRKS, ids=lambda quirk: quirk.__name__)
def test_a_vehicle_shows_the_quirk_and_another_does_not(
    quirk: Any, contents: dict[str, dict[str, Content]]
) -> None:
    shown = [quirk(vehicle) for vehicle in contents["vehicle"].values()]
    assert any(shown)
    assert not all(shown)


def test_every_duty_that_must_not_be_lost_is_there(
    contents: dict[str, dict[str, Content]],
) -> None:
    duties = {
        duty
        for vehicle in contents["vehicle"].values()
        for speaker in vehicle["speaker"]
        for duty in speaker.get("duties", ())
    }
    assert duties == {"chime", "emergency-call", "noise-cancelling", "phone"}


def test_sibling_years_of_one_make_share_a_plug_and_differ_in_one_colour(
    contents: dict[str, dict[str, Content]],
) -> None:
    old, new = (
        {
            (connector["id"], connector["plug"], pin["at"]): (circuits(pin), pin.get("wire"))
            for connector, pin in pins(contents["vehicle"][name])
        }
        for name in ("halden-tarn-19-concert10", "halden-tarn-24-concert10")
    )
    assert old.keys() == new.keys()
    assert [at for at in old if old[at] != new[at]] == [("A1", "HT-20", "5")]
    assert old["A1", "HT-20", "5"][0] == new["A1", "HT-20", "5"][0]


def test_a_part_works_in_line_where_a_speaker_passes(
    contents: dict[str, dict[str, Content]],
) -> None:
    plugs = {
        plug
        for kit in contents["kit"].values()
        for part in kit["part"]
        if part.get("unit") == "in-line"
        for plug in part["plugs"]
    }
    assert plugs & {
        connector["plug"]
        for vehicle in contents["vehicle"].values()
        for connector in vehicle["connector"]
        if "unit" not in connector
    }


def test_jobs_name_entries_parts_and_places_that_exist(
    contents: dict[str, dict[str, Content]],
) -> None:
    for job in contents["job"].values():
        head = job["job"]
        vehicle = contents["vehicle"][head["vehicle"]]
        kit = contents["kit"][head["kit"]]
        channels = {
            channel["id"] for channel in contents["amplifier"][head["amplifier"]]["channel"]
        }
        places = {route[end] for route in vehicle["route"] for end in ("from", "to")}
        speakers = {speaker["id"] for speaker in vehicle["speaker"]}
        driven = [name for drive in job["drive"] for name in drive["speakers"]]
        assert set(head.get("parts", ())) <= {part["id"] for part in kit["part"]}
        assert {drive["channel"] for drive in job["drive"]} <= channels
        assert {head["amplifier_place"], head["battery_place"]} <= places
        # Every speaker is either driven by one channel or said to stay silent.
        assert sorted([*driven, *head.get("silent", ())]) == sorted(speakers)


def all_answers(book: Book, contents: dict[str, dict[str, Content]]) -> Iterator[Runs]:
    """Every vehicle with every kit, with all of its parts."""
    with book.reading() as connection:
        for vehicle in contents["vehicle"]:
            for kit, content in contents["kit"].items():
                parts = [part["id"] for part in content["part"] if part["use"] == "choice"]
                yield runs(connection, vehicle, kit, parts)


def test_every_outcome_effect_and_reason_shows(
    book: Book, contents: dict[str, dict[str, Content]]
) -> None:
    answers = list(all_answers(book, contents))
    speakers = [speaker for answer in answers for speaker in answer.speakers]
    assert {speaker.outcome for speaker in speakers} == {
        "carried",
        "reversed",
        "partial",
        "left out",
        "unknown",
    }
    assert {speaker.effect for speaker in speakers} == {
        "goes silent",
        "stays on factory feed",
        "moves to new amplifier",
        "meter first",
    }
    assert {lead.why for answer in answers for lead in answer.idle_leads} >= {
        "no such plug",
        "way empty",
        "way carries something else",
    }
    assert any(answer.does_not_plug_in for answer in answers)


@pytest.mark.parametrize(
    ("vehicle", "kit", "parts", "expected"),
    [
        # The contract's own figures for the example documents.
        ("halden-tarn-19-concert10", "oku-b6", [], {"carried": 7, "left out": 3}),
        ("halden-tarn-19-concert10", "oku-b6", ["radio-28"], {"carried": 9, "left out": 1}),
        # The rest was worked out by hand from the two documents' tables.
        ("quessel-marl-18-iso4", "pellard-t4", ["iso-b"], {"carried": 4}),
        ("torvane-sedge-17-studio8", "tavick-s7", [], {"carried": 7, "left out": 1}),
        (
            "torvane-sedge-20-studio9",
            "tavick-s7",
            [],
            {"carried": 3, "partial": 3, "reversed": 1, "left out": 1, "unknown": 1},
        ),
        ("brask-orrin-17-van4", "pellard-t4", ["b16"], {"carried": 3, "unknown": 1}),
        (
            "skarne-holt-23-tour8",
            "oku-b4",
            ["holt-52"],
            {"carried": 4, "partial": 1, "left out": 2},
        ),
        ("yarrin-dapple-22-arena8", "pellard-hinge", [], {"carried": 4, "left out": 4}),
        (
            "wendrake-haulm-16-cab3",
            "pellard-t4",
            ["w20"],
            {"carried": 1, "left out": 1, "unknown": 1},
        ),
    ],
)
def test_outcomes_worked_out_by_hand(
    book: Book, vehicle: str, kit: str, parts: list[str], expected: dict[str, int]
) -> None:
    with book.reading() as connection:
        answer = runs(connection, vehicle, kit, parts)
    outcomes = Counter(speaker.outcome for speaker in answer.speakers)
    assert outcomes == expected


def test_an_emergency_call_that_would_go_silent_is_cautioned(book: Book) -> None:
    with book.reading() as connection:
        answer = runs(connection, "quessel-marl-21-hall11", "nimmet-p8")
    (roof,) = (speaker for speaker in answer.speakers if speaker.speaker == "roof")
    assert (roof.outcome, roof.effect) == ("left out", "goes silent")
    assert any("roof" in caution and "emergency" in caution for caution in answer.cautions)


def test_each_job_can_reach_what_it_has_to(
    book: Book, contents: dict[str, dict[str, Content]]
) -> None:
    """Battery, the units where parts plug in, and every speaker to be wired hang together."""
    for job in contents["job"].values():
        head = job["job"]
        vehicle, kit = contents["vehicle"][head["vehicle"]], contents["kit"][head["kit"]]
        parts = head.get("parts", [part["id"] for part in kit["part"]])
        with book.reading() as connection:
            answer = runs(connection, head["vehicle"], head["kit"], parts)
        plugs = {
            plug
            for part in kit["part"]
            if part["id"] in answer.path.chosen
            for plug in part["plugs"]
        }
        places = {unit["id"]: unit["place"] for unit in vehicle["unit"]}
        wanted = {
            connector.get("place") or places[connector["unit"]]
            for connector in vehicle["connector"]
            if connector["plug"] in plugs
        } | {
            speaker.place
            for speaker in answer.speakers
            if speaker.outcome in ("left out", "partial")
            and speaker.speaker not in head.get("silent", ())
        }
        roads = networkx.Graph([(route["from"], route["to"]) for route in vehicle["route"]])
        reached = networkx.node_connected_component(roads, head["amplifier_place"])
        assert wanted | {head["battery_place"]} <= reached
