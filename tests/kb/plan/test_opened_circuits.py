"""A lead that nothing plays on, of a part that opens the wires: it leaves the car's own open."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest

from kb.answers.opened import opened_by
from kb.plan.plan_json import plan_json
from kb.plan.whole import WholePlan
from tests.kb.plan.small_car import KIT, Planned, car, drive, job, pin
from tests.tui.sheet_cells import cells_of
from tui.drawing.plan_page import plan_page
from tui.drawing.sheet import sheet_html
from tui.ink import Ink

SHAPE = {"rows": 2, "numbering": "rows", "seen_from": "wire"}
DRIVES = (drive("1", "door-fl"), drive("4", "sub"))


def tee(intercepts: bool | None, *ways: tuple[int, int]) -> dict[str, Any]:
    """A harness for the radio's plug: J takes door-fl, and P, Q … the ways given."""
    leads = [
        {"lead": name, "plug": "ZR-1", "plus": plus, "minus": minus, "wire": "VT"}
        for name, (plus, minus) in zip("JPQ", [(5, 6), *ways], strict=False)
    ]
    part = {
        "id": "tee", "use": "always", "plugs": ["ZR-1"], "leads": leads,
        **({} if intercepts is None else {"intercepts": intercepts}),
    }  # fmt: skip
    return {**KIT, "part": [*KIT["part"], part]}


def with_data() -> dict[str, Any]:
    """door-fl on the radio's 5 and 6, data on 9 and 10, battery on 1; 12 is known to be empty."""
    vehicle = deepcopy(car())
    vehicle["speaker"] = [s for s in vehicle["speaker"] if s["id"] in ("door-fl", "sub")]
    radio, _, amplifier = vehicle["connector"]
    radio |= SHAPE
    radio["pins"] = [
        pin(5, "door-fl+"), pin(6, "door-fl-"), pin(9, "data+"), pin(10, "data-"),
        pin(1, "battery"), {"at": 12},
    ]  # fmt: skip
    vehicle["connector"] = [radio, amplifier]
    return vehicle


def steps(whole: WholePlan, words: str) -> list[Any]:
    return [step for step in whole.steps if words in step.do]


def page(whole: WholePlan) -> str:
    return " ".join(" ".join(plan_page(whole, 80, Ink(colour=False))).split())


def test_a_lead_on_the_cars_data_is_joined_through_and_never_cut_back(planned: Planned) -> None:
    whole = planned(job(*DRIVES), with_data(), tee(True, (9, 10)))
    (step,) = steps(whole, "lead P of tee")
    assert step.do == (
        "Join the two sides of lead P of tee (VT) through again, way 9 to 9, way 10 to 10, "
        "insulated"
    )
    assert step.caution == "it opens data+ and data- at R1: never just cut it back"
    assert any("lead P of tee opens data+ and data- at R1: join" in c for c in whole.cautions)
    told = plan_json(whole)
    assert told["cut_back"] == []
    (lead,) = told["join_through"]
    assert (lead["lead"], lead["opened"]["ways"]) == ("P", ("9", "10"))
    said = page(whole)
    assert "Join through again - lead P of tee" in said and "Cut back and insulate" not in said
    sheet = sheet_html(whole)
    assert cells_of(sheet, "R1")["9"] == ["join P"]
    assert "<b>join</b>: a lead of the kit that opens" in sheet
    assert "Join the two sides of lead P" in sheet
    assert not any("cut back" in thing for thing in whole.take)


def test_only_the_ways_that_may_have_something_are_joined(planned: Planned) -> None:
    """12 is empty; of 14 nobody wrote anything down; the battery on 1 is live besides."""
    whole = planned(job(*DRIVES), with_data(), tee(True, (12, 14), (1, 12)))
    (unknown,), (live,) = steps(whole, "lead P of tee"), steps(whole, "lead Q of tee")
    assert "way 14 to 14, insulated; cut back and insulate its way 12" in unknown.do
    assert unknown.caution.startswith("it may open whatever way 14 carries at R1: never")
    assert unknown.caution.endswith("take it as live until metered")
    assert "(R1 way 12 is empty, way 14 is not documented)" in unknown.do
    assert "way 1 to 1" in live.do and live.caution.startswith("it opens battery at R1")
    assert "live once plugged in (battery)" in live.caution
    cells = cells_of(sheet_html(whole), "R1")
    assert "join P" in cells["14"] and cells["12"] == ["cut P", "cut Q"]


