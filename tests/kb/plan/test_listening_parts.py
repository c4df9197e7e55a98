"""Parts that only listen, or of which nobody wrote it: the factory output is cut off by hand.

Without that step the order of work joins the new amplifier's output to the factory's.
"""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest

from kb.plan.uses import ways_in_use
from kb.plan.whole import WholePlan
from tests.kb.plan.small_car import KIT, Planned, car, drive, job, pin
from tui.drawing.sheet import sheet_html

DESTROY = "two outputs destroy each other"
SUB = drive("4", "sub")


def ear(intercepts: bool | None, *leads: dict[str, Any], plug: str = "ZR-1") -> dict[str, Any]:
    """A kit with a harness beside main whose lead K takes 5 and 6 of the plug."""
    part = {
        "id": "ear", "use": "always", "plugs": [plug],
        "leads": [{"lead": "K", "plug": plug, "plus": 5, "minus": 6, "wire": "PK"}, *leads],
        **({} if intercepts is None else {"intercepts": intercepts}),
    }  # fmt: skip
    return {**KIT, "part": [*KIT["part"], part]}


def front_alone() -> dict[str, Any]:
    """door-fl alone is on the radio's 5 and 6."""
    vehicle = deepcopy(car())
    vehicle["speaker"] = [s for s in vehicle["speaker"] if s["id"] in ("door-fl", "sub")]
    vehicle["connector"][0]["pins"] = [pin(5, "door-fl+"), pin(6, "door-fl-")]
    del vehicle["connector"][1]
    return vehicle


def order(whole: WholePlan, *words: str) -> list[int]:
    """Where the first step with each of these words stands."""
    return [
        next(i for i, step in enumerate(whole.steps) if word in f"{step.do} {step.phase}")
        for word in words
    ]


def cuts(whole: WholePlan) -> list[Any]:
    return [step for step in whole.steps if "radio's output off" in step.do]


def test_a_part_that_only_listens_has_a_step_that_cuts_the_output_off(planned: Planned) -> None:
    whole = planned(job(drive("1", "door-fl"), SUB), front_alone(), ear(False))
    (step,) = cuts(whole)
    assert step.do == (
        "Cut radio's output off R1 ways 5 and 6, on radio's side of lead K of ear, and insulate "
        "both ends (door-fl): ear only listens"
    )
    assert step.caution == DESTROY
    found = order(whole, "Part ear", "Cut radio's output", "Fit 4.7", "Channel 1", "Power on")
    assert found == sorted(found)
    assert ways_in_use(whole.plan)["R1"]["5"].mark == "K cut"
    sheet = sheet_html(whole)
    assert "K cut+" in sheet and "K cut-" in sheet
    assert "<b>cut+ cut-</b>: the car&#x27;s own wire" in sheet
    assert "cut: door-fl, cut the factory output off here, its lead only listens" in sheet
    assert "ear only listens" in sheet.split("Order of work", 1)[-1]
    (caution,) = [c for c in whole.cautions if "ear only listens" in c]
    assert "cut its output off R1 ways 5 and 6 first" in caution


def test_a_part_of_which_nobody_wrote_it_is_looked_at_first(planned: Planned) -> None:
    whole = planned(job(drive("1", "door-fl"), SUB), front_alone(), ear(None))
    (step,) = cuts(whole)
    assert step.do.startswith("Look whether part ear opens the wires at R1 ways 5 and 6 (door-fl)")
    assert "if it only listens, cut radio's output off there" in step.do
    assert step.caution == DESTROY
    assert ways_in_use(whole.plan)["R1"]["6"].mark == "K cut?"
    assert "cut?: door-fl, " in sheet_html(whole)


def test_a_part_that_opens_the_wire_and_a_unit_that_comes_out_need_no_cut(planned: Planned) -> None:
    whole = planned(job(drive("1", "door-fl"), SUB), front_alone(), ear(True))
    assert not cuts(whole) and not whole.plan.factory_cuts
    gone = ear(False)
    gone["kit"] = {**KIT["kit"], "takes_out": ["amplifier", "radio"]}
    assert not cuts(planned(job(drive("1", "door-fl"), SUB), front_alone(), gone))


@pytest.mark.parametrize("intercepts", [False, None])
def test_nothing_is_cut_where_the_lead_is_not_driven(
    planned: Planned, intercepts: bool | None
) -> None:
    """The speaker that shall be silent keeps its factory output, and the lead is cut back."""
    whole = planned(job(SUB, silent=["door-fl"]), front_alone(), ear(intercepts))
    assert not cuts(whole)
    assert not any(caution.startswith("door-fl:") for caution in whole.cautions)


def test_speakers_on_one_lead_have_one_cut(planned: Planned) -> None:
    """tw-l hangs on the same two ways."""
    vehicle = car()
    whole = planned(
        job(drive("1", "door-fl", "tw-l"), drive("2", "rear-l"), SUB), vehicle, ear(False)
    )
    (step,) = cuts(whole)
    assert "(door-fl, tw-l)" in step.do and step.caution == DESTROY


def test_two_silent_speakers_on_a_lead_that_listens_keep_the_factory_feed(planned: Planned) -> None:
    whole = planned(job(drive("2", "rear-l"), SUB, silent=["door-fl", "tw-l"]), car(), ear(False))
    assert set(whole.plan.keep_feed) == {"door-fl", "tw-l"}
    assert not cuts(whole)


def test_in_line_the_output_is_cut_off_at_that_plug_before_the_lead(planned: Planned) -> None:
    vehicle = front_alone()
    vehicle["connector"].append(
        {
            "id": "X1", "plug": "ZX-6", "ways": 6, "place": "sill-left",
            "pins": [pin(5, "door-fl+"), pin(6, "door-fl-")],
        }
    )  # fmt: skip
    whole = planned(job(drive("1", "door-fl"), SUB), vehicle, ear(False, plug="ZX-6"))
    (step,) = cuts(whole)
    assert step.do.startswith("Cut radio's output off X1 ways 5 and 6, on radio's side of lead K")
