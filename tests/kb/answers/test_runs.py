"""The main job on the shipped vehicles: what a kit carries, leaves out, and the ways to those."""

from collections.abc import Iterator
from pathlib import Path
from sqlite3 import Connection
from typing import Any

import pytest

from kb.answers.runs import Runs, runs
from kb.answers.runs_json import runs_json
from kb.errors import Refused
from kb.shipped import shipped_book
from tests.books import book_of
from tests.small_documents import small_kit, small_vehicle

CONCERT = "halden-tarn-19-concert10"


@pytest.fixture(scope="module")
def shipped(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Connection]:
    with shipped_book(tmp_path_factory.mktemp("book") / "book.db").reading() as connection:
        yield connection


def by_outcome(answer: Runs) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for speaker in answer.speakers:
        found.setdefault(speaker.outcome, []).append(speaker.speaker)
    return found


def test_the_example_leaves_out_what_the_radio_drives(shipped: Connection) -> None:
    answer = runs(shipped, CONCERT, "oku-b6")
    outcomes = by_outcome(answer)
    assert len(outcomes["carried"]) == 7
    assert outcomes["left out"] == ["quarter-l", "quarter-r", "centre"]
    effects = {s.effect for s in answer.speakers if s.outcome == "left out"}
    assert effects == {"stays on factory feed"}
    assert [lead.lead for lead in answer.idle_leads] == ["E", "F"]


def test_the_second_harness_leaves_only_the_centre_out(shipped: Connection) -> None:
    answer = runs(shipped, CONCERT, "oku-b6", ["radio-28"])
    assert by_outcome(answer)["left out"] == ["centre"]
    assert answer.path.chosen == ("main", "radio-28")


def test_the_json_keeps_the_contract(shipped: Connection) -> None:
    said = runs_json(runs(shipped, CONCERT, "oku-b6"))
    assert {"vehicle", "kit", "parts", "state", "speakers", "idle_leads"} <= set(said)
    assert {"does_not_plug_in", "cautions", "unknowns"} <= set(said)
    assert said["state"] == "submitted" and said["unknowns"] == 0
    speakers: dict[str, dict[str, Any]] = {entry["speaker"]: entry for entry in said["speakers"]}
    centre = speakers["centre"]
    assert centre["fed_by"] == "radio" and centre["connector"] == "R1"
    assert (centre["plus"], centre["minus"]) == ("11", "25")
    assert (centre["plus_wire"], centre["minus_wire"]) == ("BU/YE", "BU")
    assert [fix["way"] for fix in centre["fixes"]] == ["run", "tap"]
    tap = centre["fixes"][1]
    assert (tap["connector"], tap["place"], tap["plus"], tap["minus"]) == (
        "R1",
        "dash-centre",
        "11",
        "25",
    )
    assert "two outputs on one wire" in tap["warning"]
    part = speakers["quarter-l"]["fixes"][0]
    assert (part["way"], part["part"], part["lead"]) == ("part", "radio-28", "J")
    sub = speakers["sub"]
    assert [feed["coil"] for feed in sub["feeds"]] == ["a", "b"]
    assert (sub["plus"], sub["lead"]) == ("2", "G")
    # What was written in words is shown as the code.
    assert speakers["quarter-r"]["plus_wire"] == "GY/YE"


def test_idle_leads_say_why(shipped: Connection) -> None:
    whys = {
        lead.why
        for kit in ("oku-b6", "oku-b4", "pellard-t4", "pellard-hinge", "nimmet-p8", "tavick-s7")
        for (vehicle,) in shipped.execute("SELECT id FROM vehicle")
        for lead in runs(shipped, vehicle, kit).idle_leads
    }
    assert whys == {
        "no such plug",
        "way empty",
        "way not documented",
        "way carries something else",
    }


def test_an_undocumented_way_is_never_called_empty(shipped: Connection) -> None:
    for lead in runs(shipped, CONCERT, "oku-b6").idle_leads:
        assert lead.why == "way not documented"


def test_a_lost_emergency_call_is_a_caution_of_its_own(shipped: Connection) -> None:
    answer = runs(shipped, "quessel-marl-21-hall11", "nimmet-p8")
    (roof,) = [speaker for speaker in answer.speakers if speaker.speaker == "roof"]
    assert roof.effect == "goes silent"
    (caution,) = [text for text in answer.cautions if "roof" in text]
    assert "emergency call" in caution and "must not be lost" in caution


def test_a_part_that_does_not_plug_in_is_reported(shipped: Connection) -> None:
    answer = runs(shipped, "halden-tarn-19-plain6", "oku-b6")
    assert answer.does_not_plug_in == ("main",)
    assert {speaker.effect for speaker in answer.speakers} == {"stays on factory feed"}


def test_two_units_that_claim_a_speaker_make_it_unknown(shipped: Connection) -> None:
    answer = runs(shipped, "brask-orrin-17-van4", "oku-b6")
    claimed = [speaker for speaker in answer.speakers if len(speaker.claimed_by) > 1]
    assert [speaker.outcome for speaker in claimed] == ["unknown"]
    assert claimed[0].fed_by is None
    assert any("both claim to drive it" in text for text in answer.cautions)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("halden-tarn-19-concert1", "oku-b6"), "nearest is halden-tarn-19-concert10"),
        ((CONCERT, "oku-b66"), "nearest is oku-b"),
        (("nothing-like-it", "oku-b6"), "There is no vehicle 'nothing-like-it'"),
        ((CONCERT, "oku-b6", ["radio-29"]), "nearest is radio-28"),
    ],
)
def test_what_the_book_has_not_is_refused_with_the_nearest(
    shipped: Connection, arguments: tuple[Any, ...], words: str
) -> None:
    with pytest.raises(Refused, match=words):
        runs(shipped, *arguments)


def test_a_part_that_only_listens_warns_of_two_outputs(tmp_path: Path) -> None:
    kit = small_kit()
    kit["part"][1]["intercepts"] = False
    with book_of(tmp_path / "b.db", [small_vehicle(), kit]).reading() as connection:
        answer = runs(connection, "oster-fell-20", "ilex-k2", [kit["part"][1]["id"]])
    assert any("two outputs on one wire" in text for text in answer.cautions)


def test_a_half_documented_speaker_is_unknown_and_says_what_to_meter(tmp_path: Path) -> None:
    car = small_vehicle()
    car["connector"][1]["pins"] = [{"at": "11", "carries": "centre+", "wire": "BU/YE"}]
    with book_of(tmp_path / "b.db", [car, small_kit()]).reading() as connection:
        answer = runs(connection, "oster-fell-20", "ilex-k2")
    (centre,) = [speaker for speaker in answer.speakers if speaker.speaker == "centre"]
    # The unit is known from one pole; the outcome is not.
    assert (centre.fed_by, centre.outcome, centre.effect) == ("radio", "unknown", "meter first")
    assert centre.to_meter == "the minus pin at radio"
    assert centre.fixes == ()


def test_speakers_sold_but_not_listed_are_never_passed_over(tmp_path: Path) -> None:
    car = small_vehicle(sold_speakers=7)
    with book_of(tmp_path / "b.db", [car, small_kit()]).reading() as connection:
        answer = runs(connection, "oster-fell-20", "ilex-k2")
    assert answer.unlisted == 4 and runs_json(answer)["unlisted"] == 4
    assert any("sold with 7 speakers and 3 are listed" in text for text in answer.cautions)
