"""Switches and menu settings that kit, amplifier and vehicle ask for in this job.

It stands alone because a setting is data of a document, on or off by a condition of its own.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from kb.plan.facts import judge
from kb.plan.plan import Plan
from kb.query.facts import Fact


@dataclass(frozen=True)
class SettingPlan:
    """One setting; `applies` None where its condition cannot be decided: the person reads it."""

    of: str
    id: str
    name: str | None
    position: str
    when: str | None
    applies: bool | None


def settings_of(plan: Plan, facts: Mapping[str, Fact]) -> tuple[SettingPlan, ...]:
    """The settings that hold or may hold; those whose condition is not met are left out."""
    papers = plan.papers
    found = []
    for of, content in (
        (plan.runs.kit.id, papers.kit),
        (papers.amplifier_entry.id, papers.amplifier),
        (plan.runs.vehicle.id, papers.vehicle),
    ):
        for row in content.get("setting", ()):
            judged = judge(row.get("when"), facts)
            if judged.holds is not False:
                found.append(
                    SettingPlan(
                        of=of,
                        id=str(row["id"]),
                        name=row.get("name"),
                        position=row["position"],
                        when=row.get("when"),
                        applies=judged.holds,
                    )
                )
    return tuple(found)
