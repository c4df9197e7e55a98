"""What stands against a job as it is planned, the worst first, and nothing left out.

Promise: a plan is fine only where nothing is wrong, nothing is unknown and nothing is warned of; a
speaker that would stay silent unasked is never behind a figure that looks well. It stands alone
because a screen that changes with every key needs the whole judgement in one line.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from kb.plan.objections import work_for_nothing
from kb.plan.plan import Plan

Weight = Literal["fault", "flag", "unknown"]


@dataclass(frozen=True)
class Objection:
    """One thing that stands against the plan: in a few words, and what to know of each."""

    weight: Weight
    words: str
    details: tuple[str, ...]


def objections_to(plan: Plan) -> tuple[Objection, ...]:
    """All of them, the worst first; empty where nothing stands against the plan."""
    return tuple(_objections(plan))


def _objections(plan: Plan) -> Iterator[Objection]:
    if plan.faults:
        yield Objection("fault", _many(len(plan.faults), "fault"), plan.faults)
    if plan.undriven:
        words = f"{_many(len(plan.undriven), 'speaker')} on no channel"
        yield Objection("flag", words, plan.undriven)
    if plan.out_of_reach:
        yield Objection("unknown", f"no way known to {', '.join(plan.out_of_reach)}", ())
    elif plan.reach.unreachable:
        yield Objection("unknown", f"no way known from {plan.wiring.task.start}", ())
    if plan.wiring.not_planned:
        words = f"{_many(len(plan.wiring.not_planned), 'speaker')} to meter first"
        yield Objection("unknown", words, plan.wiring.not_planned)
    unknown = [channel.channel for channel in plan.channels if channel.nominal_ohms is None]
    if unknown:
        words = f"{_many(len(unknown), 'load')} unknown"
        yield Objection("unknown", words, tuple(f"channel {name}" for name in unknown))
    yield from _lesser(plan)


def _lesser(plan: Plan) -> Iterator[Objection]:
    fates = {name: plan.fates[name] for name in plan.undriven}
    told = set(work_for_nothing(plan.runs, plan.wiring, plan.reach, fates, plan.keep_feed))
    warnings = tuple(warning for warning in plan.warnings if warning not in told)
    if warnings:
        yield Objection("flag", _many(len(warnings), "warning"), warnings)
    # Where a speaker has no way, or is to be metered, the flags of the ways say the same again.
    if plan.reach.flags and not (plan.reach.unreachable or plan.wiring.not_planned):
        yield Objection("unknown", _many(len(plan.reach.flags), "guess", "es"), plan.reach.flags)


def _many(count: int, word: str, ending: str = "s") -> str:
    return f"{count} {word}{'' if count == 1 else ending}"
