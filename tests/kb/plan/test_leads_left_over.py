"""What comes to the ends of a lead that is cut back: an output, a supply, or nobody knows what."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

from kb.plan.whole import WholePlan
from tests.kb.plan.small_car import KIT, Planned, car, drive, job, pin

FRONT = (drive("1", "door-fl"), drive("2", "tw-l"), drive("4", "sub"))


def crossed(unit: str, *more: Any) -> dict[str, Any]:
    """door-fl on 3 and 4, tw-l on 5 and 6, all at one plug, of the radio or of the amplifier."""
    vehicle = deepcopy(car())
    vehicle["speaker"] = [s for s in vehicle["speaker"] if s["id"] != "rear-l"]
    pins = [pin(3, "door-fl+"), pin(4, "door-fl-"), pin(5, "tw-l+"), pin(6, "tw-l-"), *more]
    radio, _, amplifier = vehicle["connector"]
    radio["pins"] = pins if unit == "radio" else []
    amplifier["pins"] += pins if unit == "amp" else []
    vehicle["connector"] = [radio, amplifier]
    return vehicle


def with_lead(plug: str, plus: int, minus: int, intercepts: bool = False) -> dict[str, Any]:
    """A lead B that holds one pole each of what is on those ways."""
    part = {
        "id": "odd", "use": "always", "plugs": [plug], "intercepts": intercepts,
        "leads": [{"lead": "B", "plug": plug, "plus": plus, "minus": minus}],
    }  # fmt: skip
    return {**KIT, "part": [*KIT["part"], part]}


def care(whole: WholePlan) -> str | None:
    (step,) = [step for step in whole.steps if "lead B of odd" in step.do]
    assert step.do.startswith("Cut back and insulate")
    caution: str | None = step.caution
    return caution


def test_a_lead_on_ways_that_are_tapped_bears_the_new_amplifiers_outputs(planned: Planned) -> None:
    """Its two ends are on two channels: touching, they would tie two outputs together."""
    whole = planned(job(*FRONT), crossed("amp"), with_lead("ZA-1", 3, 6))
    assert care(whole) == (
        "once on, the new amplifier's output to door-fl and tw-l comes to its ends: insulate each "
        "by itself"
    )


def test_a_speaker_that_keeps_its_factory_feed_leaves_its_units_output_on_the_lead(
    planned: Planned,
) -> None:
    wishes = {"silent": ["tw-l"]}
    whole = planned(job(FRONT[0], FRONT[2], **wishes), crossed("radio"), with_lead("ZR-1", 3, 6))
    fix = next(fix for fix in whole.plan.reach.fixes if fix.speaker == "door-fl")
    assert fix.way == "tap"
    assert care(whole) == (
        "once on, the new amplifier's output to door-fl and radio's output to tw-l come to its "
        "ends: insulate each by itself"
    )


def test_nothing_comes_to_a_lead_whose_unit_is_out_and_whose_speaker_is_silent(
    planned: Planned,
) -> None:
    whole = planned(
        job(FRONT[2], silent=["door-fl", "tw-l"]), crossed("amp"), with_lead("ZA-1", 3, 4)
    )
    assert care(whole) is None


def test_a_lead_on_half_a_speaker_says_what_its_other_way_carries(planned: Planned) -> None:
    vehicle = crossed("amp", pin(8, "battery"))
    told = care(planned(job(*FRONT), vehicle, with_lead("ZA-1", 3, 8)))
    assert told is not None and told.startswith("live once plugged in (battery): insulate it")
    assert "the new amplifier's output to door-fl comes to its ends" in told
    told = care(planned(job(*FRONT), vehicle, with_lead("ZA-1", 3, 9)))
    assert told is not None and told.startswith("take it as live until metered")
