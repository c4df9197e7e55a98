"""Phrases of the trade that the language says otherwise, with a query to try instead.

One list of data, like `mistake_list`, and walked by the same test. It stands apart because these
are no other language's syntax, but what a person says aloud. A repair is only offered where it
runs, so an entry may give several and let the catalogue decide.
"""

from __future__ import annotations

import re

from grammar.mistake_shapes import WORD, Mistake, Repair, cut, mistake, own, put
from grammar.mistake_values import ENDS, ONE, OPENS, STOPS, VALUE_MISTAKES, one_of

_NUMBERS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_SMALL = re.compile(r"of|on|for|in|at|the|connector|plug", re.IGNORECASE)
_CONNECTOR = re.compile(r"[a-z]{1,3}[0-9]{1,3}", re.IGNORECASE)
_NUMBER = rf"(?:[0-9]{{1,6}}|{'|'.join(_NUMBERS)})"


def _any_of_them(text: str, match: re.Match[str]) -> list[str]:
    """`speaker (…)` as `any speaker (…)`; behind another quantifier or a `not` that may say the
    opposite, and nothing is sure."""
    if re.search(r"\b(?:no|not|every|at\s+least)\b", text[: match.start()], re.IGNORECASE):
        return []
    return put("{lead}any {what} (")(text, match)


def _number(text: str) -> int:
    word = text.lower()
    return _NUMBERS.index(word) + 1 if word in _NUMBERS else int(word)


def _at_least(more: int, negation: str = "") -> Repair:
    def repair(text: str, match: re.Match[str]) -> list[str]:
        number = _number(match["number"]) + more
        return [
            cut(
                text,
                match,
                own(text, match, "lead"),
                f"{negation}at least {number} ",
                own(text, match, "what"),
                " ",
            )
        ]

    return repair


def _exactly(text: str, match: re.Match[str]) -> list[str]:
    """So many and not one more; without parentheses it may be a number that the row has."""
    lead, what, number = (
        own(text, match, "lead"),
        own(text, match, "what"),
        _number(match["number"]),
    )
    inner = own(text, match, "inner")
    if not inner:
        return [cut(text, match, f"{lead}{what} = {number}")]
    more = f"not at least {number + 1} {what} {inner}"
    return [cut(text, match, f"{lead}(at least {number} {what} {inner} and {more})")]


def _joined_to(rest: str) -> str:
    """What follows a condition that was put first: its `where` becomes an `and`."""
    found = re.match(r"(\s+)where\s+(.*?)(\s+(?:sorted|show|first)\b.*)?$", rest, re.I | re.DOTALL)
    if found is None:
        return rest
    space, condition, tail = found.groups("")
    if re.search(r"\bor\b", condition, re.IGNORECASE):
        condition = f"({condition})"
    return f"{space}and {condition}{tail}"


def _what_feeds(text: str, match: re.Match[str]) -> list[str]:
    speaker, vehicle = own(text, match, "speaker"), own(text, match, "vehicle")
    of = f" of {vehicle}" if vehicle else ""
    return [f"speakers{of} where speaker = {speaker} show speaker, fed by"]


def _way_numbered(text: str, match: re.Match[str]) -> list[str]:
    """`pin 11 R1 tarn 22 concert`: what follows names a vehicle, or a connector and then that."""
    rest = text[match.end() :]
    named = re.match(r"(?:\s+(?!where\b|and\b|show\b|sorted\b)[^\s=<>~()]+)*", rest, re.I)
    tail = _joined_to(rest[named.end() :] if named else rest)
    words = [one for one in (named[0].split() if named else ()) if not _SMALL.fullmatch(one)]
    which = f"at = {match['number']}"
    head = re.sub(r"^(\s*(?:count\s+)?)pin\b", r"\1pins", own(text, match, "head"), flags=re.I)

    def asked(vehicle: list[str], connector: str | None) -> str:
        of = f" of {' '.join(vehicle)}" if vehicle else ""
        at = f"connector = {connector} and {which}" if connector else which
        return f"{head}{of} where {at}{tail}"

    made = [asked(words, match["connector"])]
    if words and not match["connector"] and _CONNECTOR.fullmatch(words[0]):
        made.append(asked(words[1:], words[0]))
    return made


def _table_sign(text: str, match: re.Match[str]) -> list[str]:
    turned = match["sign"].lower() not in ("=", "is")
    if match["mark"] == "?":
        return [cut(text, match, f"is {'known' if turned else 'unknown'}")]
    return [cut(text, match, f"{'!=' if turned else '='} none")]


