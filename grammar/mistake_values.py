"""Known mistakes around the values of a condition: several of them, ranges, what is turned round.

A part of the phrases of the trade, apart from `mistake_phrases` because all of it is about one
field and what it is compared with. Whatever turns a condition round must still do so in the repair.
"""

from __future__ import annotations

import re

from grammar.mistake_shapes import CONTRACTED, WORD, Mistake, cut, mistake, own, put

OPENS = r"(?P<lead>\bwhere\s+|\band\s+|\bor\s+|\bnot\s+|\(\s*)"
ENDS = r"(?=\s*(?:$|\)|\b(?:and|or|sorted|show)\b|\bfirst\s+[0-9]))"
STOPS = r"(?!and\b|or\b|of\b|on\b|for\b|with\b|by\b|in\b|sorted\b|show\b)"
ONE = rf"(?:\0+|{STOPS}{WORD}(?:[ ]+{STOPS}{WORD})?)"
FIELD = rf"(?P<field>{WORD}(?:\s+(?:by\b|{STOPS}(?!not\b|is\b|does\b){WORD}))?)"
_NO_VALUE = (
    r"(?!\s*(?:in|between|known|unknown|i?like|contain|includ|match|start|begin|end|ha[sv]|~))"
)
_ISNT = rf"{CONTRACTED}{_NO_VALUE}"
_IS_NOT = (
    rf"(?:!=|<>|≠|\bnot\s*=|=\s*not\b|\bis\s+not\b(?!\s+between\b)|{_ISNT}|\bnever\b"
    r"|\b(?:does\s+)?not\s+equals?(?:\s+to)?\b|\bnot\b(?!\s*(?:in|between|~|i?like|contain)))"
)
_MORE, _LESS = r"(?:more|greater|larger|bigger|higher)", r"(?:less|fewer|smaller|lower)"
_NEXT = r"(?!(?:any|every|no|not|at)\b)"
_LONGEST_RANGE = 40
_NUMBER = r"[0-9]+(?:\.[0-9]+)?"
_UNIT = r"(?:[ ]*(?:awg|mm2|ohms?|m|cm|ft|in|min|h)\b)?"


def _listed(text: str, match: re.Match[str], word: str) -> list[str]:
    parts = re.split(
        r"\s*,\s*(?:(?:or|and|nor)\s+)?|\s+(?:or|and|nor)\s+",
        own(text, match, "values"),
        flags=re.IGNORECASE,
    )
    field = own(text, match, "field")
    return [cut(text, match, own(text, match, "lead"), f"{field} {word} ({', '.join(parts)})")]


def _any_held(text: str, match: re.Match[str]) -> list[str]:
    parts = re.split(r"\s*,\s*(?:or\s+)?", own(text, match, "values"), flags=re.IGNORECASE)
    each = " or ".join(f"{own(text, match, 'field')} ~ {part}" for part in parts)
    return [cut(text, match, own(text, match, "lead"), f"({each})")]


def one_of(text: str, match: re.Match[str]) -> list[str]:
    """`FIELD in (A, B)`."""
    return _listed(text, match, "in")


def _none_of(text: str, match: re.Match[str]) -> list[str]:
    return _listed(text, match, "not in")


def _figures(text: str, match: re.Match[str]) -> list[str]:
    """`at = 3,4` as two values; as a decimal where a unit follows, or where that alone runs."""
    head = f"{own(text, match, 'lead')}{own(text, match, 'field')}"
    whole, part, unit = match["whole"], match["part"], match["unit"]
    several = "not in" if match["sign"] == "!=" else "in"
    two = cut(text, match, f"{head} {several} ({whole}, {part}{unit})")
    decimal = cut(text, match, f"{head} {match['sign']} {whole}.{part}{unit}")
    return [decimal, two] if unit else [two, decimal]


def _not_holding(text: str, match: re.Match[str]) -> list[str]:
    value = own(text, match, "value").strip("\"'“”‘’")
    if "~" not in match["mark"] and (value[:1] in "*%") != (value[-1:] in "*%"):
        return []  # how a text begins or ends: `~` would find it anywhere
    field = own(text, match, "field")
    whole = value == value.strip("*%") and match["value"].startswith("\0")
    if whole and re.search("like", match["mark"], re.IGNORECASE):
        return [cut(text, match, own(text, match, "lead"), f'{field} != "{value}"')]
    value = value.strip("*%")
    return [cut(text, match, own(text, match, "lead"), f'not {field} ~ "{value}"')]


