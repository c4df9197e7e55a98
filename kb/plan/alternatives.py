"""What the person may ask of the joint choice, and the plans to hold beside the one chosen.

Promise: each alternative is itself the best of its kind, found by the same exact method. It stands
alone because the choice is a person's: a plan that shows nothing to choose from decides for them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from kb.errors import Refused
from kb.nearest import nearest
from kb.plan.network import MINUTE_STEPS
from kb.plan.reach import FixWay, Reach, Task, avoiding, choose, preferring, without_parts
from kb.plan.why import number

_DIRECT = "all direct"


@dataclass(frozen=True)
class Wishes:
    """What the person pins: parts ruled out, a way preferred, single speakers' ways."""

    without: tuple[str, ...] = ()
    prefer: FixWay | None = None
    pinned: Mapping[str, FixWay] = field(default_factory=dict)


@dataclass(frozen=True)
class Alternative:
    """One plan with its name: the chosen one, or another to hold beside it."""

    name: str
    reach: Reach


def apply_wishes(task: Task, wishes: Wishes) -> Task:
    """The task as the person wants it. Raises Refused for a wish that nothing documented meets."""
    for part in wishes.without:
        if part not in task.part_panels:
            near = nearest(part, task.part_panels)
            raise Refused(
                f"The plan has no choice of part {part!r} to leave out"
                + (f"; the nearest is {near}." if near else ".")
            )
    task = without_parts(task, wishes.without)
    for speaker, way in wishes.pinned.items():
        if speaker not in task.speakers:
            near = nearest(speaker, task.speakers)
            raise Refused(
                f"{speaker!r} needs no fix in this plan" + (f"; {near} does." if near else ".")
            )
        if not any(fix.speaker == speaker and fix.way == way for fix in task.usable):
            raise Refused(f"No documented {way} reaches {speaker}.")
        task = replace(
            task,
            fixes=tuple(fix for fix in task.fixes if fix.speaker != speaker or fix.way == way),
        )
    return preferring(task, wishes.prefer) if wishes.prefer else task


def alternatives(task: Task, chosen: Reach) -> tuple[Alternative, ...]:
    """Plans that differ from `chosen` in kind, cheapest first: the best of all where a wish ruled
    it out, without the chosen parts, without a tap, all direct. `task` is the one without wishes;
    empty where there is nothing else to choose."""
    candidates: list[tuple[str, Task | None]] = [("least of all", task)]
    if chosen.parts:
        candidates.append((f"without {' and '.join(chosen.parts)}", _without(task, chosen.parts)))
    if chosen.taps:
        candidates.append(("no tap", avoiding(task, "tap")))
    if chosen.runs:
        candidates.append(("no new run", avoiding(task, "run")))
    candidates.append((_DIRECT, preferring(task, "run")))
    found: dict[object, Alternative] = {}
    for name, changed in candidates:
        if changed is None:
            continue
        reach = choose(changed)
        sameness = frozenset(reach.fixes)
        if sameness != frozenset(chosen.fixes) and sameness not in found:
            if name == _DIRECT and any(fix.way != "run" for fix in reach.fixes):
                name = "as direct as can be"
            found[sameness] = Alternative(name, reach)
    return tuple(sorted(found.values(), key=lambda other: other.reach.key))


def _without(task: Task, parts: Sequence[str]) -> Task | None:
    left = without_parts(task, parts)
    served = {fix.speaker for fix in left.usable}
    return left if served.issuperset(fix.speaker for fix in task.usable) else None


def minutes_words(reach: Reach) -> str:
    """`31 min`, `23 min (1 panel guessed)`, `at least 7 min` where a way is undocumented, or that
    nothing is known."""
    guessed = len(reach.guessed)
    guess = f" ({guessed} panel{'' if guessed == 1 else 's'} guessed)" if guessed else ""
    if reach.minutes is not None:
        return f"{number(reach.minutes, 1)} min{guess}"
    if reach.known_minutes:
        return f"at least {number(reach.known_minutes, 1)} min{guess}"
    return "minutes unknown"


def minutes_figure(reach: Reach) -> str | None:
    """The same for a table's column: `31`, `23, 1 guessed`; None: unknown."""
    if reach.minutes is None:
        return None
    guess = f", {len(reach.guessed)} guessed" if reach.guessed else ""
    return f"{number(reach.minutes, 1)}{guess}"


def metres_words(reach: Reach) -> str:
    """`4.2 m`, `at least 1.4 m` where a way is undocumented, or that nothing is known."""
    if reach.metres is not None:
        return f"{number(reach.metres)} m"
    if reach.known_metres:
        return f"at least {number(reach.known_metres)} m"
    return "length unknown"


def how(reach: Reach) -> str:
    """`part radio-28, 1 tap`: by what means, in a few words."""
    said = [f"part {part}" for part in reach.parts]
    if reach.taps:
        said.append(f"{reach.taps} tap{'' if reach.taps == 1 else 's'}")
    if reach.runs:
        said.append(f"{reach.runs} run{'' if reach.runs == 1 else 's'}")
    return ", ".join(said) or "the leads of the kit alone"


def panel_minutes(task: Task, panel: str) -> float | None:
    """A panel's own minutes; None where nobody wrote them down."""
    if panel in task.costs.guessed:
        return None
    return task.costs.weights[panel] / MINUTE_STEPS
