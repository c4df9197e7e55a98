"""What is wrong with how a job drives its speakers, each in a sentence that says what it would do.

It stands alone because these are judgements on the job; the figures themselves are made elsewhere.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from kb.answers.papers import Papers
from kb.answers.runs import Runs
from kb.plan.channels import ChannelPlan, Drive, Played


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
    found += _shared_with_silent(papers, silent)
    found += [
        f"{name} is on no channel and would stay silent" for name in reached if name not in driven
    ]
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


def _shared_with_silent(papers: Papers, silent: set[str]) -> list[str]:
    """A speaker that shall be silent and hangs on a playing one's wires cannot be."""
    pairs: dict[tuple[object, ...], list[str]] = {}
    for speaker in papers.runs.speakers:
        for feed in speaker.feeds:
            if feed.plus is not None and feed.minus is not None:
                key = (feed.connector, feed.plus, feed.minus)
                pairs.setdefault(key, []).append(speaker.speaker)
    found = []
    for names in pairs.values():
        quiet, loud = sorted(set(names) & silent), sorted(set(names) - silent)
        if quiet and loud:
            found.append(
                f"{' and '.join(quiet)} shall be silent but hangs on the wires of "
                f"{' and '.join(loud)}: disconnect it at its own place"
            )
    return list(dict.fromkeys(found))
