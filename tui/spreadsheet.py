"""Comma-separated values: exact for programs, or safe for people who open them in a spreadsheet.

A spreadsheet runs a cell that begins with = + - @ (or a tab or line end before them) as a formula;
a stranger's note could. The safe form puts an apostrophe before such a cell, which changes the text
and is therefore never the default.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")


def csv_text(
    headings: Sequence[str], rows: Iterable[Sequence[object]], *, safe: bool = False
) -> str:
    """A table as CSV (RFC 4180 quoting, lines end in a newline); None is an empty cell."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(headings)
    for row in rows:
        cells = ["" if cell is None else cell for cell in row]
        writer.writerow([safe_cell(cell) for cell in cells] if safe else cells)
    return out.getvalue()


def safe_cell(cell: object) -> object:
    """A text that no spreadsheet reads as a formula; numbers stay numbers."""
    if isinstance(cell, str) and cell.lstrip(" ").startswith(FORMULA_STARTS):
        return f"'{cell}"
    return cell
