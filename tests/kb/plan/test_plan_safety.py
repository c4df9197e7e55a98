"""What can hurt a car or a person when a plan is wrong: taps, runs, shared wires, fuses.

The car and kits are those of small_car.py, small enough to be worked out by hand.
"""

from typing import Any

import pytest

from kb.plan.conductors import ampacity
from kb.plan.facts import facts_of
from kb.plan.plan_json import plan_json
from kb.plan.uses import marked_taps
from kb.plan.whole import WholePlan
from tests.kb.plan.small_car import (
    ALL,
    KIT,
    Planned,
    car,
    changed,
    drive,
    job,
    pin,
    route,
)
from tui.drawing.plan_page import plan_page
from tui.drawing.sheet import sheet_html
from tui.ink import Ink


def does(whole: WholePlan, words: str) -> Any:
    return next(step for step in whole.steps if words in step.do)


def page(whole: WholePlan, **more: bool) -> str:
    lines = plan_page(whole, 80, Ink(colour=False), **more)
    return " ".join(" ".join(lines).split())


def test_a_tap_over_two_connectors_names_both(planned: Planned) -> None:
    whole = planned(job(*ALL))
    found = plan_json(whole)
    choice = next(c for c in found["reach"]["choices"] if c["speaker"] == "rear-l")
    assert [choice[k] for k in ("connector", "plus", "minus_connector", "minus")] == [
        "R1", "3", "R2", "1",
    ]  # fmt: skip
    assert (choice["feeds"][0]["connector"], choice["feeds"][0]["minus_connector"]) == ("R1", "R2")
    step = does(whole, "Tap rear-l")
    assert step.do == "Tap rear-l at R1 and R2: + R1 way 3 (GN), - R2 way 1 (GN/BK)"
    assert "+ R1 3 GN green, - R2 1 GN/BK" in page(whole)
    assert "tap at R1 and R2: + R1 3 GN" in sheet_html(whole)
    load = next(load for load in found["loads"] if load["speakers"] == ["rear-l"])
    assert [load[k] for k in ("connector", "plus", "minus_connector", "minus")] == [
        "R1", "3", "R2", "1",
    ]  # fmt: skip
    fitted = does(whole, "R1 way 3 and R2 way 1").do
    assert fitted.startswith("Fit 4.7 Ω, 25 W across radio, R1 way 3 and R2 way 1, on radio's side")
    assert {"R1", "R2"} <= set(whole.faces)
    assert "T2: tap for rear-l" in sheet_html(whole).split("R2", 1)[1]
    assert {speaker: mark for speaker, _, mark in marked_taps(whole.plan)} == {
        "door-fl": "T1", "tw-l": "T1", "rear-l": "T2",  # the first two hang on the same ways
    }  # fmt: skip


def test_a_second_plug_at_another_place_costs_its_own_way(planned: Planned) -> None:
    """R2 is an adapter at the shelf: its minus goes there by itself, and it is one tap still."""
    vehicle = car()
    vehicle["connector"][1] |= {"place": "shelf-left", "panels": ["shelf"]}
    apart = planned(job(*ALL), vehicle)
    tap = next(f for f in apart.plan.wiring.task.fixes if (f.speaker, f.way) == ("rear-l", "tap"))
    wires = [apart.plan.wiring.task.by_id[wire] for wire in tap.wires]
    assert [(w.kind, w.place) for w in wires] == [("tap", "dash-centre"), ("tail", "shelf-left")]
    assert wires[1].panels == {"shelf"}
    near = planned(job(*ALL), {**car(), "connector": _with_panels(car(), "R2", ["shelf"])})
    tap = next(f for f in near.plan.wiring.task.fixes if (f.speaker, f.way) == ("rear-l", "tap"))
    assert near.plan.wiring.task.by_id[tap.wires[0]].panels == {"shelf"}


def _with_panels(vehicle: dict[str, Any], name: str, panels: list[str]) -> list[dict[str, Any]]:
    return [{**c, "panels": panels} if c["id"] == name else c for c in vehicle["connector"]]


