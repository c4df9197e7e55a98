"""The queue: what waits for a lead, the most pressing first, each with why to look twice.

Before that, what came back to whoever looks, and what was taken back elsewhere after it was signed
here: neither waits in a list of its own that nobody opens.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import partial
from typing import Any, ClassVar

from textual import on
from textual.binding import BindingType
from textual.widget import Widget
from textual.widgets import Static

from kb.review.history import PAST_TENSE, shop_names
from kb.review.queue import SecondThought, SentBack, Waiting, queue, second_thoughts, sent_back_to
from kb.review.revisions import Revision
from kb.review.shop import this_shop_of
from tui.browser.actions import bindings_of
from tui.browser.room import Room
from tui.browser.text import shown
from tui.browser.widgets.entries import Cell, Entry, Heading, Item, Note
from tui.browser.widgets.rows import Rows
from tui.drawing.review_words import by_whom, moment, shop_words


@dataclass(frozen=True)
class Waits:
    """All that the queue shows."""

    waiting: list[Waiting]
    returned: list[SentBack]
    doubted: list[SecondThought]
    here: str
    names: dict[str, str]


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
            yields=((3, 5), (1, 0), (2, 6), (0, 16)),
            with_notes=True,
        )

    def on_mount(self) -> None:
        super().on_mount()
        self.title_line(("The queue", "title"), f"   you act as {self.shelf.acting}")
        self.query_one(Rows).focus()

    def on_screen_resume(self) -> None:
        """Read the queue anew: another lead may have acted meanwhile."""
        self.refill()

    def refill(self) -> None:
        """Read the queue anew; an empty list is filled before the jobs are planned for it."""
        if self.query_one(Rows).entries:
            self._refill_whole()
        else:
            self.ask(partial(self._read, plans=False), self._arrived_first)

    def _refill_whole(self) -> None:
        self.ask(self._read, self._arrived, again=self._arrived)

    def _read(self, connection: Any, *, plans: bool = True) -> Waits:
        return Waits(
            queue(connection, plans=plans),
            sent_back_to(connection, self.shelf.acting),
            second_thoughts(connection),
            this_shop_of(connection),
            dict(shop_names(connection)),
        )

    def _arrived_first(self, found: Waits) -> None:
        self._arrived(found)
        self._refill_whole()

    def _arrived(self, found: Waits) -> None:
        self.waiting = found.waiting
        count = len(self.waiting)
        words = f" {count} waiting for a lead, the most pressing first"
        if not count:
            words = " Nothing waits for review."
        self.query_one("#answer", Static).update(shown(words, "bold"))
        entries = [*_came_back(found), *_doubted(found)]
        if entries and count:
            entries.append(Heading(shown(" WAITING FOR A LEAD ", "bold")))
        for one in self.waiting:
            entries += _lines(one, found)
        self.query_one(Rows).show(entries)

    @on(Rows.Chosen)
    def _chosen(self) -> None:
        self.action_open_review()

    def action_open_review(self) -> None:
        """Open the dossier of the marked revision."""
        item = self.query_one(Rows).item
        if item is not None:
            from tui.browser.screens.review import Review

            self.app.push_screen(Review(str(item.key), self))


def _line(revision: Revision, found: Waits, last: Cell) -> Item:
    author = by_whom(revision.author, revision.origin, found.here, found.names)
    return Item(
        f"{revision.kind}/{revision.name}",
        (
            Cell(revision.name, "bold"),
            Cell(revision.kind),
            Cell(f"by {author}"),
            Cell(moment(revision.submitted)[:10], "faint", short=moment(revision.submitted)[5:10]),
            last,
        ),
        sentence=", ".join(
            (f"{revision.kind} {revision.name}", f"by {author}", moment(revision.submitted),
             last.plain)
        ),
    )  # fmt: skip


def _came_back(found: Waits) -> Iterable[Entry]:
    """What was returned to whoever looks, with what is wrong with it."""
    if found.returned:
        yield Heading(shown(" RETURNED TO YOU ", "unknown"))
    for one in found.returned:
        yield _line(one.revision, found, Cell("returned", "caution"))
        yield Note(f"{one.by}, {moment(one.at)[:10]}: {one.reason or 'no reason was given'}",
                   "caution", "      ↩ ")  # fmt: skip


def _doubted(found: Waits) -> Iterable[Entry]:
    """What is verified here and was taken back elsewhere since."""
    if found.doubted:
        title = " VERIFIED HERE, AND TAKEN BACK ELSEWHERE: LOOK AGAIN "
        yield Heading(shown(title, "unknown"))
    for one in found.doubted:
        yield _line(one.revision, found, Cell("look again", "caution"))
        where = shop_words(one.origin, found.here, found.names)
        said = f"{PAST_TENSE[one.act]} by {one.by} at {where}, {moment(one.at)}"
        yield Note(said + (f": {one.reason}" if one.reason else ""), "caution", "      ! ")


def _lines(one: Waiting, found: Waits) -> Iterable[Entry]:
    yield _line(
        one.revision, found, Cell(f"risk {one.points}", "flag" if one.points >= 3 else "faint")
    )
    for risk in one.risks:
        yield Note(risk.why, "caution" if risk.points > 1 else "faint",
                   "      ! " if risk.points > 1 else "      - ")  # fmt: skip
    if not one.risks:
        yield Note("no reason found to look twice", "fine", "      ✓ ")
