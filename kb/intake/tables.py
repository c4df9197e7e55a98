"""Bytes of a CSV or XLSX file -> rows of cells, each as the text that a person sees in it.

It stands alone because everything that a table file can do to a reader ends here, as a sentence
with a row: formulas, dates that were positions once, numbers that lost their zeros, huge files.
"""

from __future__ import annotations

import csv
import io
import re
import warnings
import zipfile
from dataclasses import dataclass, field
from datetime import date, datetime, time
from typing import Any

from kb.errors import Refused

LARGEST_TABLE = 8_000_000
LARGEST_UNPACKED = 60_000_000
MOST_ROWS = 5_000
MOST_COLUMNS = 60
LONGEST_CELL = 2_000
DELIMITERS = (",", ";", "\t", "|")
_ZIP = b"PK\x03\x04"
_ZEROS = re.compile(r"0{2,}")
_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


@dataclass(frozen=True)
class Table:
    """The rows of a table with their numbers in the file; `notes` say how it was read."""

    name: str
    rows: tuple[tuple[int, tuple[str, ...]], ...]
    notes: tuple[str, ...] = field(default=())


def read_table(name: str, data: bytes, sheet: str | None = None) -> Table:
    """Read a file by its content, not its name. Raises Refused with what is wrong and where."""
    if len(data) > LARGEST_TABLE:
        raise Refused(f"{name} is larger than {LARGEST_TABLE:,} bytes.")
    if data.startswith(_ZIP):
        return _read_xlsx(name, data, sheet)
    if sheet is not None:
        raise Refused(f"{name} is no workbook, so it has no sheet {sheet!r}.")
    if data.startswith(b"\xd0\xcf\x11\xe0"):
        raise Refused(f"{name} is a workbook of the older kind (.xls); save it as .xlsx or CSV.")
    return _read_csv(name, data)


def _read_csv(name: str, data: bytes) -> Table:
    text, notes = _decode(name, data)
    if "\0" in text:
        raise Refused(f"{name} is no text; save the table as CSV or XLSX.")
    delimiter = _delimiter(text)
    try:
        lines = list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True))
    except csv.Error as fault:
        raise Refused(f"{name} is no table: {fault}.") from fault
    if delimiter != ",":
        notes.append(f"columns are parted by {_DELIMITER_WORDS[delimiter]}")
    return _bounded(name, [(number, tuple(line)) for number, line in enumerate(lines, 1)], notes)


_DELIMITER_WORDS = {";": "semicolons", "\t": "tabs", "|": "bars"}


def _decode(name: str, data: bytes) -> tuple[str, list[str]]:
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        encodings = ["utf-16"]
    else:
        encodings = ["utf-8-sig", "cp1252"]
    for encoding in encodings:
        try:
            text = data.decode(encoding)
        except UnicodeDecodeError:
            continue
        if encoding == "cp1252":
            return text, ["it is not UTF-8; it was read as Windows Western (cp1252)"]
        return text, []
    raise Refused(f"{name} is in no encoding that is known here; save it as CSV (UTF-8).")


def _delimiter(text: str) -> str:
    """The delimiter that parts most of the first lines into the same number of columns."""
    lines = [line for line in text.splitlines()[:30] if line.strip()]

    def agreement(delimiter: str) -> tuple[int, int]:
        try:
            counts = [len(row) for row in csv.reader(lines, delimiter=delimiter)]
        except csv.Error:
            return (0, 0)
        most = max((count for count in counts if count > 1), key=counts.count, default=0)
        return (counts.count(most) if most else 0, most)

    return max(DELIMITERS, key=agreement)


def _read_xlsx(name: str, data: bytes, sheet: str | None) -> Table:
    import openpyxl

    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            if sum(item.file_size for item in packed.infolist()) > LARGEST_UNPACKED:
                raise Refused(f"{name} unpacks to more than {LARGEST_UNPACKED:,} bytes.")
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of features of the workbook that no cell depends on
            book = openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=False)
            try:
                page, notes = _page(name, book, sheet)
                rows = _cells(name, page)
            finally:
                book.close()
    except Refused:
        raise
    except Exception as fault:  # the parser's own errors are of many kinds
        raise Refused(
            f"{name} is no workbook that can be read ({type(fault).__name__})."
        ) from fault
    return _bounded(name, rows, notes)


def _page(name: str, book: Any, sheet: str | None) -> tuple[Any, list[str]]:
    shown = [page for page in book.worksheets if page.sheet_state == "visible"]
    if sheet is not None:
        for page in book.worksheets:
            if page.title == sheet:
                return page, [f"sheet {sheet!r}"]
        names = ", ".join(page.title for page in book.worksheets)
        raise Refused(f"{name} has no sheet {sheet!r}; it has {names}.")
    if not shown:
        raise Refused(f"{name} has no visible sheet.")
    others = [page.title for page in shown[1:]]
    more = f", not {', '.join(others)}; --sheet chooses" if others else ""
    return shown[0], [f"sheet {shown[0].title!r}{more}"]


def _cells(name: str, page: Any) -> list[tuple[int, tuple[str, ...]]]:
    rows = []
    for number, line in enumerate(page.iter_rows(), start=1):
        if number > MOST_ROWS:
            raise Refused(f"{name} has more than {MOST_ROWS:,} rows.")
        cells = tuple(_text(name, number, cell) for cell in line[: MOST_COLUMNS + 1])
        rows.append((number, cells))
    return rows


def _text(name: str, row: int, cell: Any) -> str:
    """A cell as its reader sees it, or the reason why nobody can say."""
    value = cell.value
    where = f"{name}, row {row}"
    if value is None:
        return ""
    if cell.data_type == "f" or (isinstance(value, str) and cell.data_type == "f"):
        raise Refused(f"{where} holds a formula; paste the values instead of it.")
    if cell.data_type == "e":
        raise Refused(f"{where} holds the error {value}; mend it in the workbook.")
    if isinstance(value, bool):
        raise Refused(f"{where} holds {value} as a yes or no; write text.")
    if isinstance(value, datetime | date | time):
        raise Refused(
            f"{where} holds a date ({value:%d %b %Y}); the spreadsheet made one of what was typed: "
            "format the column as text and type it again."
            if isinstance(value, date)
            else f"{where} holds a time; format the column as text and type it again."
        )
    if isinstance(value, float) and value.is_integer():
        value = int(value)
    if isinstance(value, int):
        zeros = str(cell.number_format)
        return f"{value:0{len(zeros)}d}" if _ZEROS.fullmatch(zeros) else str(value)
    return str(value)


def _bounded(name: str, rows: list[tuple[int, tuple[str, ...]]], notes: list[str]) -> Table:
    if len(rows) > MOST_ROWS:
        raise Refused(f"{name} has more than {MOST_ROWS:,} rows.")
    kept = []
    for number, cells in rows:
        if len(cells) > MOST_COLUMNS:
            raise Refused(f"{name}, row {number} has more than {MOST_COLUMNS} columns.")
        if any(len(cell) > LONGEST_CELL for cell in cells):
            raise Refused(f"{name}, row {number}: a cell is longer than {LONGEST_CELL:,} letters.")
        plain = tuple(_plain(cell) for cell in cells)
        if any(plain):
            kept.append((number, plain))
    if not kept:
        raise Refused(f"{name} is empty.")
    return Table(name, tuple(kept), tuple(notes))


def _plain(cell: str) -> str:
    """Trimmed, on one line, without the apostrophe that guards against formulas."""
    text = " ".join(cell.split())
    return text[1:] if text[:1] == "'" and text[1:2] in _FORMULA_STARTS else text
