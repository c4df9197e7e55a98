"""Which word of the language a word is a misspelling of.

It stands alone, without a pattern and without the fuzzy library behind `kb.nearest`, because bare
values of good questions come here too: importing that library takes as long as parsing fifty of
them.
"""

from __future__ import annotations

from functools import lru_cache

KEYWORDS = (
    *("and", "or", "of", "on", "with", "any", "every", "between", "in", "is", "unknown", "known"),
    *("by", "for", "down", "first", "show", "sorted", "count", "where"),
)
"""Those that a line breaks without. `not` has an entry of its own, because more hangs on it; `no`
is as near to `on` as to `not`, so nothing is near to it."""

_OWN_WORDS = frozenset({*KEYWORDS, "not", "no", "where", "at", "least", "none", "now", "form"}) | {
    *("here", "there", "shop", "how", "own", "son"),
}
_ANAGRAMS_UP_TO, _LETTERS_FOR_ONE_WRONG = 5, 4
_LIKE_KNOWN = 0.7
"""Of two lengths, what they share in order: `nown` and `jnown` are above it, `brown` below."""


@lru_cache(maxsize=512)
def near_keyword(word: str, keywords: tuple[str, ...] = KEYWORDS) -> str | None:
    """The keyword that a word is a misspelling of: one letter wrong, missing or too many, or the
    same letters in another order; of a short one, a letter doubled or changed places alone.
    """
    folded = word.casefold()
    if folded in _OWN_WORDS:
        return None
    for keyword in keywords:
        if keyword == "known" and folded[:1] != "k":
            continue  # what lost its first letters may have been `unknown`
        if abs(len(keyword) - len(folded)) <= 1 and folded != keyword and _near(folded, keyword):
            return keyword
    return None


def may_say_known(word: str) -> bool:
    """Whether a word may be a misspelt `known` or `unknown`, be it unsure which of them.

    More slips count here than where a word is put right, because nothing is made of it.
    """
    from difflib import SequenceMatcher

    folded = word.casefold()
    return any(
        SequenceMatcher(None, folded, said, autojunk=False).ratio() >= _LIKE_KNOWN
        for said in ("known", "unknown")
    )


def _near(word: str, keyword: str) -> bool:
    if len(word) == len(keyword) <= _ANAGRAMS_UP_TO and sorted(word) == sorted(keyword):
        return True
    if len(keyword) < _LETTERS_FOR_ONE_WRONG:
        return len(keyword) > 2 and any(
            word == keyword[:at] + letter + keyword[at:] for at, letter in enumerate(keyword)
        )
    start = next((at for at, (a, b) in enumerate(zip(word, keyword, strict=False)) if a != b), None)
    if start is None:
        return True  # one is the beginning of the other
    rest, wanted = word[start:], keyword[start:]
    swapped = rest[:2] == wanted[1::-1] and rest[2:] == wanted[2:]
    return swapped or rest[1:] == wanted[1:] or rest == wanted[1:] or rest[1:] == wanted
