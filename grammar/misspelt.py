"""Words that are nearly a word of the language: which one, and the query with it instead.

Apart from the lists of known mistakes because nothing is listed here: every word of the language
may be misspelt. It only proposes; what is offered must still parse, and bind.
"""

from __future__ import annotations

import re

from grammar.mistake_shapes import QUOTED
from grammar.near_keyword import near_keyword

_WORD = re.compile(r"(?<![\w\-./#°+\"'])[a-z]{2,9}(?![\w\-./#°+\"'])", re.IGNORECASE)
_LEAST = re.compile(
    r"\bat(?:\s*-?\s*)(?:lest|leat|leas|laest|leasst|leats|last)\b|\bat-?least\b", re.I
)
_LEAST_OF = re.compile(r"\b(?P<at>at?|ta)\s+(?P<word>l?[a-z]{3,6})(?=\s+[0-9]+\s+[a-z])", re.I)
_BEFORE_THINGS = re.compile(r"(?<![\w.-])(?P<word>[a-z]{2,6})(?=\s+[a-z]+\s*\()", re.IGNORECASE)
_BEFORE_UNKNOWN = re.compile(r"(?<![\w.-])(?P<word>[a-z]{1,3})(?=\s+(?:un)?known\b)", re.IGNORECASE)
_NO_SLIP = frozenset(
    {"and", "or", "no", "not", "is", "in", "if", "it", "as", "any", "many", "every", "where"}
)


def _where_it_stands(masked: str) -> list[tuple[int, int, str]]:
    """Words that only their place tells the keyword of: `anu speaker (`, `at leasy 2`."""
    from rapidfuzz.distance import OSA

    found = []
    for pattern, keywords in (
        (_LEAST_OF, ("least",)),
        (_BEFORE_THINGS, ("any", "every")),
        (_BEFORE_UNKNOWN, ("is",)),
    ):
        for match in pattern.finditer(masked):
            word = match["word"].casefold()
            near = [one for one in keywords if OSA.distance(word, one) <= 1]
            of = "at least" if near[:1] == ["least"] else "".join(near[:1])
            said = " ".join(match[0].casefold().split())
            if len(near) == 1 and word not in _NO_SLIP and said != of:
                found.append((*match.span(), of))
    return found


def misspelt(text: str, end: int) -> list[tuple[int, int, str, str]]:
    """What is nearly a keyword up to a place: from, to, the keyword, and the query with it.

    The last before the place comes first; where a line has several, the first with all of them put
    right comes last.
    """
    masked = QUOTED.sub(lambda quoted: "\0" * len(quoted[0]), text)
    found = [(*match.span(), "at least") for match in _LEAST.finditer(masked)]
    for match in _WORD.finditer(masked):
        meant = near_keyword(match[0])
        if meant is not None and not any(a <= match.start() < b for a, b, _ in found):
            found.append((*match.span(), meant))
    for start, stop, meant in _where_it_stands(masked):
        if not any(a < stop and start < b for a, b, _ in found):
            found.append((start, stop, meant))
    found.sort(reverse=True)
    made = [(a, b, word, text[:a] + word + text[b:]) for a, b, word in found if a <= end]
    if made and len(found) > 1:
        whole = text
        for a, b, word in found:
            whole = whole[:a] + word + whole[b:]
        made.append((*found[-1], whole))
    return made
