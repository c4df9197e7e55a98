"""The plan of stored jobs and of jobs from files, on the shipped book: every part, by hand."""

import itertools
import json
from typing import Any

import pytest

from kb.answers.papers import papers_of, plan_job
from kb.errors import Refused
from kb.plan.alternatives import Wishes
from kb.plan.fact_names import FACTS
from kb.plan.facts import facts_of
from kb.plan.plan import Limits
from kb.plan.plan_json import plan_json
from tests.kb.plan.example import example_job
from tests.kb.plan.small_car import drive
from tui.drawing.plan_page import plan_page
from tui.ink import Ink
from tui.tables import cells

PLAIN = Ink(colour=False)


def test_done_when(connection: Any) -> None:
    found = plan_json(plan_job(connection, example_job()))
    reach = found["reach"]
    choices = {c["speaker"]: c for c in reach["choices"]}
    assert (choices["quarter-l"]["way"], choices["quarter-l"]["part"]) == ("part", "radio-28")
    assert (choices["quarter-r"]["way"], choices["quarter-r"]["lead"]) == ("part", "K")
    centre = choices["centre"]
    assert (centre["way"], centre["connector"]) == ("tap", "R1")
    assert (centre["plus"], centre["minus"]) == ("11", "25")
    assert (centre["plus_wire"], centre["minus_wire"]) == ("BU/YE", "BU")
    assert "two outputs on one wire" in centre["warning"]
    assert sorted(reach["panels"]) == ["console-side-left", "dash-facia", "scuff-plate-front-left"]
    assert (reach["minutes"], reach["metres"], reach["exact"]) == (31, 4.2, True)
    assert found["supply"]["metres"] == 2.4
    assert sum(wire["metres"] for wire in found["speaker_wire"]) == pytest.approx(4.2)
    assert found["parts"] == ["main", "radio-28"]
    others = {other["name"]: (other["minutes"], other["metres"]) for other in reach["others"]}
    assert others == {
        "without radio-28": (31, 4.2),
        "no tap": (35, 4.7),
        "all direct": (72, 8.3),
    }


def test_json_has_every_key_of_the_contract(connection: Any) -> None:
    found = json.loads(json.dumps(plan_json(plan_job(connection, "tarn-1187")), allow_nan=False))
    assert {
        "job", "vehicle", "kit", "amplifier", "state", "reach", "signal", "channels", "input",
        "supply", "speaker_wire", "cut_back", "settings", "loads", "keep", "steps", "cautions",
        "take",
    } <= set(found)  # fmt: skip
    assert {"choices", "panels", "minutes", "metres", "exact", "flags"} <= set(found["reach"])
    assert {
        "channel", "speakers", "wiring", "nominal_ohms", "lowest_ohms", "min_ohms", "fault",
        "watts", "limited_by", "gain_volts",
    } <= set(found["channels"][0])  # fmt: skip
    assert {"amps", "fuse_amps", "awg", "mm2", "material", "metres", "drop_volts"} <= set(
        found["supply"]
    )
    assert {"output_volts", "fault"} == set(found["input"])
    assert {"output", "channel"} <= set(found["signal"][0])
    assert {"speaker", "metres", "awg"} <= set(found["speaker_wire"][0])
    assert found["not_driven"] == ["centre: stays on its factory feed from radio, as the job asks"]
    assert [row["speaker"] for row in found["fitting"]] == ["door-fl", "door-fr"]


def test_a_job_that_names_its_parts_pins_them(connection: Any) -> None:
    """With `parts = []` the plan may not choose radio-28, though it would."""
    bare = plan_job(connection, example_job(parts=[]))
    assert bare.plan.reach.parts == ()
    assert (bare.plan.reach.minutes, bare.plan.reach.taps) == (31, 3)
    named = plan_job(connection, example_job(parts=["radio-28"]))
    assert named.plan.runs.path.chosen == ("main", "radio-28")
    assert (named.plan.reach.taps, named.plan.reach.metres) == (1, 4.2)
    choices = {c["speaker"]: c for c in plan_json(named)["reach"]["choices"]}
    assert {name: c["pinned"] for name, c in choices.items()} == {
        "quarter-l": True,
        "quarter-r": True,
        "centre": False,
    }
    assert (choices["quarter-l"]["part"], choices["quarter-l"]["connector"]) == ("radio-28", "R1")


def test_wishes_are_honoured_or_refused(connection: Any) -> None:
    job = example_job()
    without = plan_job(connection, job, Wishes(without=("radio-28",)))
    assert without.plan.reach.parts == ()
    direct = plan_job(connection, job, Wishes(prefer="run"))
    assert (direct.plan.reach.minutes, direct.plan.reach.runs) == (72, 3)
    assert ("least of all", 31) in [(o.name, o.reach.minutes) for o in direct.plan.others]
    pinned = plan_job(connection, job, Wishes(pinned={"centre": "run"}))
    assert (pinned.plan.reach.minutes, pinned.plan.reach.metres) == (35, 4.7)
    for wishes, words in (
        (Wishes(without=("radio-82",)), "radio-28"),
        (Wishes(pinned={"center": "run"}), "centre"),
        (Wishes(pinned={"centre": "part"}), "No documented part"),
    ):
        with pytest.raises(Refused, match=words):
            plan_job(connection, job, wishes)


def test_a_chime_that_would_be_lost_is_a_fault(connection: Any) -> None:
    """The centre chimes; five channels are taken, so tapping it would mute it."""
    whole = plan_job(connection, example_job())
    assert any("centre" in fault and "chime" in fault for fault in whole.plan.faults)
    quiet = plan_job(connection, example_job(silent=["centre"]))  # it stays on the radio
    assert quiet.plan.faults == ()
    assert all(fix.speaker != "centre" for fix in quiet.plan.reach.fixes)


