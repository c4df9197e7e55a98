"""The order of work, the suggested channels and what goes to the car: what a technician would miss
or be hurt by, one by one, on the shipped book and on small groups of speakers."""

import copy
import re
from collections.abc import Iterator
from typing import Any

import pytest

from kb.answers.papers import plan_job
from kb.documents.findings import Source
from kb.documents.reading import read_documents
from kb.plan.allocation import suggest
from kb.plan.alternatives import Wishes
from kb.plan.channels import Drive, Rating, plan_channel
from kb.plan.finishing import channels_in_words
from kb.plan.fitting import fitting_words
from kb.plan.not_driven import not_driven
from kb.plan.plan import Limits
from kb.plan.signal import LineOutput, route_signal
from kb.plan.speaker_wire import wire_words
from kb.plan.whole import WholePlan
from kb.store.book import open_book
from kb.store.revisions import add_documents
from seed_data import documents
from tests.kb.plan.test_allocation_and_signal import FIVE, played


def job(vehicle: str, kit: str, amplifier: str, place: str, **more: Any) -> dict[str, Any]:
    head = {"id": "order", "vehicle": vehicle, "kit": kit, "amplifier": amplifier}
    head |= {"amplifier_place": place, "battery_place": more.pop("battery", "bay-left")}
    tables = {key: more.pop(key) for key in ("drive", "fitted") if key in more}
    return {"kind": "job", "job": {**head, **more}, **tables}


def tarn(**more: Any) -> dict[str, Any]:
    options = {"kit": "oku-b6", "amplifier": "vant-5-500", "place": "seat-front-left", **more}
    return job("halden-tarn-19-concert10", **options)


def test_nothing_is_suggested_in_series_with_a_capacitor(connection: Any) -> None:
    """A woofer in series with a tweeter behind a capacitor would get no bass."""
    pair = {s.id: s for s in (
        played("door-fl", "door-front-left", "midbass", 2),
        played("tw-l", "sail-left", "tweeter", 4, blocks=3000),
    )}  # fmt: skip
    found = suggest(FIVE[:1], pair, [])
    assert (found.drives, found.without) == ((), ("door-fl", "tw-l"))
    assert "in series the capacitor of tw-l would take the bass" in found.reasons[0]
    asked = job("yarrin-dapple-22-arena8", "pellard-hinge", "vant-5-500", "seat-front-right")
    plan = plan_job(connection, asked).plan
    blocking = {name for name, speaker in plan.played.items() if speaker.blocks_below_hz}
    assert blocking
    for channel in plan.channels:
        assert channel.wiring == "parallel" or not blocking & set(channel.speakers)


def test_a_job_that_joins_a_capacitor_in_series_is_warned() -> None:
    pair = {s.id: s for s in (
        played("door-fl", "door-front-left", "midbass", 2),
        played("tw-l", "sail-left", "tweeter", 4, blocks=3000),
    )}  # fmt: skip
    series = plan_channel(Drive("1", ("door-fl", "tw-l"), "series"), FIVE[0], pair)
    assert any("door-fl would lose the bass" in warning for warning in series.warnings)
    parallel = plan_channel(Drive("1", ("door-fl", "tw-l"), "parallel"), FIVE[0], pair)
    assert not any("bass" in warning for warning in parallel.warnings)


def test_sides_get_channels_together_or_not_at_all(connection: Any) -> None:
    four = [Rating(str(n), {4: 60}, 2) for n in range(1, 5)]
    speakers = {s.id: s for s in (
        played("sub", "load-floor", "subwoofer"),
        played("fl", "door-front-left"), played("fr", "door-front-right"),
        played("rl", "door-rear-left"), played("rr", "door-rear-right"),
    )}  # fmt: skip
    found = suggest(four, speakers, [])
    assert found.without == ("rl", "rr")
    assert any("go together or not at all" in reason for reason in found.reasons)
    lone = suggest(four, {"rl": speakers["rl"]}, [])
    assert lone.without == ()
    for vehicle, kit, place in (
        ("halden-tarn-19-concert10", "oku-b6", "seat-front-left"),
        ("quessel-marl-21-hall11", "nimmet-p8", "boot-left"),
        ("skarne-holt-23-tour8", "oku-b4", "dash-centre"),
        ("torvane-sedge-20-studio9", "tavick-s7", "boot-right"),
    ):
        plan = plan_job(connection, job(vehicle, kit, "korrel-4-75", place)).plan
        zones = {channel.zone for channel in plan.channels}
        had = {plan.played[name].zone for name in (*plan.undriven, *_driven(plan))}
        for end in ("front", "rear"):
            sides = {f"{end}-left", f"{end}-right"}
            if sides <= had:
                assert len(sides & zones) in (0, 2), vehicle


def _driven(plan: Any) -> list[str]:
    return [name for channel in plan.channels for name in channel.speakers]


