"""The jobs of the book: each one's plan, and its readings when it is done."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, ClassVar

from textual import on
from textual.binding import BindingType
from textual.widget import Widget
from textual.widgets import Static

from kb.answers.choices import JobLine, jobs
from tui.browser.actions import bindings_of
from tui.browser.journal import Journal, unstored
from tui.browser.room import Room
from tui.browser.screens.prompt import Prompt
from tui.browser.text import shown
from tui.browser.widgets.entries import Cell, Entry, Heading, Item
from tui.browser.widgets.rows import Rows

KEPT = "kept"  # the first part of the key of a line whose changes are not stored


class Jobs(Room):
    """The list; Enter walks through the plan."""

    ROOM = "jobs"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of("jobs")]

    def body(self) -> Iterable[Widget]:
        yield Static(id="answer")
        yield Rows("jobs", headings=("job", "vehicle", "kit", "state"), yields=((3, 0),))

    def on_mount(self) -> None:
        super().on_mount()
        self.title_line(("Jobs", "title"))
        self.query_one(Rows).focus()

    def on_screen_resume(self) -> None:
        """Read the jobs anew: a plan that was left may be stored, or kept."""

        owner = self.shelf.owner

        def read(connection: Any) -> tuple[list[JobLine], list[tuple[str, dict[str, Any]]]]:
            kept = [
                (name, Journal("job", name, owner=owner).read() or {})
                for name in unstored("job", owner)
            ]
            return jobs(connection), [
                (name, work["content"])
                for name, work in kept
                if isinstance(work.get("content"), dict) and "job" in work["content"]
            ]

        self.ask(read, self._arrived)

    def _arrived(self, found: tuple[list[JobLine], list[tuple[str, dict[str, Any]]]]) -> None:
        stored, kept = found
        words = "Enter walks through the plan of the marked job, r brings back its readings."
        if not stored and not kept:
            words = "No job yet: find the car, choose the kit, and press j there."
        self.query_one("#answer", Static).update(shown(f" {words}", "bold"))
        entries: list[Entry] = [_line(job) for job in stored]
        if kept:
            entries.append(Heading(shown(" CHANGED, NOT STORED YET ", "unknown")))
            entries += [_kept_line(name, content) for name, content in kept]
        self.query_one(Rows).show(entries)

    @on(Rows.Chosen)
    def _chosen(self) -> None:
        self.action_open_plan()

    def action_open_plan(self) -> None:
        """Walk through the plan of the marked job."""
        item = self.query_one(Rows).item
        if item is None:
            return
        from tui.browser.screens.plan import PlanWalk

        if not isinstance(item.key, tuple):
            self.app.push_screen(PlanWalk(str(item.key)))
            return
        kept = Journal("job", item.key[1], owner=self.shelf.owner).read()
        if kept is None:
            self.say("These changes cannot be read any more.", "flag")
            return
        base = kept.get("base")
        base = base if isinstance(base, dict) and "job" in base else kept["content"]
        id = base["job"].get("id")
        self.app.push_screen(PlanWalk(id or base, journal=item.key[1]))

    def action_open_readings(self) -> None:
        """Bring back what was found on the pins that the marked job touched."""
        item = self.query_one(Rows).item
        if item is None:
            return
        if isinstance(item.key, tuple):
            self.say("Store the job first: readings are of a stored job's pins.", "caution")
            return
        from tui.browser.screens.readings import Readings

        self.app.push_screen(Readings(str(item.key)))

    def action_discard(self) -> None:
        """Throw the marked unstored changes away, after asking."""
        item = self.query_one(Rows).item
        if item is None:
            return
        if not isinstance(item.key, tuple):
            self.say("A stored job stays; only what is not stored yet can be thrown away.", "faint")
            return
        name = item.key[1]

        def gone(said: str | None) -> None:
            if said:
                Journal("job", name, owner=self.shelf.owner).forget()
                self.on_screen_resume()

        self.app.push_screen(
            Prompt(f"Throw the changes of {item.cells[0].plain} away?", "Type  away  to do so",
                   must_be="away"),
            gone,
        )  # fmt: skip


def _kept_line(name: str, content: dict[str, Any]) -> Item:
    head = content["job"]
    id = str(head.get("id") or "a new job")
    return Item(
        (KEPT, name),
        (
            Cell(id, "bold"),
            Cell(str(head.get("vehicle", ""))),
            Cell(str(head.get("kit", ""))),
            Cell("not stored", "unknown"),
        ),
        sentence=f"{id}, changed and not stored yet: {head.get('vehicle')} with {head.get('kit')}",
    )


def _line(job: JobLine) -> Item:
    return Item(
        job.id,
        (
            Cell(job.id, "bold"),
            Cell(job.vehicle_name or f"{job.vehicle}: not in this book",
                 "plain" if job.vehicle_name else "flag"),
            Cell(job.kit_name or f"{job.kit}: not in this book",
                 "plain" if job.kit_name else "flag"),
            Cell(job.state, "fine" if job.state == "verified" else "caution"),
        ),
        sentence=f"{job.id}: {job.vehicle_name or job.vehicle} with {job.kit_name or job.kit}",
    )  # fmt: skip
