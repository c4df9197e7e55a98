"""What is being entered: begin a vehicle or a kit, go on with what is not stored yet."""

from __future__ import annotations

from collections.abc import Iterable
from typing import ClassVar

from textual import on
from textual.binding import BindingType
from textual.widget import Widget
from textual.widgets import Static

from tui.browser.actions import bindings_of
from tui.browser.journal import Journal, unstored
from tui.browser.room import Room
from tui.browser.text import shown
from tui.browser.widgets.entries import Cell, Entry, Heading, Item
from tui.browser.widgets.rows import Rows

NEW = (("vehicle", "a vehicle: units, speakers, connectors, pins"), ("kit", "a kit: parts, leads"))


class Entries(Room):
    """The list; Enter begins or goes on."""

    ROOM = "entries"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of("entries")]

    def body(self) -> Iterable[Widget]:
        yield Static(id="answer")
        yield Rows("entries", headings=("entry", "what"))

    def on_mount(self) -> None:
        super().on_mount()
        self.title_line(("New entries", "title"), f"   you act as {self.shelf.acting}")
        said = " To change a vehicle that the book has, find it and press e there."
        self.query_one("#answer", Static).update(shown(said, "faint"))
        self.query_one(Rows).focus()

    def on_screen_resume(self) -> None:
        self.work(lambda: unstored("entry"), self._arrived, group="list")

    def _arrived(self, names: list[str]) -> None:
        entries: list[Entry] = [Heading(shown(" BEGIN ", "bold"))]
        entries += [Item(("new", kind), (Cell(kind, "bold"), Cell(words))) for kind, words in NEW]
        if names:
            entries.append(Heading(shown(" NOT STORED YET ", "unknown")))
        for name in names:
            work = Journal("entry", name).read() or {}
            content = work.get("content", {})
            head = content.get(content.get("kind", ""), {})
            title = " ".join(
                str(head[key]) for key in ("make", "model", "maker", "name") if head.get(key)
            )
            entries.append(
                Item(("kept", name), (Cell(str(head.get("id") or name), "bold"), Cell(title)))
            )
        self.query_one(Rows).show(entries)

    @on(Rows.Chosen)
    def _chosen(self) -> None:
        self.action_open_entry()

    def action_open_entry(self) -> None:
        """Begin what is marked, or go on with it."""
        item = self.query_one(Rows).item
        if item is None or not isinstance(item.key, tuple):
            return
        from tui.browser.screens.grid import EntryGrid

        what, name = item.key
        if what == "new":
            self.app.push_screen(EntryGrid({"kind": name, name: {}}))
            return
        work = Journal("entry", name).read()
        if work is None:
            self.say(f"{name} cannot be read any more.", "flag")
        else:
            self.app.push_screen(
                EntryGrid(work["content"], journal=name, made_from=work.get("made_from"))
            )

    def action_discard(self) -> None:
        """Throw the marked work away, after asking."""
        item = self.query_one(Rows).item
        if item is None or not isinstance(item.key, tuple) or item.key[0] != "kept":
            return
        from tui.browser.screens.prompt import Prompt

        name = item.key[1]

        def gone(said: str | None) -> None:
            if said:
                Journal("entry", name).forget()
                self.on_screen_resume()

        self.app.push_screen(
            Prompt(f"Throw {item.cells[0].plain} away?", "Type  away  to do so", must_be="away"),
            gone,
        )
