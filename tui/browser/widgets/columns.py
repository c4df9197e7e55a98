"""How wide the columns of a list are, where they do not all have room.

It stands alone because it is arithmetic: it knows no widget.
"""

from __future__ import annotations

from collections.abc import Sequence

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
