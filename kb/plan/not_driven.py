"""Which speakers the new amplifier will not play, and what becomes of each.

Promise: nobody learns at the car that a speaker fell silent. An unknown feed is said to be unknown.
It stands alone because plan page and sheet must say the same.
"""

from __future__ import annotations

from kb.answers.runs import SpeakerAnswer
from kb.plan.plan import Plan


def not_driven(plan: Plan) -> tuple[str, ...]:
    """A sentence for each speaker that is on no channel, in the vehicle's order."""
    driven = {name for channel in plan.channels for name in (*channel.speakers, *channel.along)}
    return tuple(
        f"{speaker.speaker}: {_fate(plan, speaker)}"
        for speaker in plan.runs.speakers
        if speaker.speaker not in driven
    )


def _fate(plan: Plan, speaker: SpeakerAnswer) -> str:
    silent = speaker.speaker in plan.papers.job["job"].get("silent", ())
    wish = ", as the job asks" if silent else ""
    if speaker.effect == "meter first":
        return "its feed is unknown; meter whether it stays or goes silent"
    if speaker.speaker in plan.reach.unreachable:
        wish = ", for nothing documented reaches it"
    elif speaker.speaker in plan.undriven:
        return "goes silent: it has wire to the amplifier and no channel"
    if silent and _shares_a_playing_lead(plan, speaker):
        return "hangs on the wires of a speaker that plays; disconnect it at its own place"
    if _loses_its_feed(plan, speaker):
        return f"goes silent{wish}"
    unit = f" from {speaker.fed_by}" if speaker.fed_by else ""
    return f"stays on its factory feed{unit}{wish}"


def _shares_a_playing_lead(plan: Plan, speaker: SpeakerAnswer) -> bool:
    pulled = {way.wire.id for way in plan.reach.ways}
    return any(f"lead {feed.part}.{feed.lead}" in pulled for feed in speaker.feeds)


def _loses_its_feed(plan: Plan, speaker: SpeakerAnswer) -> bool:
    if speaker.fed_by_kind in plan.papers.kit["kit"].get("takes_out", ()):
        return True
    parts = {part["id"]: part for part in plan.papers.kit.get("part", ())}
    return any(parts[feed.part].get("intercepts") for feed in speaker.feeds if feed.part in parts)
