"""The vehicle at one glance: kits, speakers with what becomes of each, and where they sit.

Enter always goes on (kit, then speaker), Esc always one step back.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from typing import Any, ClassVar

from textual import on
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.events import Key
from textual.widget import Widget
from textual.widgets import Static

from kb.answers.glance import Glance, glance
from kb.answers.kits import KitFit, PartFit, kits_for, parts_for
from kb.answers.runs import Runs, runs
from tui.browser import telling
from tui.browser.actions import bindings_of
from tui.browser.journal import Journal
from tui.browser.room import Room
from tui.browser.text import drawn, lines, row
from tui.browser.widgets.aside import Aside
from tui.browser.widgets.rows import Rows
from tui.drawing.vehicle_from_above import draw_vehicle


class Vehicle(Room):
    """One vehicle, with a kit or before one is chosen."""

    ROOM = "vehicle"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of("vehicle")]

    def __init__(
        self,
        vehicle: str,
        kit: str | None = None,
        parts: tuple[str, ...] = (),
        *,
        speaker: str | None = None,
    ) -> None:
        super().__init__()
        self._first_marked = speaker
        self._going_on = False
        self.vehicle = vehicle
        self.kit = kit
        self.parts = parts
        self.seen: Glance | None = None
        self.answer: Runs | None = None
        self.kits: list[KitFit] = []

    def body(self) -> Iterable[Widget]:
        yield Static(id="answer")
        with Horizontal():
            with Vertical(id="vehicle-left"):
                yield Rows(
                    "kits",
                    headings=("key", "kit", "speakers", "at best"),
                    yields=((3, 0), (1, 10)),
                )
                yield Rows(
                    "speakers",
                    headings=("speaker", "place", "role", "fed by", "to know"),
                    yields=((4, 0), (1, 12), (2, 6), (3, 4), (1, 8)),
                )
            with Aside(id="vehicle-right"):
                yield Static(id="drawing")
                with VerticalScroll(id="brief", can_focus=False):
                    yield Static(id="brief-text")

    def on_mount(self) -> None:
        super().on_mount()
        self.title_line((self.vehicle, "title"))
        self.ask(self._read, self._arrived)

    def _read(self, connection: sqlite3.Connection) -> tuple[Glance, list[KitFit], Runs | None]:
        answer = runs(connection, self.vehicle, self.kit, self.parts) if self.kit else None
        return glance(connection, self.vehicle), kits_for(connection, self.vehicle), answer

    def _arrived(self, found: tuple[Glance, list[KitFit], Runs | None]) -> None:
        self.seen, self.kits, self.answer = found
        self.title_line((self.seen.title, "title"))
        kits = self.query_one("#kits", Rows)
        kits.show(list(telling.kit_entries(self.kits, len(self.seen.speakers))))
        self._show_speakers()
        if self._first_marked:
            self.query_one("#speakers", Rows).mark_key(self._first_marked)
        self._open_kits(self.answer is None and bool(self.kits))
        if self._going_on:
            self.action_go_on()

    # -- the kit

    def _open_kits(self, open: bool) -> None:
        self.query_one("#kits").set_class(not open, "-closed")
        self.query_one("#kits" if open else "#speakers", Rows).focus()

    @property
    def kits_are_open(self) -> bool:
        """Whether a kit is being chosen."""
        return not self.query_one("#kits").has_class("-closed")

    def action_choose_kit(self) -> None:
        """List the kits."""
        self._open_kits(not self.kits_are_open)

    def on_key(self, event: Key) -> None:
        """The number beside a kit chooses it."""
        if not (self.kits_are_open and event.character and event.character.isdecimal()):
            return
        fitting = [kit for kit in self.kits if kit.plugs_in]
        number = int(event.character)
        if 1 <= number <= len(fitting):
            event.stop()
            self._take_kit(fitting[number - 1].id)

    @on(Rows.Chosen, "#kits")
    def _kit_chosen(self, message: Rows.Chosen) -> None:
        self._take_kit(str(message.item.key))

    def _take_kit(self, kit: str) -> None:
        if kit != self.kit:
            self.parts = ()
        self.kit = kit
        self.ask(
            lambda connection: runs(connection, self.vehicle, kit, self.parts), self._answered_runs
        )

    def take_part(self, part: str) -> None:
        """Take another part of the kit, or leave one that was taken."""
        if self.kit is None:
            return
        kept = tuple(other for other in self.parts if other != part)
        self.parts = kept if part in self.parts else (*kept, part)
        self._take_kit(self.kit)

    def _answered_runs(self, answer: Runs) -> None:
        self.answer = answer
        self._show_speakers()
        self._open_kits(False)

    # -- the speakers

    def _show_speakers(self) -> None:
        assert self.seen is not None
        rows = self.query_one("#speakers", Rows)
        said = self.query_one("#answer", Static)
        if self.answer is None:
            said.update(row((" Which kit?", "bold"), "  Enter takes the marked one, a number any."))
            rows.show(list(telling.glance_entries(self.seen)))
        else:
            path = " + ".join(self.answer.path.chosen) or "no part"
            spare = len(self.answer.path.unchosen)
            more = f"   p: {spare} more part{'' if spare == 1 else 's'}" if spare else ""
            said.update(
                lines(
                    [
                        row(
                            " with ", (self.answer.kit_title, "bold"), f", {path}", (more, "faint")
                        ),
                        telling.headline(self.answer),
                    ]
                )
            )
            rows.show(list(telling.speaker_entries(self.answer)), keep=False)
        self._draw()

    @property
    def marked(self) -> str | None:
        """The marked speaker."""
        item = self.query_one("#speakers", Rows).item
        return str(item.key) if item else None

    @on(Rows.Marked, "#speakers")
    @on(Aside.Resized)
    def _draw(self) -> None:
        if self.seen is None:
            return
        right = self.query_one("#vehicle-right")
        width, height = right.size.width, right.size.height
        if width < 2:
            return
        with_brief = self.has_class("-high") and self.answer is not None
        speakers = self.answer.speakers if self.answer else self.seen.speakers
        drawing = draw_vehicle(
            telling.spots(speakers, self.marked), width, height * 6 // 10 if with_brief else height
        )
        self.query_one("#drawing", Static).update(lines(drawn(line) for line in drawing))
        self.query_one("#brief-text", Static).update(lines(self._brief()) if with_brief else "")

    def _brief(self) -> list[Content]:
        answer = self.answer
        speaker = (
            next((s for s in answer.speakers if s.speaker == self.marked), None) if answer else None
        )
        if speaker is None:
            return []
        return list(telling.about_speaker(speaker, colours=self.browser.in_colour))

    @on(Rows.Chosen, "#speakers")
    def _speaker_chosen(self, message: Rows.Chosen) -> None:
        if self.answer is None:
            self._open_kits(True)
            return
        from tui.browser.screens.speaker import Speaker

        self.app.push_screen(Speaker(self, str(message.item.key)))

    def action_go_on(self) -> None:
        """Choose what is marked, as Enter does in the list itself."""
        self._going_on = self.seen is None  # Enter came before the answer did
        rows = self.rows_in_hand()
        if rows is not None:
            rows.action_choose()

    def action_next_flag(self) -> None:
        """Mark the next speaker that needs a way of its own."""
        rows = self.query_one("#speakers", Rows)
        if self.answer is None:
            return
        need = [s.speaker for s in self.answer.speakers if s.outcome in telling.NEEDS_A_WAY]
        keys = [item.key for item in rows.items if item.key in need]
        if not keys:
            self.say("No speaker is known to be left out.", "fine")
            return
        at = keys.index(self.marked) + 1 if self.marked in keys else 0
        rows.mark_key(keys[at % len(keys)])

    def action_toggle_drawing(self) -> None:
        """Show or hide the drawing."""
        self.query_one("#vehicle-right").toggle_class("-closed")
        self.call_after_refresh(self._draw)

    def action_plan_job(self) -> None:
        """Plan a job with this kit and these parts."""
        if self.kit is None:
            self.say("Choose a kit first.", "caution")
            return
        from tui.browser.screens.plan import PlanWalk

        head: dict[str, object] = {"vehicle": self.vehicle, "kit": self.kit}
        if self.parts:
            head["parts"] = list(self.parts)
        self.app.push_screen(PlanWalk({"kind": "job", "job": head}))

    def action_edit_vehicle(self) -> None:
        """Enter another revision of this vehicle, from the one that answers."""
        if self.seen is None:
            return
        entry = self.seen.vehicle

        def read(connection: Any) -> dict[str, Any]:
            from kb.answers.choices import content_of_revision

            return content_of_revision(connection, entry.revision)

        def open_grid(content: dict[str, Any]) -> None:
            from tui.browser.screens.grid import EntryGrid

            name = f"vehicle-{entry.id}-{entry.hash[:12]}"
            kept = Journal("entry", name).read()
            self.app.push_screen(
                EntryGrid(kept["content"] if kept else content, journal=name, made_from=entry.hash)
            )

        self.ask(read, open_grid, group="edit")

    def action_choose_parts(self) -> None:
        """Take another part, or leave it."""
        if self.answer is None:
            self.say("Choose a kit first.", "caution")
            return
        kit = self.answer.kit.id
        self.ask(
            lambda connection: parts_for(connection, self.vehicle, kit),
            self._offer_parts,
            group="parts",
        )

    def _offer_parts(self, parts: list[PartFit]) -> None:
        from tui.browser.screens.parts import Parts

        if self.answer is not None:
            self.app.push_screen(
                Parts(self.answer.kit_title, parts, self.answer.path.chosen), self._parts_chosen
            )

    def _parts_chosen(self, parts: tuple[str, ...] | None) -> None:
        if parts is not None and self.kit is not None:
            self.parts = parts
            self._take_kit(self.kit)

    def leave(self) -> None:
        """From an open list of kits back to the answer, else back to Find."""
        if self.kits_are_open and self.answer is not None:
            self._open_kits(False)
        else:
            super().leave()
