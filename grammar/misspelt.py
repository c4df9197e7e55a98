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
    found.sort(reverse=True)
    made = [(a, b, word, text[:a] + word + text[b:]) for a, b, word in found if a <= end]
    if made and len(found) > 1:
        whole = text
        for a, b, word in found:
            whole = whole[:a] + word + whole[b:]
        made.append((*found[-1], whole))
    return made
