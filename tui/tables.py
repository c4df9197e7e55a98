"""Tables and paragraphs that fit the terminal: measured in cells, cut with a mark, never wrapped
into each other."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from tui.clean import clean

CUT = "…"
GAP = "  "
LEAST_COLUMN = 4


def terminal_width() -> int:
    """Columns of the terminal (COLUMNS where set), 80 where there is none."""
    import shutil  # a question answered in JSON has no width

    return max(40, shutil.get_terminal_size((80, 24)).columns)


def cells(text: str) -> int:
    """Columns that a text takes in a terminal."""
    if text.isascii():
        return len(text)
    from rich.cells import cell_len

    return cell_len(text)


def fit(text: str, width: int) -> str:
    """`text` padded or cut to exactly `width` cells; a cut ends in a mark."""
    length = cells(text)
    if length <= width:
        return text + " " * (width - length)
    kept = ""
    used = 0
    for letter in text:
        size = cells(letter)
        if used + size > width - 1:
            break
        kept += letter
        used += size
    return kept + CUT + " " * (width - 1 - used)


def wrap(text: str, width: int, indent: str = "", first: str | None = None) -> list[str]:
    """A paragraph in lines of at most `width` cells; `first` begins it, `indent` the others."""
    lines: list[str] = []
    line = indent if first is None else first
    empty = True
    for word in clean(text).split(" "):
        while True:
            gap = "" if empty else " "
            if cells(line + gap + word) <= width:
                line, empty = line + gap + word, False
                break
            if empty:  # a word longer than a line is broken
                room = _letters_within(word, width - cells(line))
                lines.append(line + word[:room])
                word, line = word[room:], indent
                if not word:
                    break
            else:
                lines.append(line)
                line, empty = indent, True
    if not empty:
        lines.append(line)
    return lines


def _letters_within(word: str, width: int) -> int:
    """How many letters of a word fit into `width` cells; at least one, so that breaking ends."""
    used = 0
    for count, letter in enumerate(word):
        used += cells(letter)
        if count and used > width:
            return count
    return len(word)


def natural_width(headings: Sequence[str], rows: Sequence[Sequence[object]]) -> int:
    """Cells that a table takes with nothing cut."""
    columns = zip(headings, *rows, strict=True)
    sizes = [
        max(cells("?" if text is None else clean(text)) for text in column) for column in columns
    ]
    return sum(sizes) + len(GAP) * (len(sizes) - 1)


def table(
    headings: Sequence[str],
    rows: Sequence[Sequence[object]],
    width: int,
    paint: Callable[[int, int, str], str] | None = None,
) -> list[str]:
    """Lines of a table no wider than `width` cells.

    None shows as `?`, an unknown; `paint(row, column, padded text)` may colour a cell (row -1: the
    heading). Columns that do not fit give way, the widest first.
    """
    texts = [["?" if cell is None else clean(cell) for cell in row] for row in rows]
    widths = [
        max([cells(heading), *(cells(row[column]) for row in texts)])
        for column, heading in enumerate(headings)
    ]
    while sum(widths) + len(GAP) * (len(widths) - 1) > width and max(widths) > LEAST_COLUMN:
        widths[widths.index(max(widths))] -= 1

    def line(number: int, row: Sequence[str]) -> str:
        last = len(row) - 1
        out = []
        for column, text in enumerate(row):
            padded = fit(text, widths[column])
            if column == last:
                padded = padded.rstrip()
            out.append(paint(number, column, padded) if paint else padded)
        return GAP.join(out).rstrip()

    rule = GAP.join("─" * size for size in widths)
    return [line(-1, headings), rule, *(line(number, row) for number, row in enumerate(texts))]
