"""What the channels of a job drive, on the shipped book: loads, watts, signal, by hand."""

from typing import Any

import pytest

from kb.answers.papers import plan_job
from tests.kb.plan.example import example_job
from tests.kb.plan.small_car import ALL, Planned, car, drive, job


def test_channels_of_the_example(connection: Any) -> None:
    """Doors with tweeters behind 3500 Hz: 2 and 2.02 ohm; quarters of 6 beside 4: 2.4; the dual
    2 ohm subwoofer in series 4 ohm, for in parallel it would be 1."""
    whole = plan_job(connection, example_job())
    loads = {c.channel: (c.nominal_ohms, c.watts) for c in whole.plan.channels}
    assert loads == {"1": (2, 90), "2": (2, 90), "3": (2.4, 60), "4": (2.4, 60), "5": (4, 150)}
    assert whole.plan.channels[0].lowest_ohms == pytest.approx(2.0227, abs=1e-4)
    assert whole.plan.channels[0].gain_volts == pytest.approx((90 * 2) ** 0.5)
    assert whole.plan.suggestion is not None
    assert whole.plan.suggestion.without == ("centre",)
    assert whole.plan.input.output_volts == 4
    assert whole.plan.supply.amps == pytest.approx(450 / (0.8 * 14.4))


def test_a_bad_allocation_is_told(connection: Any) -> None:
    job = example_job(
        drive=[
            drive("1", "door-fl", "door-rr"),
            drive("2", "sail-l", "sub"),
            drive("3", "door-fr", "sail-r", wiring="series"),
            drive("4", "quarter-l", "quarter-r", "door-rl", "centre"),
        ],
    )
    whole = plan_job(connection, job)
    said = "\n".join([*whole.plan.warnings, *whole.plan.faults])
    assert "channel 1 mixes left and right" in said
    assert "channel 2 drives the subwoofer sub with full-range" in said
    assert "door-fl and sail-l hang on one pair of wires and are on channels 1 and 2" in said
    assert "door-fr and sail-r are joined in parallel in the car" in said
    assert "channel 4: load too low" in said
    assert "channel 2: load too low" in said
    lone = plan_job(connection, example_job(drive=[drive("1", "door-fl", "sail-l")]))
    assert any("door-fr is on no channel" in warning for warning in lone.plan.warnings)


def test_what_the_job_leaves_unsaid_or_the_kit_lacks_is_told(connection: Any) -> None:
    """Dual coils without wiring count as parallel, the lower load; outputs too few are told."""
    job = example_job(drive=[{"channel": "5", "speakers": ["sub"]}])
    whole = plan_job(connection, job)
    assert whole.plan.channels[0].nominal_ohms == 1
    assert any("taken as parallel" in warning for warning in whole.plan.warnings)
    few = plan_job(connection, example_job(kit="oku-b4"))
    assert any("4 line outputs for 5 channels" in warning for warning in few.plan.warnings)
    swapped = plan_job(connection, "sedge-1219")
    assert any("tw-r: lead D of main" in warning for warning in swapped.plan.warnings)


def test_where_the_module_sits_is_not_guessed(connection: Any) -> None:
    """The Dapple's parts plug in at both hinges and at the amplifier: no length of a line lead."""
    whole = plan_job(connection, "dapple-1210")
    assert whole.plan.signal_metres is None
    assert any("line leads, length to be measured" in item for item in whole.take)
    assert not any("opposite sides" in caution for caution in whole.cautions)


def test_a_silent_speaker_on_a_playing_ones_wires(connection: Any) -> None:
    whole = plan_job(connection, example_job(silent=["sail-l", "centre"]))
    assert any("sail-l shall be silent but hangs" in warning for warning in whole.plan.warnings)


def test_unknown_ohms_stay_unknown(connection: Any) -> None:
    """What is fitted replaces the factory speaker whole: its ohms are not inherited."""
    job = example_job(fitted=[{"speaker": "door-rl", "watts": 80}], silent=["centre"])
    whole = plan_job(connection, job)
    channel = next(c for c in whole.plan.channels if "door-rl" in c.speakers)
    assert (channel.nominal_ohms, channel.watts, channel.gain_volts) == (None, None, None)
    assert any("ohms of door-rl are unknown" in warning for warning in whole.plan.warnings)
    assert any("greatest rating" in warning for warning in whole.plan.warnings)
    steps = [step.do for step in whole.steps if step.phase == "Gains"]
    assert any("load unknown" in step for step in steps)


def test_fitted_watts_limit_a_channel(connection: Any) -> None:
    """door-fl takes half of channel 1's watts: with 20 W of its own, 40 W is the most."""
    fitted = [{"speaker": "door-fl", "ohms": 4, "watts": 20}]
    whole = plan_job(connection, example_job(fitted=fitted, silent=["centre"]))
    channel = whole.plan.channels[0]
    assert (channel.watts, channel.limited_by) == (40, "speakers")
    assert channel.gain_volts == pytest.approx((40 * 2) ** 0.5)
    assert whole.plan.supply.amps == pytest.approx(450 / 11.52)  # the amplifier's own full power


def test_loads_for_an_output_that_senses_them(connection: Any) -> None:
    """The Dapple's radio senses its load; its tweeters leave it at the hinges, where the kit's part
    opens their wires: 4 ohm -> 4.7 ohm, 22 W -> 25."""
    whole = plan_job(connection, "dapple-1210")
    assert [(load.connector, load.plus, load.speakers) for load in whole.plan.loads] == [
        ("hinge-fl", "2", ("tw-l",)),
        ("hinge-fr", "2", ("tw-r",)),
    ]
    resistor = whole.plan.loads[0].resistor
    assert resistor is not None
    assert (resistor.ohms, resistor.rating) == (4.7, 25)
    assert any("2 × 4.7 Ω 25 W" in item for item in whole.take)


def test_a_load_below_the_channels_limit_is_a_fault_and_not_a_clamp(connection: Any) -> None:
    whole = plan_job(connection, "dapple-1210")
    assert whole.plan.channels[0].fault == "load too low"
    assert whole.plan.channels[0].nominal_ohms == pytest.approx(4 / 3)
    assert any("no gain before its fault" in step.do for step in whole.steps)
    assert any("do not connect" in (step.caution or "") for step in whole.steps)


def test_signal_keeps_bass_off_the_fader(connection: Any) -> None:
    whole = plan_job(connection, "marl-1203")
    outputs = {lead.channel: (lead.output, lead.fades) for lead in whole.plan.signal}
    assert outputs["5"] == ("6", False)
    assert outputs["1"] == ("1", True)
    unknown = plan_job(connection, "tarn-1187")
    assert {lead.output for lead in unknown.plan.signal} == {None}


def test_a_channel_that_no_wire_comes_to_has_no_empty_step(planned: Planned) -> None:
    """Half of rear-l is documented: what becomes of it is unknown, and its channel stays free."""
    vehicle = car()
    vehicle["connector"] = [
        {**row, "pins": [pin for pin in row["pins"] if pin["carries"] != "rear-l-"]}
        for row in vehicle["connector"]
    ]
    whole = planned(job(*ALL), vehicle)
    said = [step.do for step in whole.steps]
    assert "Channel 2: nothing to connect: no wire comes from rear-l" in said
    assert "Channel 2: nothing is on it yet" in said
    assert "Channel 2: no gain, for nothing is on it yet" in said
    assert not any(text.startswith("Channel 2 alone") or text.endswith(": ") for text in said)
