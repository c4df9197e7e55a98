"""The answer of `ask` for a person: a table that fits the terminal, and what it does not say.

Columns that hold the same in every row move into one line above. Where the rest is still too wide,
the columns that are missed least give way, and a line names them. A single row is written down the
page.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from grammar.tree import Compare, Path, all_conditions
from kb.query.bind import COUNT
from kb.query.catalogue import Kind
from kb.query.run import Answer
from kb.query.signs import SHOWN_DIGITS
from tui.clean import clean
from tui.drawing.giving_way import giving_way, names_of_rows
from tui.drawing.runs_page import MARKS, STYLES
from tui.ink import Ink
from tui.tables import cells, table, wrap

NONE = "–"
UNKNOWN = "?"
WIDEST = 30
HASH_SHOWN = 12
GAP = 2
BEFORE_HIT = 12
"""Characters of all that is written before the word that was looked for."""


def answer_page(answer: Answer, width: int, ink: Ink) -> list[str]:
    """Lines no wider than `width` cells."""
    lines: list[str] = []
    for note in answer.notes:
        lines += [ink("warn", line) for line in wrap(note, width)]
    if answer.notes:
        lines.append("")
    if answer.rows and not answer.why_empty and answer.columns != ("count",):
        lines += _rows(answer, width, ink)
        lines.append("")
    return lines + _last_lines(answer, width, ink)


def _rows(answer: Answer, width: int, ink: Ink) -> list[str]:
    sought = _sought(answer)
    texts = [
        [
            _around(row[key], sought) if kind is Kind.WRITTEN else shown(kind, row[key])
            for key, kind in zip(answer.columns, answer.kinds, strict=True)
        ]
        for row in answer.rows
    ]
    if len(texts) == 1 and len(answer.columns) > 1:
        return _one_row(answer, texts[0], width, ink)
    same = same_everywhere(answer, texts)
    if len(same) == len(answer.columns):
        same = []  # rows that differ in nothing that is listed still are rows
    columns = [c for c in range(len(answer.columns)) if c not in same]
    columns, hidden = _that_fit(answer, texts, columns, width)
    lines = []
    if same:
        said = ", ".join(f"{answer.headings[c]} {texts[0][c]}" for c in same)
        lines += [ink("dim", line) for line in wrap(f"In every row: {said}", width, "  ")]
    headings = [answer.headings[c] for c in columns]
    rows = [[row[c] for c in columns] for row in texts]
    lines += table(headings, rows, width, lambda row, _column, text: _paint(row, text, ink))
    if hidden:
        names = ", ".join(answer.headings[c] for c in hidden)
        lines += [
            ink("dim", line)
            for line in wrap(f"Not shown for want of room: {names} (`show` picks columns).", width)
        ]
    return lines


def _sought(answer: Answer) -> list[str]:
    """The phrases that `~` looks for in all that is written."""
    where = None if answer.bound is None else answer.bound.query.where
    return [
        one.value.text.strip().casefold()
        for one in all_conditions(where)
        if isinstance(one, Compare) and one.sign == "~" and one.field.key == "text"
    ]


def _around(text: str, sought: list[str]) -> str:
    """All that is written, as one line that begins a little before the first phrase sought."""
    line = " · ".join(clean(piece) for piece in text.splitlines() if piece.strip())
    found = [at for at in (line.casefold().find(word) for word in sought) if at >= 0]
    start = max(0, min(found, default=0) - BEFORE_HIT)
    return f"…{line[start:]}" if start else line


def _one_row(answer: Answer, texts: list[str], width: int, ink: Ink) -> list[str]:
    longest = max(cells(heading) for heading in answer.headings)
    lines = []
    for heading, text in zip(answer.headings, texts, strict=True):
        head = heading + " " * (longest - cells(heading) + GAP)
        made = wrap(text, width, " " * (longest + GAP), first=head)
        lines += [line.replace(text, _paint(0, text, ink), 1) for line in made]
    return lines


def same_everywhere(answer: Answer, texts: Sequence[Sequence[str]]) -> list[int]:
    """The columns that hold the same in every row and that nobody asked to see: said once.

    A count was asked for by its first word.
    """
    asked = answer.bound is not None and bool(answer.bound.query.show)
    if asked or len(texts) < 2:
        return []
    first = texts[0]
    return [
        column
        for column, name in enumerate(answer.columns)
        if name != COUNT and all(row[column] == first[column] for row in texts)
    ]


def _that_fit(
    answer: Answer, texts: list[list[str]], columns: list[int], width: int
) -> tuple[list[int], list[int]]:
    """The columns that fit side by side, long ones cut, and those that do not; one always stays."""
    sizes = {
        c: min(WIDEST, max(cells(answer.headings[c]), *(cells(row[c]) for row in texts)))
        for c in columns
    }
    kept = list(columns)
    last_to_go = reversed(names_of_rows(answer))
    for column in (c for c in (*giving_way(answer), *last_to_go) if c in columns):
        if len(kept) < 2 or sum(sizes[c] for c in kept) + GAP * (len(kept) - 1) <= width:
            break
        kept.remove(column)
    return kept, [c for c in columns if c not in kept]


def shown(kind: Kind, value: Any) -> str:
    """A value for a person: colours as code and word, unknowns and nothings told apart."""
    if value is None:
        return UNKNOWN
    if value == "":
        return NONE
    if kind is Kind.YES:
        return "yes" if value else "no"
    if kind is Kind.COLOUR:
        from kb.documents.colours import read_colour

        return f"{value} {read_colour(str(value)).words}"
    if kind is Kind.TIME:
        return str(value)[:16].replace("T", " ")
    if isinstance(value, float):
        return f"{value:.{SHOWN_DIGITS}g}"
    text = clean(value)
    if len(text) == 64 and all(c in "0123456789abcdef" for c in text):
        return text[:HASH_SHOWN]
    return f"{MARKS[text]} {text}" if kind is Kind.CHOICE and text in MARKS else text


def _paint(row: int, text: str, ink: Ink) -> str:
    if row < 0:
        return ink("bold", text)
    word = text.strip()[2:] if text.strip()[:1] in MARKS.values() else ""
    return ink(STYLES[word], text) if word in STYLES else text


def _last_lines(answer: Answer, width: int, ink: Ink) -> list[str]:
    lines: list[str] = []
    if answer.why_empty:
        lines += [ink("bold", "No rows." if not answer.rows else "None.")]
        for sentence in answer.why_empty:
            lines += wrap(sentence, width)
        return lines
    number = len(answer.rows)
    said = f"{number} row{'' if number == 1 else 's'}."
    if answer.columns == ("count",):
        number = answer.rows[0]["count"]
        said = f"{answer.bound.numbered(number) if answer.bound else number}."
    if answer.unverified and answer.subject == "entries":
        # Of a revision that was superseded it would be wrong to say that nobody signed it.
        said += f" {answer.unverified} {'is' if answer.unverified == 1 else 'are'} not verified."
    elif answer.unverified and (kit := _unsigned_kit(answer)):
        said += f" Not verified: all of it rests on kit {kit}, which no lead has signed."
    elif answer.unverified:
        unverified = "all of it" if _all_unverified(answer) else f"{answer.unverified}"
        rest = "rests" if answer.unverified == 1 or unverified == "all of it" else "rest"
        said += f" Not verified: {unverified} {rest} on revisions that no lead has signed."
    if answer.signed_less:
        said += " Not all of it was verified by a second person on a measurement: see above."
    lines += wrap(said, width)
    if answer.unknowns:
        rows = "more row" if answer.unknowns == 1 else "more rows"
        text = (
            f"{UNKNOWN} For {answer.unknowns} {rows} the book cannot tell, because what was asked "
            "is not recorded."
        )
        lines += [ink("warn", line) for line in wrap(text, width)]
    return lines


def _unsigned_kit(answer: Answer) -> str | None:
    """The kit that the whole question is about, where nobody has signed that and each row bears
    `verified`, which is said of the vehicle."""
    bound = answer.bound
    if not answer.rows or any(row.get("state") != "verified" for row in answer.rows):
        return None
    if bound is None or bound.kits is None or bound.kits.kit is None or bound.kits.verified:
        return None
    named = next((one for one in bound.query.scopes if isinstance(one, Path)), None)
    return None if named is None else named.names[0].text.lower()


def _all_unverified(answer: Answer) -> bool:
    if answer.bound is not None and answer.bound.query.count:
        return bool(answer.unverified == sum(row["count"] for row in answer.rows))
    return answer.unverified == len(answer.rows)
