"""What a speaker sounds beside music must be lost in no plan unseen: chimes, calls."""

from typing import Any

import pytest

from kb.plan.facts import facts_of, judge
from kb.plan.whole import WholePlan
from tests.kb.plan.small_car import ALL, KIT, Planned, car, changed, drive, job


def test_duties_lost_and_moved_are_told_apart(planned: Planned) -> None:
    """The kit's own step stays where the call's speaker is lost, or moved to the amplifier."""
    kit = {
        **KIT,
        "step": [
            {
                "do": "Make a test call",
                "when": "duties lost = emergency-call or duties moved = emergency-call",
            }
        ],
    }
    vehicle = {**car(), "speaker": [{**row, "duties": []} for row in car()["speaker"]]}
    vehicle = changed(vehicle, "rear-l", duties=["emergency-call"])
    lost = planned(job(drive("1", "door-fl"), silent=["sub"]), vehicle, kit)  # reached, not driven
    moved = planned(job(*ALL), vehicle, kit)
    stays = planned(job(drive("1", "door-fl", "tw-l"), silent=["rear-l"]), vehicle, kit)
    told = [
        (facts_of(w.plan)["duties_lost"], facts_of(w.plan)["duties_moved"])
        for w in (lost, moved, stays)
    ]
    assert told == [(["emergency-call"], []), ([], ["emergency-call"]), ([], [])]
    done = [any("Make a test call" in s.do for s in w.steps) for w in (lost, moved, stays)]
    assert done == [True, True, False]
    assert any("rear-l would go silent" in fault for fault in lost.plan.faults)


def test_duties_that_nobody_wrote_are_not_none(planned: Planned) -> None:
    """The tap for door-fl takes tw-l off the radio; what it sounds beside music is not written."""
    asked = job(drive("1", "door-fl"), drive("4", "sub"), silent=["tw-l", "rear-l"])
    whole = planned(asked)
    assert any(
        "nobody wrote whether tw-l sounds chimes or calls, and it goes silent" in caution
        for caution in whole.cautions
    )
    facts = facts_of(whole.plan)
    assert judge("duties lost = chime", facts).holds is None
    assert judge("duties lost != chime", facts).holds is None
    assert judge("duties lost is unknown", facts).holds is True
    none = planned(asked, changed(car(), "tw-l", duties=[]))
    assert not any("nobody wrote whether" in caution for caution in none.cautions)
    assert judge("duties lost = chime", facts_of(none.plan)).holds is False
    assert judge("duties lost is unknown", facts_of(none.plan)).holds is False


def said_of(whole: WholePlan, name: str) -> list[str]:
    return [text for text in (*whole.plan.faults, *whole.plan.warnings) if text.startswith(name)]


@pytest.mark.parametrize("duties", [["emergency-call"], ["chime", "phone"]])
def test_silence_is_no_way_out_where_the_unit_goes_and_a_duty_with_it(
    planned: Planned, duties: list[str]
) -> None:
    """The sub's amplifier is taken out: it has no factory feed to go back to."""
    asked = job(drive("1", "door-fl", "tw-l"), drive("2", "rear-l"))
    said = said_of(planned(asked, changed(car(), "sub", duties=duties)), "sub ")
    assert len(said) == 2 and all("give it a channel" in text for text in said)
    assert not any("silent," in text or "shall be silent" in text for text in said)
    assert not any("`" in text for text in said)  # no key of a file, where there is a box to tick


def test_silence_is_offered_where_nothing_is_lost_by_it(planned: Planned) -> None:
    asked = job(drive("1", "door-fl", "tw-l"))
    plain = planned(asked, changed(car(), "sub", duties=[]))
    assert said_of(plain, "sub ")[0].endswith("or say that it shall be silent")
    unwritten = planned(asked)
    assert said_of(unwritten, "sub ")[0].endswith("heard that it sounds no chime and no call")
    stays = planned(asked, changed(car(), "rear-l", duties=["chime"]))  # the radio stays in the car
    kept = "or say that it shall be silent, which keeps its factory feed"
    assert len(said_of(stays, "rear-l ")) == 2
    assert all(text.endswith(kept) for text in said_of(stays, "rear-l "))
    silent = planned(job(drive("1", "door-fl", "tw-l"), silent=["rear-l"]),
                     changed(car(), "rear-l", duties=["chime"]))  # fmt: skip
    assert silent.plan.fates["rear-l"] == "factory"


@pytest.mark.parametrize("intercepts", [True, None, False])
def test_silence_keeps_no_feed_that_a_part_opens(planned: Planned, intercepts: bool | None) -> None:
    """A harness of the job is in the radio's wires whatever the job asks of the speaker."""
    part: dict[str, Any] = {
        "id": "front", "use": "always", "plugs": ["ZR-1"],
        "leads": [{"lead": "K", "plug": "ZR-1", "plus": 5, "minus": 6, "wire": "PK"}],
        **({} if intercepts is None else {"intercepts": intercepts}),
    }  # fmt: skip
    kit = {**KIT, "part": [*KIT["part"], part]}
    vehicle = changed(car(), "tw-l", duties=["chime"])
    vehicle["connector"][0]["pins"][0]["carries"] = "tw-l+"
    vehicle["connector"][0]["pins"][1]["carries"] = "tw-l-"
    whole = planned(job(drive("4", "sub"), silent=["door-fl"]), vehicle, kit)
    said = said_of(whole, "tw-l ")
    assert len(said) == (1 if intercepts is False else 2)  # a part that listens takes nothing away
    assert all(("shall be silent" in text) == (intercepts is False) for text in said)
    assert ("would stay on its factory feed" in said[-1]) == (intercepts is False)


@pytest.mark.parametrize("duties", [["chime"], []])
def test_the_step_that_would_silence_a_duty_is_a_fault_itself(
    planned: Planned, duties: list[str]
) -> None:
    """Whoever ticks off the order of work sees it there, and not on the first page alone."""
    part: dict[str, Any] = {
        "id": "front", "use": "always", "plugs": ["ZR-1"], "intercepts": True,
        "leads": [{"lead": "K", "plug": "ZR-1", "plus": 5, "minus": 6}],
    }  # fmt: skip
    vehicle = changed(car(), "tw-l", duties=duties)
    vehicle["connector"][0]["pins"][0]["carries"] = "tw-l+"
    vehicle["connector"][0]["pins"][1]["carries"] = "tw-l-"
    kit = {**KIT, "part": [*KIT["part"], part]}
    whole = planned(job(drive("4", "sub"), silent=["door-fl", "tw-l"]), vehicle, kit)
    (step,) = (step for step in whole.steps if step.do.startswith("Cut back and insulate lead K"))
    lost = "FAULT: the warning chimes would be lost with tw-l; not before that is put right"
    assert (step.caution == lost) is bool(duties)
