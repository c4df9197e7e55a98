"""A value without its field or its sign: `at = 3 and 4`, `place ~ left or right`, `ground` alone.

What is offered instead is made only of values that the field can have: numbers that it reads, and
texts that stand in the book. It stands apart because only a query that is refused comes here.
"""

from __future__ import annotations

import re
import sqlite3

from grammar.errors import QueryError
from grammar.tree import Span, Words, word_key
from grammar.unparse import write_value
from kb.query.catalogue import ORDERED, Field, Kind, Subject
from kb.query.hints.absent_values import known_values
from kb.query.lookup import Lookup
from kb.query.subjects import SUBJECTS_BY_WORD
from kb.query.values import Unreadable, read_value, units_of
from kb.query.vehicles import SAID_INSTEAD

_ONE = r"(?:\"[^\"]*\"|[^\s\"(),=<>~!]+(?:[ ](?!and\b|or\b)[^\s\"(),=<>~!]+)?)"
_LISTED = r"[^\s\"'(),=<>~!]+(?:[ ]+[^\s\"'(),=<>~!]+)*?"
_WITH_COMMAS = re.compile(
    rf"(?P<field>[\w-]+(?: [\w-]+)?)\s*(?:!?=)\s*(?P<value>{_LISTED}(?:\s*,\s*{_LISTED})+?)"
    r"(?=\s*$|\)|\s+(?:and|or|sorted|show)\b|\s+first\s+[0-9])",
    re.IGNORECASE,
)
_TURNED = r"(?P<turned>!=|<>|≠|\bis\s+not\b|\bisn[’']?t\b)"
_FIGURES = re.compile(
    rf"(?P<field>[\w-]+(?: [\w-]+)??)\s*(?:{_TURNED}|=+|:|\bis\b|\bequals\b)\s*"
    r"(?P<value>(?P<whole>[0-9]+),(?P<part>[0-9]+))"
    r"(?=\s*$|\s*\)|\s+(?:and|or|sorted|show|first)\b)",
    re.IGNORECASE,
)
_WITH_DECIMALS = frozenset({Kind.OHMS, Kind.AREA, Kind.LENGTH, Kind.MINUTES})
_BEFORE = re.compile(
    rf"(?P<sign>=|~|\bin\b)\s*(?:\((?P<several>[^()]*)\)|(?P<one>{_ONE}))(?P<closed>\))?"
    r"\s+(?P<join>and|or)\s+$",
    re.IGNORECASE,
)
OR_AFTER_NOT = re.compile(r"\bnot\s[^()]*\bor\s+$", re.IGNORECASE)
"""`not place ~ left or`: whether what follows is turned round as well cannot be told."""

_NAMED = re.compile(r"(?P<field>[\w-]+(?: [\w-]+)?)\s*$")
MOST_WORDS = 4
_NAMES = frozenset({"id", "kit", "part", "lead", "speaker", "connector", "panel"})
"""What is named in a scope as well: alone it says no condition."""

_MEASURE = re.compile(r"[0-9.]+(?:/0)?\s*(?P<unit>[a-z²2]+)", re.IGNORECASE)


def meant_by_value(connection: sqlite3.Connection, lookup: Lookup, words: Words) -> str | None:
    """The query with the field and the sign that a value alone was meant with."""
    made = _joined(connection, lookup, words)
    if made is not None:
        return made
    head = lookup.text[: words.span.start]
    before = _BEFORE.search(head)
    unsure = before is not None and before["sign"] == "~"
    if unsure or OR_AFTER_NOT.search(head):
        return None
    from kb.query.hints.choices_meant import choice_meant
    from kb.query.hints.lone_things import thing_meant

    if choice := choice_meant(connection, lookup.subject, words.text):
        return lookup.replaced(words.span, choice)
    return _alone(connection, lookup, words) or thing_meant(connection, lookup, words)


def quoted_whole(connection: sqlite3.Connection, text: str) -> QueryError | None:
    """`audio = concert, 10 speakers`, where the book has the whole as one value."""
    subject = _subject(text)
    for found in _WITH_COMMAS.finditer(text) if subject else ():
        field = _field_named(subject, found["field"]) if subject else None
        if field is None or not _is_free(field):
            continue
        whole = next(
            (
                one
                for one in known_values(connection, field)
                if one.casefold() == found["value"].casefold()
            ),
            None,
        )
        if whole is not None:
            span = Span(*found.span("value"))
            return QueryError(
                "A value that holds a comma is quoted.",
                text,
                span,
                repaired=f"{text[: span.start]}{write_value(found['value'])}{text[span.end :]}",
            )
    return None


