"""Known mistakes of what turns a condition round: `not` misspelt, a minus or `non-` in front.

A part of `mistake_list`, apart from it because here a repair that drops the word would say the
opposite: `kb.query.hints.sense` counts the same words on both sides.
"""

from __future__ import annotations

import re

from grammar.mistake_shapes import CONTRACTED, WORD, Mistake, cut, mistake, own, put
from grammar.mistake_values import ENDS, FIELD, ONE, OPENS

_ALPHABET = "abcdefghijklmnopqrstuvwxyz"
_OTHER_WORDS = frozenset(
    {"no", "on", "to", "nor", "now", "non", "note", "bot", "cot", "dot", "got", "hot", "jot", "lot"}
    | {"mot", "pot", "rot", "tot", "nut", "net", "nit", "nat", "nod", "nos", "knot", "snot", "nota"}
)


def _slips() -> frozenset[str]:
    """`not` with one letter too many, too few, wrong, or two that changed places."""
    word = "not"
    ends = [(word[:at], word[at:]) for at in range(len(word) + 1)]
    made = {left + right[1:] for left, right in ends if right}
    made |= {left + right[1] + right[0] + right[2:] for left, right in ends if len(right) > 1}
    made |= {left + letter + right[1:] for left, right in ends if right for letter in _ALPHABET}
    made |= {left + letter + right for left, right in ends for letter in _ALPHABET}
    return frozenset(made - {word})


NEARLY_NOT = "|".join(sorted(_slips() - {"no", "on", "to", "nor", "note"}))
"""Words that may be a misspelt `not`, as a pattern: dropping one is never offered."""

_SURELY_NOT = "|".join(sorted((_slips() - _OTHER_WORDS) | {"un", "non"}))
_BEFORE_WORD = r"(?<![\w.\-/#°+])-(?=[^\W\d_])"
_AFTER_WORD = r"(?<=[\w\s])-(?=\s*(?:,|$|\b(?:show|first)\b))"
MINUS = re.compile(r"(?<![\w.\-/#°+])-(?!\s*[0-9])|(?<=\w)-(?![\w.\-/#°+])")
"""A minus that joins no words: in front of one, after one or alone."""


def _sorted_down(text: str, match: re.Match[str]) -> list[str]:
    """Each key with a minus as `KEY down`; one that has both says nothing sure."""
    keys = [key.strip() for key in own(text, match, "mark").split(",")]
    if any("-" in (key[0], key[-1]) and re.search(r"\bdown\b", key, re.I) for key in keys if key):
        return []
    turned = [f"{key.strip('- ')} down" if key.strip("-") != key else key for key in keys]
    return [cut(text, match, f"sorted by {', '.join(turned)}")]


def _turned_once(text: str, match: re.Match[str]) -> list[str]:
    """`-carried` as `not carried`; what says `not` besides says nothing sure."""
    own_condition = re.split(r"\b(?:and|or)\b|\)", text[match.end() :], flags=re.IGNORECASE)[0]
    if re.search(r"!=|\b(?:not|no)\b", own_condition, re.IGNORECASE):
        return []
    return [cut(text, match, own(text, match, "lead"), "not ")]


def _unequal(text: str, match: re.Match[str]) -> list[str]:
    """`role = -tweeter` as `role != tweeter`; what is turned round twice says nothing sure."""
    if match["sign"] == "!=":
        return []
    lead, field, value = (own(text, match, name) for name in ("lead", "field", "value"))
    return [cut(text, match, f"{lead}{field} != {value}")]


def _left_aside(text: str, match: re.Match[str]) -> list[str]:
    """`speakers except tweeters` as a condition turned round, of what stands before it as well."""
    before = text[: match.start()]
    if re.search(r"\bor\b", before, re.IGNORECASE):
        return []  # whether it is said of both cannot be told
    joined = "and" if re.search(r"\bwhere\b", before, re.IGNORECASE) else "where"
    return [cut(text, match, f" {joined} not {own(text, match, 'what')}")]


TURNED_MISTAKES: tuple[Mistake, ...] = (
    mistake(
        "minus before a sort key",
        rf"\bsorted\s+by\s+(?P<mark>[^=()<>~]*?(?:{_BEFORE_WORD}|{_AFTER_WORD})[^=()<>~]*?)"
        r"(?=\s+(?:show|where|first\s+[0-9]+)\b|\s*$)",
        "The largest first is said with `down` after the field.",
        _sorted_down,
        "speakers sorted by -ohms",
        "speakers sorted by ohms down",
        reads=True,
    ),
    mistake(
        "minus before a column",
        rf"\b(?:show|by)\s[^=()<>~]*?(?P<mark>{_BEFORE_WORD})",
        "A minus leaves no column out; `show` names those that are wanted.",
        lambda _text, _match: [],
        "speakers show -ohms",
        "speakers show speaker, role",
        reads=True,
    ),
    mistake(
        "minus before a value",
        rf"{OPENS}{FIELD}\s*(?P<sign>!=|=)?\s*(?P<mark>{_BEFORE_WORD})(?P<value>{ONE}){ENDS}",
        "A minus turns nothing round; not equal is `!=` here.",
        _unequal,
        "speakers where role = -tweeter",
        "speakers where role != tweeter",
        reads=True,
    ),
    mistake(
        "minus before a condition",
        rf"(?P<lead>\bwhere\s+|\band\s+|\bor\s+|(?<!\bin)(?<!\bin\s)\(\s*)(?P<mark>{_BEFORE_WORD})",
        "A minus in front of a word says nothing here; `not` turns a condition round.",
        _turned_once,
        "speakers where -carried",
        "speakers where not carried",
        reads=True,
    ),
    mistake(
        "not misspelt",
        rf"(?<![\w.\-/#°+'’])(?P<mark>{_SURELY_NOT})\s+(?=\S)",
        "What turns a condition round is `not`.",
        put("not "),
        "speakers where nto carried",
        "speakers where not carried",
        certain=False,
        reads=True,
    ),
    mistake(
        "contraction before a word",
        rf"(?P<lead>\bwhere\s+|\band\s+|\bor\s+|\(\s*)(?:(?:it|they)\s+)?"
        rf"(?P<mark>{CONTRACTED})\s+(?={WORD})",
        "What turns a condition round is `not`.",
        put("{lead}not "),
        "pins where isn't empty",
        "pins where not empty",
        reads=True,
    ),
    mistake(
        "contraction before known",
        rf"{OPENS}{FIELD}\s+(?P<mark>{CONTRACTED})\s+(?P<what>known|unknown)\b",
        "What turns a condition round is `not`.",
        put("{lead}not {field} is {what}"),
        "speakers where ohms isn't known",
        "speakers where not ohms is known",
        reads=True,
    ),
    mistake(
        "except",
        rf"\s+(?P<mark>except(?:\s+for)?|excluding|but\s+not)\s+(?:the\s+)?(?P<what>{WORD})"
        r"(?=\s*$|\s+(?:sorted|show)\b)",
        "What turns a condition round is `not`.",
        _left_aside,
        "speakers except carried",
        "speakers where not carried",
        certain=False,
        reads=True,
    ),
    mistake(
        "non- before a value",
        rf"{OPENS}{FIELD}\s*(?:=\s*)?(?P<mark>(?<![\w.\-/#°+])non[-_])(?P<value>{ONE}){ENDS}",
        "Not equal is `!=` here.",
        put("{lead}{field} != {value}"),
        "speakers where role = non-tweeter",
        "speakers where role != tweeter",
        certain=False,
        reads=True,
    ),
)