STAGES = ("prepare", "before-power-off", "panels", "wiring", "power-on", "checks", "close-up")


@pytest.fixture(scope="module")
def altered(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    sources = [Source(f.name, f.read_bytes(), "toml") for f in documents()]
    found = list(read_documents(sources).documents)
    kit = next(document for document in found if document.id == "oku-b4")
    bare, staged = copy.deepcopy(kit.content), copy.deepcopy(kit.content)
    bare["kit"] |= {"id": "bare", "line_outputs": 0}
    bare.pop("output", None)
    staged["kit"] |= {"id": "staged", "line_outputs": 2}
    staged["output"] = [
        {"id": "1", "carries": "front-left", "fades": True},
        {"id": "2", "carries": "front-right", "fades": False},
    ]
    staged["step"] = [{"do": f"own {stage}", "stage": stage} for stage in STAGES]
    for content in (bare, staged):
        found.append(type(kit)("kit", content["kit"]["id"], content, kit.source))
    book = open_book(tmp_path_factory.mktemp("altered") / "book.db")
    with book.writing() as database:
        add_documents(database, found, author="tester")
    with book.reading() as opened:
        yield opened


def at(whole: WholePlan, words: str) -> int:
    places = [i for i, step in enumerate(whole.steps) if words in step.do]
    assert len(places) == 1, (words, [step.do for step in whole.steps])
    return places[0]


def test_work_begins_dark_and_ends_with_power(connection: Any) -> None:
    """Metering stands where the plug can be got at and before the first cut."""
    whole = plan_job(connection, "tarn-1187")
    order = [
        "Write down the radio's presets",
        "Park, boot open",
        "Battery negative off, and held",
        "Wait 10 min",
        "dash-facia off",
        "Meter each feed before cutting it, battery still off: unplug A1, A2, R1",
        "Cut back and insulate lead E",
        "Mount the Vant 5-500 at seat-front-left",
        "Ground lead",
        "Fuse holder for 60 A",
        "Supply cable to the amplifier's plus",
        "Turn-on lead of the kit",
        "Channel 1: lead A",
        "Main fuse in, 60 A; then battery negative on",
        "Channel 1 alone",
        "System off, every speaker pair off",
        "System off, speaker pairs back on",
        "Engine on",
        "Panels back",
    ]
    places = [at(whole, words) for words in order]
    assert places == sorted(places)
    said = whole.steps[at(whole, "Meter each feed")]
    assert "nobody verified" in (said.caution or "")
    assert not any("Battery on for metering" in step.do for step in whole.steps)


def test_power_for_metering_goes_off_again_before_any_cut(connection: Any) -> None:
    """The later Sedge's shelf speaker has no documented feed: it is found with a tone."""
    asked = job("torvane-sedge-20-studio9", "tavick-s7", "vant-5-500", "boot-right")
    whole = plan_job(connection, asked)
    order = [
        "Battery negative off, and held",
        "Meter each feed before cutting it, battery still off",
        "Battery on for metering alone",
        "Meter shelf-l, AC volts at the plug",
        "Ignition off, battery negative off again; wait",
        "Part main into",
        "then battery negative on, last of all",
    ]
    places = [at(whole, words) for words in order]
    assert places == sorted(places)
    assert "airbag plugs stay shut" in (whole.steps[places[2]].caution or "")


def test_own_steps_stand_at_their_stage(altered: Any) -> None:
    whole = plan_job(altered, tarn(kit="staged"))
    order = [
        "own prepare", "own before-power-off", "Battery negative off, and held", "dash-facia off",
        "own panels", "Meter each feed", "own wiring", "Mount the", "Main fuse in", "own power-on",
        "alone, low: only sub plays", "Engine on", "own checks", "own close-up", "Panels back",
    ]  # fmt: skip
    places = [at(whole, words) for words in order]
    assert places == sorted(places)


def test_a_kit_without_an_output_is_a_fault(altered: Any) -> None:
    whole = plan_job(altered, tarn(kit="bare"))
    assert any("no line output" in fault for fault in whole.plan.faults)
    assert not any("must be split" in warning for warning in whole.plan.warnings)
    assert whole.plan.signal == ()
    assert not any("line lead" in item for item in whole.take)


def test_an_output_that_serves_twice_asks_for_a_y_lead(altered: Any) -> None:
    drives = [
        {"channel": "1", "speakers": ["door-fl", "sail-l"]},
        {"channel": "2", "speakers": ["door-fr", "sail-r"]},
        {"channel": "5", "speakers": ["sub"], "wiring": "series"},
    ]
    whole = plan_job(altered, tarn(kit="staged", drive=drives))
    bass = next(lead for lead in whole.plan.signal if lead.channel == "5")
    assert (bass.output, bass.shared) == ("2", True)
    assert "Y lead" in (bass.note or "")
    assert "1 Y lead for line outputs" in whole.take
    fading = route_signal(
        [LineOutput("1", "front-left", True)], [("1", "front-left"), ("5", "bass")]
    )
    assert "Y lead" in (fading[1].note or "") and "low-passed" in (fading[1].note or "")
    few = [warning for warning in whole.plan.warnings if "line output" in warning]
    assert few == ["the kit has 2 line outputs for 3 channels: some must be split"]


def test_fitting_a_speaker_is_work_of_its_own(connection: Any) -> None:
    whole = plan_job(connection, "tarn-1187")
    assert whole.plan.reach.minutes == 31
    fit = at(whole, "door-fl: fit the new speaker (4 Ω, 80 W)")
    card = at(whole, "door-card-front-left off (")
    assert card < fit < at(whole, "Main fuse in")
    assert "to fit door-fl" in whole.steps[card].do
    back = whole.steps[at(whole, "Panels back")].do
    assert "door-card-front-left" in back and "dash-facia" in back
    assert "speaker for door-fl (4 Ω, 80 W), unless it is in already" in whole.take
    words = fitting_words(whole.plan)
    assert words and words.startswith("to fit door-fl, door-fr: ") and "min more" in words
    assert fitting_words(plan_job(connection, "tarn-1192").plan) is None


def test_a_fitted_speaker_in_place_of_two_coils_is_questioned(connection: Any) -> None:
    asked = tarn(
        silent=["centre"],
        fitted=[{"speaker": "sub", "ohms": 2}],
        drive=[{"channel": "5", "speakers": ["sub"], "wiring": "series"}],
    )
    whole = plan_job(connection, asked)
    (said,) = [warning for warning in whole.plan.warnings if "fitted sub" in warning]
    assert "2 Ω is taken for each of coils a and b" in said
    assert "the job joins them in series" in said and "single coil" in said
    assert whole.plan.channels[0].nominal_ohms == 4
    mind = whole.steps[at(whole, "sub: fit the new speaker")].caution
    assert mind and "stays in its place" in mind
    plain = plan_job(connection, tarn(silent=["centre"]))
    assert not any("fitted" in warning for warning in plain.plan.warnings)


def test_wire_that_is_too_long_is_a_fault(connection: Any) -> None:
    whole = plan_job(connection, tarn(silent=["centre"]), None, Limits(wire_share=1e-5))
    wire = whole.plan.speaker_wire[0]
    assert wire.fault and any(wire.fault in fault for fault in whole.plan.faults)
    assert f"FAULT: {wire.fault}" in wire_words(wire)
    assert any("FAULT: no speaker wire sold" in step.do for step in whole.steps)


def test_a_run_at_the_amplifiers_own_place_is_listed(connection: Any) -> None:
    """The amplifier stands where the rear quarter speaker is: no metre, and a wire all the same."""
    asked = tarn(place="quarter-right", silent=["centre"], parts=[])
    whole = plan_job(connection, asked, Wishes(pinned={"quarter-r": "run"}))
    (wire,) = [w for w in whole.plan.speaker_wire if w.speakers == ("quarter-r",)]
    assert wire.metres == 0 and wire.awg is not None
    assert "at the amplifier's own place" in whole.steps[at(whole, "quarter-r: at the")].do


def test_who_does_not_play_is_said(connection: Any) -> None:
    said = not_driven(plan_job(connection, "tarn-1187").plan)
    assert said == ("centre: stays on its factory feed from radio, as the job asks",)
    marl = not_driven(plan_job(connection, "marl-1203").plan)
    assert "roof: goes silent, as the job asks" in marl
    four = plan_job(connection, tarn(amplifier="korrel-4-75"))
    named = {sentence.split(":")[0] for sentence in not_driven(four.plan)}
    assert {"door-rl", "quarter-r"} <= named
    sedge = not_driven(plan_job(connection, "sedge-1219").plan)
    assert any(s.startswith("shelf-l: its feed is unknown") for s in sedge)


def test_one_is_not_many(connection: Any) -> None:
    assert channels_in_words(["1"], "stay") == "channel 1 stays"
    assert channels_in_words(["1", "2"], "move") == "channels 1, 2 move"
    drives = [{"channel": "5", "speakers": ["sub"], "wiring": "series"}]
    whole = plan_job(connection, tarn(drive=drives))
    assert any(step.do.endswith("only sub plays") for step in whole.steps)
    said = [*whole.take, *whole.plan.warnings, *(step.do for step in whole.steps)]
    assert not any(
        re.search(r"\b1 (leads|channels|line outputs|taps|runs)\b", text) for text in said
    )


def test_a_channel_with_a_fault_is_not_switched_on(connection: Any) -> None:
    whole = plan_job(connection, "dapple-1210")
    at(whole, "Channel 1: not before its fault is put right")
    assert not any("Channel 1 alone" in step.do for step in whole.steps)
