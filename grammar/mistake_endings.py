"""Known mistakes at the end of a query: courtesy, a semicolon, a question mark.

A part of `mistake_list`, apart from it because all of it stands after what is asked, and goes.
"""

from __future__ import annotations

from grammar.mistake_shapes import Mistake, mistake, put

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
        put(" "),
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
