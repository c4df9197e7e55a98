"""Finds the known mistake at a place of a query that was refused, and ways to put it right.

It never accepts anything: it only explains what the grammar, or the binder, has refused.
"""

from __future__ import annotations

import re

from grammar.mistake_list import MISTAKES
from grammar.mistake_phrases import PHRASES
from grammar.mistake_quoted import QUOTED_MISTAKES
from grammar.mistake_shapes import QUOTED, Mistake
from grammar.mistake_spoken import SPOKEN_MISTAKES, VERB_MISTAKES
from grammar.mistake_turned import TURNED_MISTAKES
from grammar.tree import Span

_WIDE_GAP = re.compile(r"\s{50}")

KNOWN = (
    *QUOTED_MISTAKES,
    *TURNED_MISTAKES,
    *VERB_MISTAKES,
    *PHRASES,
    *SPOKEN_MISTAKES,
    *MISTAKES,
)
"""All of them, the closest to a person's words first."""

Found = tuple[Mistake, Span, list[str]]
"""The entry, the place of its mark, and whole queries to try instead, the likeliest first."""


def find(text: str, span: Span, *, parsed: bool = False) -> Found | None:
    """The first entry that fits at the place, with the place of its mark and repairs to try.

    In a query that has `parsed`, only those that can stand in one are meant.
    """
    if _WIDE_GAP.search(text):
        return None  # patterns that pass over spaces would take seconds; nobody types this
    masked = QUOTED.sub(lambda quoted: "\0" * len(quoted[0]), text)
    for mistake in KNOWN:
        if parsed and not mistake.reads:
            continue
        for match in mistake.pattern.finditer(masked):
            mark = match.span("mark")
            if mark[0] <= span.end and match.end() >= span.start:
                return mistake, Span(*mark), mistake.repair(text, match)
    return None
