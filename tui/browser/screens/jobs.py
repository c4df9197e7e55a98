"""The jobs of the book: each one's plan, and its readings when it is done."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, ClassVar, NamedTuple

from textual import on
from textual.binding import BindingType
from textual.widget import Widget
from textual.widgets import Static

from kb.answers.choices import JobLine, jobs
from tui.browser.actions import bindings_of
from tui.browser.journal import Journal, Owner, unstored
from tui.browser.kept_readings import KeptReadings, begun_jobs, sorted_for
from tui.browser.room import Room
from tui.browser.screens.prompt import Prompt
from tui.browser.text import shown
from tui.browser.widgets.entries import Cell, Entry, Heading, Item
from tui.browser.widgets.rows import Rows

KEPT = "kept"  # the first part of the key of a line whose changes are not stored
READ = "read"  # the same of a line whose readings are not submitted


class Found(NamedTuple):
    """What the list shows: what is in the book, and what waits beside it."""

    stored: list[JobLine]
    kept: list[tuple[str, dict[str, Any]]]
    begun: list[Reading]


class Reading(NamedTuple):
    """Readings that were begun: of how many pins, None where the book cannot say."""

    job: str
    looked_at: int
    pins: int | None


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

        def read(connection: Any) -> Found:
            kept = [
                (name, Journal("job", name, owner=owner).read() or {})
                for name in unstored("job", owner)
            ]
            stored = jobs(connection)
            return Found(
                stored,
                [
                    (name, work["content"])
                    for name, work in kept
                    if isinstance(work.get("content"), dict) and "job" in work["content"]
                ],
                [
                    _begun(connection, job, owner)
                    for job in begun_jobs(owner, [line.id for line in stored])
                ],
            )

        self.ask(read, self._arrived, again=self._arrived)

    def _arrived(self, found: Found) -> None:
        stored, kept, begun = found
        words = "Enter walks through the plan of the marked job, r brings back its readings."
        if not stored and not kept and not begun:
            words = "No job yet: find the car, choose the kit, and press j there."
        self.query_one("#answer", Static).update(shown(f" {words}", "bold"))
        entries: list[Entry] = [_line(job) for job in stored]
        if kept:
            entries.append(Heading(shown(" CHANGED, NOT STORED YET ", "unknown")))
            entries += [_kept_line(name, content) for name, content in kept]
        if begun:
            entries.append(Heading(shown(" READINGS BEGUN, NOT SUBMITTED YET ", "unknown")))
            lines = {line.id: line for line in stored}
            entries += [_begun_line(reading, lines.get(reading.job)) for reading in begun]
        self.query_one(Rows).show(entries)

    @on(Rows.Chosen)
    def _chosen(self) -> None:
        self.action_open_plan()

    def action_open_plan(self) -> None:
        """Walk through the plan of the marked job."""
        item = self.query_one(Rows).item
        if item is None:
            return
        if isinstance(item.key, tuple) and item.key[0] == READ:
            self.action_open_readings()
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
        job = item.key
        if isinstance(job, tuple) and job[0] == READ:
            job = job[1]
        if isinstance(job, tuple):
            self.say("Store the job first: readings are of a stored job's pins.", "caution")
            return
        from tui.browser.screens.readings import Readings

        self.app.push_screen(Readings(str(job)))

    def action_discard(self) -> None:
        """Throw the marked unstored changes away, after asking."""
        item = self.query_one(Rows).item
        if item is None:
            return
        if not isinstance(item.key, tuple):
            self.say("A stored job stays; only what is not stored yet can be thrown away.", "faint")
            return
        what, name = item.key

        def gone(said: str | None) -> None:
            if said and what == READ:
                self._throw_readings_away(name)
            elif said:
                Journal("job", name, owner=self.shelf.owner).forget()
                self.on_screen_resume()

        of = "readings" if what == READ else "changes"
        self.app.push_screen(
            Prompt(f"Throw the {of} of {item.cells[0].plain} away?", "Type  away  to do so",
                   must_be="away"),
            gone,
        )  # fmt: skip

    def _throw_readings_away(self, job: str) -> None:
        kept = KeptReadings(job, self.shelf.owner)
        held_by = kept.open()
        if held_by:
            self.say(f"They are open in {held_by}: throw them away there.", "caution")
            return
        kept.forget()
        kept.close()
        self.on_screen_resume()


def _begun(connection: Any, job: str, owner: Owner) -> Reading:
    from kb.errors import Refused
    from kb.review.touched import touched_by

    try:
        begun = KeptReadings(job, owner).read(connection)
        touched = touched_by(connection, job)
    except Refused:  # the job, or what it names, answers no longer
        return Reading(job, 0, None)
    stand = sorted_for(begun, touched).stand if begun else {}
    return Reading(job, len(stand), len(touched.pins))


def _begun_line(reading: Reading, line: JobLine | None) -> Item:
    of = "its job is not in the book now" if reading.pins is None else f"of {reading.pins}"
    begun = "readings begun: " + (of if reading.pins is None else f"{reading.looked_at} {of}")
    vehicle = (line.vehicle_name or line.vehicle) if line else ""
    kit = (line.kit_name or line.kit) if line else ""
    return Item(
        (READ, reading.job),
        (Cell(reading.job, "bold"), Cell(vehicle), Cell(kit), Cell(begun, "unknown")),
        sentence=f"{reading.job}: {begun}",
    )


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
