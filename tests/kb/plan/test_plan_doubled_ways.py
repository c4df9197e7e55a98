"""Plans for poles that are on several ways of their unit: every way is named, marked and cut.

An output that is cut off on one of two ways still drives the wire: two outputs on one wire.
"""

from typing import Any

from kb.plan.plan_json import plan_json
from kb.plan.uses import ways_in_use
from kb.plan.whole import WholePlan
from tests.kb.plan.small_car import KIT, Planned, car, changed, drive, job, pin
from tui.drawing.plan_page import plan_page
from tui.drawing.sheet import sheet_html
from tui.ink import Ink


def doubled(*more: dict[str, Any]) -> dict[str, Any]:
    """door-fl is on 5 and 15 plus, 6 and R2 2 minus; nothing else is on the radio but `more`."""
    vehicle = car()
    vehicle["connector"][0]["pins"] = [
        pin(5, "door-fl+", wire="VT"), pin(15, "door-fl+", wire="VT"),
        pin(6, "door-fl-", wire="VT/BK"), *more,
    ]  # fmt: skip
    vehicle["connector"][1]["pins"] = [pin(2, "door-fl-", wire="VT/BK")]
    vehicle["speaker"] = [s for s in vehicle["speaker"] if s["id"] in ("door-fl", "tw-l", "sub")]
    return vehicle


def with_harness(intercepts: bool | None) -> dict[str, Any]:
    """A harness for the radio's plug whose one lead takes over 5 and 6."""
    part = {
        "id": "front", "use": "always", "plugs": ["ZR-1"],
        "leads": [{"lead": "K", "plug": "ZR-1", "plus": 5, "minus": 6, "wire": "PK"}],
        **({} if intercepts is None else {"intercepts": intercepts}),
    }  # fmt: skip
    return {**KIT, "part": [*KIT["part"], part]}


FRONT = (drive("1", "door-fl"), drive("4", "sub"))


def steps(whole: WholePlan, words: str) -> list[Any]:
    return [step for step in whole.steps if words in step.do]


def test_a_tap_is_marked_and_cut_on_every_way(planned: Planned) -> None:
    whole = planned(job(*FRONT), doubled())
    (step,) = steps(whole, "Tap door-fl")
    assert step.do == (
        "Tap door-fl at R1: + way 5 (VT) and R1 way 15 (VT), - way 6 (VT/BK) and R2 way 2 (VT/BK)"
    )
    assert step.caution and "off on every way named first" in step.caution
    used = ways_in_use(whole.plan)
    assert {at: use.pole for at, use in used["R1"].items()} == {"5": "+", "15": "+", "6": "-"}
    assert {at: use.pole for at, use in used["R2"].items()} == {"2": "-"}
    assert steps(whole, "unplug A1, R1, R2") or steps(whole, "R2, ohms")
    sheet = sheet_html(whole)
    assert sheet.count("T: tap for door-fl, cut the factory output off all its ways") == 2
    choice = next(c for c in plan_json(whole)["reach"]["choices"] if c["speaker"] == "door-fl")
    assert (choice["plus"], choice["minus"]) == ("5", "6")
    assert [way["at"] for way in choice["plus_also"]] == ["15"]
    assert choice["minus_also"] == [{"connector": "R2", "at": "2", "wire": "VT/BK"}]
    page = " ".join(" ".join(plan_page(whole, 80, Ink(colour=False))).split())
    assert "cut off and insulate every way named, join one of each pole" in page


def test_the_hand_must_come_to_every_plug_that_is_cut(planned: Planned) -> None:
    vehicle = doubled()
    vehicle["connector"][1]["panels"] = ["facia"]
    assert "facia" in planned(job(*FRONT), vehicle).plan.reach.panels
    assert "facia" not in planned(job(*FRONT), doubled()).plan.reach.panels


def test_a_harness_that_opens_one_of_two_ways_leaves_a_cut_to_make(planned: Planned) -> None:
    for intercepts in (True, False, None):
        whole = planned(job(*FRONT), doubled(), with_harness(intercepts))
        (step,) = steps(whole, "Cut radio's output off R1 way 15 and R2 way 2")
        assert "lead K of front" in step.do
        assert step.caution == "two outputs destroy each other"
        assert any("R1 way 15 and R2 way 2 too" in caution for caution in whole.cautions)
        assert ways_in_use(whole.plan)["R2"]["2"].mark == "cut"
        assert "cut: door-fl, cut the factory output off here too" in sheet_html(whole)
        assert [load.speakers for load in whole.plan.loads] == [("door-fl",)]


def test_a_silent_speaker_keeps_the_way_that_no_lead_opens(planned: Planned) -> None:
    """Its lead is cut back; the output still feeds it: no load, no cut."""
    whole = planned(job(FRONT[1], silent=["door-fl"]), doubled(), with_harness(True))
    assert not steps(whole, "Cut radio's output off")
    assert not any("R1 way 15" in caution for caution in whole.cautions)
    assert whole.plan.loads == ()


def test_a_cut_that_takes_another_speaker_along_loses_its_duty(planned: Planned) -> None:
    """tw-l has its plus on door-fl's second way, and its minus to itself."""
    vehicle = doubled(pin(7, "tw-l-"))
    vehicle["connector"][0]["pins"][1] = pin(15, "door-fl+", "tw-l+", wire="VT")
    vehicle = changed(vehicle, "tw-l", duties=["chime"])
    whole = planned(job(*FRONT, silent=["tw-l"]), vehicle, with_harness(True))
    (step,) = steps(whole, "Cut radio's output off")
    assert "takes tw-l off the output too" in step.caution
    assert whole.plan.fates["tw-l"] == "lost"
    assert any("tw-l would go silent" in fault for fault in whole.plan.faults)


def test_speakers_on_two_ways_of_one_output_are_one_load(planned: Planned) -> None:
    """tw-l hangs on the second ways of the same output: it plays along, and loads it too."""
    vehicle = doubled()
    vehicle["connector"][0]["pins"][1] = pin(15, "door-fl+", "tw-l+", wire="VT")
    vehicle["connector"][1]["pins"] = [pin(2, "door-fl-", "tw-l-", wire="VT/BK")]
    whole = planned(job(drive("1", "door-fl", "tw-l"), drive("4", "sub")), vehicle)
    (load,) = whole.plan.loads
    assert load.speakers == ("door-fl", "tw-l")
    assert {pair.names for pair in whole.plan.pairs if "door-fl" in pair.names} == {
        ("door-fl", "tw-l")
    }


def test_a_lead_on_a_way_of_a_speaker_that_another_carries_says_so(planned: Planned) -> None:
    """Its ways carry a part of one feed alone, and that is in use already."""
    vehicle = car()
    vehicle["connector"][2]["pins"] += [pin(3, "sub+"), pin(5, "battery")]
    leads = [*KIT["part"][0]["leads"], {"lead": "B", "plug": "ZA-1", "plus": 3, "minus": 4}]
    kit = {**KIT, "part": [{**KIT["part"][0], "leads": leads}]}
    whole = planned(job(*FRONT), vehicle, kit)
    assert {lead.lead: lead.why for lead in whole.plan.cut_back} == {
        "B": "sub is on lead A of main already"
    }
    (lead,) = whole.plan.cut_back
    assert lead.connector == "A1"