def test_a_run_takes_the_factory_pair_off_the_speaker(planned: Planned) -> None:
    vehicle = car(panel=[{"id": "facia", "minutes": 20}, {"id": "shelf", "minutes": 0}])
    vehicle["connector"] = _with_panels(vehicle, "R2", ["facia"])
    whole = planned(
        job(drive("2", "rear-l"), drive("4", "sub"), silent=["door-fl", "tw-l"]), vehicle
    )
    assert [(f.speaker, f.way) for f in whole.plan.reach.fixes] == [("rear-l", "run")]
    step = does(whole, "disconnect the factory pair")
    assert step.do.startswith("At rear-l: ")
    assert "two outputs" in step.caution and "radio" in step.caution
    assert any(c.startswith("Never two outputs on one wire") for c in whole.cautions)
    assert "the factory pair stays whole up to the speaker" in does(whole, "Fit 4.7").do


def test_a_tap_takes_off_who_shares_it(planned: Planned) -> None:
    """tw-l shall be silent and chimes: the tap for door-fl cuts it off the radio."""
    chiming = changed(car(), "tw-l", duties=["chime"])
    asked = job(drive("1", "door-fl"), drive("4", "sub"), silent=["tw-l", "rear-l"])
    whole = planned(asked, chiming)
    assert any("tw-l would go silent" in f and "chimes" in f for f in whole.plan.faults)
    assert any("tw-l shall be silent but hangs on" in w for w in whole.plan.warnings)
    assert facts_of(whole.plan)["duties_lost"] == ["chime"]
    resistor = whole.plan.loads[0].resistor
    assert whole.plan.loads[0].speakers == ("door-fl", "tw-l")
    assert resistor is not None and resistor.ohms == 2.2  # 4 and 4 in parallel: 2, next of E12
    unknown = dict(chiming)
    unknown["speaker"] = [
        {k: v for k, v in row.items() if k != "ohms" or row["id"] != "tw-l"}
        for row in chiming["speaker"]
    ]
    assert planned(asked, unknown).plan.loads[0].resistor is None


def test_a_speaker_that_shares_one_pole_is_warned_of(planned: Planned) -> None:
    vehicle = car()
    vehicle["connector"][0]["pins"] = [
        pin(5, "door-fl+"), pin(6, "door-fl-", "tw-l-"), pin(7, "tw-l+"), pin(3, "rear-l+"),
    ]  # fmt: skip
    asked = job(drive("1", "door-fl"), drive("4", "sub"), silent=["tw-l", "rear-l"])
    whole = planned(asked, vehicle)
    assert any("tw-l shares one wire with door-fl" in warning for warning in whole.plan.warnings)
    chiming = planned(asked, changed(vehicle, "tw-l", duties=["chime"]))
    assert any("tw-l would go silent" in fault for fault in chiming.plan.faults)


def test_what_hangs_on_a_driven_pair_counts_in_its_load(planned: Planned) -> None:
    """door-fl is driven, tw-l is not: both play, 4 and 4 ohm make 2."""
    whole = planned(job(drive("1", "door-fl"), drive("2", "rear-l"), drive("4", "sub")))
    channel = whole.plan.channels[0]
    assert (channel.nominal_ohms, channel.watts, channel.along) == (2, 100, ("tw-l",))
    assert any("tw-l hangs on the same wires" in warning for warning in whole.plan.warnings)
    assert whole.plan.undriven == ()
    low = changed(car(), "tw-l", ohms=3)
    assert planned(job(drive("1", "door-fl")), low).plan.channels[0].fault == "load too low"


def test_series_over_one_pair_is_parallel_all_the_same(planned: Planned) -> None:
    whole = planned(job(drive("1", "door-fl", "tw-l", "rear-l", wiring="series")))
    assert whole.plan.channels[0].nominal_ohms == 2 + 4


def test_route_notes_reach_speaker_wire(planned: Planned) -> None:
    whole = planned(job(*ALL))
    step = next(s for s in whole.steps if "1.7 m" in s.do and s.phase == "New wire")
    assert step.caution == "keep off the airbag lead in the sill"
    assert "keep off the airbag lead in the sill" in page(whole)
    assert "keep off the airbag lead in the sill" in sheet_html(whole)
    assert plan_json(whole)["speaker_wire"][0]["notes"] == ["keep off the airbag lead in the sill"]


