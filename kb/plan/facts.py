"""What is known of a job, as facts that conditions of kits and vehicles are judged by.

Conditions are written in the query language's own syntax (`units = processor and channels >= 5`).
It stands alone because settings and steps of every document are judged by the same words.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import get_args

from grammar.errors import QueryError
from grammar.parse import parse_condition
from kb.plan.fates import PLAYING, Fate
from kb.plan.plan import Plan
from kb.query.facts import Fact, evaluate


def facts_of(plan: Plan) -> dict[str, Fact]:
    """The facts of a job; None is unknown. Lists equal each of their words."""
    speakers = plan.runs.speakers
    loads = [channel.lowest_ohms for channel in plan.channels]
    known = [load for load in loads if load is not None]
    return {
        "units": [str(row["kind"]) for row in plan.vehicle.rows("unit")],
        "takes_out": [str(kind) for kind in plan.papers.kit["kit"].get("takes_out", ())],
        "parts": list(plan.runs.path.chosen),
        "speakers": len(speakers),
        "carried": sum(s.outcome in ("carried", "reversed") for s in speakers),
        "reversed": sum(s.outcome == "reversed" for s in speakers),
        "taps": plan.reach.taps,
        "runs": plan.reach.runs,
        "channels": len(plan.channels),
        "zones": [channel.zone for channel in plan.channels if channel.zone],
        "bass": any(channel.zone == "bass" for channel in plan.channels),
        "centre": any(channel.zone == "centre" for channel in plan.channels),
        "lowest_ohms": min(known) if known and len(known) == len(loads) else None,
        "output_volts": plan.input.output_volts,
        "amplifier_class": str(plan.papers.amplifier["amplifier"]["class"]),
        "senses_load": bool(plan.loads),
        "duties_lost": _duties(plan, ("lost",)),
        "duties_moved": _duties(plan, PLAYING),
        "duties": _duties(plan, get_args(Fate)),
        "outputs": plan.papers.kit["kit"].get("line_outputs"),
        "vehicle": plan.runs.vehicle.id,
        "kit": plan.runs.kit.id,
    }


def _duties(plan: Plan, fates: Collection[str]) -> list[str | None]:
    """Duties of the speakers with one of these fates; None among them where nobody wrote any."""
    return [
        duty
        for speaker in plan.runs.speakers
        if plan.fates[speaker.speaker] in fates
        for duty in (speaker.duties if speaker.duties is not None else (None,))
    ]


@dataclass(frozen=True)
class Judged:
    """Whether a condition holds: True, False, or None where the facts or the words cannot say."""

    holds: bool | None
    reason: str | None = None


def judge(condition: str | None, facts: Mapping[str, Fact]) -> Judged:
    """A condition over the facts; what cannot be read is for the person to decide, never an error
    and never a silent no."""
    if condition is None:
        return Judged(True)
    try:
        return Judged(evaluate(parse_condition(condition), facts))
    except QueryError as error:
        return Judged(None, error.sentence)
