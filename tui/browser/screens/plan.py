"""The plan of a job, walked through: what is chosen on one side, what follows on the other."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar

from textual import on
from textual.binding import BindingType
from textual.containers import Container, VerticalScroll
from textual.content import Content
from textual.events import Resize
from textual.widget import Widget
from textual.widgets import Static

from kb.answers.choices import AmplifierLine, amplifiers, job_content, places
from kb.answers.glance import Glance, glance
from kb.answers.kits import PartFit, parts_for
from tui.browser.actions import bindings_of
from tui.browser.jobs import JobDraft
from tui.browser.room import Room
from tui.browser.screens.pick import Pick
from tui.browser.screens.prompt import Prompt
from tui.browser.text import PageInk, from_page, row, shown
from tui.browser.widgets.entries import Cell, Entry, Heading, Item
from tui.browser.widgets.rows import Rows

if TYPE_CHECKING:
    from kb.plan.whole import WholePlan

ON, OFF = "[x]", "[ ]"


@dataclass(frozen=True)
class Choices:
    """What the job chooses among."""

    seen: Glance
    parts: list[PartFit]
    amplifiers: list[AmplifierLine]
    places: list[str]


class PlanWalk(Room):
    """A stored job by its id, or a new one by its content."""

    ROOM = "plan"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of("plan")]

    def __init__(self, job: str | dict[str, Any]) -> None:
        super().__init__()
        self.job = job
        self.draft: JobDraft | None = None
        self.choices: Choices | None = None
        self.whole: WholePlan | None = None
        self.steps = False
        self.why = False

    def body(self) -> Iterable[Widget]:
        yield Static(id="verdict")
        with Container(id="plan-body"):
            yield Rows("settings", headings=("what", "chosen"), yields=((1, 8),))
            with VerticalScroll(id="plan-scroll"):
                yield Static(id="plan-text")

    def on_mount(self) -> None:
        super().on_mount()
        self.title_line(("The plan", "title"))
        self.query_one("#settings").focus()
        self.ask(self._read, self._arrived)

    def _read(self, connection: Any) -> tuple[dict[str, Any], Choices]:
        content = job_content(connection, self.job) if isinstance(self.job, str) else self.job
        head = content["job"]
        return content, Choices(
            glance(connection, head["vehicle"]),
            parts_for(connection, head["vehicle"], head["kit"]),
            amplifiers(connection),
            places(connection, head["vehicle"]),
        )

    def _arrived(self, found: tuple[dict[str, Any], Choices]) -> None:
        content, self.choices = found
        self.draft = JobDraft(content)
        self._changed()

    # -- what follows

    def _changed(self) -> None:
        """Show the choices, and work out what follows from them."""
        assert self.draft is not None and self.choices is not None
        name = self.draft.head.get("id", "a new job")
        mark = "  (changed, not stored)" if self.draft.changed else ""
        self.title_line((f"{name}{mark}", "title"), f"   {self.choices.seen.title}")
        self.query_one("#settings", Rows).show(list(self._settings()))
        missing = [
            words
            for field, words in (
                ("amplifier", "the amplifier"),
                ("amplifier_place", "where the amplifier goes"),
                ("battery_place", "where the battery is"),
            )
            if not self.draft.head.get(field)
        ]
        if missing:
            self.whole = None
            text = f"Choose {' and '.join(missing)} first: Enter on its line."
            self.query_one("#plan-text", Static).update(shown(text, "bold"))
            return
        content = {"kind": "job", **self.draft.content}
        content["job"] = {"id": "new-job", **content["job"]}

        def work_out(connection: Any) -> WholePlan:
            from kb.answers.papers import plan_job

            return plan_job(connection, content)

        self.ask(work_out, self._planned, group="plan")

    def _planned(self, whole: WholePlan) -> None:
        self.whole = whole
        self.query_one("#settings", Rows).show(list(self._settings()))
        self._draw()

    def failed(self, sentence: str, group: str) -> None:
        """A plan that cannot be made says why where the plan would be."""
        if group == "plan":
            self.whole = None
            self.query_one("#plan-text", Static).update(shown(sentence, "flag"))
        else:
            super().failed(sentence, group)

    def _draw(self) -> None:
        if self.whole is None:
            return
        from tui.drawing.plan_page import plan_page

        width = max(40, min(110, self.query_one("#plan-scroll").size.width - 1))
        verdict = self.query_one("#verdict", Static)
        verdict.update(_verdict(self.whole))
        page = plan_page(self.whole, width, PageInk(), steps=self.steps, why=self.why)
        self.query_one("#plan-text", Static).update(from_page(page))

    def on_resize(self, _: Resize) -> None:
        self.call_after_refresh(self._draw)

    # -- the choices

    def _settings(self) -> Iterator[Entry]:
        assert self.draft is not None and self.choices is not None
        head = self.draft.head
        yield Heading(shown(" THE JOB ", "bold"))
        names = {a.id: f"{a.maker} {a.name}" for a in self.choices.amplifiers}
        amplifier = names.get(head.get("amplifier", ""), head.get("amplifier"))
        for key, label, value in (
            ("amplifier", "amplifier", amplifier),
            ("amplifier_place", "goes to", head.get("amplifier_place")),
            ("battery_place", "battery at", head.get("battery_place")),
        ):
            role = "bold" if value else "unknown"
            yield Item(key, (Cell(label), Cell(value or "choose", role)), f"{label}: {value}")
        drives = "as the job says" if self.draft.content.get("drive") else "as the plan suggests"
        yield Item("channels", (Cell("channels"), Cell(drives)), f"channels: {drives}")
        yield from self._parts()
        yield Heading(shown(" WHAT PLAYS ", "bold"))
        silent = head.get("silent", ())
        for speaker in self.choices.seen.speakers:
            plays = speaker.speaker not in silent
            state = "plays" if plays else "stays silent"
            yield Item(
                ("speaker", speaker.speaker),
                (
                    Cell(
                        f"{ON if plays else OFF} {speaker.speaker}", "plain" if plays else "faint"
                    ),
                    Cell(speaker.role if plays else "silent", "faint" if plays else "caution"),
                ),
                f"{speaker.speaker} {state}",
            )

    def _parts(self) -> Iterator[Entry]:
        assert self.draft is not None and self.choices is not None
        choice = [part for part in self.choices.parts if not part.always]
        if not choice:
            return
        given = self.draft.head.get("parts")
        yield Heading(shown(" PARTS ", "bold"))
        yield Item(
            "parts",
            (Cell("chosen by"), Cell("the job" if given is not None else "the plan")),
            f"parts chosen by {'the job' if given is not None else 'the plan'}",
        )
        for part in choice:
            taken = part.part in self._chosen_parts()
            fits = "fits" if part.fits else "does not plug in"
            yield Item(
                ("part", part.part),
                (
                    Cell(f"{ON if taken else OFF} {part.part}"),
                    Cell(fits, "faint" if part.fits else "caution"),
                ),
                f"part {part.part} {'taken' if taken else 'not taken'}, {fits}",
            )

    def _chosen_parts(self) -> list[str]:
        assert self.draft is not None and self.choices is not None
        given = self.draft.head.get("parts")
        if given is not None:
            return list(given)
        if self.whole is None:
            return []
        always = {part.part for part in self.choices.parts if part.always}
        return [part for part in self.whole.plan.runs.path.chosen if part not in always]

    @on(Rows.Chosen, "#settings")
    def _chosen(self) -> None:
        self.action_change()

    def action_change(self) -> None:
        """Change what is marked: pick another, take it or leave it, let it play or not."""
        item = self.query_one("#settings", Rows).item
        if item is None or self.draft is None or self.choices is None:
            return
        key = item.key
        if key == "amplifier":
            options = [(a.id, f"{a.maker} {a.name}, {a.state}") for a in self.choices.amplifiers]
            self._pick("Which amplifier?", options, "amplifier", self.draft.take_amplifier)
        elif key in ("amplifier_place", "battery_place"):
            name = str(key)
            options = [(place, "") for place in self.choices.places]
            self._pick("Where?", options, name, lambda place: self._set(name, place))
        elif isinstance(key, tuple) and key[0] == "speaker":
            self.draft.silence(key[1])
            self._changed()
        elif isinstance(key, tuple):
            self.draft.choose_part(key[1], self._chosen_parts())
            self._changed()
        elif key == "parts" and self.draft.head.get("parts") is not None:
            self.draft.let_plan_choose()
            self._changed()
        elif key == "channels" and self.draft.content.get("drive"):
            self.draft.suggest_channels()
            self._changed()

    def _set(self, name: str, value: str) -> None:
        assert self.draft is not None
        self.draft.set(name, value)

    def _pick(self, title: str, options: list[tuple[str, str]], name: str, take: Any) -> None:
        assert self.draft is not None

        def taken(chosen: str | None) -> None:
            if chosen is not None:
                take(chosen)
                self._changed()

        self.app.push_screen(Pick(title, options, self.draft.head.get(name)), taken)

    def action_undo(self) -> None:
        """Take the last change back."""
        if self.draft is not None and self.draft.undo():
            self._changed()
            self.say("undone", "faint")
        else:
            self.say("Nothing to undo.", "faint")

    def action_toggle_steps(self) -> None:
        """Show the order of work, or hide it."""
        self.steps = not self.steps
        self._draw()

    def action_toggle_why(self) -> None:
        """Show each figure's formula and source, or hide them."""
        self.why = not self.why
        self._draw()

    def action_other_pane(self) -> None:
        """Between the choices and the plan, to scroll it."""
        settings, scroll = self.query_one("#settings"), self.query_one("#plan-scroll")
        (scroll if settings.has_focus else settings).focus()

    # -- keeping it

    def action_store(self) -> None:
        """Store the job as a submitted revision."""
        if self.draft is None:
            return
        self.app.push_screen(
            Prompt("Name of the job", "small letters, digits and hyphens",
                   value=str(self.draft.head.get("id", ""))),
            self._store,
        )  # fmt: skip

    def _store(self, name: str | None) -> None:
        if not name or self.draft is None:
            return
        content = {**self.draft.content, "kind": "job"}
        content["job"] = {**content["job"], "id": name}
        acting = self.shelf.acting

        def add(database: Any) -> Any:
            from kb.store.revisions import add_documents
            from tui.browser.checking import checked

            return add_documents(database, [checked(content)], author=acting)

        self.change(add, lambda stored: self._stored(stored[0], content))

    def _stored(self, stored: Any, content: dict[str, Any]) -> None:
        self.draft = JobDraft(content)
        self._changed()
        self.say(f"{stored.id} is {stored.state}.", "fine")

    def action_write_sheet(self) -> None:
        """Write the plan on paper: one HTML file."""
        if self.draft is None or self.whole is None:
            self.say("There is no plan yet to write.", "caution")
            return
        name = str(self.draft.head.get("id", "job"))
        self.app.push_screen(
            Prompt("Write the sheet to which file?", "an HTML page that prints",
                   value=f"{name}.html"),
            self._write_sheet,
        )  # fmt: skip

    def _write_sheet(self, path: str | None) -> None:
        whole = self.whole
        if not path or whole is None:
            return

        def write() -> str:
            from tui.drawing.sheet import write_sheet

            return str(write_sheet(whole, Path(path)))

        self.work(write, lambda written: self.say(f"written: {written}", "fine"), group="sheet")


