"""The jobs of the book: each one's plan, and its readings when it is done."""

from __future__ import annotations

from collections.abc import Iterable
from typing import ClassVar

from textual import on
from textual.binding import BindingType
from textual.widget import Widget
from textual.widgets import Static

from kb.answers.choices import JobLine, jobs
from tui.browser.actions import bindings_of
from tui.browser.room import Room
from tui.browser.text import shown
from tui.browser.widgets.entries import Cell, Item
from tui.browser.widgets.rows import Rows


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
        self.refill()

    def refill(self) -> None:
        """Read the jobs anew."""
        self.ask(jobs, self._arrived)

    def _arrived(self, found: list[JobLine]) -> None:
        words = "Enter walks through the plan of the marked job, r brings back its readings."
        if not found:
            words = "No job yet: find the car, choose the kit, and press j there."
        self.query_one("#answer", Static).update(shown(f" {words}", "bold"))
        self.query_one(Rows).show([_line(job) for job in found])

    @on(Rows.Chosen)
    def _chosen(self) -> None:
        self.action_open_plan()

    def action_open_plan(self) -> None:
        """Walk through the plan of the marked job."""
        item = self.query_one(Rows).item
        if item is not None:
            from tui.browser.screens.plan import PlanWalk

            self.app.push_screen(PlanWalk(str(item.key)))

    def action_open_readings(self) -> None:
        """Bring back what was found on the pins that the marked job touched."""
        item = self.query_one(Rows).item
        if item is not None:
            from tui.browser.screens.readings import Readings

            self.app.push_screen(Readings(str(item.key)))


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
