"""Poles that are on several ways of their unit: all named, the lead's own shown, all cut off.

The shapes of wiring and the reading by a graph are in test_runs_quirks.py and tests/outside.
"""

from pathlib import Path
from typing import Any

import pytest

from kb.answers.runs import Runs, runs
from kb.answers.runs_json import runs_json
from tests.books import book_of
from tests.kb.answers.test_runs_quirks import Answer, car, kit, part, plug, the
from tui.browser.faces import connectors_of, lit_ways
from tui.drawing.fix_words import fix_in_words


@pytest.fixture
def answer(tmp_path: Path) -> Answer:
    def ask(vehicle: dict[str, Any], the_kit: dict[str, Any], *parts: str) -> Runs:
        with book_of(tmp_path / "book.db", [vehicle, the_kit]).reading() as connection:
            return runs(connection, "car", "kit", parts)

    return ask


DOUBLED = {17: "sub+", 18: "sub+", 25: "sub-", 26: "sub-"}


def test_a_tap_names_every_way_of_a_pole_and_cuts_them_all(answer: Answer) -> None:
    found = answer(car(plug("V1", DOUBLED), speakers=("sub",)), kit())
    (tap,) = [fix for fix in the(found, "sub").fixes if fix.way == "tap"]
    assert [way.at for way in tap.joints[0].plus_also] == ["18"]
    assert [way.at for way in tap.joints[0].minus_also] == ["26"]
    assert tap.warning and "every one of these ways" in tap.warning
    said = fix_in_words(tap)
    assert "+ 17 colour unknown and 18 colour unknown, - 25 colour unknown and 26" in said
    assert "cut the factory output off on every one of these ways" in said
    (fix,) = [fix for fix in runs_json(found)["speakers"][0]["fixes"] if fix["way"] == "tap"]
    assert (fix["plus"], fix["minus"]) == ("17", "25")
    assert fix["plus_also"] == [{"connector": "V1", "at": "18", "wire": None}]
    assert fix["feeds"][0]["minus_also"] == [{"connector": "V1", "at": "26", "wire": None}]


def test_a_tap_names_the_ways_at_the_unit_s_other_connectors_and_who_is_on_them(
    answer: Answer,
) -> None:
    ways = car(
        plug("A1", {1: "door+", 2: "door-"}),
        plug("A2", {3: ["door+", "sail+"], 4: "sail-"}),
        speakers=("door", "sail"),
    )
    found = answer(ways, kit())
    (tap,) = [fix for fix in the(found, "door").fixes if fix.way == "tap"]
    assert [way.spot for way in tap.also] == [("A2", "3")]
    assert tap.shared_with == ("sail",)
    assert "+ 1 colour unknown and A2 3 colour unknown, - 2" in fix_in_words(tap)


def test_a_tap_in_line_cuts_what_may_pass_it_by(answer: Answer) -> None:
    one_way = car(plug("V1", DOUBLED), plug("X1", {3: "sub+", 4: "sub-"}, unit=None))
    two_ways = car(
        plug("V1", DOUBLED),
        plug("X1", dict(zip(range(1, 5), DOUBLED.values(), strict=True)), unit=None),
    )
    for ways, also in ((one_way, ["17", "18", "25", "26"]), (two_ways, ["2", "4"])):
        ways["speaker"][0]["id"] = "sub"
        taps = [fix for fix in the(answer(ways, kit()), "sub").fixes if fix.way == "tap"]
        assert [fix.in_line for fix in taps] == [False, True]
        assert [way.at for way in taps[1].also] == also


@pytest.mark.parametrize("intercepts", [True, False, None])
def test_a_lead_that_takes_over_one_of_two_ways_says_what_else_to_cut(
    answer: Answer, intercepts: bool | None
) -> None:
    more = {} if intercepts is None else {"intercepts": intercepts}
    radio = plug("R1", {4: "door+", 14: "door+", 5: "door-"}, unit="radio")
    found = answer(car(radio), kit(part("main", "P-R1", (4, 5), **more)))
    (caution,) = [text for text in found.cautions if "R1 way 14" in text]
    assert "lead G of main leaves joined" in caution and "two outputs" in caution
    unchosen = kit(part("main", "P-R1", (4, 5), **more) | {"use": "choice"})
    (fix, *_) = the(answer(car(radio), unchosen), "door").fixes
    assert fix.way == "part" and fix.warning and "R1 way 14" in fix.warning


def test_a_way_that_another_lead_opens_needs_no_cut(answer: Answer) -> None:
    radio = plug("R1", {4: "door+", 14: "door+", 5: "door-", 15: "door-"}, unit="radio")
    found = answer(car(radio), kit(part("main", "P-R1", (4, 5), (14, 15), intercepts=True)))
    assert not any("joined" in text for text in found.cautions)


def test_a_second_way_of_a_unit_that_comes_out_is_no_danger(answer: Answer) -> None:
    amp = plug("A1", {4: "door+", 14: "door+", 5: "door-"})
    found = answer(car(amp), kit(part("main", "P-A1", (4, 5))))
    assert not any("joined" in text for text in found.cautions)


def test_the_pins_shown_are_those_of_the_lead_that_is_named(answer: Answer) -> None:
    """One screen shall not say that a lead joins at A2 and that the feed is on A1."""
    ways = car(plug("A1", {8: "sub+"}), plug("A2", {2: "sub+", 7: "sub-"}), speakers=("sub",))
    carried = the(answer(ways, kit(part("main", "P-A2", (2, 7)))), "sub")
    (feed,) = carried.feeds
    assert (feed.connector, feed.plus, feed.minus) == ("A2", "2", "7")
    assert [way.spot for way in feed.plus_also] == [("A1", "8")]
    assert connectors_of(carried) == ["A2", "A1"]
    assert (lit_ways(carried, "A1"), lit_ways(carried, "A2")) == (["8"], ["2", "7"])
    swapped = the(answer(ways, kit(part("main", "P-A2", (7, 2)))), "sub")
    assert [(f.connector, f.plus, f.minus) for f in swapped.feeds] == [("A2", "2", "7")]
    one_pole = car(plug("A1", {1: "sub+", 2: "sub+", 3: "sub-"}), speakers=("sub",))
    (short,) = the(answer(one_pole, kit(part("main", "P-A1", (2, 1)))), "sub").feeds
    assert (short.plus, short.minus) == ("2", "3")  # under the lead's own plus
    (left,) = the(answer(ways, kit()), "sub").feeds
    assert (left.connector, left.plus, left.minus_connector, left.minus) == ("A1", "8", "A2", "7")
