"""The catalogue of the query language for a person."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from grammar.unparse import write_value
from kb.query.catalogue import Field, Kind, Subject
from kb.query.values import EXAMPLES
from tui.ink import Ink
from tui.tables import cells, fit, wrap

INDENT = "  "
_NEEDS = {
    "kit": "with a kit",
    "any kit": "with any kit",
    "vehicle": "for a vehicle",
    "several vehicles": "for several vehicles",
}


def words_page(
    subjects: Sequence[Subject],
    grammar: Sequence[tuple[str, str]],
    facts: Mapping[str, str],
    width: int,
    ink: Ink,
) -> list[str]:
    """Lines no wider than `width` cells; nothing of them is cut off."""
    parts = [_grammar(grammar, width)] if grammar else []
    parts += [_subject(subject, width, ink) for subject in subjects]
    if facts:
        parts.append(_facts(facts, width, ink))
    return [line for part in parts for line in ("", *part)][1:]


def _grammar(grammar: Sequence[tuple[str, str]], width: int) -> list[str]:
    return [
        line
        for said, meaning in grammar
        for line in wrap(meaning, width, " " * 18, first=f"{said:<16}  ")
    ]


def _facts(facts: Mapping[str, str], width: int, ink: Ink) -> list[str]:
    rows = [(INDENT + name.replace("_", " "), help) for name, help in facts.items()]
    title = "when: what the `when` of a kit's setting, or of a step, knows of a job"
    return [*(ink("bold", line) for line in wrap(title, width)), *_columns(rows, width)]


def _columns(rows: Sequence[tuple[str, ...]], width: int) -> list[str]:
    """Columns as wide as they need; the last wraps."""
    wide = [max(map(cells, column)) for column in zip(*rows, strict=True)]
    lines = []
    for row in rows:
        first = "".join(fit(text, size) + "  " for text, size in zip(row[:-1], wide, strict=False))
        lines += wrap(row[-1], width, " " * cells(first), first=first)
    return lines


def _subject(subject: Subject, width: int, ink: Ink) -> list[str]:
    lines = [ink("bold", line) for line in wrap(f"{subject.name}: {subject.help}", width)]
    rows = [(INDENT + field.name, _holds(field), _about(field)) for field in subject.fields]
    lines += _columns(rows, width)
    flags = [flag.name for flag in subject.flags]
    if flags:
        lines += wrap(f"words of their own: {', '.join(flags)}", width, INDENT * 2, first=INDENT)
    if subject.parts:
        inside = ", ".join(subject.parts)
        lines += wrap(f"any / every / no: {inside}", width, INDENT * 2, first=INDENT)
    for field in subject.fields:
        if field.choices:
            said = f"{field.name}: {', '.join(map(write_value, field.choices))}"
            lines += wrap(said, width, INDENT * 2, first=INDENT)
    return lines


def _holds(field: Field) -> str:
    if field.kind in (Kind.TEXT, Kind.CHOICE, Kind.MANY, Kind.UNIT, Kind.WRITTEN):
        return str(field.kind.value)
    return EXAMPLES.get(field.kind, str(field.kind.value))


def _about(field: Field) -> str:
    needs = _NEEDS.get(field.needs)
    about = f"{field.help} ({needs})" if needs else field.help
    return about if field.listed else f"{about}; not listed"
