"""Known mistakes of a whole sentence: courtesy before it, `are` for `where`, a full stop.

A part of the phrases of the trade, apart from them because these words belong to no field and no
value: they are what stands between in a sentence, and go, or become the word that joins.
"""

from __future__ import annotations

import re

from grammar.mistake_shapes import WORD, Mistake, cut, mistake, own, put

_IS = r"(?:is|are|was|were)"
_NO_CLAUSE = r"(?:(?!\b(?:where|is|are|was|were)\b).)"
_GLUED = re.compile(r"(?:and|or|not)\w{2,}|\w{2,}(?:and|not)", re.IGNORECASE)
_JOINS = "and", "or"
_BARE = (
    r"(?!(?:and|or|not|no|is|in|between|where|with|of|on|for|by|show|sorted|first|any|every|at"
    rf"|unknown|known|order|ordered|sort|group)\b){WORD}"
)
"""A word that is none of the language."""


def _near(word: str, meant: str) -> bool:
    """Whether a word is one slip of the keys away from another."""
    from rapidfuzz.distance import OSA

    return word.casefold() not in ("xor", "nand") and OSA.distance(word.casefold(), meant) <= 1


def _joined(text: str, match: re.Match[str]) -> list[str]:
    """`role = tweeter ohms = 4`, with `and` where a field begins that has a sign of its own, or in
    the place of a word that is nearly `and` or `or`.
    """
    before = re.split(r"\s+", own(text, match, "before"))
    last = own(text, match, "last")
    head, tail = text[: match.start("before")], text[match.end("last") :]
    if re.search(r"\bor\b", head, re.IGNORECASE):
        return []  # whether `and` binds what is beside `or` cannot be told
    if any(_GLUED.fullmatch(word) for word in before[1:]):
        return []  # `andnot` is no part of a value
    made = []
    longest = len(before)
    by = match["mark"].casefold() == "by"  # `fed by radio`: its field is one word and `by`
    for length in (longest,) if by else (longest, longest - 1):
        value, field = before[:length], [*before[length:], last]
        if not value:
            continue
        joins = [one for one in _JOINS if len(value) > 1 and _near(value[-1], one)]
        if len(joins) == 1:
            made.append(f"{head}{' '.join(value[:-1])} {joins[0]} {' '.join(field)}{tail}")
        elif not joins:
            made.append(f"{head}{' '.join(value)} and {' '.join(field)}{tail}")
    return made


def _where_or_nothing(text: str, match: re.Match[str]) -> list[str]:
    """`pins are empty`, and `pins are of tarn 22 concert`, where nothing stands in its place."""
    head, after = own(text, match, "head"), own(text, match, "next")
    return [cut(text, match, head, word, after) for word in (" where", "")]


VERB_MISTAKES: tuple[Mistake, ...] = (
    mistake(
        "is after where",
        rf"\bwhere\s+(?P<mark>(?:(?:it|they|there|that|which)\s+)?{_IS}(?:\s+(?:a|an|some))?)\s+"
        r"(?P<not>not\s+)?(?=\w)",
        "A condition stands after `where` without a verb.",
        put("where {not}"),
        "pins where are empty",
        "pins where empty",
        certain=False,
        reads=True,
    ),
)
"""Those that must be seen before a phrase takes their verb for a field."""