def test_a_part_of_which_nobody_wrote_whether_it_opens_is_looked_at(planned: Planned) -> None:
    whole = planned(job(*DRIVES), with_data(), tee(None, (9, 10)))
    (step,) = steps(whole, "lead P of tee")
    assert step.do.startswith("Look whether part tee opens the wires at R1 ways 9 and 10")
    assert "if it only listens, cut all of it back" in step.do
    assert step.caution.startswith("it may open data+ and data- at R1")
    assert any("nobody recorded whether tee opens the wires" in c for c in whole.cautions)


@pytest.mark.parametrize("listens", [True, False])
def test_what_opens_nothing_is_cut_back_as_ever(planned: Planned, listens: bool) -> None:
    """Of a part that only listens, or of one at a unit that comes out."""
    kit = tee(not listens, (9, 10))
    if not listens:
        kit["kit"] = {**KIT["kit"], "takes_out": ["amplifier", "radio"]}
    whole = planned(job(*DRIVES), with_data(), kit)
    (step,) = steps(whole, "lead P of tee")
    assert step.do.startswith("Cut back and insulate lead P of tee, VT")
    assert not any("opens" in caution for caution in whole.cautions)


def test_a_lead_on_half_a_speaker_joins_the_way_beside_it(planned: Planned) -> None:
    """P holds rear-l's plus, which is wired another way, and the car's data."""
    vehicle = with_data()
    vehicle["speaker"] = [s for s in car()["speaker"] if s["id"] in ("door-fl", "rear-l", "sub")]
    vehicle["connector"][0]["pins"] += [pin(3, "rear-l+"), pin(4, "rear-l-")]
    drives = (*DRIVES, drive("2", "rear-l"))
    whole = planned(job(*drives), vehicle, tee(True, (3, 9)))
    (step,) = steps(whole, "lead P of tee")
    assert "way 9 to 9, insulated; cut back and insulate its way 3" in step.do
    assert any("lead P of tee opens data+ at R1" in caution for caution in whole.cautions)
    cells = cells_of(sheet_html(whole), "R1")
    assert "cut P" in cells["3"] and "join P" in cells["9"]


def test_a_lead_beside_the_one_in_use_joins_its_other_way(planned: Planned) -> None:
    """door-fl is carried by J whole; P holds its plus again, on a second way, and the data."""
    vehicle = with_data()
    vehicle["connector"][0]["pins"] += [pin(3, "door-fl+")]
    whole = planned(job(*DRIVES), vehicle, tee(True, (3, 9)))
    (step,) = steps(whole, "Join the two sides of lead P of tee")
    assert "way 9 to 9, insulated; cut back and insulate its way 3" in step.do
    (caution,) = [c for c in whole.cautions if "lead P of tee opens" in c]
    assert "opens data+ at R1" in caution


def test_what_a_lead_opens() -> None:
    def opened(intercepts: bool | None, plus: str | None, minus: str | None) -> str | None:
        found = opened_by("tee", "P", "R1", intercepts, (("9", plus), ("10", minus)))
        return found.what if found else None

    assert opened(True, "data+", "data-") == "opens data+ and data- at R1"
    assert opened(True, "battery", None) == "opens battery and whatever way 10 carries at R1"
    assert opened(True, None, None) == "may open whatever ways 9 and 10 carry at R1"
    assert opened(None, "battery", "") == "may open battery at R1"
    assert opened(True, "", "") is None and opened(False, "data+", "data-") is None
    assert opened(True, "door-fl+", "door-fl-") is None
