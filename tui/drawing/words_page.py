"""The catalogue of the query language for a person."""

from __future__ import annotations

from collections.abc import Sequence

from grammar.unparse import write_value
from kb.query.catalogue import Field, Kind, Subject
from kb.query.values import EXAMPLES
from tui.ink import Ink
from tui.tables import table, wrap

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
    width: int,
    ink: Ink,
) -> list[str]:
    """Lines no wider than `width` cells."""
    lines: list[str] = []
    for said, meaning in grammar:
        lines += wrap(meaning, width, " " * 18, first=f"{said:<16}  ")
    for subject in subjects:
        lines += ["", *_subject(subject, width, ink)] if lines else _subject(subject, width, ink)
    return lines


def _subject(subject: Subject, width: int, ink: Ink) -> list[str]:
    lines = [ink("bold", line) for line in wrap(f"{subject.name}: {subject.help}", width)]
    rows = [[INDENT + field.name, _holds(field), _about(field)] for field in subject.fields]
    body = table(["", "", ""], rows, width)[2:]
    lines += body
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