def test_leads_that_reach_only_part_of_a_speaker_are_cut_back(connection: Any) -> None:
    whole = plan_job(connection, "sedge-1219")
    cut = {lead.lead: lead.why for lead in whole.plan.cut_back}
    assert "only part of door-fl" in cut["A"]
    assert any("Swap plus and minus of lead D" in step.do for step in whole.steps)


def test_order_of_work(connection: Any) -> None:
    whole = plan_job(connection, "tarn-1187")
    done = [step.do for step in whole.steps]

    def at(words: str) -> int:
        return next(i for i, step in enumerate(done) if words in step)

    order = [
        "Battery negative off",
        "Wait 10 min",
        "dash-facia off",
        "Unplug amp",
        "Cut back and insulate lead E",
        "Part main into A1, A2",
        "Part radio-28 between",
        "Supply cable, 2.4 m of 6 AWG",
        "Channel 3: lead C of main",
        "Main fuse in, 60 A; then battery negative on",
        "Channel 1 alone",
        "Channel 1: 13.4 V",
        "sub stays in its place",
        "Panels back",
    ]
    places = [at(words) for words in order]
    assert places == sorted(places)
    off = [step.do.split(" off")[0] for step in whole.steps if step.phase == "Panels off"]
    back = next(step for step in done if step.startswith("Panels back: "))
    assert back.removeprefix("Panels back: ").split(", ") == off[::-1]
    assert not any("Tap" in step for step in done)
    assert not any(step.phase == "Switches" for step in whole.steps)


def test_settings_and_steps_of_a_kit_come_by_their_conditions(connection: Any) -> None:
    """The Marl has a processor, and its roof speaker, which has an emergency call, goes silent."""
    whole = plan_job(connection, "marl-1203")
    assert set(facts_of(whole.plan)) == set(FACTS)
    assert [(s.id, s.position, s.applies) for s in whole.settings] == [("S1", "P", True)]
    assert any("S1, slide switch beside the plug of nimmet-p8 to P" in s.do for s in whole.steps)
    call = next(step for step in whole.steps if step.do.startswith("Make an emergency call"))
    assert call.caution == "A car must not leave with its emergency call mute."
    other = plan_job(
        connection,
        example_job(
            kit="nimmet-p8", vehicle="halden-tarn-19-plain6", amplifier_place="dash-centre"
        ),
    )
    assert other.settings == ()
    # Nobody wrote what its speakers sound beside music, so its condition goes to the person.
    asked = next(step for step in other.steps if step.do.startswith("Make an emergency call"))
    assert asked.do.endswith("(when duties lost = emergency-call or duties moved = emergency-call)")


def test_reasons_and_sources_stand_beside_every_figure(connection: Any) -> None:
    whole = plan_job(connection, "tarn-1187")
    lines = [why.line() for why in whole.plan.whys]
    for words in ("33 CFR 183.425", "a law for boats", "ANSI/CTA-2006", "ASTM B258",
                  "common practice, no source", "√(P × R)"):  # fmt: skip
        assert any(words in line for line in lines)
    assert any("UN R100" in caution for caution in whole.cautions)
    assert any("negative off first and on last" in caution for caution in whole.cautions)


def test_limits_are_the_persons(connection: Any) -> None:
    job = example_job(silent=["centre"])
    clad = plan_job(connection, job, None, Limits(material="copper-clad aluminium", most_drop=0.2))
    copper = plan_job(connection, job, None, Limits(most_drop=0.2))
    assert clad.plan.supply.awg is not None and copper.plan.supply.awg is not None
    assert clad.plan.supply.awg < copper.plan.supply.awg
    tight = plan_job(connection, job, None, Limits(most_drop=0.05, wire_share=0.005))
    assert tight.plan.supply.awg is not None
    assert tight.plan.supply.awg < copper.plan.supply.awg
    assert tight.plan.speaker_wire[0].awg != copper.plan.speaker_wire[0].awg


def test_names_that_are_not_there_are_refused(connection: Any) -> None:
    for job, words in (
        (example_job(silent=["center"]), "centre"),
        (example_job(drive=[drive("9", "door-fl")]), "drives channel '9'"),
        (example_job(amplifier="vant-5-50"), "vant-5-500"),
        (example_job(kit="oku-b7"), "oku-b"),
    ):
        with pytest.raises(Refused, match=words):
            plan_job(connection, job)


def test_every_shipped_vehicle_with_every_kit(connection: Any) -> None:
    """Nothing falls over, every page fits, every speaker is somewhere in its plan."""

    def ids(kind: str) -> list[str]:
        return [id for (id,) in connection.execute(f"SELECT id FROM {kind} ORDER BY id")]

    for vehicle, kit in itertools.product(ids("vehicle"), ids("kit")):
        (place,) = connection.execute(
            "SELECT place FROM unit JOIN vehicle USING (vehicle)"
            " WHERE id = ? AND place IS NOT NULL LIMIT 1",
            (vehicle,),
        ).fetchone()
        job = example_job(vehicle=vehicle, kit=kit, amplifier_place=place)
        whole = plan_job(connection, job)
        found = plan_json(whole)
        json.dumps(found, allow_nan=False)
        reach = found["reach"]
        told = {c["speaker"] for c in reach["choices"]}
        told |= {*reach["unreachable"], *reach["meter_first"]}
        told |= {
            s.speaker
            for s in papers_of(connection, job).runs.speakers
            if s.outcome in ("carried", "reversed")
        }
        assert told == {s.speaker for s in whole.plan.runs.speakers}
        if reach["unreachable"]:
            assert reach["minutes"] is None and reach["metres"] is None
        assert reach["exact"]
        for line in plan_page(whole, 80, PLAIN, steps=True, why=True):
            assert cells(line) <= 80
