"""What was meant by a condition that no field can answer: the same said in a way that runs.

Flags that are compared, `unknown` as a value, `unverified`, two columns without a comma: each gives
the text that keeps the whole sense, or None where that is not sure. Apart from `bind_conditions`,
which refuses them, because these only write text.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from grammar.errors import QueryError
from grammar.tree import (
    Between,
    Compare,
    Condition,
    IsUnknown,
    Mention,
    OneOf,
    Quantified,
    Span,
    Value,
    Words,
    word_key,
)
from grammar.unparse import write_value
from kb.query.catalogue import Field, Flag, Kind, Subject
from kb.query.lookup import Lookup
from kb.query.subjects import SUBJECTS_BY_WORD
from kb.query.values import (
    NEVER_WRITTEN,
    NOTHING,
    SAID_OF_KNOWING,
    asks_for_nothing,
    is_said_of_none,
)

YES, NO = frozenset({"yes", "true", "1", "y"}), frozenset({"no", "false", "0", "n"})
_NOT = re.compile(r"^(?:un|not[-_ ]?|non?[-_ ]?)(?=[a-z])", re.IGNORECASE)
_CLOSES = re.compile(r"\s*(?:$|\)|(?:sorted|show|first)\b)", re.IGNORECASE)
_OPENS = re.compile(r"(?:\bwhere|\()\s*$", re.IGNORECASE)


_OUTCOMES_SAID = {
    "reversed": re.compile(
        r"swapped|(?:reversed?|swapped|wrong|inverted)[ -]polarity|polarity[ -]reversed|inverted",
        re.I,
    ),
    "partial": re.compile(r"(?:partially|partly|half)(?:[ -]carried)?|in part", re.I),
}


def flag_meant(flag: Flag, condition: Compare | OneOf | Between | IsUnknown) -> str | None:
    """`left out = no` as `not left out`."""
    if isinstance(condition, IsUnknown):
        return f"{flag.field} is unknown"
    if not isinstance(condition, Compare) or condition.sign not in ("=", "!="):
        return None
    key = word_key(condition.value.text)
    if key not in YES | NO:
        return None
    turned = (key in NO) != (condition.sign == "!=")
    return f"not {flag.name}" if turned else flag.name


def unknown_meant(field: Field, condition: Condition, text: str) -> str | None:
    """`ohms != null` as `ohms is known`, `ohms in (4, null)` as both ways of it."""
    if isinstance(condition, OneOf):
        return _list_with_unknown(field, condition, text)
    if isinstance(condition, Compare):
        return {"=": f"{field.name} is unknown", "!=": f"{field.name} is known"}.get(condition.sign)
    return None if isinstance(condition, Between) else f"{field.name} is unknown"


def asked_for_nothing(lookup: Lookup, field: Field, value: Value, source: Condition) -> QueryError:
    """The refusal of a word for none, or for what nobody knows, in the place of a value."""
    sentence = f"An unknown `{field.name}` is asked for with `is unknown`."
    meant = unknown_meant(field, source, lookup.text)
    repaired = lookup.replaced(source.span, meant) if meant else None
    if is_said_of_none(field, value.text):
        sentence = "What is known to be absent is `none`; what nobody documented is `unknown`."
        repaired = lookup.replaced(value.span, "none")
    elif word_key(value.text) in NOTHING | NEVER_WRITTEN - {"missing"}:
        sentence = f"Where nobody wrote anything, `{field.name}` is unknown, not none."
    return QueryError(sentence, lookup.text, value.span, repaired=repaired)


def _list_with_unknown(field: Field, condition: OneOf, text: str) -> str:
    others = [value for value in condition.values if not asks_for_nothing(field, value.text)]
    between = text[condition.field.span.end : condition.values[0].span.start]
    turned = re.match(r"\s*not\b", between, re.IGNORECASE) is not None
    if not others:
        return f"{field.name} is {'known' if turned else 'unknown'}"
    listed = ", ".join(write_value(value.text) for value in others)
    made = f"{field.name} = {listed}" if len(others) == 1 else f"{field.name} in ({listed})"
    made += f" or {field.name} is unknown"
    if turned:
        return f"not ({made})"
    span = condition.span
    alone = _OPENS.search(text[: span.start]) and _CLOSES.match(text[span.end :])
    return made if alone else f"({made})"


def turned_flag(subject: Subject, words: Words, usable: Sequence[str]) -> str | None:
    """`unverified` as `not verified`, also where it is misspelt."""
    key = word_key(_NOT.sub("", words.text, count=1))
    if key == words.key:
        return None
    from kb.nearest import nearest

    yes_or_no = [field.key for field in subject.fields if field.kind is Kind.YES]
    key = nearest(key, [*subject.flags_by_key, *yes_or_no]) or key
    name = said_alone(subject, key)
    return f"not {name}" if name in usable else None


def said_alone(subject: Subject, key: str) -> str | None:
    """The word of a subject that is a whole condition: a flag, or a field that is yes or no."""
    flag, field = subject.flags_by_key.get(key), subject.fields_by_key.get(key)
    if flag is not None:
        return flag.name
    return field.name if field is not None and field.kind is Kind.YES else None


def quantified_meant(lookup: Lookup, condition: Quantified) -> str | None:
    """The query with what `no carried`, `no subwoofer` or `any speeker` were meant as.

    A word of the row itself comes before any of its things: `no verified` is `not verified`, and
    `no duties` is `duties = none`.
    """
    from kb.nearest import nearest

    subject = lookup.subject
    turns = {"no": "not ", "any": ""}.get(condition.quantifier)
    if condition.quantifier == "at least" and condition.inner is None:
        field = field_said(subject, condition.subject)
        if field is not None and field.kind is Kind.NUMBER:  # a field that counts
            return lookup.replaced(condition.span, f"{field.name} >= {condition.least}")
    if condition.inner is None and turns is not None:
        alone = said_alone(subject, condition.subject.key)
        value = lookup.of_field(condition.subject.text)
        if alone is None and value is not None:
            alone = f"{value[0].name} = {write_value(value[1])}"
        if alone:
            return lookup.replaced(condition.span, f"{turns}{alone}")
        field = field_said(subject, condition.subject)
        if field is not None and (meant := _has_none(field, turned=not turns)):
            return lookup.replaced(condition.span, meant)
    for name in subject.parts:
        part = SUBJECTS_BY_WORD[name]
        found = _value_of(lookup, part, condition.subject) if condition.inner is None else None
        several = condition.quantifier == "at least" and condition.least > 1
        if found is not None and several and found[0].kind is Kind.UNIT:
            continue  # three speakers that an amplifier feeds are no three amplifiers
        if found is not None:
            inside = f"{found[0].name} = {write_value(found[1])}"
            name = part.name if several else part.singular
            return lookup.replaced(condition.subject.span, f"{name} ({inside})")
        if condition.subject.key in part.said:  # `any part` of a kit is one of its leads
            return lookup.replaced(condition.subject.span, part.singular)
    near = nearest(condition.subject.key, subject.parts)
    return lookup.replaced(condition.subject.span, near) if near else None


def _value_of(lookup: Lookup, part: Subject, words: Words) -> tuple[Field, str] | None:
    """A value of a field of a part, also by a word out of it: `emergency` of `emergency-call`."""
    from kb.query.hints.choices_meant import part_of_choice

    return lookup.of_field(words.text, part) or part_of_choice(part, words.text)


def quantified_wrongly(lookup: Lookup, condition: Quantified) -> str:
    """Why `no duties` cannot be asked: a field, or a value of one, is no thing of the row."""
    subject, words = lookup.subject, condition.subject
    if field_said(subject, words) is not None:
        return f"`{words.text}` is a field of {subject.name}, and is compared with a value."
    if lookup.of_field(words.text) is not None:
        return f"`{words.text}` is a value, and stands with its field."
    return f"{subject.name.capitalize()} have no `{words.text}` to look at."


def field_said(subject: Subject, words: Words) -> Field | None:
    """The field of a subject that words name, also by what else it is called."""
    said = (field for field in subject.fields if words.key in map(word_key, field.said))
    return subject.fields_by_key.get(words.key) or next(said, None)


def _has_none(field: Field, *, turned: bool) -> str | None:
    """That a row has none of a field, or some; of what is never none, that it is known."""
    if field.kind is Kind.NUMBER:
        return f"{field.name} {'>' if turned else '='} 0"
    if field.none:
        return f"{field.name} {'!=' if turned else '='} none"
    return None if field.known else f"{field.name} is {'known' if turned else 'unknown'}"


def counted_meant(subject: Subject, words: Words) -> str | None:
    """`disputed` as `disputes > 0`: a word for what has some of what a field counts."""
    turned = _NOT.match(words.text) is not None
    key = word_key(_NOT.sub("", words.text, count=1))
    for field in subject.fields:
        if field.kind is Kind.NUMBER and key in (field.key, f"{field.key.removesuffix('s')}d"):
            return f"{'not ' if turned else ''}{field.name} > 0"
    return None


def flag_said(subject: Subject, words: Words) -> str | None:
    """`swapped` as `reversed`: an outcome by another word of the trade."""
    name = next((flag for flag, said in _OUTCOMES_SAID.items() if said.fullmatch(words.text)), None)
    return name if name in subject.flags_by_key else None


def value_meant(field: Field, condition: Condition, text: str) -> str | None:
    """`role = nontweeter` as `role != tweeter`, `role = tweeter/woofer` as both of them."""
    several = [field.choices_by_key.get(word_key(one)) for one in re.split(r"[/;]", text) if one]
    if len(several) > 1 and None not in several and isinstance(condition, Compare | Mention):
        sign = condition.sign if isinstance(condition, Compare) else "="
        among = {"=": "in", "!=": "not in"}.get(sign)
        listed = ", ".join(write_value(one) for one in several if one)
        return f"{field.name} {among} ({listed})" if among else None
    key = word_key(_NOT.sub("", text, count=1))
    value = field.choices_by_key.get(key) or field.choices_by_key.get(key.removeprefix("_"))
    if value is None or key == word_key(text):
        return None
    if isinstance(condition, Compare) and condition.sign != "=":
        return None
    if isinstance(condition, OneOf | Between):
        return None
    return f"{field.name} != {write_value(value)}"


def is_turned(words: Words) -> bool:
    """Whether the words begin as their own opposite: a near word would drop that."""
    return _NOT.match(words.text) is not None or "-" in (words.key[0], words.key[-1])


def known_or_not(subject: Subject, words: Words) -> str | None:
    """`unknown ohms` as `ohms is unknown`."""
    head, rest = word_key(words.parts[0]), word_key(" ".join(words.parts[1:]))
    field = subject.fields_by_key.get(rest)
    if field is None:  # or after it: `ohms missing`
        head, rest = word_key(words.parts[-1]), word_key(" ".join(words.parts[:-1]))
        field = subject.fields_by_key.get(rest)
    if field is None or head not in SAID_OF_KNOWING:
        return None
    return f"{field.name} is {'known' if head in ('known', 'documented') else 'unknown'}"


_COMPARED = re.compile(
    r"(?P<field>[a-z][\w-]*(?: (?!(?:and|or|not)\b)[\w-]+)?)\s*"
    r"(?:[<>]=?|!=|=|~|\b(?:in|between)\b)[^()]*?\s+(?P<join>or|and)\s+(?:not\s+)?$",
    re.IGNORECASE,
)


def unknown_after(subject: Subject, text: str, words: Words) -> QueryError | None:
    """`ohms > 4 or unknown` without a kit: of which field it is `unknown` stands before it."""
    if words.key != "unknown":
        return None
    head = text[: words.span.start]
    starts = [0, *(found.end() for found in re.finditer(r"\b(?:and|or|where)\s+|\(", head, re.I))]
    compared = next(filter(None, (_COMPARED.match(head, at) for at in reversed(starts))), None)
    field = compared and field_said(subject, Words(tuple(compared["field"].split()), words.span))
    if not compared or not field or field.known:
        return None
    told = f"{field.name} is unknown"
    joined = compared["join"].casefold() == "or"
    return QueryError(
        f"`unknown` alone is said of what a kit does; of a field, `{told}`.",
        text,
        words.span,
        hint=f"`{told}` finds what nobody documented.",
        repaired=f"{head}{told}{text[words.span.end :]}" if joined else None,
    )


def several_fields(subject: Subject, words: Words) -> str | None:
    """Fields that stand one after the other, with commas between; None where some are none."""
    parts, made = list(words.parts), []
    while parts:
        for length in range(len(parts), 0, -1):
            field = subject.fields_by_key.get(word_key(" ".join(parts[:length])))
            if field is not None:
                made.append(field.name)
                parts = parts[length:]
                break
        else:
            return None
    return ", ".join(made) if len(made) > 1 else None


def _as_typed(field: Field) -> str:
    return r"[\s_-]+".join(map(re.escape, field.name.split()))


def compared_before(field: Field, text: str, span: Span) -> bool:
    """Whether the field stands before a place within the same parentheses."""
    return (
        re.search(rf"(?<!\w){_as_typed(field)}(?!\w)[^()]*$", text[: span.start], re.I) is not None
    )


def one_more_value(field: Field, value: str, text: str, span: Span) -> str | None:
    """`role = tweeter and woofer` as `role in (tweeter, woofer)`: no row has both as its role."""
    if field.kind not in (Kind.CHOICE, Kind.UNIT):
        return None
    one = r"(?:[\w-]+|\"[^\"]*\")"
    before = re.search(
        rf"(?<!\w)(?P<field>{_as_typed(field)})\s*(?:\bin\s*\((?P<several>[^()]*)\)|=?\s*(?P<one>{one}))"
        r"\s+and\s+$",
        text[: span.start],
        re.IGNORECASE,
    )
    if before is None:
        return None
    values = f"{before['several'] or before['one']}, {write_value(value)}"
    return f"{text[: before.start()]}{field.name} in ({values}){text[span.end :]}"


def dotted(words: Words) -> tuple[str, str] | None:
    """The thing and the field of `speaker.role`."""
    thing, dot, name = words.text.partition(".")
    return (word_key(thing), word_key(name)) if dot and thing and name else None
