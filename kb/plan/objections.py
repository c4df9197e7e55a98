"""What is wrong with how a job drives its speakers, each in a sentence that says what it would do.

It stands alone because these are judgements on the job; the figures themselves are made elsewhere.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from kb.answers.papers import Papers
from kb.answers.runs import Runs, SpeakerAnswer
from kb.errors import Refused
from kb.nearest import nearest
from kb.plan.channels import ChannelPlan, Drive, Played
from kb.plan.fates import PLAYING, Fate
from kb.plan.pairs import Pair
from kb.plan.reach import Fix, Reach
from kb.plan.wiring import Wiring


def check_names(papers: Papers) -> None:
    """Raises Refused for a speaker or a channel of the job that is not there."""
    speakers = [row["id"] for row in papers.vehicle.get("speaker", ())]
    channels = [str(row["id"]) for row in papers.amplifier.get("channel", ())]
    job = papers.job
    named = [(name, "silent") for name in job["job"].get("silent", ())]
    for drive in job.get("drive", ()):
        named += [(name, f"drive of channel {drive['channel']}") for name in drive["speakers"]]
        if str(drive["channel"]) not in channels:
            raise Refused(
                f"Job {job['job']['id']} drives channel {drive['channel']!r}; the amplifier has "
                f"{', '.join(channels) or 'none'}."
            )
    named += [(row["speaker"], "fitted") for row in job.get("fitted", ())]
    for name, where in named:
        if name not in speakers:
            near = nearest(name, speakers)
            raise Refused(
                f"Job {job['job']['id']} names speaker {name!r} in {where}, which the vehicle has "
                f"not{f'; the nearest is {near}' if near else ''}."
            )


def bad_allocation(
    papers: Papers,
    drives: Sequence[Drive],
    channels: Sequence[ChannelPlan],
    together: Sequence[frozenset[str]],
    reached: Sequence[str],
) -> list[str]:
    """What the allocation would do that nobody wants, each in a sentence."""
    found = [warning for channel in channels for warning in channel.warnings]
    driven = {name for drive in drives for name in drive.speakers}
    by_speaker = {name: drive for drive in drives for name in drive.speakers}
    silent = set(papers.job["job"].get("silent", ()))
    for names in together:
        on = {by_speaker[name].channel for name in names if name in by_speaker}
        listed = " and ".join(sorted(names))
        if len(on) > 1:
            found.append(
                f"{listed} hang on one pair of wires and are on channels "
                f"{' and '.join(sorted(on))}: two outputs on one wire destroy each other"
            )
        if any(by_speaker[n].wiring == "series" for n in names if n in by_speaker):
            found.append(f"{listed} are joined in parallel in the car and cannot be in series")
    found += [
        f"channel {by_speaker[name].channel} drives {name}, which this plan brings no wire from"
        for name in sorted(driven)
        if name not in reached and name not in silent
    ]
    found += [
        f"the watts of channel {channel.channel} are unknown: counted at its greatest rating for "
        "the supply"
        for channel in channels
        if channel.rated_watts is None
    ]
    return found


def untold_coils(
    papers: Papers, drives: Sequence[Drive], played: Mapping[str, Played]
) -> list[str]:
    """Dual coils whose joining the job does not say: parallel, the lower load, is taken."""
    told = {str(row["channel"]) for row in papers.job.get("drive", ()) if "wiring" in row}
    given = bool(papers.job.get("drive"))
    return [
        f"channel {drive.channel}: the job does not say how the coils of {name} are joined; taken "
        "as parallel, the lower load"
        for drive in drives
        for name in drive.speakers
        if given and drive.channel not in told and len(played[name].coils) > 1
    ]


def too_few_outputs(papers: Papers, channels: Sequence[ChannelPlan]) -> list[str]:
    """Fewer line outputs than driven channels; none at all is a fault and not said here."""
    outputs = papers.kit["kit"].get("line_outputs")
    if not outputs or outputs >= len(channels):
        return []
    return [
        f"the kit has {outputs} line output{'' if outputs == 1 else 's'} for {len(channels)} "
        f"channels: {'it' if outputs == 1 else 'some'} must be split"
    ]


def no_output(papers: Papers, channels: Sequence[ChannelPlan]) -> list[str]:
    """A kit without a line output feeds no amplifier."""
    if papers.kit["kit"].get("line_outputs") != 0 or not channels:
        return []
    return [
        "the kit has no line output, so nothing feeds the amplifier: this job wants another kit"
    ]


def fitted_coils(
    papers: Papers, drives: Sequence[Drive], played: Mapping[str, Played]
) -> list[str]:
    """Speakers fitted in place of dual coils: how their ohms are taken, and that the new ones may
    have no second coil to join."""
    given = papers.job.get("drive", ())
    found = []
    for drive in drives:
        for name in drive.speakers:
            speaker = played[name]
            if not speaker.fitted or len(speaker.coils) < 2:
                continue
            ohms = "unknown ohms are" if speaker.ohms is None else f"{speaker.ohms:g} Ω is"
            coils = " and ".join(str(coil) for coil in speaker.coils)
            joined = f"; the job joins them in {drive.wiring}" if given else ""
            found.append(
                f"channel {drive.channel}: the fitted {name}'s {ohms} taken for each of coils "
                f"{coils}, as the factory one has them{joined}; if the new one has a single coil, "
                "that load is wrong: drive it from one pair and cut the other back"
            )
    return found


def swapped_poles(papers: Papers, runs: Runs) -> list[str]:
    """Playing speakers whose lead has plus and minus the wrong way round."""
    silent = papers.job["job"].get("silent", ())
    return [
        f"{s.speaker}: lead {s.lead} of {s.part} has plus and minus swapped; left so, it plays "
        "against its neighbours and the bass goes"
        for s in runs.speakers
        if s.outcome == "reversed" and s.speaker not in silent
    ]


def work_for_nothing(
    runs: Runs,
    wiring: Wiring,
    reach: Reach,
    undriven: Mapping[str, Fate],
    keep_feed: Collection[str],
) -> list[str]:
    """Speakers that are brought to the amplifier and that no channel drives, with their fates;
    those of `keep_feed` would play on from their factory feed if they were to be silent."""
    ways = {fix.speaker: fix for fix in reach.fixes}
    return [
        f"{speaker.speaker} is on no channel and would stay "
        f"{'silent' if undriven[speaker.speaker] == 'lost' else 'on its factory feed'}: "
        f"{_work(wiring, ways.get(speaker.speaker))} for nothing; "
        f"{way_out(speaker, keeps_feed=speaker.speaker in keep_feed)}"
        for speaker in runs.speakers
        if speaker.speaker in undriven
    ]


def way_out(speaker: SpeakerAnswer, *, keeps_feed: bool) -> str:
    """What to do of a speaker that nothing would play. To say that it shall be silent is no way out
    where a chime or a call would be lost by it."""
    silent = "give it a channel, or say that it shall be silent"
    if keeps_feed:
        return f"{silent}, which keeps its factory feed"
    if speaker.duties:
        return "give it a channel"
    if speaker.duties is None:
        return f"{silent} once you have heard that it sounds no chime and no call"
    return silent


def _work(wiring: Wiring, fix: Fix | None) -> str:
    if fix is None:
        return "its lead is there"
    known = wiring.known[fix]
    if fix.way == "part":
        return f"part {known.part} is there"
    where = " and ".join(known.connectors) if fix.way == "tap" else known.to
    return f"the {fix.way} {'at' if fix.way == 'tap' else 'to'} {where} is work"


def cut_with_another(
    papers: Papers, wiring: Wiring, pairs: Sequence[Pair], fates: Mapping[str, Fate]
) -> list[str]:
    """Speakers that a cut made for another takes along, or that play though they shall not."""
    silent = set(papers.job["job"].get("silent", ()))
    found = []
    for pair in pairs:
        loud = [name for name in pair.names if fates[name] in PLAYING]
        quiet = [name for name in pair.names if name in silent]
        if quiet and loud:
            found.append(
                f"{' and '.join(quiet)} shall be silent but hangs on the wires of "
                f"{' and '.join(loud)}: disconnect it at its own place"
            )
        asked = dict.fromkeys(name for name, _ in wiring.on_wire.get(pair.wire, ()))
        found += [
            f"{name} shares one wire with {' and '.join(asked)}: the tap there takes it off the "
            "factory output too, and it goes silent"
            for name in pair.half
            if pair.kind == "tap" and fates[name] not in PLAYING
        ]
    return list(dict.fromkeys(found))