def _having(text: str, match: re.Match[str]) -> list[str]:
    what, number = own(text, match, "what"), match["number"]
    head, rest = text[: match.start("mark")].rstrip(), _joined_to(text[match.end() :])
    if number:
        return [f"{head} where {what} = {_number(number)}{rest}"]
    return [f"{head} where any {what}{rest}", f"{head} where {what}{rest}"]


def _without(text: str, match: re.Match[str]) -> list[str]:
    head, rest = text[: match.start()], _joined_to(text[match.end() :])
    what = own(text, match, "what")
    return [f"{head} where {word} {what}{rest}" for word in ("no", "not")]


def _fitting(text: str, match: re.Match[str]) -> list[str]:
    subject, name = own(text, match, "subject"), own(text, match, "name").strip()
    return [cut(text, match, f"{subject} for {name} where fits")]


def _parts_after_with(text: str, match: re.Match[str]) -> list[str]:
    path = " + ".join(re.split(r"\s*\+\s*", own(text, match, "path")))
    return [cut(text, match, f"{own(text, match, 'subject')}{own(text, match, 'on')} with {path}")]


PHRASES: tuple[Mistake, ...] = (
    mistake(
        "decimal comma",
        r"(?P<sign>[<>]=?\s*)(?P<whole>[0-9]+)(?P<mark>,)(?P<part>[0-9]+)",
        "A decimal is written with a point.",
        put("{sign}{whole}.{part}"),
        "speakers where ohms < 4,5",
        "speakers where ohms < 4.5",
    ),
    *VALUE_MISTAKES,
    mistake(
        "values with commas",
        rf"{OPENS}(?P<field>{WORD}(?:\s+(?:by\b|{STOPS}{WORD}))?)\s*=\s*"
        rf"(?P<values>(?P<mark>{ONE}(?:\s*,\s*(?:or\s+)?{ONE})+)){ENDS}",
        "Several values of one field stand in `in ( )`.",
        one_of,
        "speakers where role = tweeter, centre",
        "speakers where role in (tweeter, centre)",
        certain=False,
    ),
    mistake(
        "values with or",
        rf"{OPENS}(?P<field>{WORD}(?:\s+(?:by\b|{STOPS}{WORD}))?)\s*=\s*"
        rf"(?P<values>(?P<mark>{ONE}(?:\s+or\s+{ONE})+)){ENDS}",
        "Several values of one field stand in `in ( )`.",
        one_of,
        "speakers where role = tweeter or centre",
        "speakers where role in (tweeter, centre)",
        certain=False,
        reads=True,
    ),
    mistake(
        "values with or and no sign",
        rf"{OPENS}(?P<field>(?![0-9]){WORD}(?:\s+by\b)?)\s+"
        rf"(?P<values>(?P<mark>{WORD}(?:\s+or\s+{STOPS}{WORD})+)){ENDS}",
        "Several values of one field stand in `in ( )`.",
        one_of,
        "speakers where fed by radio or amp",
        "speakers where fed by in (radio, amp)",
        certain=False,
        reads=True,
    ),
    mistake(
        "quantifier left out",
        rf"(?P<lead>\bwhere\s+|\band\s+|\bor\s+|\bnot\s+|\(\s*)"
        rf"(?P<what>(?!(?:not|in|is|where|between)\b){STOPS}{WORD})\s*(?P<mark>\()",
        "What must hold for the things of a row is said with `any`, `every`, `no` or `at least`.",
        _any_of_them,
        "vehicles where speaker (role = tweeter)",
        "vehicles where any speaker (role = tweeter)",
        certain=False,
    ),
    mistake(
        "pin by its number",
        r"^(?P<head>\s*(?:count\s+)?(?:pins?|ways?))\s+(?P<mark>(?:(?:at|in|on|of|number|no\.?)\s+)?"
        r"(?:(?P<connector>[a-z][\w-]*)[./])?(?P<number>[0-9]+))"
        r"(?=\s|$)(?!\s*(?:awg|ga|gauge|mm2|mm²)\b)",
        "Which way of a connector is the field `at`.",
        _way_numbered,
        "pin 11",
        "pins where at = 11",
    ),
    mistake(
        "in for of",
        rf"^(?P<head>\s*(?:count\s+)?{WORD}\s+)(?P<mark>in|from|at|inside)\s+(?![0-9]{{1,3}}(?:\s|$))(?=\0|{WORD})",
        "Which vehicle is said with `of`.",
        put("{head}of "),
        "speakers in tarn-a where ohms < 4",
        "speakers of tarn-a where ohms < 4",
        certain=False,
    ),
    mistake(
        "with more or fewer",
        rf"^(?P<head>(?:(?!\bwhere\b).)*?)\s(?P<mark>with|having|(?:that|which)\s+have)\s+"
        rf"(?=(?:more\s+than|fewer\s+than|less\s+than|over|under|at\s+(?:least|most))\s+{_NUMBER}\s)",
        "`with` names a kit; how many a row has is a condition of it.",
        put("{head} where "),
        "vehicles with at least 10 speakers",
        "vehicles where at least 10 speakers",
        certain=False,
        reads=True,
    ),
    mistake(
        "at least in words",
        rf"\b(?P<head>at\s+least)\s+(?P<mark>{'|'.join(_NUMBERS)})\b",
        "A number is written in digits.",
        lambda text, match: [
            cut(text, match, own(text, match, "head"), f" {_number(match['mark'])}")
        ],
        "vehicles where at least two speakers (ohms = 4)",
        "vehicles where at least 2 speakers (ohms = 4)",
    ),
    mistake(
        "more than so many",
        rf"{OPENS}(?P<mark>(?:more|greater)\s+than|over)\s+(?P<number>{_NUMBER})\s+(?P<what>{WORD})\s*",
        "So many or more is said with `at least`.",
        _at_least(1),
        "vehicles where more than 2 speakers (ohms = 4)",
        "vehicles where at least 3 speakers (ohms = 4)",
        reads=True,
    ),
    mistake(
        "fewer than so many",
        rf"{OPENS}(?P<mark>(?:less|fewer)\s+than|under)\s+(?P<number>{_NUMBER})\s+(?P<what>{WORD})\s*",
        "Fewer than so many is said with `not at least`.",
        _at_least(0, "not "),
        "vehicles where fewer than 2 speakers (ohms = 4)",
        "vehicles where not at least 2 speakers (ohms = 4)",
        reads=True,
    ),
    mistake(
        "at most so many",
        rf"{OPENS}(?P<mark>at\s+most|no\s+more\s+than)\s+(?P<number>{_NUMBER})\s+(?P<what>{WORD})\s*",
        "At most so many is said with `not at least` and one more.",
        _at_least(1, "not "),
        "vehicles where at most 2 speakers (ohms = 4)",
        "vehicles where not at least 3 speakers (ohms = 4)",
        reads=True,
    ),
    mistake(
        "exactly so many",
        rf"{OPENS}(?P<mark>exactly|just|precisely)\s+(?P<number>{_NUMBER})\s+(?P<what>{WORD})"
        r"\s*(?P<inner>\((?:[^()]|\([^()]*\))*\))?",
        "So many and no more is said with `at least` and `not at least`.",
        _exactly,
        "vehicles where exactly 2 speakers (ohms = 4)",
        "vehicles where (at least 2 speakers (ohms = 4) and not at least 3 speakers (ohms = 4))",
        reads=True,
    ),
    mistake(
        "so many",
        rf"{OPENS}(?P<mark>(?P<number>[0-9]{{1,3}}|{'|'.join(_NUMBERS)}))\s+"
        rf"(?P<what>(?!(?:awg|ga|gauge|mm2|mm²|ohms?|m|metres?|cm|ft|in|min|minutes|h)\b){STOPS}{WORD})"
        rf"(?P<inner>){ENDS}",
        "How many a row has is a field of it, or `at least`.",
        _exactly,
        "vehicles where 10 speakers",
        "vehicles where speakers = 10",
        certain=False,
        reads=True,
    ),
    mistake(
        "a table's own sign",
        rf"(?P<sign>!=|<>|≠|=|\bis\s+not\b|\bis\b)\s*(?P<mark>[–—?]){ENDS}",
        "In a table – is a known nothing, said as `none`, and ? is `unknown`.",
        _table_sign,
        "speakers where ohms = ?",
        "speakers where ohms is unknown",
    ),
    mistake(
        "more than a value",
        r"\s+(?:is\s+)?(?P<mark>(?:more|greater|larger|bigger|higher)\s+than|over|above)\s+(?=[0-9])",
        "More than is `>` here.",
        put(" > "),
        "speakers where ohms more than 4",
        "speakers where ohms > 4",
        reads=True,
    ),
    mistake(
        "less than a value",
        r"\s+(?:is\s+)?(?P<mark>(?:less|smaller|lower)\s+than|under|below)\s+(?=[0-9])",
        "Less than is `<` here.",
        put(" < "),
        "speakers where ohms less than 4",
        "speakers where ohms < 4",
        reads=True,
    ),
    mistake(
        "without",
        rf"\s+(?P<mark>without|lacking)\s+(?:an?\s+|any\s+)?(?P<what>{WORD})",
        "What a row has none of is said with `where no ...`.",
        _without,
        "vehicles without speakers",
        "vehicles where no speakers",
        certain=False,
        reads=True,
    ),
    mistake(
        "with so many or some",
        rf"^(?:(?!\bwhere\b).)*?\s(?P<mark>with|having)\s+(?:(?P<number>{_NUMBER})\s+|an?\s+|some\s+)?"
        rf"(?P<what>{STOPS}(?!any\b){WORD})(?=\s*$|\s+(?:where|sorted|show|first\s+[0-9]+)\b)",
        "`with` names a kit; what a row has is a condition of it.",
        _having,
        "vehicles with 10 speakers",
        "vehicles where speakers = 10",
        certain=False,
        reads=True,
    ),
    mistake(
        "parts after of",
        rf"^\s*(?P<subject>(?:count\s+)?{WORD})\s+of\s+"
        rf"(?P<path>(?:\0+|{WORD})(?P<mark>\s*\+\s*)(?:\0+|{WORD})(?:\s*\+\s*(?:\0+|{WORD}))*)"
        rf"(?P<on>\s+(?:on|for)\s+(?:\0+|{STOPS}{WORD}(?:\s+{STOPS}(?!where\b|first\b){WORD})*)|)",
        "A kit's parts are added to it after `with`.",
        _parts_after_with,
        "leads of oku-b6 + radio-28 on tarn-a",
        "leads on tarn-a with oku-b6 + radio-28",
        certain=False,
    ),
    mistake(
        "what feeds",
        rf"^\s*(?P<mark>(?:what|which(?:\s+unit)?|who)\s+(?:feeds|drives|powers))\s+(?:the\s+)?"
        rf"(?P<speaker>\0+|{WORD})(?:\s+(?:in|of|on|at)\s+(?P<vehicle>\0+|[^=<>~()?]+?))?\s*\??\s*$",
        "What drives a speaker is its field `fed by`.",
        _what_feeds,
        "what feeds door-fl in tarn-a",
        "speakers of tarn-a where speaker = door-fl show speaker, fed by",
    ),
    mistake(
        "that fit",
        rf"^\s*(?P<subject>{WORD})\s+(?P<mark>(?:(?:that|which)\s+)?fit(?:s|ting)?)\s+"
        rf"(?:into\s+|in\s+|on\s+|for\s+)?(?P<name>\0+|{STOPS}{WORD}(?:\s+{STOPS}{WORD})*?)"
        r"(?=\s+(?:sorted|show)\b|\s*$)",
        "What fits a vehicle is asked with `for` and `fits`.",
        _fitting,
        "kits that fit tarn-a",
        "kits for tarn-a where fits",
        certain=False,
    ),
    mistake(
        "that take",
        r"^\s*(?P<count>(?:count\s+)?)(?:vehicles?|cars?|models?)\s+"
        r"(?P<mark>(?:(?:that|which)\s+)?(?:(?:can|will)\s+)?(?:take|accept)s?)\s+(?:the\s+)?(?:kit\s+)?"
        rf"(?P<path>(?:\0+|{WORD})(?:\s*\+\s*(?:\0+|{WORD}))*)(?=\s+(?:sorted|show)\b|\s*$)",
        "Which vehicles a kit goes into is asked with `with` and `fits`.",
        put("{count}vehicles with {path} where fits"),
        "cars that take oku-b6",
        "vehicles with oku-b6 where fits",
        certain=False,
    ),
    mistake(
        "square millimetres",
        r"(?<=[0-9])\s*(?P<mark>mm\s*\^\s*2|sq\.?\s*mm|square\s+mm|qmm|mm\b(?!2|²))",
        "Copper area is written `mm2`.",
        put(" mm2"),
        "pins where size = 2.5 mm^2",
        "pins where size = 2.5 mm2",
        certain=False,
        reads=True,
    ),
)
