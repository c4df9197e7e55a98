"""The end of the work: power on, listening, gains, checks, closing up.

Promise: nothing with a fault is switched on, and what was taken apart for setting is put back. It
stands apart from the order of work because here the car has power again.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kb.answers.duties import DUTY_WORDS
from kb.plan.fitting import fitting_panels
from kb.plan.plan import Plan
from kb.plan.uses import sources_of_channel
from kb.plan.why import number

Written = Iterator[tuple[str, str | None]]
"""Things to do, each with what to mind."""


def power_on(plan: Plan) -> Written:
    """The fuse, then the battery, then what the kit asks for."""
    yield "All gains down; all joints insulated; nothing loose between metal and metal", None
    rating = "" if plan.supply.fuse_amps is None else f", {number(plan.supply.fuse_amps)} A"
    yield f"Main fuse in{rating}; then battery negative on, last of all", None
    if any(unit["kind"] == "radio" for unit in plan.vehicle.rows("unit")):
        yield "Radio code and settings back in", None
    wait = plan.papers.kit["kit"].get("wait_seconds")
    if wait:
        yield f"Wait {number(wait, 0)} s: the kit asks for it", None


def listen(plan: Plan) -> Written:
    """Each channel alone and low, polarity, balance and fade; none that has a fault."""
    for channel in plan.channels:
        if channel.fault:
            yield f"Channel {channel.channel}: not before its fault is put right", None
            continue
        if not sources_of_channel(plan, channel.speakers):
            yield f"Channel {channel.channel}: nothing is on it yet", None
            continue
        verb = "plays" if len(channel.speakers) == 1 else "play"
        yield (
            f"Channel {channel.channel} alone, low: only {', '.join(channel.speakers)} {verb}",
            None,
        )
    if len(plan.channels) > 1:
        yield "Polarity of each pair: a polarity pop, or mono bass that stays when both play", None
    fades = [lead.channel for lead in plan.signal if lead.fades]
    steady = [lead.channel for lead in plan.signal if lead.fades is False]
    if fades:
        stay = f"; {channels_in_words(steady, 'stay')}" if steady else ""
        yield f"Balance and fade: {channels_in_words(fades, 'move')}{stay}", None


def channels_in_words(channels: Sequence[str], verb: str) -> str:
    """`channel 1 moves`, `channels 1, 2 move`."""
    one = len(channels) == 1
    return f"channel{'' if one else 's'} {', '.join(channels)} {verb}{'s' if one else ''}"


def gains(plan: Plan) -> Written:
    """Gain by gain with the speakers off, then the speakers back on."""
    volts = plan.input.output_volts
    if volts is not None:
        yield f"Kit's output setting: {number(volts)} V", None
    if any(channel.gain_volts and not channel.fault for channel in plan.channels):
        yield (
            "System off, every speaker pair off the amplifier; system on, a sine, AC volts at each "
            "output:",
            None,
        )
    for channel in plan.channels:
        if channel.fault:
            yield f"Channel {channel.channel}: no gain before its fault is put right", None
        elif not sources_of_channel(plan, channel.speakers):
            yield f"Channel {channel.channel}: no gain, for nothing is on it yet", None
        elif channel.gain_volts is None:
            yield f"Channel {channel.channel}: load unknown, so no target; meter its ohms", None
        else:
            yield f"Channel {channel.channel}: {number(channel.gain_volts, 1)} V", None
    if any(channel.gain_volts and not channel.fault for channel in plan.channels):
        yield (
            "System off, speaker pairs back on, poles as they were; system on, every channel once "
            "more from low",
            None,
        )


def checks(plan: Plan) -> Written:
    """Duties that must not be lost, and noise."""
    for speaker in plan.runs.speakers:
        for duty in speaker.duties or ():
            yield f"{speaker.speaker}: hear {DUTY_WORDS.get(duty, duty)}", "must not be lost"
    yield "Engine on, lights and blower on: no whine, no hum", None


def close_up(plan: Plan, panels: Sequence[str]) -> Written:
    """What stays, the panels back in reverse of `panels`, the last look."""
    for keep in plan.keep:
        yield f"{keep.speaker} stays in its place: {keep.why}", None
    back = [*reversed(fitting_panels(plan)), *reversed(panels)]
    if back:
        yield f"Panels back: {', '.join(back)}", None
    yield (
        "Every speaker and duty once more, with the panels on; the airbag lamp goes out after the "
        "start; write up the readings",
        None,
    )
