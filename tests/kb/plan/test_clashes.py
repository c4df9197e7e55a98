"""What cannot go together: a wire fed before a part in line opens it, and parts for one plug."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest

from kb.plan.reach import Task, choose
from kb.plan.solver import _one_each
from tests.kb.plan.small_car import KIT, Planned, car, drive, job, pin

BOTH = (drive("1", "door-fl"), drive("2", "tw-l"))


def in_line_car() -> dict[str, Any]:
    """door-fl comes from the amplifier, tw-l from the radio; both pass X1 at the sill."""
    vehicle = deepcopy(car())
    vehicle["speaker"] = [s for s in vehicle["speaker"] if s["id"] in ("door-fl", "tw-l")]
    radio, _, amplifier = vehicle["connector"]
    radio["pins"] = [pin(5, "tw-l+"), pin(6, "tw-l-")]
    amplifier["pins"] = [pin(3, "door-fl+"), pin(4, "door-fl-")]
    in_line = {
        "id": "X1", "plug": "ZX-6", "ways": 6, "place": "sill-left",
        "pins": [pin(1, "tw-l+"), pin(4, "tw-l-"), pin(2, "door-fl+"), pin(5, "door-fl-")],
    }  # fmt: skip
    vehicle["connector"] = [radio, amplifier, in_line]
    return vehicle


def kit_with(
    *main: dict[str, Any], intercepts: bool | None = True, tweeter_only: bool = False
) -> Any:
    """A kit with a part of choice for X1 that opens the wires there, only listens, or may open."""
    leads = [
        {"lead": "L", "plug": "ZX-6", "plus": 1, "minus": 4},
        {"lead": "M", "plug": "ZX-6", "plus": 2, "minus": 5},
    ]
    kick = {
        "id": "kick", "use": "choice", "unit": "in-line", "plugs": ["ZX-6"],
        "leads": leads[:1] if tweeter_only else leads,
        **({} if intercepts is None else {"intercepts": intercepts}),
    }  # fmt: skip
    other = {**KIT["part"][0], "leads": [{"lead": "A", "plug": "ZA-1", "plus": 9, "minus": 10}]}
    return {**KIT, "kit": {**KIT["kit"], "takes_out": []}, "part": [*(main or (other,)), kick]}


def choices(planned: Planned, kit: Any, **more: Any) -> dict[str, tuple[str, tuple[str, ...]]]:
    whole = planned(job(*BOTH, **more), in_line_car(), kit)
    assert whole.plan.reach.exact
    return {fix.speaker: (fix.way, fix.parts) for fix in whole.plan.reach.fixes}


@pytest.mark.parametrize("intercepts", [True, None])
def test_a_tap_before_the_plug_never_comes_with_the_part_that_opens_it(
    planned: Planned, intercepts: bool | None
) -> None:
    """That would be the cheapest: no wire for the tap at the amplifier's own place, and one tap."""
    found = choices(planned, kit_with(intercepts=intercepts))
    assert found == {"door-fl": ("tap", ()), "tw-l": ("tap", ())}


def test_both_go_by_the_part_where_its_plug_is_as_near(planned: Planned) -> None:
    by_part = ("part", ("kick",))
    found = choices(planned, kit_with(), amplifier_place="bay-left")
    assert found == {"door-fl": by_part, "tw-l": by_part}


@pytest.mark.parametrize("kit", [kit_with(intercepts=False), kit_with(tweeter_only=True)])
def test_what_is_not_opened_is_fed_where_it_is_cheapest(planned: Planned, kit: Any) -> None:
    assert choices(planned, kit) == {"door-fl": ("tap", ()), "tw-l": ("part", ("kick",))}


def test_a_part_that_opens_a_carried_speakers_wire_is_no_choice(planned: Planned) -> None:
    carries = {**KIT["part"][0], "leads": [{"lead": "A", "plug": "ZA-1", "plus": 3, "minus": 4}]}
    whole = planned(job(*BOTH), in_line_car(), kit_with(carries))
    assert {fix.speaker: fix.way for fix in whole.plan.reach.fixes} == {"tw-l": "tap"}
    assert (
        "part kick is no choice here: it opens the wire of door-fl, which a lead before it feeds"
    ) in whole.plan.reach.flags
    # Chosen by name, its lead is the one that comes to the speaker, and the other is left free.
    named = planned(job(*BOTH, parts=["kick"]), in_line_car(), kit_with(carries)).plan
    by_name = {speaker.speaker: speaker for speaker in named.runs.speakers}
    assert (by_name["door-fl"].part, by_name["door-fl"].lead) == ("kick", "M")
    cut = [(lead.part, lead.lead) for lead in named.cut_back]
    assert ("main", "A") in cut and ("kick", "M") not in cut


def test_without_a_proof_one_fix_still_leaves_the_others_whole(planned: Planned) -> None:
    """What is taken where the solver runs out of time."""
    task: Task = planned(job(*BOTH), in_line_car(), kit_with()).plan.wiring.task
    assert task.apart
    for fixes in (task.usable, task.usable[::-1]):
        chosen = _one_each(fixes, task.apart)
        assert sorted(fix.speaker for fix in chosen) == ["door-fl", "tw-l"]
        assert not any({one, other} <= set(chosen) for one, other, _ in task.apart)
    assert not any("would play nothing" in flag for flag in choose(task).flags)


def two_for_the_radio() -> Any:
    """Each of two parts of choice reaches one of two speakers at the radio's one plug."""
    parts = [
        {
            "id": f"ear-{at}", "use": "choice", "unit": "radio", "plugs": ["ZR-1"],
            "intercepts": True,
            "leads": [{"lead": str(at), "plug": "ZR-1", "plus": at, "minus": at + 1}],
        }
        for at in (5, 7)
    ]  # fmt: skip
    return {**KIT, "kit": {**KIT["kit"], "takes_out": []}, "part": parts}


def radio_car() -> Any:
    vehicle = in_line_car()
    vehicle["connector"] = [
        {**vehicle["connector"][0], "pins": [
            pin(5, "tw-l+"), pin(6, "tw-l-"), pin(7, "door-fl+"), pin(8, "door-fl-")]},
    ]  # fmt: skip
    return vehicle


def test_two_parts_for_one_plug_are_no_plan(planned: Planned) -> None:
    chosen = planned(job(*BOTH), radio_car(), two_for_the_radio()).plan
    assert len(chosen.reach.parts) == 1 and chosen.reach.exact
    assert not chosen.runs.contests
    named = planned(job(*BOTH, parts=["ear-5", "ear-7"]), radio_car(), two_for_the_radio()).plan
    assert any("both go into R1 (ZR-1), which takes one plug" in fault for fault in named.faults)
    # Beside one that is named, the other is no choice.
    beside = two_for_the_radio()
    beside["part"][0]["use"] = "always"
    plan = planned(job(*BOTH), radio_car(), beside).plan
    assert plan.reach.parts == ()
    assert "part ear-7 is no choice here: part ear-5 is in its plug, R1" in plan.reach.flags


@pytest.mark.parametrize("place", ["seat-left", "bay-left"])
def test_a_load_goes_where_the_output_is_cut(planned: Planned, place: str) -> None:
    """Tapped at X1, or opened there by the part: the hand is at that plug, not behind the radio."""
    plan = planned(job(*BOTH, amplifier_place=place), in_line_car(), kit_with()).plan
    (load,) = (load for load in plan.loads if load.unit == "radio")
    assert (load.ways, load.side) == ("X1 ways 1 and 4", "on radio's side of the cut")
    assert load.speakers == ("tw-l",)
