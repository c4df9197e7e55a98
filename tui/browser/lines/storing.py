"""What is said before an entry is stored: what it changes, and what others changed meanwhile.

It stands alone because the sheets say it when they are opened and again before they are submitted.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from textual.content import Content

from kb.review.changes import Change
from kb.review.merging import Conflict, Merged
from kb.review.newer import Newer, named
from tui.browser.text import row, shown
from tui.drawing.review_page import SIGNS, change_words, written_words

CHANGES_AT_MOST = 12
FINDINGS_AT_MOST = 3
ROLES = {"added": "fine", "changed": "caution", "gone": "flag"}


@dataclass(frozen=True)
class Storing:
    """What is about to be submitted. `merged`: with the newer changes; None where it cannot be."""

    title: str
    changes: tuple[Change, ...]
    is_new: bool
    is_same: bool = False  # as the revision that it was begun from, or that answers
    looks: tuple[str, ...] = ()  # findings that do not keep it from being stored
    newer: Newer | None = None
    undoes: tuple[Change, ...] = ()
    merged: Merged | None = None
    why_not_merged: str = ""


def newer_lines(storing: Storing) -> Iterator[Content]:
    """What answers now, in what it differs, and what bringing it in would do."""
    newer = storing.newer
    assert newer is not None
    began = f"You began from {newer.parted.name}. " if newer.parted else ""
    yield shown(f"{began}{_whose(newer)} answers now, and yours knows nothing of it.")
    yield shown("")
    yield shown("IT DIFFERS IN", "bold")
    yield from _changes(newer.differs)
    if storing.merged is None:
        yield shown("")
        yield shown(f"It cannot be brought in here: {storing.why_not_merged}.", "flag")
        return
    if storing.merged.conflicts:
        yield shown("")
        yield shown("BOTH CHANGED: yours stays, unless you take theirs", "bold")
        yield from map(_conflict, storing.merged.conflicts)
    if storing.merged.left_out:
        yield shown("")
        pins = ", ".join(storing.merged.left_out)
        yield shown(f"! your evidence on {pins} falls away: it is told otherwise now", "caution")
    if storing.undoes:
        yield shown("")
        words = f"On the old base it would take back {named(storing.undoes)}."
        yield shown(words, "caution")


def answers_to_newer(storing: Storing) -> tuple[str, dict[str, str]]:
    """What Enter does about it, and what other keys do: `t` takes theirs, `o` the old base."""
    stays = {"o": "stays on the old base"}
    if storing.merged is None:
        return stays["o"], {}
    if storing.merged.conflicts:
        return "brings it in", {"t": "brings it in, theirs where both", **stays}
    return "brings it in", stays


def submit_lines(storing: Storing) -> Iterator[Content]:
    """What is about to be submitted, what speaks against it first."""
    yield shown(storing.title, "bold")
    if storing.newer is not None:
        yield shown(f"! {_whose(storing.newer)} answers now; this was not made from it", "flag")
        if storing.undoes:
            yield shown("WOULD TAKE BACK", "bold")
            yield from _changes(storing.undoes)
        yield from _both_changed(storing)
    for sentence in storing.looks[:FINDINGS_AT_MOST]:
        yield shown(f"! {sentence}", "caution")
    if len(storing.looks) > FINDINGS_AT_MOST:
        yield shown(f"! and {len(storing.looks) - FINDINGS_AT_MOST} more to look at", "caution")
    yield shown("")
    if not storing.is_new:
        yield shown("IT CHANGES", "bold")
        yield from _changes(storing.changes)
        return
    kind = storing.title.split()[0]
    yield shown("ALL OF IT IS NEW", "bold")
    changes = sorted(storing.changes, key=lambda change: change.table != kind)
    for change in changes[:CHANGES_AT_MOST]:
        yield row(("+ ", ROLES["added"]), written_words(change))
    yield from _more(changes)


def _both_changed(storing: Storing) -> Iterator[Content]:
    """What both told otherwise than where they parted: it is neither taken back nor brought in."""
    if storing.merged is not None:
        if storing.merged.conflicts:
            yield shown("BOTH CHANGED: yours would stand", "bold")
            yield from map(_conflict, storing.merged.conflicts)
    elif storing.newer is not None and storing.newer.parted is not None:
        why = storing.why_not_merged
        yield shown(f"! what both changed cannot be told apart: {why}", "caution")


def job_lines(storing: Storing) -> Iterator[Content]:
    """What storing a job would do to somebody else's of the same name; nothing where nothing."""
    if storing.newer is None or not storing.changes:
        return
    since = "is in the book under this name" if storing.is_new else "answers since you began"
    yield shown(f"! {_whose(storing.newer)} {since}", "flag")
    yield shown("THIS WOULD CHANGE IN IT", "bold")
    yield from _changes(storing.changes)


def brought_in(merged: Merged, newer: Newer, *, theirs_wins: bool) -> str:
    """What to say once the newer changes are in."""
    kept = () if theirs_wins else tuple(conflict.where for conflict in merged.conflicts)
    brought = named(newer.differs, but=kept)
    said = f"Brought in from {newer.revision.name}: {brought or 'nothing'}."
    if merged.conflicts:
        whose = "theirs" if theirs_wins else "yours"
        places = ", ".join(conflict.where for conflict in merged.conflicts)
        said += f" Both had changed {places}: {whose} stands."
    if merged.left_out:
        said += f" Your evidence on {', '.join(merged.left_out)} fell away."
    return said


def _whose(newer: Newer) -> str:
    revision = newer.revision
    return f"{revision.name} by {revision.author} ({revision.state})"


def _changes(changes: Sequence[Change]) -> Iterator[Content]:
    for change in changes[:CHANGES_AT_MOST]:
        role = ROLES[change.what]
        yield row((f"{SIGNS[change.what]} ", role), change_words(change, how=False))
    yield from _more(changes)
    if not changes:
        yield shown("nothing that is compared", "faint")


def _more(changes: Sequence[Change]) -> Iterator[Content]:
    if len(changes) > CHANGES_AT_MOST:
        yield shown(f"and {len(changes) - CHANGES_AT_MOST} more", "faint")


def _conflict(conflict: Conflict) -> Content:
    ours, theirs = _value(conflict.ours), _value(conflict.theirs)
    return row((f"✗ {conflict.where}: ", "flag"), f"yours {ours}; theirs {theirs}")


def _value(value: object) -> str:
    """A value, or a pin's or lead's values, as a person writes them."""
    if value is None:
        return "not there"
    if isinstance(value, Mapping):
        facts: Mapping[str, Any] = value
        return " ".join(_value(fact) for key, fact in facts.items() if key not in ("at", "lead"))
    if isinstance(value, list):
        return " ".join(map(_value, value))
    return str(value)