def decimal_or_two(text: str) -> QueryError | None:
    """`ohms = 3,2`: 3.2 with its comma, or 3 and 2; whoever typed it knows, and both are told."""
    subject = _subject(text)
    for found in _FIGURES.finditer(text) if subject else ():
        field = _field_named(subject, found["field"]) if subject else None
        if field is None or field.kind not in _WITH_DECIMALS:
            continue
        whole, part = found["whole"], found["part"]
        sign, several = ("!=", "not in") if found["turned"] else ("=", "in")
        return QueryError(
            f"`{whole},{part}` may be one value or two.",
            text,
            Span(*found.span("value")),
            hint=f"`{field.name} {sign} {whole}.{part}` is one, with a decimal point;"
            f" `{field.name} {several} ({whole}, {part})` is two.",
        )
    return None


def _subject(text: str) -> Subject | None:
    words = text.casefold().removeprefix("count ").split()
    return SUBJECTS_BY_WORD.get(words[0]) if words else None


def _field_named(subject: Subject, words: str) -> Field | None:
    """The field whose name the last words are: `where audio` names `audio`."""
    parts = words.casefold().replace("-", "_").split()
    for key in ("_".join(parts), parts[-1]):
        said = (field for field in subject.fields if key in map(word_key, field.said))
        if found := subject.fields_by_key.get(key) or next(said, None):
            return found
    return None


def _is_free(field: Field) -> bool:
    return not field.choices and field.kind in (Kind.TEXT, Kind.MANY)


def _joined(connection: sqlite3.Connection, lookup: Lookup, words: Words) -> str | None:
    """`at = 3 and 4` as `at in (3, 4)`: no row has both; `place ~ front and left` as both."""
    head, tail = lookup.text[: words.span.start], lookup.text[words.span.end :]
    before = _BEFORE.search(head)
    if before is None or (before["sign"].casefold() == "in") != bool(before["several"]):
        return None
    named = _NAMED.search(head[: before.start()])
    field = _field_named(lookup.subject, named["field"]) if named else None
    if named is None or field is None or (field.needs and field.needs not in lookup.given):
        return None
    start = named.start("field")
    if _key(named["field"]) != field.key:
        start = named.end("field") - len(named["field"].split(" ")[-1])
    opened = head[:start]
    if before["sign"] == "~":
        return _held_as_well(connection, field, before, words.text, (opened, head, tail))
    if before["closed"] or not _can_be(connection, field, words.text):
        return None
    one, value = before["one"], write_value(words.text)
    if before["join"].casefold() == "and" and _may_have_both(field, words.text):
        made = f"{field.name} = {one} and {field.name} = {value}" if one else None
    elif one and not _can_be(connection, field, one.strip('"')):
        made = None
    else:
        made = f"{field.name} in ({before['several'] or one}, {value})"
    return f"{opened}{made}{tail}" if made else None


def _held_as_well(
    connection: sqlite3.Connection,
    field: Field,
    before: re.Match[str],
    value: str,
    around: tuple[str, str, str],
) -> str | None:
    """`place ~ left or right` as the same field twice, in parentheses where others stand beside."""
    opened, head, tail = around
    if re.search(r"\bnot\s+$", opened, re.IGNORECASE) or not _is_free(field):
        return None
    known = known_values(connection, field)
    if not any(value.casefold() in one.casefold() for one in known):
        return None
    more = f" {before['join']} {field.name} ~ {write_value(value)}"
    if before["closed"]:
        inside = head[: before.start("closed")].rpartition("(")[2]
        if re.search(r"\b(?:and|not)\b", inside, re.IGNORECASE):
            return None
        return f"{head[: before.start('closed')]}{more}){tail}"
    made = f"{field.name} ~ {before['one']}{more}"
    alone = re.search(r"(?:\bwhere|\()\s*$", opened, re.IGNORECASE) and re.match(
        r"\s*(?:$|\))", tail
    )
    either = before["join"].casefold() == "or"
    return f"{opened}{f'({made})' if either and not alone else made}{tail}"


def _may_have_both(field: Field, value: str) -> bool:
    """Whether a row may have two of it: years of a span, speakers on one wire; no `ground`."""
    return field.kind is Kind.YEARS or (field.kind is Kind.MANY and value[-1:] in "+-")