SPOKEN_MISTAKES: tuple[Mistake, ...] = (
    mistake(
        "please before it",
        r"^\s*(?P<mark>(?:please|pls|plz|kindly)\b)[\s,]*(?P<rest>.*)$",
        "A query begins with its subject.",
        put("{rest}"),
        "please speakers where role = tweeter",
        "speakers where role = tweeter",
        reads=True,
    ),
    mistake(
        "said twice",
        r"(?<![\w\-./#°+])(?P<word>(?!(?:not?|never|non)\b)[a-z]{2,})\s+(?P<mark>(?P=word))(?![\w\-./#°+])",
        "A word stands here twice.",
        put("{word}"),
        "speakers of of tarn-a",
        "speakers of tarn-a",
        certain=False,
        reads=True,
    ),
    mistake(
        "number of",
        r"^\s*(?P<mark>(?:the\s+)?(?:number|count|amount|total)\s+of\b)\s+(?:(?:the|all)\s+)?",
        "Counting is said with `count`.",
        put("count "),
        "number of speakers where ohms < 4",
        "count speakers where ohms < 4",
        reads=True,
    ),
    mistake(
        "count after its subject",
        rf"^\s*(?P<subject>{WORD})\s+(?P<mark>count|total)(?=\s*$|\s+(?:where|of|by|with)\b)",
        "Counting is said with `count`, before its subject.",
        put("count {subject}"),
        "speakers count where ohms < 4",
        "count speakers where ohms < 4",
        certain=False,
    ),
    mistake(
        "is after the subject",
        rf"^(?P<head>\s*(?!(?:what|which|who|how|where)\b){_NO_CLAUSE}+?)\s+"
        rf"(?P<mark>(?:(?:that|which|who)\s+)?{_IS})(?:\s+where\b)?(?P<next>(?:\s+\w+){{0,2}})",
        "Conditions come after `where`.",
        _where_or_nothing,
        "pins are empty",
        "pins where empty",
        certain=False,
        reads=True,
    ),
    mistake(
        "are for is",
        r"(?P<mark>\b(?:are|was|were))\s+(?=(?:not\s+)?(?:un)?known\b)",
        "What nobody documented is asked for with `is unknown`.",
        put("is "),
        "speakers where ohms are unknown",
        "speakers where ohms is unknown",
        reads=True,
    ),
    mistake(
        "is not known",
        r"\bis\s+(?P<mark>not\s+known)\b",
        "What is not known `is unknown`.",
        put("is unknown"),
        "speakers where ohms is not known",
        "speakers where ohms is unknown",
    ),
    mistake(
        "kit before its name",
        rf"\bwith\s+(?P<mark>(?:(?:the|a)\s+)?(?:kit|module))\s+(?=\0|(?!where\b){WORD})",
        "After `with` stands the kit's id.",
        put("with "),
        "speakers with kit oku-b6",
        "speakers with oku-b6",
        certain=False,
        reads=True,
    ),
    mistake(
        "have for with",
        rf"^(?P<head>\s*(?:count\s+)?{WORD})\s+(?P<mark>(?:(?:that|which)\s+)?(?:have|has|got))\s+(?=\w)",
        "What a row has is a condition of it.",
        put("{head} with "),
        "vehicles have 10 speakers",
        "vehicles with 10 speakers",
        certain=False,
    ),
    mistake(
        "condition after with",
        rf"^(?P<head>(?:(?!\bwhere\b).)*?)\s+(?P<mark>with)\s+(?P<what>(?!any\b){_BARE}\s+(?:\0+|{_BARE}))"
        r"(?=\s*$|\s+(?:and|or|sorted|show)\b)",
        "`with` names a kit; what a row has is a condition of it.",
        put("{head} where {what}"),
        "pins with wire grey/black",
        "pins where wire grey/black",
        certain=False,
        reads=True,
    ),
    mistake(
        "in for on",
        rf"\b(?P<of>of\s+(?:\0+|{WORD}))\s+(?P<mark>in|inside|at|from)\s+(?=\0|{WORD})",
        "The vehicle of a kit's leads is said with `on`.",
        put("{of} on "),
        "leads of oku-b6 in tarn-a",
        "leads of oku-b6 on tarn-a",
        certain=False,
    ),
    mistake(
        "full stop",
        r"(?<=[^\s.])\s*(?P<mark>\.)\s*$",
        "A query needs no full stop.",
        put(""),
        'speakers where role = "tweeter".',
        'speakers where role = "tweeter"',
        reads=True,
    ),
    mistake(
        "and left out",
        rf"(?:[=<>~]|\bin\b)\s*(?P<before>(?:\0+|{_BARE})(?:\s+{_BARE}){{0,3}}?)\s+(?P<last>{_BARE})"
        r"\s*(?P<mark>(?:\bby\s*)?[=<>~!]=?|\bby\b)",
        "Conditions are joined by `and` or `or`.",
        _joined,
        "speakers where role = tweeter ohms = 4",
        "speakers where role = tweeter and ohms = 4",
        certain=False,
    ),
)
