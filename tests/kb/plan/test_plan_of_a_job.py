"""The plan of stored jobs and of jobs from files, on the shipped book: every part, by hand."""

import copy
import itertools
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from kb.answers.papers import papers_of, plan_job, with_costs_from
from kb.answers.runs import runs
from kb.documents.findings import Source
from kb.documents.reading import read_documents
from kb.errors import Refused
from kb.plan.alternatives import Wishes
from kb.plan.fact_names import FACTS
from kb.plan.facts import facts_of
from kb.plan.plan import Limits
from kb.plan.plan_json import plan_json
from kb.plan.whole import WholePlan
from kb.shipped import shipped_book
from tui.drawing.plan_page import plan_page
from tui.ink import Ink
from tui.tables import cells

CONCERT = "halden-tarn-19-concert10"
PLAIN = Ink(colour=False)


@pytest.fixture(scope="module")
def connection(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    book = shipped_book(tmp_path_factory.mktemp("book") / "book.db")
    with book.reading() as opened:
        yield opened


def example_job(**changes: Any) -> dict[str, Any]:
    """The issue's own example: everything shall play and the plan may choose the parts."""
    path = Path(__file__).with_name("tarn-open.toml")
    reading = read_documents([Source(path.name, path.read_bytes(), "toml")])
    assert not reading.findings
    job = copy.deepcopy(reading.documents[0].content)
    for key, value in changes.items():
        if key in ("drive", "fitted"):
            job[key] = value
        else:
            job["job"][key] = value
    return job


def planned(connection: Any, job: Any, *args: Any, **options: Any) -> WholePlan:
    return plan_job(connection, job, *args, **options)


def test_done_when(connection: Any) -> None:
    found = plan_json(planned(connection, example_job()))
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
    found = json.loads(json.dumps(plan_json(planned(connection, "tarn-1187")), allow_nan=False))
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
    bare = planned(connection, example_job(parts=[]))
    assert bare.plan.reach.parts == ()
    assert (bare.plan.reach.minutes, bare.plan.reach.taps) == (31, 3)
    named = planned(connection, example_job(parts=["radio-28"]))
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
    without = planned(connection, job, Wishes(without=("radio-28",)))
    assert without.plan.reach.parts == ()
    direct = planned(connection, job, Wishes(prefer="run"))
    assert (direct.plan.reach.minutes, direct.plan.reach.runs) == (72, 3)
    assert ("least of all", 31) in [(o.name, o.reach.minutes) for o in direct.plan.others]
    pinned = planned(connection, job, Wishes(pinned={"centre": "run"}))
    assert (pinned.plan.reach.minutes, pinned.plan.reach.metres) == (35, 4.7)
    for wishes, words in (
        (Wishes(without=("radio-82",)), "radio-28"),
        (Wishes(pinned={"center": "run"}), "centre"),
        (Wishes(pinned={"centre": "part"}), "No documented part"),
    ):
        with pytest.raises(Refused, match=words):
            planned(connection, job, wishes)


def test_channels_of_the_example(connection: Any) -> None:
    """Doors with tweeters behind 3500 Hz: 2 and 2.02 ohm; quarters of 6 beside 4: 2.4; the dual
    2 ohm subwoofer in series 4 ohm, for in parallel it would be 1."""
    whole = planned(connection, example_job())
    loads = {c.channel: (c.nominal_ohms, c.watts) for c in whole.plan.channels}
    assert loads == {"1": (2, 90), "2": (2, 90), "3": (2.4, 60), "4": (2.4, 60), "5": (4, 150)}
    assert whole.plan.channels[0].lowest_ohms == pytest.approx(2.0227, abs=1e-4)
    assert whole.plan.channels[0].gain_volts == pytest.approx((90 * 2) ** 0.5)
    assert whole.plan.suggestion is not None
    assert whole.plan.suggestion.without == ("centre",)
    assert whole.plan.input.output_volts == 4
    assert whole.plan.supply.amps == pytest.approx(450 / (0.8 * 14.4))


def test_a_chime_that_would_be_lost_is_a_fault(connection: Any) -> None:
    """The centre chimes; five channels are taken, so tapping it would mute it."""
    whole = planned(connection, example_job())
    assert any("centre" in fault and "chime" in fault for fault in whole.plan.faults)
    quiet = planned(connection, example_job(silent=["centre"]))  # it stays on the radio
    assert quiet.plan.faults == ()
    assert all(fix.speaker != "centre" for fix in quiet.plan.reach.fixes)


def drive(channel: str, *speakers: str, wiring: str = "parallel") -> dict[str, Any]:
    return {"channel": channel, "speakers": list(speakers), "wiring": wiring}


def test_a_bad_allocation_is_told(connection: Any) -> None:
    job = example_job(
        drive=[
            drive("1", "door-fl", "door-rr"),
            drive("2", "sail-l", "sub"),
            drive("3", "door-fr", "sail-r", wiring="series"),
            drive("4", "quarter-l", "quarter-r", "door-rl", "centre"),
        ],
    )
    whole = planned(connection, job)
    said = "\n".join([*whole.plan.warnings, *whole.plan.faults])
    assert "channel 1 mixes left and right" in said
    assert "channel 2 drives the subwoofer sub with full-range" in said
    assert "door-fl and sail-l hang on one pair of wires and are on channels 1 and 2" in said
    assert "door-fr and sail-r are joined in parallel in the car" in said
    assert "channel 4: load too low" in said
    assert "channel 2: load too low" in said
    lone = planned(connection, example_job(drive=[drive("1", "door-fl", "sail-l")]))
    assert any("door-fr is on no channel" in warning for warning in lone.plan.warnings)


def test_what_the_job_leaves_unsaid_or_the_kit_lacks_is_told(connection: Any) -> None:
    """Dual coils without wiring count as parallel, the lower load; outputs too few are told."""
    job = example_job(drive=[{"channel": "5", "speakers": ["sub"]}])
    whole = planned(connection, job)
    assert whole.plan.channels[0].nominal_ohms == 1
    assert any("taken as parallel" in warning for warning in whole.plan.warnings)
    few = planned(connection, example_job(kit="oku-b4"))
    assert any("4 line outputs for 5 channels" in warning for warning in few.plan.warnings)
    swapped = planned(connection, "sedge-1219")
    assert any("tw-r: lead D of main" in warning for warning in swapped.plan.warnings)


def test_where_the_module_sits_is_not_guessed(connection: Any) -> None:
    """The Dapple's parts plug in at both hinges and at the amplifier: no length of a line lead."""
    whole = planned(connection, "dapple-1210")
    assert whole.plan.signal_metres is None
    assert any("line leads, length to be measured" in item for item in whole.take)
    assert not any("opposite sides" in caution for caution in whole.cautions)


def test_a_silent_speaker_on_a_playing_ones_wires(connection: Any) -> None:
    whole = planned(connection, example_job(silent=["sail-l", "centre"]))
    assert any("sail-l shall be silent but hangs" in warning for warning in whole.plan.warnings)


def test_unknown_ohms_stay_unknown(connection: Any) -> None:
    """What is fitted replaces the factory speaker whole: its ohms are not inherited."""
    job = example_job(fitted=[{"speaker": "door-rl", "watts": 80}], silent=["centre"])
    whole = planned(connection, job)
    channel = next(c for c in whole.plan.channels if "door-rl" in c.speakers)
    assert (channel.nominal_ohms, channel.watts, channel.gain_volts) == (None, None, None)
    assert any("ohms of door-rl are unknown" in warning for warning in whole.plan.warnings)
    assert any("greatest rating" in warning for warning in whole.plan.warnings)
    steps = [step.do for step in whole.steps if step.phase == "Gains"]
    assert any("load unknown" in step for step in steps)


def test_fitted_watts_limit_a_channel(connection: Any) -> None:
    """door-fl takes half of channel 1's watts: with 20 W of its own, 40 W is the most."""
    fitted = [{"speaker": "door-fl", "ohms": 4, "watts": 20}]
    whole = planned(connection, example_job(fitted=fitted, silent=["centre"]))
    channel = whole.plan.channels[0]
    assert (channel.watts, channel.limited_by) == (40, "speakers")
    assert channel.gain_volts == pytest.approx((40 * 2) ** 0.5)
    assert whole.plan.supply.amps == pytest.approx(450 / 11.52)  # the amplifier's own full power


def test_loads_for_an_output_that_senses_them(connection: Any) -> None:
    """The Dapple's radio senses its load; its tweeters leave it: 4 ohm -> 4.7 ohm, 22 W -> 25."""
    whole = planned(connection, "dapple-1210")
    assert [(load.connector, load.plus, load.speakers) for load in whole.plan.loads] == [
        ("S1", "3", ("tw-l",)),
        ("S1", "4", ("tw-r",)),
    ]
    resistor = whole.plan.loads[0].resistor
    assert resistor is not None
    assert (resistor.ohms, resistor.rating) == (4.7, 25)
    assert any("2 × 4.7 Ω 25 W" in item for item in whole.take)


def test_a_load_below_the_channels_limit_is_a_fault_and_not_a_clamp(connection: Any) -> None:
    whole = planned(connection, "dapple-1210")
    assert whole.plan.channels[0].fault == "load too low"
    assert whole.plan.channels[0].nominal_ohms == pytest.approx(4 / 3)
    assert any("no gain before its fault" in step.do for step in whole.steps)
    assert any("do not connect" in (step.caution or "") for step in whole.steps)


def test_leads_that_reach_only_part_of_a_speaker_are_cut_back(connection: Any) -> None:
    whole = planned(connection, "sedge-1219")
    cut = {lead.lead: lead.why for lead in whole.plan.cut_back}
    assert "only part of door-fl" in cut["A"]
    assert any("Swap plus and minus of lead D" in step.do for step in whole.steps)


def test_signal_keeps_bass_off_the_fader(connection: Any) -> None:
    whole = planned(connection, "marl-1203")
    outputs = {lead.channel: (lead.output, lead.fades) for lead in whole.plan.signal}
    assert outputs["5"] == ("6", False)
    assert outputs["1"] == ("1", True)
    unknown = planned(connection, "tarn-1187")
    assert {lead.output for lead in unknown.plan.signal} == {None}


def test_order_of_work(connection: Any) -> None:
    whole = planned(connection, "tarn-1187")
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
    whole = planned(connection, "marl-1203")
    assert set(facts_of(whole.plan)) == set(FACTS)
    assert [(s.id, s.position, s.applies) for s in whole.settings] == [("S1", "P", True)]
    assert any("S1, slide switch beside the plug of nimmet-p8 to P" in s.do for s in whole.steps)
    call = next(step for step in whole.steps if step.do.startswith("Make an emergency call"))
    assert call.caution == "A car must not leave with its emergency call mute."
    other = planned(
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
    whole = planned(connection, "tarn-1187")
    lines = [why.line() for why in whole.plan.whys]
    for words in ("33 CFR 183.425", "a law for boats", "ANSI/CTA-2006", "ASTM B258",
                  "common practice, no source", "√(P × R)"):  # fmt: skip
        assert any(words in line for line in lines)
    assert any("UN R100" in caution for caution in whole.cautions)
    assert any("negative off first and on last" in caution for caution in whole.cautions)


def test_limits_are_the_persons(connection: Any) -> None:
    job = example_job(silent=["centre"])
    clad = planned(connection, job, None, Limits(material="copper-clad aluminium", most_drop=0.2))
    copper = planned(connection, job, None, Limits(most_drop=0.2))
    assert clad.plan.supply.awg is not None and copper.plan.supply.awg is not None
    assert clad.plan.supply.awg < copper.plan.supply.awg
    tight = planned(connection, job, None, Limits(most_drop=0.05, wire_share=0.005))
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
            planned(connection, job)


def test_costs_of_each_fix_in_runs(connection: Any) -> None:
    answer = with_costs_from(connection, runs(connection, CONCERT, "oku-b6"), "seat-front-left")
    costs = {
        (s.speaker, fix.way): (fix.minutes, fix.metres) for s in answer.speakers for fix in s.fixes
    }
    assert costs == {
        ("quarter-l", "part"): (28, 1.4),
        ("quarter-l", "run"): (28, 2.6),
        ("quarter-l", "tap"): (28, 1.4),
        ("quarter-r", "part"): (28, 1.4),
        ("quarter-r", "run"): (28, 3.8),
        ("quarter-r", "tap"): (28, 1.4),
        ("centre", "run"): (32, 1.9),
        ("centre", "tap"): (28, 1.4),
    }
    with pytest.raises(Refused, match="seat-front-left"):
        with_costs_from(connection, answer, "seat-front-lft")


def test_unknown_routes_are_never_zero(connection: Any) -> None:
    """No route of the Orrin leads to its parking module: from there no cost is claimed."""
    answer = runs(connection, "brask-orrin-17-van4", "oku-b6")
    costed = with_costs_from(connection, answer, "dash-lower-left")
    fixes = [fix for s in costed.speakers for fix in s.fixes]
    assert fixes
    elsewhere = [fix for fix in fixes if "dash-lower-left" not in (fix.to, fix.place)]
    assert {(fix.minutes, fix.metres) for fix in elsewhere} == {(None, None)}


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
        whole = planned(connection, job)
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