def _field_again(text: str, match: re.Match[str]) -> list[str]:
    at = match.start("mark")
    return [f"{text[:at]}{own(text, match, 'field')} {text[at:]}"]


def _side_by_side(text: str, match: re.Match[str]) -> list[str]:
    several = "not in" if match["sign"] == "!=" else "in"
    return [cut(text, match, f"{several} ({', '.join(match['mark'].split())})")]


def _range(text: str, match: re.Match[str]) -> list[str]:
    """From one to the other; whole numbers one by one, for a field whose numbers are names."""
    low, high = own(text, match, "low"), own(text, match, "high")
    made = [cut(text, match, f" between {low} and {high}")]
    if low.isdigit() and high.isdigit() and 0 < int(high) - int(low) < _LONGEST_RANGE:
        each = ", ".join(str(one) for one in range(int(low), int(high) + 1))
        made.append(cut(text, match, f" in ({each})"))
    return made


def _by_copper(text: str, match: re.Match[str]) -> list[str]:
    """What is thicker by its copper: a smaller gauge."""
    gauge = own(text, match, "field").casefold() in ("awg", "gauge")
    unit = own(text, match, "unit") or (" awg" if gauge else "")
    sign = "<" if "n" in match["than"] else ">"
    lead, value = own(text, match, "lead"), own(text, match, "value")
    return [cut(text, match, f"{lead}size {sign} {value}{unit}")]


def _counted(text: str, match: re.Match[str]) -> list[str]:
    lead, what = own(text, match, "lead"), own(text, match, "what")
    sign, number = match["sign"], int(match["number"])
    made = [cut(text, match, f"{lead}{what} {sign} {number}")]
    least = {">": ("", number + 1), ">=": ("", number), "<": ("not ", number)}.get(sign)
    if least is not None and least[1] > 0:
        made.append(cut(text, match, f"{lead}{least[0]}at least {least[1]} {what}"))
    return made


