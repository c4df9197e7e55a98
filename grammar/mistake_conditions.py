"""Known mistakes within one condition: the signs, joins and words of other languages.

A part of `mistake_list`, apart from it because it is read together: what goes between a field and
its value, and between two conditions.
"""

from __future__ import annotations

import re

from grammar.mistake_shapes import VALUE, WORD, Mistake, cut, mistake, own, put


def _like(text: str, match: re.Match[str]) -> list[str]:
    value = own(text, match, "value").strip("\"'“”‘’")
    if not value.strip("*%") or re.search(r"[*%]", value.strip("*%")):
        return []
    if value == value.strip("*%") and "like" in match["mark"].lower() and match["value"][0] == "\0":
        return [cut(text, match, f'= "{value}"')]  # the other language finds the whole of it alone
    if (value[0] in "*%" and value[-1] in "*%") or value == value.strip("*%"):
        return [cut(text, match, f'~ "{value.strip("*%")}"')]
    return []  # `~` would find it anywhere


def _wildcard(text: str, match: re.Match[str]) -> list[str]:
    value = match["value"]
    inner = value.strip("*%")
    anywhere = match["sign"] == "~" or (value[0] in "*%" and value[-1] in "*%")
    if not anywhere or not inner or re.search(r"[*%]", inner):
        return []
    return [cut(text, match, f'~ "{inner}"')]


CONDITION_MISTAKES: tuple[Mistake, ...] = (
    mistake(
        "double equals",
        r"\s*(?P<mark>={2,3})\s*",
        "One equals sign compares here.",
        put(" = "),
        "speakers where role == tweeter",
        "speakers where role = tweeter",
    ),
    mistake(
        "sign turned round",
        r"\s*(?P<mark>=(?P<sign>[<>])|=!)\s*",
        "The equals sign comes last: `<=`, `>=`, `!=`.",
        lambda text, match: [
            f"{text[: match.start()]} {match['sign'] or '!'}= {text[match.end() :]}"
        ],
        "speakers where ohms =< 4",
        "speakers where ohms <= 4",
    ),
    mistake(
        "angle brackets",
        r"\s*(?P<mark><>)\s*",
        "Not equal is `!=` here.",
        put(" != "),
        "speakers where role <> tweeter",
        "speakers where role != tweeter",
    ),
    mistake(
        "tilde and equals",
        r"\s*(?P<mark>=~|~=)\s*",
        "`~` alone means contains.",
        put(" ~ "),
        "speakers where place =~ door",
        "speakers where place ~ door",
    ),
    mistake(
        "ampersands",
        r"\s*(?P<mark>&+)\s*",
        "Joining conditions is said with `and`.",
        put(" and "),
        "speakers where role = tweeter && ohms = 4",
        "speakers where role = tweeter and ohms = 4",
    ),
    mistake(
        "bars",
        r"\s*(?P<mark>\|+)\s*",
        "A choice of conditions is said with `or`.",
        put(" or "),
        "speakers where role = tweeter || ohms = 4",
        "speakers where role = tweeter or ohms = 4",
    ),
    mistake(
        "exclamation mark",
        r"(?P<mark>!)\s*(?=[\w(])",
        "Turning a condition round is said with `not`.",
        put("not "),
        "speakers where !(ohms < 4)",
        "speakers where not (ohms < 4)",
    ),
    mistake(
        "field and colon",
        rf"(?<![\w\-./#°+])(?P<field>(?![0-9]){WORD})(?P<mark>\s*:\s*)(?P<sign>[<>]=?|=)?\s*",
        "A field and its value are joined by `=`.",
        lambda text, match: [
            f"{text[: match.start()]}{match['field']} {match['sign'] or '='} {text[match.end() :]}"
        ],
        "speakers where role:tweeter",
        "speakers where role = tweeter",
    ),
    mistake(
        "like",
        r"(?P<mark>\b(?:i?like|contains|containing|includes|matches|has)\b)\s+"
        r"(?P<value>\0+|[\w\-./#°+*%]+)",
        "Text that contains something is found with `~`, the whole of it with `=`; nothing says "
        "where it begins or ends.",
        _like,
        'vehicles where make like "%hal%"',
        'vehicles where make ~ "hal"',
        reads=True,
    ),
    mistake(
        "wildcard",
        r"(?P<sign>(?<!!)=|~)\s*(?P<value>[\w\-./#°+]*(?P<mark>[*%])[\w\-./#°+*%]*)",
        "There are no wildcards; `~` finds text that contains the value, anywhere.",
        _wildcard,
        "vehicles where model = *tar*",
        'vehicles where model ~ "tar"',
    ),
    mistake(
        "null",
        r"\bis\s+(?P<not>not\s+)?(?P<mark>(?:null|nil|missing|undefined)\b)",
        "What nobody documented is `unknown` here.",
        lambda text, match: [
            f"{text[: match.start()]}is {match['not'] or ''}unknown{text[match.end() :]}"
        ],
        "speakers where ohms is null",
        "speakers where ohms is unknown",
    ),
    mistake(
        "is none",
        r"\bis\s+(?P<not>not\s+)?(?P<mark>(?:none|empty|blank|nothing)\b)",
        "What is known to be absent is `none`; what nobody documented is `unknown`.",
        lambda text, match: [
            f"{text[: match.start()]}{'!=' if match['not'] else '='} none{text[match.end() :]}",
            f"{text[: match.start()]}is {match['not'] or ''}unknown{text[match.end() :]}",
        ],
        "pins where wire is none",
        "pins where wire = none",
    ),
    mistake(
        "is for equals",
        rf"\bis\s+(?P<not>not\s+)?(?P<mark>(?!unknown\b|known\b|not\b){VALUE})",
        "`is` goes with `unknown` and `known` only; a value is compared with `=`.",
        lambda text, match: [
            f"{text[: match.start()]}{'!=' if match['not'] else '='} "
            f"{text[match.start('mark') : match.end('mark')]}{text[match.end() :]}"
        ],
        "speakers where role is tweeter",
        "speakers where role = tweeter",
        certain=False,
    ),
    mistake(
        "not before a sign",
        r"(?P<mark>\bnot\s*=)",
        "Not equal is `!=` here.",
        put("!="),
        "speakers where role not = tweeter",
        "speakers where role != tweeter",
    ),
    mistake(
        "but not",
        r"(?<!\ball)(?<!\bany)(?<!thing)(?<!\bnone)(?<!body)"  # `anything but left` is `not left`
        r"\s+(?P<mark>\b(?:but|(?P<except>except))\b)\s+(?P<not>not\s+)?",
        "Conditions are joined by `and` and `or`.",
        lambda text, match: [
            cut(text, match, " and not " if match["not"] or match["except"] else " and ")
        ],
        "speakers where role = tweeter but not ohms = 4",
        "speakers where role = tweeter and not ohms = 4",
        certain=False,
        reads=True,
    ),
)