def test_the_engine_bay_takes_from_what_a_cable_may_carry() -> None:
    """33 CFR 183.425 Table 5 and its note: the printed amps for 105 C insulation inside an engine
    space, 6 AWG and thicker (thinner sizes there too), rounded to whole amps or cut."""
    printed = dict(
        zip(
            (18, 16, 14, 12, 10, 8, 6, 4, 2, 1, 0, -1, -2, -3),
            (17, 21, 30, 38, 51, 68, 102, 136, 178, 208, 242, 280, 327, 378),
            strict=True,
        )
    )
    for awg, amps in printed.items():
        assert ampacity(awg, 105, engine_space=True) == pytest.approx(amps, abs=0.51)
    assert ampacity(8, 80, engine_space=True) == pytest.approx(54.6)  # 70 A x 0.78, from memory
    assert ampacity(8, 80) == 70


def test_a_battery_in_the_bay_asks_for_thicker_cable(planned: Planned) -> None:
    """50 A: 10 AWG carries just that, 8 AWG 54.6 A in the bay; from a battery in the boot 10."""
    elsewhere = {**car(), "route": [*car()["route"], route("seat-left", "boot-left", 0.5)]}
    found = {}
    for place in ("bay-left", "boot-left"):
        whole = planned(job(drive("1", "door-fl", "tw-l"), battery_place=place), elsewhere)
        why = next(w for w in whole.plan.whys if w.figure == "supply cable").line()
        found[place] = (whole.plan.supply.awg, why)
    assert (found["bay-left"][0], found["boot-left"][0]) == (8, 10)
    assert "70 A in the column for insulation of 80 °C" in found["bay-left"][1]
    assert "× 0.78 for the engine bay" in found["bay-left"][1]
    assert "from memory" in found["bay-left"][1]
    assert "50 A in the column" in found["boot-left"][1]
    assert "no engine space" in found["boot-left"][1]


def test_load_and_input_setting_have_their_why(planned: Planned) -> None:
    """P = V^2 / R: (14.4 / sqrt 2)^2 / 4.7 = 22.1 W."""
    lines = [why.line() for why in planned(job(*ALL)).plan.whys]
    load = next(line for line in lines if line.startswith("load on radio, R1 way 3 and R2 way 1"))
    for words in ("P = V² / R", "10.2 V assumed", "P = 22.1 W", "IEC 60063", "rear-l make 4 Ω"):
        assert words in load
    setting = next(line for line in lines if line.startswith("kit's output setting 4 V"))
    assert "the kit gives 4, 5 V, the inputs take 0.2 to 4.5 V" in setting


def test_unknown_watts_of_speakers_are_one_caution(planned: Planned) -> None:
    rated = car()
    rated["speaker"] = [{**row, "watts": 80} for row in rated["speaker"]]
    said = [c for c in planned(job(*ALL)).cautions if "what the speakers stand is unknown" in c]
    assert len(said) == 1
    assert said[0].startswith("Channels 1, 2, 4: ")
    assert "not what is safe" in said[0]
    assert not any("speakers stand" in c for c in planned(job(*ALL), rated).cautions)
    one = {**rated, "speaker": [*rated["speaker"]]}
    one = changed(one, "sub", watts=None)
    one["speaker"] = [{k: v for k, v in row.items() if v is not None} for row in one["speaker"]]
    said = [c for c in planned(job(*ALL), one).cautions if "speakers stand" in c]
    assert said[0].startswith("Channel 4: ") and "(sub)" in said[0]


def test_a_speaker_of_unknown_feed_is_in_the_headline(planned: Planned) -> None:
    vehicle = car()
    vehicle["connector"][1]["pins"] = []
    whole = planned(job(drive("1", "door-fl", "tw-l"), drive("4", "sub")), vehicle)
    assert any("rear-l" in flag and "meter first" in flag for flag in whole.plan.reach.flags)
    assert "AND 1 SPEAKER TO METER FIRST" in page(whole)
    assert "NO WAY KNOWN" not in page(whole)


