"""A document made on a screen passes the same checks as one from a file; here in a form's words."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING, Any

from kb.errors import Refused

if TYPE_CHECKING:
    from kb.documents.findings import Finding
    from tui.browser.sheets import Made


@dataclass(frozen=True)
class Remark:
    """One finding in words, and the sheet, row and column that it is about."""

    level: str
    sentence: str
    place: tuple[str, int, int] | None
    stands_for: int = 1  # how many, where it tells of those that are not listed

    @property
    def is_error(self) -> bool:
        """Whether it keeps the document from being stored."""
        return self.level == "error"


def checked(content: dict[str, Any]) -> Any:
    """The document, read as `add` reads a file; Refused with what is wrong."""
    reading = _read(content)
    if reading.errors:
        first = reading.errors[0]
        more = len(reading.errors) - 1
        raise Refused(
            f"{_place(first.table)}{first.what}; {first.right}."
            + (f" ({more} more like it)" if more else "")
        )
    return reading.documents[0]


def remarks(made: Made) -> list[Remark]:
    """Every finding of a document made of sheets, errors first, what is missing a row at a time."""
    findings = _read(made.content).findings
    missing = [finding for finding in findings if _is_missing(made.content, finding.path)]
    others = [finding for finding in findings if finding not in missing]
    found = [
        *_needed(made, missing),
        *(_in_words(made, finding) for finding in others),
        *_to_look_at(made),
    ]
    return sorted(found, key=lambda one: not one.is_error)


def checked_sheets(made: Made) -> Any:
    """The document of sheets; Refused with the first thing to mend in it."""
    errors = [one for one in remarks(made) if one.is_error]
    if errors:
        more = len(errors) - 1
        raise Refused(f"{errors[0].sentence}." + (f" ({more} more to mend)" if more else ""))
    return checked(made.content)


def _needed(made: Made, missing: list[Finding]) -> Iterator[Remark]:
    for (table, _), group in groupby(missing, key=lambda found: (found.table, found.path[:-1])):
        paths = [found.path for found in group]
        place = made.place(paths[0])
        names = [_heading(made, path) for path in paths]
        listed = names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
        verb = "is" if len(names) == 1 else "are"
        yield Remark("error", f"{_place(table)}{listed} {verb} still needed", place)


def _in_words(made: Made, finding: Finding) -> Remark:
    key = next((part for part in reversed(finding.path) if isinstance(part, str)), "")
    what = finding.what.removeprefix(f"{key}: ")
    heading = _heading(made, finding.path)
    named = f"{heading}: " if heading and what != finding.what else ""
    said = _of_sheets(f"{what}; {finding.right}", str(made.content["kind"]))
    sentence = f"{_place(finding.table)}{named}{said}"
    return Remark(finding.level, sentence, made.place(finding.path), finding.stands_for)


def _to_look_at(made: Made) -> Iterator[Remark]:
    """What a file may well say, and a review asks about: better seen while it is written."""
    from kb.documents.several_ways import LOOK, on_several_ways

    if made.content["kind"] == "vehicle":
        for found in on_several_ways(made.content):
            for way, path in zip(found.ways[1:], found.paths[1:], strict=True):
                sentence = f"{found.pole} is on {found.ways[0]} and {way}: {LOOK}"
                yield Remark("warning", sentence, made.place(path))


def _of_sheets(text: str, kind: str) -> str:
    """What a file calls a table is a row of a sheet here."""
    from tui.browser.sheet_shapes import SHEETS

    for sheet in SHEETS[kind]:
        for name in {sheet.name, sheet.under or sheet.name}:
            text = text.replace(f"no [[{name}]] table", f"no row in the sheet {sheet.title}")
            text = text.replace(f"[[{name}]]", f"a row in the sheet {sheet.title}")
    return text


def _heading(made: Made, path: tuple[str | int, ...]) -> str:
    """A key as its sheet calls it."""
    from tui.browser.sheets import sheet_of

    key = next((str(part) for part in reversed(path) if isinstance(part, str)), "")
    place = made.place(path)
    if place is None:
        return key
    sheet = sheet_of(str(made.content["kind"]), place[0])
    return next((column.heading for column in sheet.columns if column.key == key), key)


def _is_missing(content: Any, path: tuple[str | int, ...]) -> bool:
    """Whether the table of a path is there and lacks its key."""
    value = content
    for part in path[:-1]:
        try:
            value = value[part]
        except (KeyError, IndexError, TypeError):
            return False
    return bool(path) and isinstance(value, dict) and path[-1] not in value


def _read(content: dict[str, Any]) -> Any:
    from kb.documents.findings import Source
    from kb.documents.reading import read_documents

    data = json.dumps(content, ensure_ascii=False).encode("utf-8", "surrogatepass")
    return read_documents([Source("this form", data, "json")])


def _place(table: str) -> str:
    from kb.documents.findings import TOP

    return "" if table == TOP else f"{table}: "
