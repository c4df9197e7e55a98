"""Whether a query offered instead of another keeps its sense, as far as that can be told at once.

A repair is made of small changes that each look harmless; what must never come of them is the
opposite of the question. So what turns a question round is counted on both sides, and where the
two differ nothing is offered. It stands alone because it knows nothing of how a repair is made.
"""

from __future__ import annotations

import re
from collections import Counter

from grammar.mistake_shapes import CONTRACTED, QUOTED
from grammar.mistake_turned import MINUS, NEARLY_NOT
from grammar.near_keyword import may_say_known
from kb.nearest import LEAST_LIKENESS

_TURNS = re.compile(
    r"!=|<>|≠|!|\b(?:not|no|without|lacking|except|excluding|never|neither|nor|false)\b"
    rf"|(?<![\w.\-/#°+])(?:{NEARLY_NOT}|un|non)(?![\w./#°+])"
    rf"|{CONTRACTED}",
    re.IGNORECASE,
)
_WORD = re.compile(r"[^\W\d_]+(?:[-_][^\W\d_]+)*")
_BEGINNINGS = re.compile(
    r"(?:not|non|no|never|un|mis|dis|in|im|ir|il|de|anti|ex|a)[-_]?(?=[^\W_]{3})", re.IGNORECASE
)
_BOUND = re.compile(
    r"\bnot?\s+(?=(?:more|greater|larger|bigger|higher|less|fewer|smaller)\s)", re.I
)
_NOT_KNOWN = re.compile(r"\bis\s+not\s+known\b", re.IGNORECASE)
_NOTHING = re.compile(
    r"\?|\b(?:unknown|null|nil|none|missing|undefined|empty|blank|nothing)\b", re.I
)
_NO_SUCH = re.compile(r"\b(?:no|without|lacking)\b", re.IGNORECASE)
_ANY_SUCH = re.compile(r"\b(?:any|some)\b", re.IGNORECASE)
_SAYS_SOME = re.compile(r"!=\s*none\b", re.IGNORECASE)
_SAYS_NONE = re.compile(r"=\s*(?:none|0)(?![\w.])|\bis\s+unknown\b", re.IGNORECASE)
_KNOWN = re.compile(r"\bis\s+known\b", re.IGNORECASE)
_COMPARED = re.compile(r"[=~]\s*\"?([a-z-]{3,9})(?![\w-])", re.IGNORECASE)
_TAIL = re.compile(r"\b(?:sort(?:ed)?|order(?:ed)?)\b.*", re.IGNORECASE | re.DOTALL)
_DOWN = re.compile(r"\b(?:down|desc(?:ending)?)\b", re.IGNORECASE)
_FEW = re.compile(
    r"\b(?:exactly|just|precisely|fewer|less|under|at\s+most|below|not?\s+more)\b|<", re.IGNORECASE
)


def keeps_sense(asked: str, offered: str) -> bool:
    """Whether `offered` is turned round exactly where `asked` is."""
    if _takes_known_for_a_value(asked, offered):
        return False
    asked = _without_choices(asked, offered)
    turned_words = _turned_words(asked, offered)  # also those that the offer quotes
    asked, offered = (QUOTED.sub('""', text) for text in (asked, offered))
    in_order = sum(len(MINUS.findall(tail)) for tail in _TAIL.findall(asked))
    if in_order and len(_DOWN.findall(offered)) != in_order:
        return False  # `sorted by -ohms` is `sorted by ohms down`
    few = _FEW.search(asked)
    asked = _BOUND.sub("", asked)  # `not less than 4` is `>= 4`
    asked = _NOT_KNOWN.sub("is unknown", asked)
    before, after = len(_TURNS.findall(asked)), len(_TURNS.findall(offered))
    before += turned_words
    before += len(MINUS.findall(asked)) - in_order
    after += len(MINUS.findall(offered))
    if _NOTHING.search(asked) and not _KNOWN.search(asked):
        after += len(_KNOWN.findall(offered))  # `!= null` is `is known`
    else:  # `no duties` is `duties = none`, and `any duties` `duties != none`
        after += _became(_NO_SUCH, _SAYS_NONE, asked, offered)
        after -= _became(_ANY_SUCH, _SAYS_SOME, asked, offered)
    if before % 2 == after % 2:
        return True
    return bool(after and few)  # fewer than two: `not at least 2`


def _without_choices(asked: str, offered: str) -> str:
    """What was asked without the values of the catalogue that are offered in quotes: the `not` of
    `way not documented` turns nothing.
    """
    from kb.query.subjects import SUBJECTS

    choices = {one for subject in SUBJECTS for field in subject.fields for one in field.choices}
    for quoted in QUOTED.findall(offered):
        if quoted[1:-1] in choices:
            asked = re.sub(rf"(?<![\w\"']){re.escape(quoted[1:-1])}(?![\w\"'])", '""', asked)
    return asked


def _became(word: re.Pattern[str], test: re.Pattern[str], asked: str, offered: str) -> int:
    """How many of the words that were asked with are offered as such a test."""
    lost = len(word.findall(asked)) - len(word.findall(offered))
    gained = len(test.findall(offered)) - len(test.findall(asked))
    return max(0, min(lost, gained))


def _takes_known_for_a_value(asked: str, offered: str) -> bool:
    """Whether `is nown` became `= nown`, which turned round (`not (plus = nown)`) lets all rows in
    that `is known` leaves out. Whoever typed the sign meant a value.
    """
    made = set(map(str.casefold, _COMPARED.findall(offered)))
    return any(map(may_say_known, made - set(map(str.casefold, _COMPARED.findall(asked)))))


def says_opposite(word: str, near: str) -> bool:
    """Whether a word is another one turned round: `nothalden` is not near `halden`."""
    return _turned_in(word.casefold(), [near.casefold()])


def _turned_words(asked: str, offered: str) -> int:
    """How many words are offered as words that they say the opposite of: `noempty` as `empty`."""
    had, has = (Counter(_WORD.findall(text.casefold())) for text in (asked, offered))
    gained = list(has - had)
    lost = {
        word: number
        for word, number in (had - has).items()
        if len(word) > 2 and not (_TURNS.search(word) or _NOTHING.search(word))
    }
    return sum(number for word, number in lost.items() if _turned_in(word, gained))


def _turned_in(word: str, gained: list[str]) -> bool:
    """Whether the word that came nearest to one in its place says the opposite of it."""
    from rapidfuzz import fuzz

    begins = _BEGINNINGS.match(word)
    rest = word[begins.end() :] if begins else word
    nearest, likeness = "", 0.0
    for other in gained:
        alike = max(fuzz.ratio(word, other), fuzz.ratio(rest, other))
        if alike > likeness:
            nearest, likeness = other, alike
    if nearest in ("and", "or") and word[0] != "n":
        return False  # `aand` is no more turned round than the word that joins
    if nearest and re.fullmatch(rf"{re.escape(nearest)}[-_]?(?:less|free)", word):
        return True
    stem = nearest.removesuffix("s")
    apart = len(word) - len(stem)
    if len(stem) > 2 and word.endswith(stem) and apart > (nearest != "known"):
        # Whatever is too much in front, but for two words written as one: `atleast`.
        return word[:apart] not in gained or word[:apart] == "not"
    if begins is not None and begins.end() == 1:
        return rest == nearest  # `acrried` begins with a slip of the keys
    return likeness >= LEAST_LIKENESS and fuzz.ratio(rest, nearest) > fuzz.ratio(word, nearest)