VALUE_MISTAKES: tuple[Mistake, ...] = (
    mistake(
        "starts with",
        r"(?P<mark>\b(?:(?:does\s+not|doesn[’']?t)\s+)?"
        r"(?:(?:start|begin|end)(?:s|n?ing)?|starting|beginning)\s+with\b)",
        "Nothing says how a text begins or ends; `~` finds text that contains the value, anywhere.",
        lambda _text, _match: [],
        "vehicles where make starts with hal",
        "vehicles where make ~ hal",
    ),
    mistake(
        "comma between figures",
        rf"{OPENS}{FIELD}\s*(?P<sign>!?=)\s*(?P<mark>(?P<whole>[0-9]+),(?P<part>[0-9]+))"
        rf"(?P<unit>{_UNIT}){ENDS}",
        "A decimal is written with a point; several values stand in `in ( )`.",
        _figures,
        "speakers where ohms = 4,8",
        "speakers where ohms in (4, 8)",
    ),
    mistake(
        "not equal to several",
        rf"{OPENS}{FIELD}\s*{_IS_NOT}\s*"
        rf"(?P<values>(?P<mark>{ONE}(?:\s*,\s*(?:(?:or|and|nor)\s+)?{_NEXT}{ONE}"
        rf"|\s+(?:or|and|nor)\s+{_NEXT}{ONE})+)){ENDS}",
        "Not equal to any of several values is said with `not in ( )`.",
        _none_of,
        "speakers where role != tweeter, centre",
        "speakers where role not in (tweeter, centre)",
        certain=False,
        reads=True,
    ),
    mistake(
        "not before a value",
        rf"{OPENS}{FIELD}\s*(?P<mark>=\s*not?\b|{_ISNT}(?:\s*=|\s+equals?\b(?:\s+to\b)?)?"
        rf"|\bnever\b|(?<=by)\s+no\b|\b(?:does\s+)?not\s+equals?(?:\s+to)?\b|\bnot\b"
        rf"(?!\s*(?:in|between|known|unknown|equals?|i?like|contains?)\b))\s*"
        rf"(?P<value>{ONE}){ENDS}",
        "Not equal is `!=` here.",
        put("{lead}{field} != {value}"),
        "speakers where role not tweeter",
        "speakers where role != tweeter",
        certain=False,
        reads=True,
    ),
    mistake(
        "between two signs",
        rf"{OPENS}(?P<low>{_NUMBER}{_UNIT})\s*(?P<one><=?)\s*{FIELD}\s*(?P<mark><=?)\s*"
        rf"(?P<high>{_NUMBER}{_UNIT})",
        "A field stands before its sign, once for each sign.",
        lambda text, match: [
            cut(
                text,
                match,
                f"{own(text, match, 'lead')}({own(text, match, 'field')} >{match['one'][1:]} "
                f"{match['low']} and {own(text, match, 'field')} {match['mark']} {match['high']})",
            )
        ],
        "speakers where 2 < ohms < 6",
        "speakers where (ohms > 2 and ohms < 6)",
        certain=False,
    ),
    mistake(
        "does not contain",
        rf"{OPENS}{FIELD}\s+(?P<mark>(?:(?:does\s+)?not|doesn[’']?t)\s*(?:~|\b(?:i?like|contain(?:s|ing)?|"
        rf"includ(?:e|es|ing)|match(?:es)?)\b))\s*(?P<value>\0+|%?{WORD}%?)",
        "Text that does not contain something is said with `not` before the field, and `~`.",
        _not_holding,
        "speakers where place not ~ door",
        'speakers where not place ~ "door"',
    ),
    mistake(
        "thicker or thinner",
        rf"{OPENS}(?:(?P<field>awg|gauge|size|wire\s+size|mm2|area)\s+)?(?:is\s+)?"
        r"(?P<mark>(?P<than>thick|thinn|fatt)er\s+than)\s+(?P<value>[0-9]+(?:\.[0-9]+)?(?:/0)?)"
        r"(?P<unit>\s*(?:awg|mm2)\b)?",
        "Thicker is `size >`, and thinner `size <`, also of sizes in awg.",
        _by_copper,
        "pins where size thicker than 12 awg",
        "pins where size > 12 awg",
        reads=True,
    ),
    mistake(
        "more or less of a gauge",
        rf"{OPENS}(?:awg|gauge)\s+(?:is\s+)?(?P<mark>(?:{_MORE}|{_LESS})\s+than|over|above|under|below"
        r"|at\s+(?:least|most)|up\s+to)\s+(?=[0-9])",
        "A smaller `awg` is a thicker wire: `size <` finds thinner ones, and `size >` thicker.",
        lambda _text, _match: [],
        "pins where awg smaller than 12",
        "pins where size < 12 awg",
        reads=True,
    ),
    mistake(
        "at least a value",
        rf"{OPENS}{FIELD}\s+(?:is\s+)?(?P<mark>at\s+least|since|from|not?\s+(?:less|fewer|smaller)\s+than"
        rf"|{_MORE}\s+than\s+or\s+equals?(?:\s+to)?|equals?\s+(?:to\s+)?or\s+{_MORE}\s+than)"
        r"\s+(?=[0-9]|\0)",
        "At least a value is `>=` here.",
        put("{lead}{field} >= "),
        "speakers where ohms at least 4",
        "speakers where ohms >= 4",
        reads=True,
    ),
    mistake(
        "at most a value",
        rf"{OPENS}{FIELD}\s+(?:is\s+)?(?P<mark>at\s+most|up\s+to|until|till|not?\s+{_MORE}\s+than"
        rf"|{_LESS}\s+than\s+or\s+equals?(?:\s+to)?|equals?\s+(?:to\s+)?or\s+{_LESS}\s+than)"
        r"\s+(?=[0-9]|\0)",
        "At most a value is `<=` here.",
        put("{lead}{field} <= "),
        "speakers where ohms at most 4",
        "speakers where ohms <= 4",
        reads=True,
    ),
    mistake(
        "after a year",
        rf"{OPENS}{FIELD}\s+(?:is\s+)?(?P<mark>after|(?:later|newer)\s+than)\s+(?=[0-9]|\0)",
        "After is `>` here.",
        put("{lead}{field} > "),
        "vehicles where year after 2020",
        "vehicles where year > 2020",
        reads=True,
    ),
    mistake(
        "before a year",
        rf"{OPENS}{FIELD}\s+(?:is\s+)?(?P<mark>before|earlier\s+than)\s+(?=[0-9]|\0)",
        "Before is `<` here.",
        put("{lead}{field} < "),
        "vehicles where year before 2020",
        "vehicles where year < 2020",
        reads=True,
    ),
    mistake(
        "on a date",
        rf"{OPENS}{FIELD}\s+(?P<mark>(?:on|at)(?:\s+the)?)\s+(?=[0-9]{{4}}-)",
        "A date is compared with `=`.",
        put("{lead}{field} = "),
        "entries where submitted on 2026-03-14",
        "entries where submitted = 2026-03-14",
        reads=True,
    ),
    mistake(
        "is before between",
        rf"{OPENS}{FIELD}\s+(?P<mark>is)\s+(?=between\b)",
        "`between` follows its field.",
        put("{lead}{field} "),
        "speakers where ohms is between 3 and 5",
        "speakers where ohms between 3 and 5",
    ),
    mistake(
        "is before a sign",
        rf"{OPENS}{FIELD}\s+(?P<mark>is)\s*(?=[<>=!~])",
        "A sign follows its field.",
        put("{lead}{field} "),
        "speakers where ohms is < 4",
        "speakers where ohms < 4",
    ),
    mistake(
        "not after its field",
        rf"{OPENS}{FIELD}\s+(?P<mark>(?:is\s+)?not)\s*(?=[<>]=?|~)",
        "What turns a condition round stands before its field.",
        put("{lead}not {field} "),
        "speakers where ohms not < 4",
        "speakers where not ohms < 4",
    ),
    mistake(
        "not between",
        rf"{OPENS}{FIELD}\s+(?P<mark>(?:is\s+)?not)\s+between\b",
        "What turns a condition round stands before its field.",
        put("{lead}not {field} between"),
        "speakers where ohms not between 4 and 8",
        "speakers where not ohms between 4 and 8",
    ),
    mistake(
        "second sign without a field",
        rf"{OPENS}{FIELD}\s*(?:[<>=!]=?|~)\s*{ONE}\s+(?:and|or|but)\s+(?P<mark>)(?=[<>=!~≠])",
        "Each sign stands after its field, also where that is the same.",
        _field_again,
        "speakers where ohms > 2 and < 6",
        "speakers where ohms > 2 and ohms < 6",
        certain=False,
    ),
    mistake(
        "a range",
        rf"\s*(?P<mark>(?:(?<![!<>])=|\bin\b|\bfrom\b|\bis\b)\s*\(?(?P<low>{_NUMBER}{_UNIT})"
        rf"\s*(?:-|–|\.\.\.?|\bto\b|\bthrough\b|\btill\b)\s*(?P<high>(?!0[0-9]){_NUMBER}{_UNIT})"
        rf"\)?){ENDS}",
        "From one value to another is said with `between`, or each by itself with `in ( )`.",
        _range,
        "vehicles where year = 2019-2023",
        "vehicles where year between 2019 and 2023",
        certain=False,
        reads=True,
    ),
    mistake(
        "contains with commas",
        rf"{OPENS}{FIELD}\s*~\s*(?P<values>(?P<mark>{ONE}(?:\s*,\s*(?:or\s+)?{ONE})+)){ENDS}",
        "Text that contains one or another is said with `~` for each, and `or` between.",
        _any_held,
        "speakers where place ~ door, dash",
        "speakers where (place ~ door or place ~ dash)",
        certain=False,
    ),
    mistake(
        "values side by side",
        rf"(?P<sign>!?=)\s*(?P<mark>[0-9]+(?:\s+[0-9]+)+){ENDS}",
        "Several values of one field stand in `in ( )`.",
        _side_by_side,
        "pins where at = 3 4",
        "pins where at in (3, 4)",
        certain=False,
        reads=True,
    ),
    mistake(
        "count in a condition",
        rf"{OPENS}(?P<mark>(?:count|number)\s+(?:of\s+)?)(?P<what>{WORD})\s*"
        rf"(?P<sign>[<>]=?|=)\s*(?P<number>[0-9]{{1,4}}){ENDS}",
        "`count` begins a question; how many a row has is a field of it, or `at least`.",
        _counted,
        "vehicles where count speakers > 4",
        "vehicles where speakers > 4",
        certain=False,
        reads=True,
    ),
    mistake(
        "split after where",
        rf"^(?P<head>\s*count\s+{WORD}.*?)(?P<where>\s+where\b.*?)\s+(?P<mark>by)\s+"
        r"(?P<field>[^=<>~()]+?)(?=\s+(?:sorted|show|first)\b|\s*$)",
        "What splits a count stands before `where`.",
        put("{head} by {field}{where}"),
        "count speakers where role = tweeter by vehicle",
        "count speakers by vehicle where role = tweeter",
        certain=False,
        reads=True,
    ),
)
