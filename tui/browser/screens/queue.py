"""The queue: what waits for a lead, the most pressing first, each with why to look twice."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, ClassVar

from textual import on
from textual.binding import BindingType
from textual.widget import Widget
from textual.widgets import Static

from kb.review.history import shop_names
from kb.review.queue import Waiting, queue
from kb.review.shop import this_shop_of
from tui.browser.actions import bindings_of
from tui.browser.room import Room
from tui.browser.text import shown
from tui.browser.widgets.entries import Cell, Entry, Item, Note
from tui.browser.widgets.rows import Rows
from tui.drawing.review_words import by_whom, moment


class Queue(Room):
    """The list; Enter opens the dossier."""

    ROOM = "queue"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of("queue")]

    def __init__(self) -> None:
        super().__init__()
        self.waiting: list[Waiting] = []

    def body(self) -> Iterable[Widget]:
        yield Static(id="answer")
        yield Rows(
            "waiting",
            headings=("revision", "kind", "author", "submitted", "risk"),
            yields=((3, 0), (1, 0), (2, 6), (0, 16)),
        )

    def on_mount(self) -> None:
        super().on_mount()
        self.title_line(("The queue", "title"), f"   you act as {self.shelf.acting}")
        self.query_one(Rows).focus()
        self.refill()

    def refill(self) -> None:
        """Read the queue anew."""
        self.ask(_read, self._arrived)

    def _arrived(self, found: tuple[list[Waiting], str, dict[str, str]]) -> None:
        self.waiting, here, names = found
        count = len(self.waiting)
        words = f" {count} waiting for a lead, the most pressing first" if count else ""
        self.query_one("#answer", Static).update(
            shown(words or " Nothing waits for review.", "bold")
        )
        entries: list[Entry] = []
        for one in self.waiting:
            entries += _lines(one, here, names)
        self.query_one(Rows).show(entries)

    @on(Rows.Chosen)
    def _chosen(self) -> None:
        self.action_open_review()

    def action_open_review(self) -> None:
        """Open the dossier of the marked revision."""
        item = self.query_one(Rows).item
        if item is not None:
            from tui.browser.screens.review import Review

            self.app.push_screen(Review(self, str(item.key)))


def _read(connection: Any) -> tuple[list[Waiting], str, dict[str, str]]:
    return queue(connection), this_shop_of(connection), dict(shop_names(connection))


def _lines(one: Waiting, here: str, names: dict[str, str]) -> Iterable[Entry]:
    revision = one.revision
    author = by_whom(revision.author, revision.origin, here, names)
    risk = f"risk {one.points}"
    yield Item(
        f"{revision.kind}/{revision.name}",
        (
            Cell(revision.name, "bold"),
            Cell(revision.kind),
            Cell(f"by {author}"),
            Cell(moment(revision.submitted)[:10], "faint"),
            Cell(risk, "flag" if one.points >= 3 else "faint"),
        ),
        sentence=", ".join(
            (f"{revision.kind} {revision.name}", f"by {author}", moment(revision.submitted), risk)
        ),
    )
    for found in one.risks:
        yield Note(found.why, "caution" if found.points > 1 else "faint",
                   "      ! " if found.points > 1 else "      - ")  # fmt: skip
    if not one.risks:
        yield Note("no reason found to look twice", "fine", "      ✓ ")
