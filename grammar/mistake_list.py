"""Known mistakes of people who know another language, and how the same is said here.

One list, used twice: the reporter of errors reads it, and a test walks it (each broken example is
explained by its own entry, each repaired example parses). It is data apart from `mistakes`, which
finds the one that fits, so that an entry can be added without reading any code. Those of a single
condition stand in `mistake_conditions`.
"""

from __future__ import annotations

import re

from grammar.mistake_conditions import CONDITION_MISTAKES
from grammar.mistake_endings import ENDING_MISTAKES
from grammar.mistake_shapes import QUOTED, WORD, Mistake, cut, mistake, own, put


def _select(text: str, match: re.Match[str]) -> list[str]:
    columns = text[match.start("columns") : match.end("columns")].strip()
    subject, rest = match["subject"], text[match.end() :]
    if "distinct" in text[match.start("mark") : match.end("mark")].lower():
        return []  # every row is one thing here; values are told apart by `count ... by`
    if re.fullmatch(r"count\s*\(.*\)", columns, re.IGNORECASE):
        return [f"count {subject}{rest}"]
    if columns == "*":
        return [f"{subject}{rest}"]
    return [f"{subject}{rest} show {columns}"]


_CLAUSE = re.compile(r"(?<=[^\s\"'“‘])\s+(?:where|with|and|or|show|sorted|first)\b", re.IGNORECASE)


def _close_quote(text: str, match: re.Match[str]) -> list[str]:
    """At its end, or before the first clause: `of "tarn 22 concert where role = tweeter`."""
    start = match.start("mark")
    closing = {"“": "”", "”": '"', "‘": "’", "’": "'"}.get(text[start], text[start])
    clause = _CLAUSE.search(text, start)
    made = [f"{text[: clause.start()]}{closing}{text[clause.start() :]}"] if clause else []
    return [*made, text.rstrip() + closing]


def _close_parentheses(text: str, _: re.Match[str]) -> list[str]:
    masked = QUOTED.sub("", text)
    return [text.rstrip() + ")" * max(1, masked.count("(") - masked.count(")"))]


def _drop_parenthesis(text: str, match: re.Match[str]) -> list[str]:
    return [text[: match.start("mark")] + text[match.end("mark") :]]


def _insert_word(text: str, match: re.Match[str]) -> list[str]:
    head, tail = text[: match.start("mark")], text[match.start("mark") :]
    if re.fullmatch(r"[0-9]{1,3}", match["mark"]):
        return [f"{head}where {tail}"]  # a short number is no vehicle
    return [f"{head}where {tail}", f"{head}of {tail}"]


def _scope_first(text: str, match: re.Match[str]) -> list[str]:
    where = text[match.start("where") : match.end("where")].strip()
    scope = text[match.start("scope") : match.end("scope")].strip()
    return [f"{text[: match.start()].rstrip()} {scope} {where}{text[match.end() :]}"]


def _in_parentheses(text: str, match: re.Match[str]) -> list[str]:
    how = "every" if match["how"].lower() in ("all", "each") else match["how"]
    inner = text[match.start("inner") : match.end("inner")]
    what = _one(match["what"]) if how == "every" else match["what"]
    made = [f"{text[: match.start()]}{how}{what} ({inner}){text[match.end() :]}"]
    if how.lower() == "no" and not match["mark"]:
        made.append(f"{text[: match.start()]}not{what} {inner}{text[match.end() :]}")
    return made


def _one(word: str) -> str:
    """`every speaker` is said of `speakers`."""
    return re.sub(r"(?<![si])s$", "", re.sub(r"ies$", "y", word, flags=re.IGNORECASE))


def _joined(text: str, match: re.Match[str]) -> list[str]:
    """With `and`; or, where nothing else stands there than words with commas, with `or`."""
    head, tail = text[: match.start("mark")], text[match.end("mark") :]
    made = [f"{head} and {tail}"]
    where = re.search(r"\bwhere\b", text, re.IGNORECASE)
    if where and _ONLY_WORDS.match(text[where.end() :]):
        made.append(text[: where.end()] + text[where.end() :].replace(",", " or "))
    return made


