"""What fitting other speakers asks for: the panels over them, the work, what to mind.

Promise: the panels and minutes of the joint choice are those of the wires; what fitting adds is
told beside them, for a job does not say whether a fitted speaker is in already. It stands alone
because steps, take list and pages must name the same work.
"""

from __future__ import annotations

from dataclasses import dataclass

from kb.plan.plan import Plan
from kb.plan.why import number


@dataclass(frozen=True)
class Fitting:
    """One speaker to fit. `what` says what it is; `panels` come off for it alone; `mind` is what
    the new one must not undo."""

    speaker: str
    what: str
    panels: tuple[str, ...]
    mind: str | None


def fittings_of(plan: Plan) -> tuple[Fitting, ...]:
    """The job's fitted speakers in its own order; a panel that serves two stands at the first."""
    found = []
    off = set(plan.reach.panels)
    for row in plan.papers.job.get("fitted", ()):
        panels = sorted(plan.vehicle.speaker_panels(row["speaker"]) - off)
        off.update(panels)
        found.append(Fitting(row["speaker"], _what(row), tuple(panels), _mind(plan, row)))
    return tuple(found)


def _what(row: dict[str, object]) -> str:
    said = [
        f"{number(float(str(row[key])))} {unit}"
        for key, unit in (("ohms", "Ω"), ("watts", "W"))
        if row.get(key) is not None
    ]
    if row.get("blocks_below_hz"):
        said.append(f"blocks below {number(float(str(row['blocks_below_hz'])), 0)} Hz")
    if row.get("note"):
        said.append(str(row["note"]).strip())
    return ", ".join(said) or "ohms and watts unknown"


def _mind(plan: Plan, row: dict[str, object]) -> str | None:
    old = plan.vehicle.speakers[str(row["speaker"])]
    said = []
    if old.get("keep"):
        said.append(f"the factory one stays in its place: {old['keep']}; the new one must do that")
    if old.get("blocks_below_hz") and not row.get("blocks_below_hz"):
        said.append(
            f"the factory one sits behind a capacitor ({number(old['blocks_below_hz'], 0)} Hz): "
            "see whether the new one keeps it"
        )
    return "; ".join(said) or None


def fitting_panels(plan: Plan) -> tuple[str, ...]:
    """The panels that come off for fitting alone."""
    return tuple(panel for fitting in fittings_of(plan) for panel in fitting.panels)


def minutes_of(plan: Plan, panel: str) -> float | None:
    """A panel's minutes as documented; None where nobody wrote them down."""
    return next((p.minutes for p in plan.vehicle.panels if p.id == panel), None)


def fitting_words(plan: Plan) -> str | None:
    """What fitting costs beyond the wires; None where the job fits nothing."""
    fittings = fittings_of(plan)
    if not fittings:
        return None
    minutes = [minutes_of(plan, panel) for panel in fitting_panels(plan)]
    known = sum(value for value in minutes if value is not None)
    least = "at least " if None in minutes else ""
    cost = f"{least}{number(known, 1)} min more of panels" if minutes else "no further panel"
    names = ", ".join(fitting.speaker for fitting in fittings)
    return f"to fit {names}: {cost}, not counted above: they may be in already"