def _verdict(whole: WholePlan) -> Content:
    """What is wrong with the choices as they stand, in one line: it changes with every key."""
    plan = whole.plan
    if plan.faults:
        count = f"{len(plan.faults)} FAULT{'' if len(plan.faults) == 1 else 'S'}"
        return row((f" ! {count} ", "shout"), (f"  {'; '.join(plan.faults)}", "flag"))
    if plan.out_of_reach:
        return row((f" ? NO WAY KNOWN TO {', '.join(plan.out_of_reach).upper()} ", "unknown"))
    if plan.reach.unreachable:
        return row((f" ? NO WAY KNOWN FROM {str(plan.wiring.task.start).upper()} ", "unknown"))
    if plan.wiring.not_planned:
        names = ", ".join(plan.wiring.not_planned)
        return row((f" ? {names} TO METER FIRST ", "unknown"))
    loads = ", ".join(
        f"{c.channel}: {'?' if c.nominal_ohms is None else f'{c.nominal_ohms:.3g}'} Ω"
        for c in plan.channels
    )
    unknown = any(c.nominal_ohms is None for c in plan.channels)
    if unknown:
        return row((" ? a load is unknown ", "unknown"), f"  channels: {loads}")
    return row((" ✓ no fault ", "fine"), f"  channels: {loads}")