def _key(words: str) -> str:
    return re.sub(r"[\s-]+", "_", words.casefold())


def _can_be(connection: sqlite3.Connection, field: Field, value: str) -> bool:
    """Whether it is a number that the field reads, or a text that the book has in it."""
    if field.kind in ORDERED:
        try:
            read_value(field, "=", value)
        except Unreadable:
            return False
        return True
    if not _is_free(field):
        return False
    return any(value.casefold() == known.casefold() for known in known_values(connection, field))


def _alone(connection: sqlite3.Connection, lookup: Lookup, words: Words) -> str | None:
    """`4 ohm` as `ohms = 4 ohm`; `ground` as `carries = ground`, where one field alone has it."""
    measure = _MEASURE.fullmatch(words.text)
    fields = [f for f in lookup.subject.fields if not f.needs or f.needs in lookup.given]
    if measure:
        unit = measure["unit"].casefold()
        with_unit = [f for f in fields if {unit, unit.removesuffix("s")} & set(units_of(f))]
        with_unit = [f for f in with_unit if f.kind is not Kind.GAUGE] or with_unit
        names = [field.name for field in with_unit]
        # `size` and `mm2` are the same area; the first is the one that takes each unit.
        name = "size" if "size" in names else names[0] if len(names) == 1 else None
        return lookup.replaced(words.span, f"{name} = {words.text}") if name else None
    value = words.text.casefold()
    if len(value) < 3 or words.text[0].isdigit():
        return None
    holding = [
        (field, known)
        for field in fields
        if _is_free(field) and field.name != "vehicle"
        for known in known_values(connection, field)
        if value == known.casefold()
    ]
    unit = "SELECT unit FROM unit WHERE unit = ? COLLATE NOCASE LIMIT 1"
    of_unit = [field for field in fields if field.kind is Kind.UNIT]
    if of_unit and (named := connection.execute(unit, (words.text,)).fetchone()):
        holding += [(field, named[0]) for field in of_unit]
    if not holding:
        return _part_alone(connection, lookup, words, fields)
    if len(holding) != 1 or holding[0][0].key in _NAMES:
        return None
    return lookup.replaced(words.span, f"{holding[0][0].name} = {write_value(holding[0][1])}")


def _part_alone(
    connection: sqlite3.Connection, lookup: Lookup, words: Words, fields: list[Field]
) -> str | None:
    """`front left` as `place ~ front-left`, where one field alone has these words in its texts."""
    parts = re.findall(r"\w+", words.text.casefold())
    of_flags = {part for flag in lookup.subject.flags for part in flag.key.split("_")}
    if SAID_INSTEAD.issuperset(parts):
        return None
    if lookup.subject.name == "vehicles" or of_flags.issuperset(parts):
        return None  # of vehicles more is known than the words of one field
    texts = [f for f in fields if _is_free(f) and f.key not in _NAMES and f.name != "vehicle"]
    side_by_side = r"[\s_./-]".join(map(re.escape, parts))
    joined = re.compile(rf"(?<!\w){side_by_side}(?!\w)", re.IGNORECASE)
    held: dict[str, set[str]] = {}
    for field in texts:
        found = filter(None, map(joined.search, known_values(connection, field)))
        held |= {field.name: pieces} if (pieces := {one[0] for one in found}) else {}
    if not held:
        return _apart(connection, lookup, words, parts, texts)
    if len(held) != 1:
        return None
    (name, pieces), *_ = held.items()
    return lookup.replaced(words.span, f"{name} ~ {min(pieces)}") if len(pieces) == 1 else None


def _apart(
    connection: sqlite3.Connection,
    lookup: Lookup,
    words: Words,
    parts: list[str],
    texts: list[Field],
) -> str | None:
    """`left front` as both words of one field, where a text has them apart or the other way; a
    whole sentence has too many words to be meant.
    """

    def has_all(known: str) -> bool:
        own = re.findall(r"\w+", known.casefold())
        return len(own) <= MOST_WORDS and set(parts) <= set(own)

    holding = [field for field in texts if any(map(has_all, known_values(connection, field)))]
    if len(parts) < 2 or len(holding) != 1:
        return None
    made = " and ".join(f"{holding[0].name} ~ {part}" for part in parts)
    turned = re.search(r"\bnot\s+$", lookup.text[: words.span.start], re.IGNORECASE)
    return lookup.replaced(words.span, f"({made})" if turned else made)
