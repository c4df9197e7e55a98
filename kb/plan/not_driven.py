"""Which speakers the new amplifier will not play, and what becomes of each.

Promise: nobody learns at the car that a speaker fell silent. An unknown feed is said to be unknown.
It stands alone because plan page and sheet must say the same.
"""

from __future__ import annotations

from kb.answers.runs import SpeakerAnswer
from kb.plan.plan import Plan


def not_driven(plan: Plan) -> tuple[str, ...]:
    """A sentence for each speaker that no channel plays, in the vehicle's order."""
    return tuple(
        f"{speaker.speaker}: {_words(plan, speaker)}"
        for speaker in plan.runs.speakers
        if plan.fates[speaker.speaker] != "driven"
    )


def _words(plan: Plan, speaker: SpeakerAnswer) -> str:
    fate = plan.fates[speaker.speaker]
    silent = speaker.speaker in plan.papers.job["job"].get("silent", ())
    wish = ", as the job asks" if silent else ""
    if fate == "unknown":
        return "its feed is unknown; meter whether it stays or goes silent"
    if fate == "along":
        return "plays along on the wires of another; for silence disconnect it at its own place"
    if fate == "factory":
        unit = f" from {speaker.fed_by}" if speaker.fed_by else ""
        return f"stays on its factory feed{unit}{wish}"
    if speaker.speaker in plan.reach.unreachable:
        wish = ", for nothing documented reaches it"
    elif speaker.speaker in plan.undriven:
        wish = ": it is on no channel"
    return f"goes silent{wish}"
