"""The readings of a job as a table: out to a spreadsheet, and back in.

It stands alone as the one place that knows the sheet's columns, so that what goes out comes back.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

from kb.errors import Refused
from kb.review.readings import PinReading, Result
from kb.review.touched import Touched

COLUMNS = (
    "connector",
    "way",
    "carries",
    "wire",
    "reading",
    "found carries",
    "found wire",
    "note",
    "entry",
)
_GIVEN = (*COLUMNS[:4], COLUMNS[-1])
UNDOCUMENTED = "(not documented)"
LARGEST_SHEET = 1_000_000
_WORDS: dict[str, Result] = {
    "ok": "ok",
    "yes": "ok",
    "y": "ok",
    "x": "ok",
    "as documented": "ok",
    "differs": "differs",
    "different": "differs",
    "d": "differs",
    "no": "differs",
    "n": "differs",
    "": "",
    "-": "",
    "not looked at": "",
}
_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


def sheet_rows(touched: Touched, readings: Sequence[PinReading] = ()) -> list[list[str]]:
    """The rows of the sheet, filled in where there are readings already."""
    said = {(reading.connector, reading.at): reading for reading in readings}
    rows = []
    for pin in touched.pins:
        found = said.get((pin.connector, pin.at))
        rows.append(
            [
                pin.connector,
                pin.at,
                pin.told or UNDOCUMENTED,
                pin.wire or "",
                found.result if found else "",
                (found.found_carries or "") if found else "",
                (found.found_wire or "") if found else "",
                (found.note or "") if found else "",
                touched.entry,
            ]
        )
    return rows


def read_sheet(data: bytes, touched: Touched) -> list[PinReading]:
    """The readings of a filled-in sheet. Raises Refused, naming the row.

    What the sheet says is documented must still be so: a sheet that was made from an older revision
    is taken as long as its pins have not changed since.
    """
    rows = _table(data)
    pins = {
        (pin.connector, pin.at): row
        for pin, row in zip(touched.pins, sheet_rows(touched), strict=True)
    }
    readings = []
    for number, row in rows:
        where = f"row {number} of the sheet"
        key = (row["connector"], row["way"])
        documented = pins.get(key)
        if documented is None:
            raise Refused(f"{where}: {key[0]}.{key[1]} is not a pin that {touched.job} touches.")
        for column in ("carries", "wire"):
            now = documented[COLUMNS.index(column)]
            if row[column] != now:
                raise Refused(
                    f"{where}: the sheet has {row[column] or 'nothing'!r} as {column} of "
                    f"{key[0]}.{key[1]}, and the book has {now or 'nothing'!r} now; make the sheet "
                    "anew, or, if that was found on the car, write it under `found`."
                )
        readings.append(_reading(where, row))
    return readings


def rows_written_in(data: bytes, touched: Touched) -> int:
    """How many rows of a sheet hold what somebody wrote there. Raises Refused where it is none.

    Whatever stands in or beyond the columns to fill in counts, be it a reading or not. So does a
    pin that is not as this same revision documents it: somebody wrote what was found in its place.
    """
    documented = {tuple(row[:4]) for row in sheet_rows(touched)}

    def written_in(row: dict[str, str]) -> bool:
        if any(cell for column, cell in row.items() if column not in _GIVEN):
            return True
        given = tuple(row[column] for column in COLUMNS[:4])
        return row.get("entry") == touched.entry and given not in documented

    return sum(written_in(row) for _, row in _table(data))


def _reading(where: str, row: dict[str, str]) -> PinReading:
    word = row["reading"].casefold()
    if word not in _WORDS:
        raise Refused(f"{where}: {row['reading']!r} is no reading; write ok, differs, or nothing.")
    return PinReading(
        connector=row["connector"],
        at=row["way"],
        result=_WORDS[word],
        found_carries=row["found carries"] or None,
        found_wire=row["found wire"] or None,
        note=row["note"] or None,
    )


def _table(data: bytes) -> list[tuple[int, dict[str, str]]]:
    if len(data) > LARGEST_SHEET:
        raise Refused(f"The sheet is larger than {LARGEST_SHEET:,} bytes.")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        raise Refused("The sheet is not UTF-8 text; save it as CSV (UTF-8).") from fault
    delimiter = (
        ";" if text.split("\n", 1)[0].count(";") > text.split("\n", 1)[0].count(",") else ","
    )
    try:
        lines = list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True))
    except csv.Error as fault:
        raise Refused(f"The sheet is no table: {fault}.") from fault
    if not lines:
        raise Refused("The sheet is empty.")
    headings = [cell.strip().casefold() for cell in lines[0]]
    for column in COLUMNS[:-1]:
        if column not in headings:
            raise Refused(f"The sheet has no column {column!r}; keep the headings as they were.")
    found = []
    for number, line in enumerate(lines[1:], start=2):
        cells = [_plain(cell) for cell in line] + [""] * (len(headings) - len(line))
        row = dict(zip(headings, cells, strict=False))
        if any(cells[len(headings) :]):
            row[""] = " ".join(cells[len(headings) :])
        if any(cells):
            found.append((number, row))
    return found


def _plain(cell: str) -> str:
    """A cell without the apostrophe that keeps a spreadsheet from reading it as a formula."""
    kept = cell.strip()
    return kept[1:] if kept[:1] == "'" and kept[1:2] in _FORMULA_STARTS else kept
