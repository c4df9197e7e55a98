"""Known mistakes at the end of a query: courtesy, a semicolon, a question mark.

A part of `mistake_list`, apart from it because all of it stands after what is asked, and goes.
"""

from __future__ import annotations

import re

from grammar.mistake_shapes import Mistake, cut, mistake, put


def _without_semicolon(text: str, match: re.Match[str]) -> list[str]:
    """Between two conditions `and` is meant, and before another clause nothing."""
    made = [cut(text, match, " ")]
    before, after = text[: match.start()], text[match.end() :]
    if re.search(r"\bwhere\b", before, re.I) and re.match(r"[^;]*[=<>~]|\w+\s*$", after):
        made.insert(0, cut(text, match, " and "))
    return made


ENDING_MISTAKES: tuple[Mistake, ...] = (
    mistake(
        "please",
        r"[\s,]+(?P<mark>(?:please|pls|plz|thanks|thank\s+you)\b)\s*[.!]?\s*$",
        "A question ends where everything is said.",
        put(""),
        "speakers where role = tweeter please",
        "speakers where role = tweeter",
        reads=True,
    ),
    mistake(
        "semicolon",
        r"\s*(?P<mark>;)\s*",
        "A query needs no semicolon.",
        _without_semicolon,
        "speakers where ohms < 4;",
        "speakers where ohms < 4",
    ),
    mistake(
        "question mark",
        r"\s*(?P<mark>\?)\s*$",
        "A query needs no question mark.",
        put(""),
        "speakers where ohms < 4?",
        "speakers where ohms < 4",
    ),
)
