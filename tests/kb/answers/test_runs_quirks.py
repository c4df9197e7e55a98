"""Wiring that is out of the common: which lead is named, where it joins, and what is warned of."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from kb.answers.runs import Runs, SpeakerAnswer, runs
from kb.answers.runs_json import runs_json
from kb.store.revisions import add_documents
from tests.books import book_of, document
from tui.drawing.runs_page import runs_page
from tui.ink import Ink

Answer = Callable[..., Runs]


def car(*connectors: dict[str, Any], speakers: tuple[str, ...] = ("door",)) -> dict[str, Any]:
    return {
        "kind": "vehicle",
        "vehicle": {
            "id": "car",
            "make": "Oster",
            "model": "Fell",
            "years": "2020",
            "audio": "any",
        },
        "unit": [{"id": "radio", "kind": "radio"}, {"id": "amp", "kind": "amplifier"}],
        "speaker": [{"id": speaker, "role": "woofer"} for speaker in speakers],
        "connector": list(connectors),
    }


def plug(id: str, pins: dict[int, Any], unit: str | None = "amp", name: str | None = None) -> Any:
    return {
        "id": id,
        **({"unit": unit} if unit else {}),
        "plug": name or f"P-{id}",
        "ways": 20,
        "pins": [
            {"at": at, **({"carries": carries} if carries else {})} for at, carries in pins.items()
        ],
    }


def part(id: str, plugs: str, *ways: tuple[int, int], **more: Any) -> dict[str, Any]:
    names = more.pop("names", "GHJKL")
    return {
        "id": id,
        "use": "always",
        "plugs": [plugs],
        "leads": [
            {"lead": name, "plug": plugs, "plus": plus, "minus": minus}
            for name, (plus, minus) in zip(names, ways, strict=False)
        ],
        **more,
    }


def kit(*parts: dict[str, Any], takes_out: tuple[str, ...] = ("amplifier",)) -> dict[str, Any]:
    return {
        "kind": "kit",
        "kit": {
            "id": "kit",
            "maker": "Ilex",
            "name": "K",
            "takes_out": list(takes_out),
            "line_outputs": 2,
            "output_volts": [4],
        },
        "part": list(parts),
    }


@pytest.fixture
def answer(tmp_path: Path) -> Answer:
    def ask(vehicle: dict[str, Any], the_kit: dict[str, Any], *parts: str) -> Runs:
        with book_of(tmp_path / "book.db", [vehicle, the_kit]).reading() as connection:
            return runs(connection, "car", "kit", parts)

    return ask


def the(answer: Runs, speaker: str) -> SpeakerAnswer:
    return next(found for found in answer.speakers if found.speaker == speaker)


DUAL = {1: "sub.a+", 2: "sub.a-", 3: "sub.b+", 4: "sub.b-"}


def test_only_the_swapped_lead_of_a_dual_coil_is_called_swapped(answer: Answer) -> None:
    found = answer(
        car(plug("A1", DUAL), speakers=("sub",)), kit(part("main", "P-A1", (1, 2), (4, 3)))
    )
    assert the(found, "sub").outcome == "reversed"
    assert [feed.swapped for feed in the(found, "sub").feeds] == [False, True]
    (caution,) = [text for text in found.cautions if "swapped" in text]
    assert "coil b: lead H" in caution and "lead G" not in caution


def test_a_second_lead_on_a_doubled_way_is_never_left_unseen(answer: Answer) -> None:
    doubled = {1: "door+", 2: "door-", 3: "door+", 4: "door-"}
    found = answer(car(plug("A1", doubled)), kit(part("main", "P-A1", (1, 2), (3, 4))))
    assert (the(found, "door").outcome, the(found, "door").lead) == ("carried", "G")
    assert [grip.lead for grip in the(found, "door").spare_grips] == ["H"]
    assert any("on lead H of main too" in text for text in found.cautions)


@pytest.mark.parametrize(
    ("intercepts", "words"),
    [(None, "nobody recorded whether part main opens"), (False, "part main only listens")],
)
def test_a_factory_output_that_may_stay_connected_is_cautioned(
    answer: Answer, intercepts: bool | None, words: str
) -> None:
    more = {} if intercepts is None else {"intercepts": intercepts}
    radio = plug("R1", {1: "door+", 2: "door-"}, unit="radio")
    found = answer(car(radio), kit(part("main", "P-R1", (1, 2), **more)))
    (caution,) = [text for text in found.cautions if "two outputs" in text]
    assert words in caution
    unchosen = kit(part("main", "P-R1", (1, 2), **more) | {"use": "choice"})
    (fix, *_) = the(answer(car(radio), unchosen), "door").fixes
    assert fix.way == "part" and fix.warning and "two outputs" in fix.warning


def test_an_opened_factory_wire_needs_no_caution(answer: Answer) -> None:
    radio = plug("R1", {1: "door+", 2: "door-"}, unit="radio")
    found = answer(car(radio), kit(part("main", "P-R1", (1, 2), intercepts=True)))
    assert not any("two outputs" in text for text in found.cautions)


def test_a_lead_that_holds_only_part_is_to_be_left_unconnected(answer: Answer) -> None:
    found = answer(
        car(plug("A1", {1: "door+", 2: "door-", 3: "battery"})), kit(part("main", "P-A1", (1, 3)))
    )
    assert the(found, "door").outcome == "partial"
    assert any("lead G of main holds only part of door" in text for text in found.cautions)
    page = "\n".join(runs_page(found, 120, Ink(colour=False)))
    assert "+ way 1 carries door+, - way 3 carries battery" in page


def test_a_part_fix_names_the_part_s_own_leads(answer: Answer) -> None:
    dual = car(plug("A1", DUAL), plug("X1", DUAL, unit=None), speakers=("sub",))
    first = part("x", "P-A1", (1, 2), names="G") | {"use": "choice"}
    second = part("y", "P-X1", (3, 4), names="H") | {"use": "choice"}
    both = part("z", "P-A1", (1, 2), (3, 4), names="MN") | {"use": "choice"}
    found = answer(dual, kit(first, second, both), "x")
    fixes = {fix.part: fix.leads for fix in the(found, "sub").fixes if fix.way == "part"}
    assert fixes == {"y": ("H",), "z": ("M", "N")}


def test_a_part_that_fits_two_places_promises_nothing(answer: Answer) -> None:
    two = car(
        plug("A1", {1: "door+", 2: "door-"}, name="P"),
        plug("R1", {1: "sail+", 2: "sail-"}, unit="radio", name="P"),
        speakers=("door", "sail"),
    )
    found = answer(two, kit(part("main", "P", (1, 2), intercepts=True)))
    page = "\n".join(runs_page(found, 80, Ink(colour=False)))
    assert "ALL 2 WOULD MOVE, BUT NOT ALL PARTS CAN BE PLUGGED IN" in page
    assert "ONE PART, TWO PLACES: main at A1 and R1" in page
    assert any("can go into only one" in text for text in found.cautions)


def test_two_parts_for_one_plug_are_cautioned(answer: Answer) -> None:
    one = car(plug("A1", DUAL), speakers=("sub",))
    found = answer(one, kit(part("x", "P-A1", (1, 2)), part("y", "P-A1", (3, 4))))
    assert any("both go into A1" in text for text in found.cautions)


def test_an_in_line_lead_is_shown_where_it_joins(answer: Answer) -> None:
    hinge = car(
        plug("A1", {1: "door+", 2: "door-"}), plug("X9", {3: "door+", 4: "door-"}, unit=None)
    )
    found = answer(hinge, kit(part("main", "P-X9", (3, 4), unit="in-line")))
    page = "\n".join(runs_page(found, 120, Ink(colour=False)))
    assert "X9 in line" in page
    (feed,) = runs_json(found)["speakers"][0]["feeds"]
    assert (feed["connector"], feed["plus"]) == ("A1", "1")
    assert (feed["joins_at"]["connector"], feed["joins_at"]["plus"]) == ("X9", "3")


def test_idle_leads_say_what_is_on_their_ways(answer: Answer) -> None:
    ways = {1: "door+", 2: "door-", 3: "battery", 4: "ground", 5: None, 6: None}
    leads = ((1, 2), (3, 4), (5, 6), (7, 8), (30, 31))
    found = answer(car(plug("A1", ways)), kit(part("main", "P-A1", *leads)))
    assert [lead.why for lead in found.idle_leads] == [
        "way carries something else",
        "way empty",
        "way not documented",
        "no such way",
    ]
    page = "\n".join(runs_page(found, 80, Ink(colour=False)))
    assert "A1 way 3 carries battery, way 4 carries ground" in page
    assert any("lead H of main is live once plugged in (battery)" in c for c in found.cautions)


def test_a_plug_at_another_unit_or_in_other_letters_is_told(answer: Answer) -> None:
    here = car(plug("A1", {1: "door+", 2: "door-"}, name="P1"))
    elsewhere = answer(here, kit(part("main", "P1", (1, 2), unit="radio")))
    assert "here P1 is at A1 (amplifier)" in elsewhere.unplugged[0].why


def test_a_plug_in_other_letters_is_told(answer: Answer) -> None:
    here = car(plug("A1", {1: "door+", 2: "door-"}, name="p1"))
    found = answer(here, kit(part("main", "P1", (1, 2))))
    assert "A1 is written p1" in found.unplugged[0].why


def test_a_vehicle_without_speakers_answers_nothing(answer: Answer) -> None:
    found = answer(car(speakers=()), kit(part("main", "P-A1", (1, 2))))
    page = "\n".join(runs_page(found, 80, Ink(colour=False)))
    assert "NO SPEAKER IS LISTED, SO NOTHING IS KNOWN" in page


def test_an_unknown_speaker_with_a_duty_is_cautioned_and_has_no_lead(answer: Answer) -> None:
    vehicle = car(plug("A1", {1: "door+"}))
    vehicle["speaker"][0]["duties"] = ["emergency-call"]
    found = answer(vehicle, kit(part("main", "P-A1", (1, 2))))
    assert the(found, "door").outcome == "unknown"
    assert (the(found, "door").part, the(found, "door").lead) == (None, None)
    assert any("emergency call" in text and "is unknown" in text for text in found.cautions)


def test_poles_on_two_connectors_of_a_unit_can_be_tapped(answer: Answer) -> None:
    split = car(plug("A1", {1: "sub.a+", 2: "sub.a-"}), plug("A2", {3: "sub.b+", 4: "sub.b-"}))
    split["speaker"][0]["id"] = "sub"
    found = answer(split, kit())
    (tap,) = [fix for fix in the(found, "sub").fixes if fix.way == "tap"]
    assert [(joint.connector, joint.plus) for joint in tap.joints] == [("A1", "1"), ("A2", "3")]


def test_a_tap_on_shared_pins_says_who_else_is_cut_off(answer: Answer) -> None:
    shared = {1: ["door+", "sail+"], 2: ["door-", "sail-"]}
    found = answer(car(plug("A1", shared), speakers=("door", "sail")), kit())
    (tap,) = [fix for fix in the(found, "door").fixes if fix.way == "tap"]
    assert tap.shared_with == ("sail",)


def test_circuits_in_another_order_are_no_dispute_and_nobody_disputes_themselves(
    tmp_path: Path,
) -> None:
    def shared(*circuits: str) -> dict[str, Any]:
        return car(plug("A1", {1: list(circuits), 2: "door-"}), speakers=("door", "sail"))

    book = book_of(tmp_path / "b.db", [shared("door+", "sail+"), kit()], author="tess")
    with book.writing() as database:
        add_documents(database, [document(shared("sail+", "door+"))], author="ulla")
    with book.reading() as connection:
        assert connection.execute("SELECT count(*) FROM dispute").fetchone()[0] == 0
    with book.writing() as database:
        add_documents(database, [document(shared("sail+"))], author="ulla")
    with book.reading() as connection:
        rivals = connection.execute("SELECT DISTINCT revision, rival FROM dispute").fetchall()
        # Tess's and Ulla's newest; Ulla's own older one says nothing any more.
        assert sorted(map(tuple, rivals)) == [(1, 4), (4, 1)]


def test_a_pole_that_a_rival_has_elsewhere_is_disputed(tmp_path: Path) -> None:
    one = car(plug("A1", {1: "door+", 2: "door-"}))
    other = car(plug("A1", {1: None, 2: "door-", 3: "door+"}))
    book = book_of(tmp_path / "b.db", [one, kit()], author="tess")
    with book.writing() as database:
        add_documents(database, [document(other)], author="ulla")
    with book.reading() as connection:
        answer = runs(connection, "car", "kit")
    assert the(answer, "door").disputed
    assert any("another revision of this entry" in text for text in answer.cautions)


@pytest.mark.parametrize("width", [40, 60, 80, 120])
def test_no_name_way_or_colour_is_ever_cut(answer: Answer, width: int) -> None:
    speakers = ("door-front-left-midbass", "door-front-left-tweeter")
    pins: dict[int, Any] = {
        1: f"{speakers[0]}+",
        2: f"{speakers[0]}-",
        3: f"{speakers[1]}+",
        4: f"{speakers[1]}-",
    }
    found = answer(
        car(plug("amplifier-trunk", pins), speakers=speakers),
        kit(part("trunk-harness-main", "P-amplifier-trunk", (1, 2), (3, 4))),
    )
    lines = runs_page(found, width, Ink(colour=False))
    assert max(map(len, lines)) <= width
    page = " ".join(" ".join(lines).split())
    for name in (*speakers, "trunk-harness-main", "amplifier-trunk"):
        assert name in page
    assert "…" not in page


@pytest.mark.parametrize("pin", [{"wire": "GN/BK"}, {"mm2": 0.5}, {"carries": "?"}])
def test_a_wire_that_nobody_traced_is_no_empty_way(answer: Answer, pin: dict[str, Any]) -> None:
    """Its lead may be live: it is neither called empty nor left without a word."""
    ways = plug("A1", {1: "door+", 2: "door-", 5: None, 7: "data+"})
    ways["pins"].append({"at": 6, **pin})
    found = answer(car(ways), kit(part("main", "P-A1", (1, 2), (5, 6), (6, 7), (6, 8))))
    assert [(lead.why, lead.untold, lead.take_as_live) for lead in found.idle_leads] == [
        ("way not documented", ("6",), True),
        ("way carries something else", ("6",), True),
        ("way not documented", ("6",), True),
    ]
    first = runs_json(found)["idle_leads"][0]
    assert (first["plus_carries"], first["minus_carries"]) == ("", None)
    said = [text for text in found.cautions if "may be live once plugged in" in text]
    assert len(said) == 3 and "the wire on A1 way 6 carries" in said[0]
    page = " ".join(" ".join(runs_page(found, 80, Ink(colour=False))).split())
    assert "way empty" not in page
    assert "A1 way 5 is empty, way 6 is not documented; meter first" in page
    assert "way not documented, A1 ways 6 and 8; meter first" in page


def test_ways_known_to_be_empty_are_not_taken_as_live(answer: Answer) -> None:
    ways = {1: "door+", 2: "door-", 5: None, 6: None}
    found = answer(car(plug("A1", ways)), kit(part("main", "P-A1", (1, 2), (5, 6))))
    (lead,) = found.idle_leads
    assert (lead.why, lead.untold, lead.take_as_live) == ("way empty", (), False)
    assert not any("may be live" in text for text in found.cautions)


def test_a_way_beyond_those_of_its_connector_is_not_there(answer: Answer) -> None:
    """A way that the connector has and nobody looked at is something else: that can be metered."""
    small = {**plug("A1", {1: "door+", 3: "door-"}), "ways": 8}
    found = answer(car(small), kit(part("main", "P-A1", (1, 9), (3, 7))))
    page = " ".join(" ".join(runs_page(found, 80, Ink(colour=False))).split())
    assert "+ way 1 carries door+, - way 9 is not there" in page
    assert "+ way 3 carries door-, - way 7 is not documented" in page
