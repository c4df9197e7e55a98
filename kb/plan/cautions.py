"""What can hurt someone on this job, each with its reason and, where there is one, its source.

Promise: a caution stands here only because something in this job calls for it. It defers to the
vehicle's service information, to local codes and to licensed practice.
"""

from __future__ import annotations

from itertools import pairwise

from kb.answers.duties import lost_duty, moved_duty, unwritten_duties
from kb.answers.factory_cuts import factory_cuts
from kb.plan.network import Walk
from kb.plan.plan import Plan
from kb.plan.why import COMMON_PRACTICE, number

LONGEST_SRS_WAIT = 600
"""Seconds: the longest wait found in makers' manuals, which differ from 10 s to 10 min."""


def cautions_of(plan: Plan) -> tuple[str, ...]:
    """The job's cautions, those that can hurt a person first."""
    return (
        *_electric(plan),
        *_outputs(plan),
        *_speakers_watts(plan),
        *_duties(plan),
        *_of_the_path(plan),
        *_body(plan),
        "The vehicle maker's service information, local codes and licensed practice come before "
        "this plan wherever they differ.",
    )


def srs_wait_words(plan: Plan) -> str:
    """How long to wait after the battery is off before working near airbags."""
    seconds = plan.papers.vehicle["vehicle"].get("srs_wait_seconds")
    if seconds is None:
        return (
            f"{LONGEST_SRS_WAIT // 60} min, the longest that makers' manuals ask for (this "
            "vehicle's own wait is not recorded: read its service information)"
        )
    if seconds >= 120:
        return f"{number(seconds / 60, 1)} min, as recorded for this vehicle"
    return f"{number(seconds, 0)} s, as recorded for this vehicle"


def _electric(plan: Plan) -> list[str]:
    fuse = plan.supply.fuse_amps
    rating = f"the {number(fuse)} A main fuse" if fuse else "the main fuse"
    return [
        "Battery negative off first and on last: a tool between plus and the body then has no "
        f"circuit to short ({COMMON_PRACTICE}).",
        "Airbag and belt wiring (SRS) is off limits: no meter and no joint on it. Yellow often "
        "marks it, but colour alone is not enough; wait "
        f"{srs_wait_words(plan)}.",
        "Orange cable outside its enclosure is high voltage: off limits (UN R100, 5.1.1.5.3; "
        "FMVSS 305). A thin orange 12 V wire is something else: read the table, not the colour.",
        f"Fit {rating} at the battery, within 18 in (46 cm) of it: the cable before the fuse is "
        f"protected by nothing (the distance is {COMMON_PRACTICE}; 33 CFR 183.455 asks for 7 in "
        "on boats).",
    ]


def _outputs(plan: Plan) -> list[str]:
    found = []
    if plan.pairs:
        found.append(
            "Never two outputs on one wire: cut the factory output off before the new one goes "
            "on, or both are destroyed."
        )
    if plan.loads:
        units = ", ".join(dict.fromkeys(load.unit for load in plan.loads))
        found.append(f"{units} senses its load: an open output mutes it or sets a fault.")
    found += [f"{wire.fault}" for wire in plan.speaker_wire if wire.fault]
    return found


def _speakers_watts(plan: Plan) -> list[str]:
    """Channels whose gain target nobody can call safe, for the speakers' own watts are unknown."""
    on = [channel for channel in plan.channels if channel.unrated and channel.gain_volts]
    if not on:
        return []
    channels = ", ".join(channel.channel for channel in on)
    several = len(on) > 1
    return [
        f"Channel{'s' if several else ''} {channels}: what the speakers stand is unknown "
        f"({', '.join(name for channel in on for name in channel.unrated)}). The gain target is "
        "the most that the amplifier gives, not what is safe for them: stay below it."
    ]


def _duties(plan: Plan) -> list[str]:
    """What becomes of each duty in this plan, its taps and runs included."""
    said = {"lost": lost_duty, "driven": moved_duty, "along": moved_duty}
    known = [
        said[fate](speaker)
        for speaker in plan.runs.speakers
        for fate in [plan.fates[speaker.speaker]]
        if speaker.duties and fate in said
    ]
    lost = [speaker for speaker in plan.runs.speakers if plan.fates[speaker.speaker] == "lost"]
    return known + [caution for _, caution in unwritten_duties(lost)]


def _of_the_path(plan: Plan) -> list[str]:
    """The cautions of `runs`, but for the duties, of which the plan knows more."""
    speakers = plan.runs.speakers
    silent = [speaker for speaker in speakers if speaker.effect == "goes silent"]
    known = {f(speaker) for speaker in speakers if speaker.duties for f in (lost_duty, moved_duty)}
    known |= {caution for _, caution in unwritten_duties(silent)}
    # A speaker that shall be silent keeps its output: nothing of it is to be cut.
    done = {cut.speaker for cut in plan.factory_cuts}
    out = plan.papers.kit["kit"].get("takes_out", ())
    known |= {c.said() for c in factory_cuts(plan.runs, out) if c.speaker not in done}
    return [caution for caution in plan.runs.cautions if caution not in known]


def _body(plan: Plan) -> list[str]:
    found = []
    if plan.supply.metres:
        found.append(
            "Where the supply cable passes the body: through a grommet, sealed again, away from "
            "edges, pedals, steering and heat; water and chafing come in there."
        )
    found += _side_by_side(plan)
    doors = sorted(
        {
            wire.to
            for wire in plan.speaker_wire
            if wire.to and wire.kind == "run" and wire.to.startswith("door")
        }
    )
    if doors:
        found.append(
            f"Put the door's seal back whole ({', '.join(doors)}): it keeps water out of the cabin."
        )
    return found


def _side_by_side(plan: Plan) -> list[str]:
    """Supply cable and line leads on the same stretches."""
    supply = next((way for way in plan.reach.ways if way.wire.kind == "supply"), None)
    if supply is None or supply.walk is None or plan.signal_walk is None:
        return []
    shared = _stretches(supply.walk) & _stretches(plan.signal_walk)
    if not shared:
        return []
    where = ", ".join(sorted(" to ".join(sorted(pair)) for pair in shared))
    return [
        f"Supply cable and line leads share {where}: lay them on opposite sides, or the engine is "
        f"heard ({COMMON_PRACTICE})."
    ]


def _stretches(walk: Walk) -> set[frozenset[str]]:
    return {frozenset(pair) for pair in pairwise(walk.places)}