def _listed(text: str, match: re.Match[str]) -> list[str]:
    """`in (A, B)`; of one word, the value itself, or what holds it."""
    values = own(text, match, "values")
    if "," in values:
        return [cut(text, match, f"in ({values})")]
    return [cut(text, match, f"{sign} {values}") for sign in ("=", "~")]


def _nothing(_text: str, _match: re.Match[str]) -> list[str]:
    return []


_ONLY_WORDS = re.compile(
    r"(?:\s*(?!not\b)[\w-]+(?:\s+(?!not\b|and\b|or\b)[\w-]+)*\s*(?:,|$))+$", re.IGNORECASE
)

MISTAKES: tuple[Mistake, ...] = (
    mistake(
        "sql select",
        rf"^\s*(?P<mark>select\b\s*(?:distinct\b)?)(?P<columns>.+?)\bfrom\s+(?P<subject>{WORD})",
        "This is SQL; here the subject comes first, and `show` names the columns.",
        _select,
        "select * from speakers where ohms < 4",
        "speakers where ohms < 4",
    ),
    mistake(
        "asking verb",
        r"^\s*(?P<mark>(?:select|list|find|get|give|display|search|show|which|what|are|is)\b)"
        r"(?:\s+(?:me|all|the|every|of|there)\b)*\s+",
        "A query begins with its subject, without a verb.",
        lambda text, match: [re.sub(r"(?<=[\w)\"])\s*\?+\s*$", "", cut(text, match))],
        "show me speakers where ohms < 4",
        "speakers where ohms < 4",
    ),
    mistake(
        "how many",
        r"^\s*(?P<mark>how\s+many\b)\s+",
        "Counting is said with `count`.",
        put("count "),
        "how many speakers where ohms < 4",
        "count speakers where ohms < 4",
    ),
    mistake(
        "count in parentheses",
        rf"^\s*count\s*(?P<mark>\(\s*(?:\*|(?P<subject>{WORD}))\s*\))",
        "`count` is followed by the subject, without parentheses.",
        put("count {subject}"),
        "count(speakers) by role",
        "count speakers by role",
    ),
    *CONDITION_MISTAKES,
    mistake(
        "order by",
        rf"(?P<mark>\b(?:order(?:ed)?|sort)(?:\s+by)?\b)\s+(?P<field>{WORD})"
        r"(?:\s+(?:(?P<down>desc(?:ending)?|down)|asc(?:ending)?|up))?",
        "Order is said with `sorted by`, and `down` for the largest first.",
        lambda text, match: [
            f"{text[: match.start()]}sorted by {match['field']}"
            f"{' down' if match['down'] else ''}{text[match.end() :]}"
        ],
        "speakers order by ohms desc",
        "speakers sorted by ohms down",
        reads=True,
    ),
    mistake(
        "descending",
        r"\s+(?P<mark>\bdesc(?:ending)?\b)",
        "The largest first is said with `down`.",
        put(" down"),
        "speakers sorted by ohms desc",
        "speakers sorted by ohms down",
        certain=False,
        reads=True,
    ),
    mistake(
        "ascending",
        r"\s+(?P<mark>\b(?:asc(?:ending)?|up)\b)",
        "The smallest comes first unless `down` says otherwise.",
        put(""),
        "speakers sorted by ohms asc",
        "speakers sorted by ohms",
        certain=False,
        reads=True,
    ),
    mistake(
        "fields joined by and",
        rf"\b(?P<head>(?:show|sorted\s+by)\s+{WORD}[^()=<>~]*?)(?P<mark>\s+and\s+|\s*&\s*)",
        "Between fields stands a comma.",
        put("{head}, "),
        "speakers show place and role",
        "speakers show place, role",
        certain=False,
    ),
    mistake(
        "show all",
        r"\s+show\s+(?P<mark>\*|all\b|everything\b)",
        "Without `show`, all usual columns are shown.",
        put(""),
        "speakers show all",
        "speakers",
        certain=False,
        reads=True,
    ),
    mistake(
        "sorted without by",
        r"\b(?P<mark>sorted)\s+(?!by\b)",
        "Order is said with `sorted by`.",
        put("sorted by "),
        "speakers sorted ohms",
        "speakers sorted by ohms",
    ),
    mistake(
        "limit",
        r"\b(?P<mark>limit|top|head)\s+(?P<number>[0-9]+)\b",
        "The number of rows is said with `first`.",
        put("first {number}"),
        "speakers limit 10",
        "speakers first 10",
        reads=True,
    ),
    mistake(
        "last",
        r"\b(?P<mark>last|bottom)\s+(?P<number>[0-9]+)\b",
        "Rows are taken from the top with `first`; `sorted by FIELD down` turns their order.",
        _nothing,
        "speakers last 10",
        "speakers sorted by speaker down first 10",
        reads=True,
    ),
    mistake(
        "first of no whole number",
        r"\b(?P<mark>first)\b(?=\s*(?:[-+][0-9]|[0-9]*\.[0-9]))",
        "`first` takes a whole number, 1 or more.",
        _nothing,
        "speakers first 2.5",
        "speakers first 2",
        reads=True,
    ),
    mistake(
        "first without a number",
        r"\b(?P<mark>first)\b(?!\s+[0-9])(?=\s*$|\s+\w+\s*$)",
        "`first` takes a whole number in digits, 1 or more.",
        _nothing,
        "speakers first ten",
        "speakers first 10",
        reads=True,
    ),
    mistake(
        "group by",
        rf"^\s*(?:count\s+)?(?P<subject>{WORD})(?P<middle>.*?)\b(?P<mark>group\s+by)\s+(?P<field>{WORD})",
        "Counting by groups is said with `count SUBJECT by FIELD`.",
        put("count {subject} by {field} {middle}"),
        "speakers group by role",
        "count speakers by role",
        reads=True,
    ),
    *ENDING_MISTAKES,
    mistake(
        "all for every",
        rf"\b(?P<mark>all|each|some|a|an|exists)\s+(?P<subject>{WORD})\s*(?=\()",
        "What must hold for the things of a row is said with `every`, `any`, `no` or `at least`.",
        lambda text, match: [
            f"{text[: match.start()]}"
            f"{'every' if match['mark'].lower() in ('all', 'each') else 'any'} "
            f"{_one(match['subject'])} {text[match.end() :]}"
        ],
        "vehicles where all speakers (ohms = 4)",
        "vehicles where every speaker (ohms = 4)",
        certain=False,
    ),
    mistake(
        "quantifier without parentheses",
        rf"\b(?P<head>(?P<how>any|every|no|all|each|at\s+least\s+[0-9]+)(?P<what>\s+{WORD}))\s+"
        rf"(?P<mark>(?:with\s+|where\s+|is\s+|has\s+)?)"
        rf"(?P<inner>{WORD}[^()]*?)(?=\s+(?:and|or|sorted|show|first\s+[0-9]+)\b|$)",
        "What must hold for them goes into parentheses.",
        _in_parentheses,
        "vehicles where any speaker role = tweeter",
        "vehicles where any speaker (role = tweeter)",
        certain=False,
        reads=True,
    ),
    mistake(
        "parts with a comma",
        rf"\bwith\s+(?P<before>(?:\0+|{WORD})(?:\s*\+\s*(?:\0+|{WORD}))*)"
        r"(?P<mark>\s*(?:,|\band\b)\s*)",
        "After `with` stands one kit, its parts added with `+`; `with any kit` asks each kit.",
        put("with {before} + "),
        "speakers with oku-b6, radio-28",
        "speakers with oku-b6 + radio-28",
    ),
    mistake(
        "things with a word",
        rf"\b(?P<head>of|for|on)\s+(?P<before>(?:\0+|{WORD})(?:\s*,\s*(?:\0+|{WORD}))*)"
        r"(?P<mark>\s*(?:\+|\b(?:and|or)\b)\s*)",
        "Several things stand with a comma between.",
        put("{head} {before}, "),
        "speakers of tarn-a and tarn-b",
        "speakers of tarn-a, tarn-b",
        certain=False,
    ),
    mistake(
        "list without parentheses",
        rf"\bin\s+(?P<values>(?P<mark>\0+|{WORD})(?:\s*,\s*(?:\0+|{WORD}))*)",
        "The values of `in` stand in parentheses.",
        _listed,
        "speakers where role in tweeter, midrange",
        "speakers where role in (tweeter, midrange)",
    ),
    mistake(
        "between",
        rf"\bbetween\s+(?P<low>\0+|{WORD}(?:\s+(?!to\b){WORD})?)(?P<mark>\s*(?:,|\bto\b)\s*)",
        "The two ends of `between` are joined by `and`.",
        put("between {low} and "),
        "pins where mm2 between 0.5, 1.5",
        "pins where mm2 between 0.5 and 1.5",
    ),
    mistake(
        "comma between conditions",
        r"\bwhere\b.*?(?P<mark>\s*,\s*)",
        "Conditions are joined by `and` or `or`.",
        _joined,
        "speakers where role = tweeter, ohms = 4",
        "speakers where role = tweeter and ohms = 4",
        certain=False,
    ),
    mistake(
        "scope after where",
        r"(?P<where>\bwhere\b.*?)\s(?P<scope>(?P<mark>of|for|on|with)\b.*?)"
        r"(?=\s+(?:sorted|show|first\s+[0-9]+)\b|$)",
        "What the question is about comes before `where`.",
        _scope_first,
        "speakers where ohms < 4 of tarn-a",
        "speakers of tarn-a where ohms < 4",
        certain=False,
        reads=True,
    ),
    mistake(
        "where left out after a scope",
        rf"\b(?:of|for|on|with)\s+(?:[^=<>~!]*?\s)?(?P<two>{WORD}\s+(?P<mark>{WORD}))\s*(?=[=<>~!])",
        "Conditions come after `where`.",
        lambda text, match: [
            f"{text[: match.start(part)]}where {text[match.start(part) :]}"
            for part in ("mark", "two")
        ],
        "speakers of tarn-a role = tweeter",
        "speakers of tarn-a where role = tweeter",
        certain=False,
    ),
    mistake(
        "other words for where",
        r"\s+(?P<mark>whose|that|which|having|if|when|who)\b(?:\s+(?:are|is|have|has)\b)?",
        "Conditions come after `where`.",
        put(" where"),
        "speakers whose ohms < 4",
        "speakers where ohms < 4",
        certain=False,
    ),
    mistake(
        "quote left open",
        r"(?P<mark>[\"'“”‘’])[^\"'“”‘’\0]*$",
        "A quote is opened here and not closed.",
        _close_quote,
        'vehicles where make = "Halden',
        'vehicles where make = "Halden"',
    ),
    mistake(
        "parenthesis left open",
        r"(?P<open>\([^()]*)(?P<mark>)$",
        "A parenthesis is opened and not closed.",
        _close_parentheses,
        "vehicles where any speaker (ohms < 4",
        "vehicles where any speaker (ohms < 4)",
        certain=False,
    ),
    mistake(
        "parenthesis too many",
        r"(?P<mark>\))",
        "This parenthesis closes nothing.",
        _drop_parenthesis,
        "speakers where ohms < 4)",
        "speakers where ohms < 4",
        certain=False,
    ),
    mistake(
        "where left out before not",
        r"^(?:(?!\bwhere\b).)*?\s(?P<mark>not)\s+(?=\w)",
        "Conditions come after `where`.",
        lambda text, match: [f"{text[: match.start('mark')]}where {text[match.start('mark') :]}"],
        "speakers with oku-b6 not carried",
        "speakers with oku-b6 where not carried",
        certain=False,
    ),
    mistake(
        "where left out",
        rf"^\s*(?:count\s+)?(?!count\b){WORD}\s+"
        rf"(?P<mark>(?!where\b|of\b|for\b|on\b|with\b|by\b|sorted\b|show\b|and\b|or\b){WORD})",
        "Conditions come after `where`, and a vehicle after `of`.",
        _insert_word,
        "speakers ohms < 4",
        "speakers where ohms < 4",
        certain=False,
    ),
)
