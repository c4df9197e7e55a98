"""What a way must say on the sheet: each word is in its own cell, and none hides another."""

from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest

from kb.answers.papers import plan_job
from kb.store.book import open_book
from kb.store.revisions import add_documents
from tests.books import document
from tests.kb.plan.small_car import ALL, AMPLIFIER, KIT, Planned, car, job
from tests.tui.sheet_cells import cells_of
from tui.drawing.sheet import sheet_html

DRAWN = {"rows": 2, "numbering": "rows", "seen_from": "wire"}


def with_ways(pins: list[dict[str, Any]], leads: list[dict[str, Any]], **shape: Any) -> Any:
    """The small car and kit with more on the amplifier's plug A1: car, kit."""
    vehicle, kit = deepcopy(car()), deepcopy(KIT)
    vehicle["connector"][2] |= shape
    vehicle["connector"][2]["pins"] += pins
    kit["part"][0]["leads"] += [{"plug": "ZA-1", **lead} for lead in leads]
    return vehicle, kit


def test_a_lead_to_cut_back_never_hides_that_its_way_may_be_live(planned: Planned) -> None:
    pins: list[dict[str, Any]] = [
        {"at": 7, "wire": "GN/BK"},
        {"at": 8},
        {"at": 9, "carries": "battery"},
        {"at": 10, "carries": "?"},
    ]
    leads = [
        {"lead": "B", "plus": 7, "minus": 8}, {"lead": "C", "plus": 9, "minus": 4},
        {"lead": "D", "plus": 7, "minus": 8},
    ]  # fmt: skip
    sheet = sheet_html(planned(job(*ALL), *with_ways(pins, leads, **DRAWN)))
    cells = cells_of(sheet, "A1")
    assert cells["7"] == ["live?", "cut B", "cut D"]
    assert cells["8"] == ["cut B", "cut D"]  # known to be empty
    assert cells["9"] == ["live", "cut C"]
    assert cells["4"] == ["live?", "cut C"]  # nobody wrote anything down of it
    assert cells["10"] == ["live?"] and cells["3"] == [] and cells["1"][0] == "A+"
    for meaning in (
        "<b>live</b>: the car&#x27;s own supply, keep off",
        "<b>live?</b>: may be live, nobody knows what its wire carries",
        "<b>cut</b>: a lead of the kit to cut back, not the car&#x27;s wire",
        "dashes: nobody knows what the way carries, take it as live until metered",
    ):
        assert meaning in sheet


def test_a_plug_that_cannot_be_drawn_still_says_what_is_live(planned: Planned) -> None:
    """Without rows its ways stand in a list: those in use, and those that must say something."""
    pins: list[dict[str, Any]] = [{"at": 7, "wire": "GN/BK"}, {"at": 8, "carries": "battery"}]
    sheet = sheet_html(planned(job(*ALL), *with_ways(pins, [{"lead": "B", "plus": 7, "minus": 6}])))
    assert "where each way sits in the plug is not known" in sheet
    cells = cells_of(sheet, "A1")
    assert [*cells] == ["1", "2", "6", "7", "8"]
    assert [cells[at] for at in ("6", "7", "8")] == [
        ["live?", "cut B"],
        ["live?", "cut B"],
        ["live"],
    ]


def test_a_way_beyond_the_drawing_is_told_below_it(planned: Planned) -> None:
    """Of lettered ways only those exist for certain that are documented, where the grid is not
    whole."""
    vehicle, kit = with_ways([{"at": "B3"}], [{"lead": "B", "plus": "A3", "minus": "B3"}], **DRAWN)
    vehicle["connector"][2]["pins"] = [
        {"at": at, "carries": what}
        for at, what in (("A1", "sub+"), ("B1", "sub-"), ("B3", "ground"))
    ]
    vehicle["connector"][2]["ways"] = 7
    kit["part"][0]["leads"][0] |= {"plus": "A1", "minus": "B1"}
    sheet = sheet_html(planned(job(*ALL), vehicle, kit))
    assert cells_of(sheet, "A1")["B3"] == ["cut B"]
    assert "not in the drawing: way A3: live?, cut B" in sheet


@pytest.mark.parametrize("lead", ["front-left", "A12-34567890"])
def test_a_long_name_is_drawn_closer_and_not_beyond_its_cell(planned: Planned, lead: str) -> None:
    pins: list[dict[str, Any]] = [{"at": 7, "wire": "GN/BK"}, {"at": 8}]
    sheet = sheet_html(
        planned(job(*ALL), *with_ways(pins, [{"lead": lead, "plus": 7, "minus": 8}], **DRAWN))
    )
    assert cells_of(sheet, "A1")["7"] == ["live?", "cut", lead]
    assert sheet.count(f'textLength="44" lengthAdjust="spacingAndGlyphs">{lead}<') == 2


