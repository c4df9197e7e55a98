"""How wide the columns of a list are, where they do not all have room.

It stands alone because it is arithmetic: it knows no widget.
"""

from __future__ import annotations

from collections.abc import Sequence

from tui.browser.widgets.entries import Entry, Item, Titles
from tui.clean import clean
from tui.tables import cells

GAP = 2
LEAST_COLUMN = 3
LEAST_WORTH = 8  # a column that may vanish does so before it is cut to less than this


def fit_columns(
    widest: Sequence[int], yields: Sequence[tuple[int, int]], room: int
) -> tuple[list[int], int]:
    """The width of each column and the gap between two, in cells.

    `widest` is what each column would take, 0 where it is not to be shown; `yields` holds
    (column, least width) in the order in which columns give way: a least of 0 lets a column shrink
    and then vanish, -1 shows it whole or not at all. Where that is not enough, the widest shrink.
    """
    widths = list(widest)
    gap = GAP if sum(widths) + GAP * (len(widths) - 1) <= room else 1

    def over() -> int:
        used = [width for width in widths if width]
        return sum(used) + gap * (len(used) - 1) - room

    for column, least in yields:
        if column < len(widths) and (more := over()) > 0:
            left = widths[column] - more
            worth = least or min(widths[column], LEAST_WORTH)
            if least < 0:
                worth = widths[column]
            widths[column] = left if left >= worth else min(widths[column], max(0, least))
    while widths and over() > 0 and max(widths) > LEAST_COLUMN:
        widths[widths.index(max(widths))] -= 1
    return widths, gap


def widest_cells(entries: Sequence[Entry], headings: Sequence[str], room: int) -> list[int]:
    """What each column would take: its widest cell, or its heading where that is shown."""
    titled = any(isinstance(entry, Titles) for entry in entries)
    widths = [cells(clean(heading)) for heading in headings] if titled else []
    for entry in entries:
        if not isinstance(entry, Item):
            continue
        for column, cell in enumerate(entry.cells):
            if column == len(widths):
                widths.append(0)
            widths[column] = max(widths[column], min(cells(cell.plain), room))
    return widths
