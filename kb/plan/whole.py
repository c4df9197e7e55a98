"""The plan with all that is written from it: settings, order of work, cautions, what to take.

One value for every screen and sheet. It stands alone because the figures (`plan`) must be complete
before a word is written about them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from kb.answers.face import Face
from kb.answers.papers import Papers
from kb.answers.runs import Runs
from kb.plan.alternatives import Wishes
from kb.plan.cautions import cautions_of
from kb.plan.facts import facts_of
from kb.plan.order import Step, panels_in_order, steps_of
from kb.plan.plan import Limits, Plan, make_plan
from kb.plan.settings import SettingPlan, settings_of
from kb.plan.take import take_of
from kb.plan.uses import ways_in_use


@dataclass(frozen=True)
class WholePlan:
    """A plan and its words. `panels` are in the order in which they come off; `faces` are those of
    the connectors with ways in use."""

    plan: Plan
    panels: tuple[str, ...]
    settings: tuple[SettingPlan, ...]
    steps: tuple[Step, ...]
    cautions: tuple[str, ...]
    take: tuple[str, ...]
    faces: Mapping[str, Face]


def whole_plan(
    papers: Papers,
    runs_with: Callable[[tuple[str, ...]], Runs],
    face_of: Callable[[str], Face],
    wishes: Wishes | None = None,
    limits: Limits | None = None,
) -> WholePlan:
    """Everything about one job; `face_of` reads a connector's face. Raises Refused as `make_plan`
    does."""
    plan = make_plan(papers, runs_with, wishes, limits)
    facts = facts_of(plan)
    settings = settings_of(plan, facts)
    return WholePlan(
        plan=plan,
        panels=tuple(panels_in_order(plan)),
        settings=settings,
        steps=steps_of(plan, settings, facts),
        cautions=cautions_of(plan),
        take=take_of(plan),
        faces={connector: face_of(connector) for connector in ways_in_use(plan)},
    )
