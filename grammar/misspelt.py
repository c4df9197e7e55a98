"""Words that are nearly a word of the language: which one, and the query with it instead.

Apart from the lists of known mistakes because nothing is listed here: every word of the language
may be misspelt. It only proposes; what is offered must still parse, and bind.
"""

from __future__ import annotations

import re

from grammar.mistake_shapes import QUOTED

KEYWORDS = (
    *("and", "or", "of", "on", "with", "any", "every", "between", "in", "is", "known", "unknown"),
    *("by", "for", "down", "first", "show", "sorted", "count"),
)
"""Those that a line breaks without. `not` and `where` have entries of their own, because more
hangs on them; `no` is as near to `on` as to `not`, so nothing is near to it."""

_OWN_WORDS = frozenset({*KEYWORDS, "not", "no", "where", "at", "least", "none", "now", "form"}) | {
    *("here", "there", "shop", "how", "own", "son"),
}
_WORD = re.compile(r"(?<![\w\-./#°+\"'])[a-z]{2,9}(?![\w\-./#°+\"'])", re.IGNORECASE)
_LEAST = re.compile(
    r"\bat(?:\s*-?\s*)(?:lest|leat|leas|laest|leasst|leats|last)\b|\bat-?least\b", re.I
)
_ANAGRAMS_UP_TO, _LETTERS_FOR_ONE_WRONG = 5, 4


def nearly(word: str, keywords: tuple[str, ...] = KEYWORDS) -> str | None:
    """The keyword that a word is a misspelling of: one letter wrong, missing or too many, or the
    same letters in another order; of a short one, a letter doubled or changed places alone.
    """
    folded = word.casefold()
    if folded in _OWN_WORDS:
        return None
    for keyword in keywords:
        if abs(len(keyword) - len(folded)) <= 1 and folded != keyword and _near(folded, keyword):
            return keyword
    return None


def _near(word: str, keyword: str) -> bool:
    if len(word) == len(keyword) <= _ANAGRAMS_UP_TO and sorted(word) == sorted(keyword):
        return True
    if len(keyword) < _LETTERS_FOR_ONE_WRONG:
        return len(keyword) > 2 and re.sub(r"(.)\1", r"\1", word) == keyword
    start = next((at for at, (a, b) in enumerate(zip(word, keyword, strict=False)) if a != b), None)
    if start is None:
        return True  # one is the beginning of the other
    rest, wanted = word[start:], keyword[start:]
    swapped = rest[:2] == wanted[1::-1] and rest[2:] == wanted[2:]
    return swapped or rest[1:] == wanted[1:] or rest == wanted[1:] or rest[1:] == wanted


def misspelt(text: str, end: int) -> list[tuple[int, int, str, str]]:
    """What is nearly a keyword up to a place: from, to, the keyword, and the query with it.

    The last before the place comes first; where a line has several, the first with all of them put
    right comes last.
    """
    masked = QUOTED.sub(lambda quoted: "\0" * len(quoted[0]), text)
    found = [(*match.span(), "at least") for match in _LEAST.finditer(masked)]
    for match in _WORD.finditer(masked):
        meant = nearly(match[0])
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
