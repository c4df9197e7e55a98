"""The history of an entry for a person: each revision with its acts, the oldest first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from kb.review.history import Done, Past
from tui.clean import clean
from tui.drawing.review_words import STATE_STYLES, by_whom, moment, shop_words, state_words
from tui.ink import Ink
from tui.tables import wrap

INDENT = " " * 4


def history_page(
    past: Sequence[Past], here: str, names: Mapping[str, str], width: int, ink: Ink
) -> list[str]:
    """Lines no wider than `width` cells."""
    first = past[0].revision
    count = f"{len(past)} revision{'' if len(past) == 1 else 's'}"
    lines = [ink("bold", clean(f"{first.kind} {first.id}")) + f": {count}"]
    for one in past:
        revision = one.revision
        state = ink(STATE_STYLES.get(revision.state, "plain"), state_words(revision.state))
        answers = ", answers" if one.answers else ""
        author = by_whom(revision.author, revision.origin, here, names)
        lines += ["", f"{revision.hash[:12]}  {state}{answers}"]
        made = f"by {author}"
        if revision.parent:
            made += f", after {revision.parent[:12]}"
        lines += wrap(made, width, INDENT, INDENT)
        for act in one.acts:
            lines += wrap(_act(act, here, names), width, INDENT + "  ", INDENT)
    return lines


def _act(act: Done, here: str, names: Mapping[str, str]) -> str:
    said = f"{moment(act.at)} {act.words} by {act.by}"
    if act.arrived:
        where = "a copy of this book" if act.origin == here else shop_words(act.origin, here, names)
        said += f" at {where}"
        if act.act in ("verify", "return", "supersede"):
            said += ", which informs and changes nothing here"
    if act.batch:
        said += f", in {act.batch}"
    return f"{said}: {act.reason}" if act.reason else said
