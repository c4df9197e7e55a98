"""A list of lines with columns and headings, one of them marked: what every screen is built on.

Promise: a cell is cleaned, cut to its column and never wraps, so nothing that a stranger wrote can
shift a column; only what is seen is drawn, so fifty thousand lines cost no more than fifty; the
marked line is told by an arrow, not by its colour alone; a heading is never marked.

It stands alone because Textual's own table and list parse bare strings as markup and redraw all
their lines for each key.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import ClassVar

from rich.segment import Segment
from rich.style import Style as RichStyle
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.events import Click, Resize
from textual.geometry import Offset, Region, Size
from textual.message import Message
from textual.reactive import reactive
from textual.scroll_view import ScrollView
from textual.strip import Strip
from textual.style import Style
from textual.visual import Visual
from textual.widget import Widget

from tui.browser.text import ROLES, row, shown
from tui.browser.widgets.columns import GAP, fit_columns, widest_cells
from tui.browser.widgets.entries import Drawn, Entry, Heading, Item, Note, Titles, paragraph
from tui.clean import clean
from tui.tables import fit, wrap

ARROW = "▸ "
BARE = "  "
SPARE = 2  # rows that a line said below may take from a list
REVERSED = Style(reverse=True)


class Rows(ScrollView, can_focus=True):
    """The list; it says `Marked` when the mark moves and `Chosen` on Enter or a click."""

    ALLOW_SELECT = False
    COMPONENT_CLASSES: ClassVar[set[str]] = {"rows--line", "rows--marked", "rows--marked-away"}
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "move(-1)", show=False),
        Binding("down", "move(1)", show=False),
        Binding("pageup", "page(-1)", show=False),
        Binding("pagedown", "page(1)", show=False),
        Binding("home", "edge(0)", show=False),
        Binding("end", "edge(-1)", show=False),
        Binding("enter", "choose", show=False),
    ]
    marked: reactive[int | None] = reactive(None)
    flat: reactive[bool] = reactive(False)

    class Marked(Message):
        """The mark is on another line, or on none."""

        def __init__(self, rows: Rows, item: Item | None) -> None:
            super().__init__()
            self.rows = rows
            self.item = item

        @property
        def control(self) -> Rows:
            return self.rows

    class Chosen(Message):
        """A line was chosen."""

        def __init__(self, rows: Rows, item: Item) -> None:
            super().__init__()
            self.rows = rows
            self.item = item

        @property
        def control(self) -> Rows:
            return self.rows

    def __init__(
        self,
        id: str,
        *,
        headings: Sequence[str] = (),
        yields: Sequence[tuple[int, int]] = (),
        with_notes: bool = False,
    ) -> None:
        """`yields` says which columns give way, as fit_columns has it.

        `with_notes`: the notes right below the marked line come into view with it.
        """
        super().__init__(id=id)
        self.headings = tuple(headings)
        self.yields = tuple(yields)
        self.with_notes = with_notes
        self.told_above: frozenset[int] = frozenset()  # columns that a line above tells once
        self.entries: list[Entry] = []
        self._lines: list[tuple[int | None, Content]] = []
        self._spread = False
        self._widths: list[int] = []
        self._gap = GAP
        self._styles: dict[tuple[str, Style], RichStyle] = {}

    def show(self, entries: Sequence[Entry], *, keep: bool = True) -> None:
        """Put other lines in place; where `keep`, the mark stays with its key."""
        was = self.item.key if keep and self.item else None
        self.entries = list(entries)
        items = [at for at, entry in enumerate(self.entries) if isinstance(entry, Item)]
        same = [at for at in items if self._item(at).key == was] if was is not None else []
        self._lay_out()
        target = next(iter(same or items), None)
        if not same:
            self.scroll_to(y=0, animate=False)
        with self.prevent(Rows.Marked):
            self.marked = target
        self.post_message(Rows.Marked(self, self.item))
        self.refresh()
        self.call_after_refresh(self._point)

    @property
    def item(self) -> Item | None:
        """The marked line."""
        at = self.marked
        return self._item(at) if at is not None and at < len(self.entries) else None

    def _item(self, at: int) -> Item:
        entry = self.entries[at]
        assert isinstance(entry, Item)
        return entry

    @property
    def items(self) -> list[Item]:
        """The lines that can be marked."""
        return [entry for entry in self.entries if isinstance(entry, Item)]

    def mark_key(self, key: object) -> None:
        """Mark the line of a key, where there is one."""
        for at, entry in enumerate(self.entries):
            if isinstance(entry, Item) and entry.key == key:
                self.marked = at
                return

    # -- drawing

    def _lay_out(self, *, resized: bool = False) -> None:
        """Widths of the columns, and the lines that the entries take.

        A line that is said below takes a row from the list and gives it back: that alone neither
        spreads a list nor draws it together.
        """
        room = self.scrollable_content_region.width
        if not room:
            return
        self._widths = self._fit_columns(room - len(ARROW))
        self._lines = list(self._lines_of(room, spread=False))
        spread = list(self._lines_of(room, spread=True))
        slack = self.spread_within() - len(spread)
        if resized:
            self._spread = slack >= (0 if self._spread else 2 * SPARE)
        else:
            self._spread = slack >= SPARE
        if self._spread:
            self._lines = spread
        self.virtual_size = Size(room, len(self._lines))

    def _lines_of(self, room: int, *, spread: bool) -> Iterator[tuple[int | None, Content]]:
        """Each line with the number of the entry that can be marked there."""
        for at, entry in enumerate(self.entries):
            if isinstance(entry, Item) and self.flat:
                for spoken in wrap(entry.spoken, room, BARE, BARE):
                    yield at, shown(spoken)
            elif isinstance(entry, Item):
                yield at, Content("")
            elif isinstance(entry, Heading | Drawn):
                if spread and at and isinstance(entry, Heading):
                    yield None, Content("")
                yield None, entry.text
            elif isinstance(entry, Titles):
                yield None, self._titles()
            elif entry.spoken or not self.flat:
                for text in paragraph(entry, room):
                    yield None, text

    def _titles(self) -> Content:
        shown_columns = [column for column, width in enumerate(self._widths) if width]
        return row(
            BARE,
            *(
                (fit(clean(self.headings[column]), self._widths[column]) + " " * self._gap, "faint")
                for column in shown_columns
                if column < len(self.headings)
            ),
        )

    @property
    def without_room(self) -> list[str]:
        """The headings of the columns that vanished for want of room."""
        return [
            heading
            for at, (heading, width) in enumerate(zip(self.headings, self._widths, strict=False))
            if not width and at not in self.told_above
        ]

    def spread_within(self) -> int:
        """Up to how many lines a list may be spread by a blank line before each heading."""
        return (
            0 if self.styles.height is not None and self.styles.height.is_auto else self.size.height
        )

    def _fit_columns(self, room: int) -> list[int]:
        """Each column as wide as its widest cell; where that is too much, some give way."""
        widths = widest_cells(self.entries, self.headings, room)
        for column in self.told_above:
            widths[column] = 0
        widths, self._gap = fit_columns(widths, self.yields, room)
        return widths

    def render_line(self, y: int) -> Strip:
        at_line = int(self.scroll_offset.y) + y
        width = self.scrollable_content_region.width
        plain = self.get_visual_style("rows--line")
        if at_line >= len(self._lines):
            return Strip.blank(width, plain.rich_style)
        at, content = self._lines[at_line]
        style = plain
        if at is not None:
            is_marked = at == self.marked
            if is_marked and self.has_focus_or_lent:
                # Reversed colours, so that the line still stands out where no colour is shown.
                style = self.get_visual_style("rows--line", "rows--marked") + REVERSED
            elif is_marked:
                style = self.get_visual_style("rows--line", "rows--marked-away")
            if not self.flat:
                strip = self._item_strip(self._item(at), is_marked, style)
                return strip.adjust_cell_length(width, style.rich_style).apply_offsets(0, at_line)
            first = at_line == 0 or self._lines[at_line - 1][0] != at
            if is_marked and first and self.has_focus_or_lent:
                content = row(ARROW, content[len(BARE) :])
        strips = Visual.to_strips(self, content, width, 1, style)
        strip = strips[0] if strips else Strip.blank(width, style.rich_style)
        return strip.adjust_cell_length(width, style.rich_style).apply_offsets(0, at_line)

    @property
    def has_focus_or_lent(self) -> bool:
        """Whether keys move this list: it has the focus, or a field lends it its arrow keys."""
        return self.has_focus or self.has_class("-lent")

    def _item_strip(self, item: Item, is_marked: bool, style: Style) -> Strip:
        """The cells straight as segments: a list is drawn anew for each key in a field."""
        mark = ARROW if is_marked and self.has_focus_or_lent else BARE
        segments = [Segment(mark, style.rich_style)]
        gap = Segment(" " * self._gap, style.rich_style)
        for column, cell in enumerate(item.cells):
            if not self._widths[column]:
                continue
            role = "unknown" if cell.text is None else cell.role
            # On the marked line one pair of colours carries all words, so that it stays readable.
            if is_marked and role != "plain":
                role = "bold"
            width = self._widths[column]
            text = fit(cell.within(width), width)
            segments += [Segment(text, self._style_of(role, style)), gap]
        return Strip(segments)

    def _style_of(self, role: str, style: Style) -> RichStyle:
        key = (role, style)
        if key not in self._styles:
            self._styles[key] = (style + Style.parse(ROLES[role])).rich_style
        return self._styles[key]

    def notify_style_update(self) -> None:
        """Other colours: what was worked out for the old ones is void."""
        self._styles.clear()
        super().notify_style_update()

    # -- moving

    def validate_marked(self, at: int | None) -> int | None:
        if at is None or not self.entries:
            return None
        return max(0, min(at, len(self.entries) - 1))

    def watch_marked(self, at: int | None) -> None:
        self.refresh()
        if at is None:
            return
        self._see(at)
        self.call_after_refresh(self._point)
        self.post_message(Rows.Marked(self, self.item))

    def _see(self, at: int) -> None:
        """Scroll to where an entry can be seen."""
        line = next((n for n, (owner, _) in enumerate(self._lines) if owner == at), None)
        if line is None:
            return
        top = line
        # A heading right above the first line of its group comes into view with it.
        while top > 0 and self._lines[top - 1][0] is None:
            top -= 1
        last = self._last_line(at, line) if self.with_notes else line
        self.scroll_to_region(Region(0, top, 1, last - top + 1), animate=False, force=True)
        self.scroll_to_region(Region(0, line, 1, 1), animate=False, force=True)

    def _last_line(self, at: int, line: int) -> int:
        """The last line of an entry that begins at a line, the notes right below it included."""
        last = line + sum(owner == at for owner, _ in self._lines) - 1
        for entry in self.entries[at + 1 :]:
            if not isinstance(entry, Note):
                break
            if entry.spoken or not self.flat:
                last += len(list(paragraph(entry, self.scrollable_content_region.width)))
        return last

    def _point(self) -> None:
        """In flat text the terminal's own cursor stands on the marked line: it is read there."""
        if not (self.flat and self.has_focus_or_lent) or self.marked is None:
            return
        line = next((n for n, (owner, _) in enumerate(self._lines) if owner == self.marked), 0)
        at = line - int(self.scroll_offset.y)
        self.app.cursor_position = Offset(self.region.x, self.region.y + at)

    def action_move(self, step: int) -> None:
        """Mark the next line that can be marked."""
        at = (self.marked if self.marked is not None else -1) + step
        while 0 <= at < len(self.entries) and not isinstance(self.entries[at], Item):
            at += step
        if 0 <= at < len(self.entries):
            self.marked = at
        else:
            self._scroll_on(step)

    def _scroll_on(self, step: int) -> None:
        """At an edge, what cannot be marked can still be read: here, or around this list."""
        for widget in (self, *self.ancestors):
            if isinstance(widget, Widget) and widget.max_scroll_y > 0:
                at, most = widget.scroll_y, widget.max_scroll_y
                if (step > 0 and at < most) or (step < 0 and at > 0):
                    widget.scroll_relative(y=step, animate=False)
                    return

    def action_page(self, step: int) -> None:
        """See the next page, and mark what stands there where the mark stood on this one."""
        most, was = round(self.max_scroll_y), round(self.scroll_y)
        height = max(1, self.size.height - 1)
        top = max(0, min(most, was + step * height))
        if top == was:
            edge = self.items[-1 if step > 0 else 0] if self.items else None
            on_page = [at for at, _ in self._lines[top : top + self.size.height]]
            if any(at is not None and self._item(at) is edge for at in on_page):
                self.action_edge(-1 if step > 0 else 0)
            return  # else what cannot be marked is read here, and stays in view
        line = next((n for n, (at, _) in enumerate(self._lines) if at == self.marked), was)
        wanted = line + top - was
        self.scroll_to(y=top, animate=False, immediate=True)
        seen = [n for n in range(top, top + height) if n < len(self._lines) and self._owner(n)]
        if seen:
            self.marked = self._lines[min(seen, key=lambda n: abs(n - wanted))][0]

    def _owner(self, line: int) -> bool:
        return self._lines[line][0] is not None

    def action_edge(self, end: int) -> None:
        """Mark the first or the last line."""
        items = [at for at, entry in enumerate(self.entries) if isinstance(entry, Item)]
        if items:
            self.marked = items[end]

    def action_choose(self) -> None:
        """Choose the marked line."""
        if self.item is not None:
            self.post_message(Rows.Chosen(self, self.item))

    def on_click(self, event: Click) -> None:
        """Mark what is clicked; a second click on it chooses."""
        line = int(self.scroll_offset.y) + event.y
        at = self._lines[line][0] if 0 <= line < len(self._lines) else None
        if at is None:
            return
        if at == self.marked:
            self.action_choose()
        else:
            self.marked = at

    def on_resize(self, _: Resize) -> None:
        first = not self._lines
        self._lay_out(resized=not first)
        self.refresh()
        if first and self.marked is not None:  # marked before there was a place for it
            self._see(self.marked)

    def watch_flat(self) -> None:
        self._lay_out()
        self.refresh()

    def on_focus(self) -> None:
        self.refresh()
        self.call_after_refresh(self._point)

    def on_blur(self) -> None:
        self.refresh()
