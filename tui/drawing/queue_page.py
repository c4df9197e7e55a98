"""What waits for a lead, for a person: one block for each revision, the most pressing first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from kb.review.history import PAST_TENSE
from kb.review.queue import SecondThought, Waiting
from tui.clean import clean
from tui.drawing.review_words import by_whom, moment, shop_words
from tui.ink import Ink
from tui.tables import wrap

INDENT = " " * 4


def queue_page(
    waiting: Sequence[Waiting],
    thoughts: Sequence[SecondThought],
    here: str,
    names: Mapping[str, str],
    width: int,
    ink: Ink,
    none_of: str = "",
) -> list[str]:
    """Lines no wider than `width` cells; `none_of`: why nothing that waits was asked for."""
    again = _thoughts(thoughts, here, names, width, ink)
    if not waiting:
        said = wrap(none_of or "Nothing waits for review.", width)
        return [*again, *([""] if again else []), *said]
    lines = [*again, *([""] if again else [])]
    lines += [ink("bold", f"{len(waiting)} waiting for a lead, the oldest and riskiest first")]
    for one in waiting:
        revision = one.revision
        author = by_whom(revision.author, revision.origin, here, names)
        waited = f", {one.weeks} week{'' if one.weeks == 1 else 's'}" if one.weeks else ""
        lines += ["", ink("bold", clean(f"{revision.kind} {revision.name}"))]
        lines += wrap(f"by {author}, {moment(revision.submitted)}{waited}", width, INDENT, INDENT)
        for risk in one.risks:
            first = INDENT + ("! " if risk.points > 1 else "- ")
            lines += wrap(risk.why, width, INDENT + "  ", first)
        if not one.risks:
            lines.append(INDENT + "✓ no reason found to look twice")
    return [*lines, "", "`loombook review ENTRY` shows what each would change."]


def _thoughts(
    thoughts: Sequence[SecondThought],
    here: str,
    names: Mapping[str, str],
    width: int,
    ink: Ink,
) -> list[str]:
    if not thoughts:
        return []
    lines = [ink("bold", "VERIFIED HERE, AND TAKEN BACK ELSEWHERE: look again")]
    for thought in thoughts:
        where = shop_words(thought.origin, here, names)
        said = f"{thought.revision.name}: {PAST_TENSE[thought.act]} by {thought.by} at {where}"
        said += f", {moment(thought.at)}"
        said += f": {thought.reason}" if thought.reason else ""
        lines += wrap(said, width, INDENT, "  ! ")
    return lines
