"""What a list shows: items that can be marked, and headings and notes between them.

It stands alone because an answer is told in these by code that knows no widget.
"""

from __future__ import annotations

from dataclasses import dataclass

from textual.content import Content

from tui.browser.text import shown
from tui.clean import clean
from tui.tables import cells, wrap

LEAST_PARAGRAPH = 20


@dataclass(frozen=True, slots=True)
class Cell:
    """One text of a line and its role; None as text is an unknown and shows as `?`.

    `short` is said in its place where the column has not the room for it.
    """

    text: str | None
    role: str = "plain"
    short: str = ""

    @property
    def plain(self) -> str:
        """What is copied."""
        return "?" if self.text is None else clean(self.text)

    def within(self, width: int) -> str:
        """What is shown in so many columns; it may still have to be cut."""
        whole = self.plain
        return clean(self.short) if self.short and cells(whole) > width else whole

    @property
    def least(self) -> int:
        """The columns that it needs in its short form."""
        return cells(clean(self.short)) if self.short else cells(self.plain)


@dataclass(frozen=True, slots=True)
class Item:
    """A line that can be marked; `key` is what the screen knows it by.

    `copied`: what is copied of it, each text by its heading, where the line has signs for words.
    """

    key: object
    cells: tuple[Cell, ...]
    sentence: str = ""  # the line as a sentence, for flat text
    copied: tuple[tuple[str, str], ...] = ()

    @property
    def to_copy(self) -> list[str]:
        """The texts that leave this screen."""
        return [clean(text) for _, text in self.copied] or [cell.plain for cell in self.cells]

    @property
    def spoken(self) -> str:
        """The sentence; without one, the cells in a row."""
        return self.sentence or ", ".join(cell.plain for cell in self.cells if cell.plain)


@dataclass(frozen=True, slots=True)
class Heading:
    """A line between others that cannot be marked."""

    text: Content


@dataclass(frozen=True, slots=True)
class Drawn:
    """A line as it is: of a drawing, or of a few words; it cannot be marked."""

    text: Content


@dataclass(frozen=True, slots=True)
class Note:
    """A paragraph between the others, broken at spaces; it cannot be marked.

    Where it is not `spoken`, the sentence of the line above says the same in flat text.
    """

    text: str
    role: str = "plain"
    first: str = "  "
    spoken: bool = True


@dataclass(frozen=True, slots=True)
class Titles:
    """The list's own headings, each above its column."""


Entry = Item | Heading | Drawn | Note | Titles


def paragraph(note: Note, room: int) -> list[Content]:
    """A note in lines of at most `room` columns."""
    indent = " " * cells(note.first)
    return [
        shown(text, note.role)
        for text in wrap(note.text, max(LEAST_PARAGRAPH, room - 1), indent=indent, first=note.first)
    ]
