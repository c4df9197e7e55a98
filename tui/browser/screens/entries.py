"""What is being entered: begin an entry, go on with what is not stored yet, or with a draft."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from typing import Any, ClassVar

from textual import on
from textual.binding import BindingType
from textual.widget import Widget
from textual.widgets import Static

from kb.answers.choices import content_of_revision
from kb.answers.drafts import TITLES, Draft, drafts
from kb.answers.listed import Listed, listed
from kb.errors import Refused
from kb.review.acts import withdraw
from tui.browser.actions import ACTIONS, bindings_of
from tui.browser.kept_entries import KeptEntry, Work, kept_of
from tui.browser.opening import open_entry
from tui.browser.room import Room
from tui.browser.screens.pick import Pick
from tui.browser.shelf import EXAMPLE
from tui.browser.text import lines, shown
from tui.browser.widgets.entries import Cell, Entry, Heading, Item
from tui.browser.widgets.rows import Rows

NEW = (
    ("vehicle", "a vehicle: units, speakers, connectors, pins"),
    ("kit", "a kit: parts, leads"),
    ("amplifier", "an amplifier: its channels"),
    ("job", "a job: vehicle, kit and amplifier, which speakers each channel drives"),
)
EDIT = next(a for a in ACTIONS if a.room == "entries" and a.id == "edit_entry")
Kept = list[tuple[str, Work | Refused]]


class Entries(Room):
    """The list; Enter begins or goes on."""

    ROOM = "entries"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of("entries")]

    def __init__(self) -> None:
        super().__init__()
        self._kept: Kept = []

    def body(self) -> Iterable[Widget]:
        yield Static(id="answer")
        yield Rows("entries", headings=("entry", "what", "by"))

    def on_mount(self) -> None:
        super().on_mount()
        self.title_line(("New entries", "title"), f"   you act as {self.shelf.acting}")
        self._tell([])
        self.query_one(Rows).focus()

    def on_screen_resume(self) -> None:
        owner = self.shelf.owner
        self.work(lambda: list(kept_of(owner)), self._kept_arrived, group="list")

    def _kept_arrived(self, kept: Kept) -> None:
        self._kept = kept
        self.ask(drafts, self._arrived, group="list")

    def _arrived(self, drafts: list[Draft]) -> None:
        entries: list[Entry] = [Heading(shown(" BEGIN ", "bold"))]
        entries += [Item(("new", kind), (Cell(kind, "bold"), Cell(words))) for kind, words in NEW]
        kept = [_kept_line(name, work) for name, work in self._kept if isinstance(work, Work)]
        if kept:
            entries += [Heading(shown(" NOT STORED YET ", "unknown")), *kept]
        if drafts:
            entries.append(Heading(shown(" DRAFTS IN THE BOOK ", "unknown")))
            entries += [_draft_line(draft) for draft in drafts]
        self._tell([str(work) for _, work in self._kept if isinstance(work, Refused)])
        self.query_one(Rows).show(entries)

    def _tell(self, unreadable: list[str]) -> None:
        key = self.key_of(EDIT)
        said = f" {key} changes one of the marked kind that the book has; a vehicle: find it first."
        self.query_one("#answer", Static).update(
            lines([shown(said, "faint"), *(shown(f" {text}", "flag") for text in unreadable)])
        )

    @on(Rows.Chosen)
    async def _chosen(self) -> None:
        await self.action_do("open_entry")

    def action_open_entry(self) -> None:
        """Begin what is marked, or go on with it."""
        item = self.query_one(Rows).item
        if item is None or not isinstance(item.key, tuple):
            return
        what, name = item.key
        owner = self.shelf.owner
        if what == "new":
            open_entry(self, {"kind": name, name: {}})
        elif what == "draft":
            kept = KeptEntry.of_revision(name.kind, name.id, name.hash, owner)
            open_entry(self, name.content, kept, name.hash)
        else:
            work = next(work for kept, work in self._kept if kept == name)
            if isinstance(work, Work):
                open_entry(self, work.content, KeptEntry(name, owner), work.made_from)

    def action_edit_entry(self) -> None:
        """Choose one of the marked kind, and open the sheets on the revision that answers."""
        item = self.query_one(Rows).item
        if item is None or not isinstance(item.key, tuple):
            return
        what, kind = item.key
        if what != "new":
            self.action_open_entry()
        elif kind == "vehicle":
            find = self.key_of(next(action for action in ACTIONS if action.id == "find"))
            self.say(f"{find} finds the vehicle; {self.key_of(EDIT)} changes it there.", "caution")
        else:
            self.ask(lambda connection: listed(connection, kind), partial(self._choose, kind))

    def _choose(self, kind: str, found: list[Listed]) -> None:
        if not found:
            self.say(f"The book has no {kind} yet: Enter begins one.", "caution")
            return
        entries = {entry.id: entry for entry in found}

        def chosen(id: str | None) -> None:
            if id is not None:
                self._edit(kind, entries[id])

        options = [(entry.id, f"{entry.title}, {entry.state}") for entry in found]
        self.app.push_screen(Pick(f"Which {kind}?", options), chosen)

    def _edit(self, kind: str, entry: Listed) -> None:
        kept = KeptEntry.of_revision(kind, entry.id, entry.hash, self.shelf.owner)
        self.ask(
            lambda connection: content_of_revision(connection, entry.revision),
            lambda content: open_entry(self, content, kept, entry.hash),
        )

    def action_discard(self) -> None:
        """Throw the marked work away, after asking."""
        item = self.query_one(Rows).item
        if item is None or not isinstance(item.key, tuple) or item.key[0] == "new":
            self.say("There is nothing to throw away on this line.", "faint")
            return
        from tui.browser.screens.prompt import Prompt

        if item.key[0] == "draft":
            self._ask_to_withdraw(item.key[1])
            return

        kept = KeptEntry(item.key[1], self.shelf.owner)

        def gone(said: str | None) -> None:
            if said:
                self._throw_away(kept)

        self.app.push_screen(
            Prompt(f"Throw {item.cells[0].plain} away?", "Type  away  to do so", must_be="away"),
            gone,
        )

    def _ask_to_withdraw(self, draft: Draft) -> None:
        """A draft stays in the book's history; its author withdraws it."""
        if draft.author != self.shelf.acting:
            self.say(f"It is a draft by {draft.author}: only its author withdraws it.", "caution")
            return
        if self.shelf.example:
            self.say(EXAMPLE, "caution")
            return
        from tui.browser.screens.prompt import Prompt

        name, acting = f"{draft.kind}/{draft.id}@{draft.hash}", self.shelf.acting

        def withdrawn(why: str | None) -> None:
            if why:
                self.change(
                    lambda database: withdraw(database, name, by=acting, reason=why),
                    lambda _: self.on_screen_resume(),
                )

        self.app.push_screen(
            Prompt(f"Withdraw the draft {draft.id}?", "Why, in a sentence for its history",
                   needed="A reason is needed; Esc leaves it as it is.", signs=True),
            withdrawn,
        )  # fmt: skip

    def _throw_away(self, kept: KeptEntry) -> None:
        try:
            kept.open()
        except Refused as fault:
            self.say(str(fault), "flag")
            return
        kept.forget()
        kept.close()
        self.on_screen_resume()


def _kept_line(name: str, work: Work) -> Item:
    kind = work.content["kind"]
    head: dict[str, Any] = work.content.get(kind, {})
    title = " ".join(str(head[key]) for key in TITLES[kind] if head.get(key))
    whose = work.owner.by if work.owner else ""
    name_in_words = str(head.get("id") or f"a new {kind}")
    return Item(("kept", name), (Cell(name_in_words, "bold"), Cell(title or kind), Cell(whose)))


def _draft_line(draft: Draft) -> Item:
    cells = (Cell(draft.id, "bold"), Cell(f"{draft.kind}: {draft.title}"), Cell(draft.author))
    return Item(("draft", draft), cells)