def test_a_disputed_way_says_so_whoever_documents_it(tmp_path: Path) -> None:
    """As on every other face: where both revisions document it, where it is empty for one of the
    two, and where only the rival documents it, whose claim the sheet does not bear."""
    pins: list[dict[str, Any]] = [{"at": 7}, {"at": 8, "carries": "illumination"}, {"at": 9}]
    leads = [{"lead": "B", "plus": 7, "minus": 5}, {"lead": "C", "plus": 7, "minus": 9}]
    vehicle, kit = with_ways(pins, leads, **DRAWN)
    rival = deepcopy(vehicle)
    rival["connector"][2]["pins"] = [
        {"at": 1, "carries": "sub-"}, {"at": 5, "carries": "sub+", "wire": "RD"},
        {"at": 7, "carries": "ignition"}, {"at": 8, "carries": "illumination"},
    ]  # fmt: skip
    book = open_book(tmp_path / "book.db")
    with book.writing() as database:
        add_documents(database, [document(rival)], author="noor")
    with book.writing() as database:
        papers = [document(content) for content in (vehicle, kit, AMPLIFIER)]
        add_documents(database, papers, author="tess")
    with book.reading() as connection:
        whole = plan_job(connection, job(*ALL))
    assert whole.faces["A1"].disputed == {"1", "2", "5", "7"}
    sheet = sheet_html(whole)
    cells = cells_of(sheet, "A1")
    assert cells["1"] == ["A+", "colour ?", "rival"]
    assert cells["7"] == ["cut B", "cut C", "rival"]
    assert cells["5"] == ["live?", "cut B", "rival"]
    assert cells["8"] == ["live"]
    assert "<b>rival</b>: another revision of this entry has this way otherwise, take it" in sheet
    steps = {step.do.split(" of ")[0]: step.caution for step in whole.steps}
    assert steps["Cut back and insulate lead C"] == "take it as live until metered"
    assert "ignition" not in sheet.split('aria-label="face of A1"')[1].split("</figure>")[0]


def test_a_book_without_rivals_has_no_word_for_them(planned: Planned) -> None:
    sheet = sheet_html(planned(job(*ALL)))
    assert "rival" not in sheet


def test_a_swapped_lead_says_so_in_its_ways_and_below_the_face(planned: Planned) -> None:
    """Whoever joins by the faces alone must not wire the speaker against its neighbours."""
    vehicle, kit = with_ways([], [], **DRAWN)
    kit["part"][0]["leads"] = [{"lead": "A", "plug": "ZA-1", "plus": 2, "minus": 1}]
    sheet = sheet_html(planned(job(*ALL), vehicle, kit))
    cells = cells_of(sheet, "A1")
    assert cells["2"][0] == "A+" and cells["1"][0] == "A-"
    assert "swap A" in cells["1"] and "swap A" in cells["2"]
    assert "<b>swap</b>: a lead in use that has plus and minus swapped" in sheet
    assert "A of main: sub, SWAPPED" in sheet
    straight = sheet_html(planned(job(*ALL), *with_ways([], [], **DRAWN)))
    assert "swap" not in straight.lower() and "A of main: sub" in straight


def test_a_lead_that_is_cut_back_is_not_to_be_swapped(planned: Planned) -> None:
    vehicle, kit = with_ways([], [], **DRAWN)
    kit["part"][0]["leads"] = [{"lead": "A", "plug": "ZA-1", "plus": 2, "minus": 1}]
    whole = planned(job(*ALL[:2]), vehicle, kit)  # sub is on no channel
    assert cells_of(sheet_html(whole), "A1")["1"][-1] == "cut A"
    assert not any("Swap plus" in step.do for step in whole.steps)


def test_each_swapped_lead_of_a_speaker_has_its_step(planned: Planned) -> None:
    """Both coils are swapped, each on a lead of its own."""
    vehicle, kit = with_ways([], [], **DRAWN)
    vehicle["connector"][2]["pins"] = [
        {"at": at, "carries": f"sub.{what}"} for at, what in enumerate(("a+", "a-", "b+", "b-"), 1)
    ]
    kit["part"][0]["leads"] = [
        {"lead": "A", "plug": "ZA-1", "plus": 2, "minus": 1},
        {"lead": "B", "plug": "ZA-1", "plus": 4, "minus": 3},
    ]
    whole = planned(job(*ALL), vehicle, kit)
    swaps = [step.do for step in whole.steps if step.do.startswith("Swap plus")]
    assert [text.split(":")[0] for text in swaps] == [
        "Swap plus and minus of lead A of main (sub coil a)",
        "Swap plus and minus of lead B of main (sub coil b)",
    ]
    assert {at: said[-1] for at, said in cells_of(sheet_html(whole), "A1").items() if said} == {
        "1": "swap A", "2": "swap A", "3": "swap B", "4": "swap B"
    }  # fmt: skip