def test_a_line_leads_length_does_not_depend_on_part_order(planned: Planned) -> None:
    """Parts at the amplifier and at the radio: nobody wrote down where the module sits."""
    radio = {
        "id": "rad", "use": "always", "unit": "radio", "plugs": ["ZR-1"], "intercepts": True,
        "leads": [{"lead": "C", "plug": "ZR-1", "plus": 5, "minus": 6}],
    }  # fmt: skip
    main = KIT["part"][0]
    asked = job(drive("1", "door-fl", "tw-l"), silent=["rear-l", "sub"])
    both = [
        planned(asked, kit={**KIT, "part": parts}).plan.signal_metres
        for parts in ([main, radio], [radio, main])
    ]
    assert both == [None, None]
    alone = planned(asked, kit={**KIT, "part": [radio]})
    assert alone.plan.signal_metres == 1.7
    assert any("share seat-left to sill-left" in c and "opposite" in c for c in alone.cautions)


def test_minutes_that_rest_on_a_guess_say_so(planned: Planned) -> None:
    vehicle = car(panel=[{"id": "facia", "minutes": 20}, {"id": "console"}])
    vehicle["unit"][0]["panels"] = ["console"]
    whole = planned(job(*ALL), vehicle)
    assert "20 MIN (1 PANEL GUESSED) OF PANELS" in page(whole)
    assert "20 min (1 panel guessed)" in sheet_html(whole)
    assert plan_json(whole)["reach"]["guessed_panels"] == ["console"]
    assert "GUESSED" not in page(planned(job(*ALL)))


@pytest.mark.parametrize(
    ("key", "place", "meant"),
    [("amplifier_place", "seat-lft", "seat-left"), ("battery_place", "bay-lfet", "bay-left")],
)
def test_a_misspelt_place_is_one_sentence(
    planned: Planned, key: str, place: str, meant: str
) -> None:
    whole = planned(job(*ALL, **{key: place}))
    said = [fault for fault in whole.plan.faults if place in fault]
    assert len(said) == 1
    assert key in said[0] and f"the nearest is {meant}" in said[0]
    assert not any("no documented way" in flag for flag in whole.plan.reach.flags)
    text = page(whole)
    assert "nothing documented reaches" not in text and "NO WAY KNOWN" not in text
    assert "nothing documented reaches" not in sheet_html(whole)


def test_a_fault_gives_no_watts_and_no_gain(planned: Planned) -> None:
    whole = planned(job(drive("1", "door-fl", "tw-l", "rear-l")))
    channel = plan_json(whole)["channels"][0]
    assert channel["fault"] == "load too low"
    assert (channel["watts"], channel["gain_volts"], channel["limited_by"]) == (None, None, None)
    assert not any("gain target" in line for line in plan_json(whole)["why"])
    assert whole.plan.supply.amps is not None


def test_work_for_a_speaker_on_no_channel_is_said_to_be_for_nothing(planned: Planned) -> None:
    whole = planned(job(drive("1", "door-fl", "tw-l")))
    said = " ".join(whole.plan.warnings)
    assert "rear-l is on no channel and would stay silent: the tap at R1 and R2 is work for" in said
    assert "sub is on no channel and would stay silent: its lead is there for nothing" in said
    assert [(lead.lead, lead.why) for lead in whole.plan.cut_back] == [
        ("A", "sub is on no channel")
    ]
    wire = next(wire for wire in whole.plan.speaker_wire if wire.speakers == ("rear-l",))
    assert "on no channel: insulate both ends" in wire.notes


def test_cautions_know_what_the_plan_drives(planned: Planned) -> None:
    """The amplifier's woofer would go silent with its chime; the plan drives it by a run."""
    vehicle = changed(car(), "sub", duties=["chime"], place="door-front-left")
    bare = {**KIT, "part": [{**KIT["part"][0], "use": "choice"}]}
    asked = job(drive("1", "door-fl", "tw-l"), drive("2", "rear-l"), drive("4", "sub"), parts=[])
    whole = planned(asked, vehicle, bare)
    assert next(f.way for f in whole.plan.reach.fixes if f.speaker == "sub") in ("tap", "run")
    said = [caution for caution in whole.cautions if "chimes" in caution]
    assert said == [
        "sub also sounds the warning chimes: hear them through the new amplifier before the car "
        "leaves"
    ]
    assert whole.plan.faults == ()
    silent = planned(job(drive("1", "door-fl", "tw-l"), parts=[], silent=["sub"]), vehicle, bare)
    assert any("sub goes silent and with it" in caution for caution in silent.cautions)
    assert any("sub would go silent" in fault for fault in silent.plan.faults)
