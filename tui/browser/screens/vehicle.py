"""The vehicle at one glance: kits, speakers with what becomes of each, and where they sit.

Enter always goes on (kit, then speaker), Esc always one step back.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any, ClassVar, NamedTuple

from textual import on
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.events import Key, Resize
from textual.widget import Widget
from textual.widgets import Static

from kb.answers.glance import Glance, glance
from kb.answers.kits import KitFit, kits_for
from tui.browser.actions import Action, actions_of, bindings_of
from tui.browser.lines import kits as kit_lines
from tui.browser.lines import vehicle as vehicle_lines
from tui.browser.lines.vehicle_head import KitAnswer, headline, read_kit_answer
from tui.browser.path_questions import ask_for_parts, ask_for_place
from tui.browser.screens.beside import Beside
from tui.browser.text import lines, row
from tui.browser.widgets.aside import Aside
from tui.browser.widgets.rows import Rows

NO_DRAWING = "There is no drawing here: flat text has none, nor has so narrow a screen."


class Whole(NamedTuple):
    """All that the screen shows, read in one go."""

    seen: Glance
    kits: list[KitFit]
    with_kit: KitAnswer | None


class Vehicle(Beside):
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
        super().__init__(vehicle)
        self._first_marked = speaker
        self._going_on = False
        self.kit = kit
        self.parts = parts
        self.place: str | None = None  # of the new amplifier, where another one was chosen
        self.kits: list[KitFit] = []

    def body(self) -> Iterable[Widget]:
        yield Static(id="answer")
        with Horizontal():
            with Vertical(id="vehicle-left"):
                yield Rows("kits", headings=kit_lines.HEADINGS)
                yield Rows(
                    "speakers",
                    headings=("speaker", "place", "role", "fed by", "to know"),
                )
                yield Rows("face")
            with Aside(id="vehicle-right"):
                yield Static(id="drawing")
                yield Rows("brief")

    def on_mount(self) -> None:
        super().on_mount()
        self.title_line((self.vehicle, "title"))
        for rows in (self.query_one("#face", Rows), self.query_one("#brief", Rows)):
            rows.can_focus = False
        self.ask(self._read, self._arrived, again=self._arrived_anew)

    def _read(self, connection: Any) -> Whole:
        with_kit = None
        if self.kit:
            path = (self.kit, self.parts, self.place)
            with_kit = read_kit_answer(connection, self.vehicle, *path)
        return Whole(glance(connection, self.vehicle), kits_for(connection, self.vehicle), with_kit)

    def _show(self, found: Whole, *, keep: bool) -> None:
        self.seen, self.kits, self.with_kit = found
        self.title_line((self.seen.title, "title"))
        kits = self.query_one("#kits", Rows)
        entries = list(kit_lines.kit_entries(self.kits, len(self.seen.speakers)))
        kits.yields = kit_lines.yields_of(entries)
        kits.show(entries)
        self._show_speakers(keep=keep)

    def _arrived_anew(self, found: Whole) -> None:
        self._show(found, keep=True)

    def _arrived(self, found: Whole) -> None:
        self._show(found, keep=False)
        self._mark_first()
        self._open_kits(self.answer is None and bool(self.kits))
        if self._going_on:
            self.action_go_on()

    def _mark_first(self) -> None:
        """Mark the speaker that was asked for, until there is an answer for it."""
        if self._first_marked:
            self.query_one("#speakers", Rows).mark_key(self._first_marked)
        if self.answer is not None:
            self._first_marked = None

    # -- the kit

    def _open_kits(self, open: bool) -> None:
        self.query_one("#kits").set_class(not open, "-closed")
        self.query_one("#kits" if open else "#speakers", Rows).focus()
        if self.seen is not None:
            self._headline()

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
        event.stop()
        if 1 <= number <= len(fitting):
            self._take_kit(fitting[number - 1].id)
        else:
            self.say(f"No kit that plugs in has the number {number}.", "caution")

    @on(Rows.Chosen, "#kits")
    def _kit_chosen(self, message: Rows.Chosen) -> None:
        self._take_kit(str(message.item.key))

    def _take_kit(self, kit: str, then: Callable[[], None] | None = None) -> None:
        if kit != self.kit:
            self.parts, self.place = (), None
        self.kit = kit

        def answered(found: Whole) -> None:
            self.say("")
            self._show(found, keep=then is not None)
            self._mark_first()
            self._open_kits(False)
            if then is not None:
                then()

        self.ask(self._read, answered, again=self._arrived_anew)

    def take_part(self, part: str, then: Callable[[], None]) -> None:
        """Take another part of the kit, or leave one; `then` once that is answered."""
        if self.kit is None:
            return
        kept = tuple(other for other in self.parts if other != part)
        self.parts = kept if part in self.parts else (*kept, part)
        self._take_kit(self.kit, then)

    # -- the speakers

    def _show_speakers(self, *, keep: bool) -> None:
        assert self.seen is not None
        rows = self.query_one("#speakers", Rows)
        if self.answer is None:
            entries = list(vehicle_lines.glance_entries(self.seen))
        else:
            entries = list(vehicle_lines.speaker_entries(self.answer))
        rows.yields = vehicle_lines.yields_of(entries)
        rows.show(entries, keep=keep or self.answer is None)
        self._headline()
        self._draw()

    def _headline(self) -> None:
        if self.with_kit is not None:
            said = headline(self.with_kit, max(20, self.size.width))
        elif self.kits_are_open:
            said = [row((" Which kit?", "bold"), "  Enter takes the marked one, a number any.")]
        else:
            lists = next(self.key_of(a) for a in actions_of(self.ROOM) if a.id == "choose_kit")
            said = [row((" No kit chosen:", "bold"), f" {lists} lists them.")]
        self.query_one("#answer", Static).update(lines(said))

    def on_resize(self, _: Resize) -> None:
        if self.seen is not None:
            self._headline()

    @on(Rows.Chosen, "#speakers")
    def _speaker_chosen(self, message: Rows.Chosen) -> None:
        if self.answer is None:
            self._open_kits(True)
            self.say("What becomes of a speaker hangs on the kit: choose one first.", "caution")
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
        """Mark the next speaker that is not plainly carried, worst first."""
        rows = self.query_one("#speakers", Rows)
        if self.answer is None:
            self.say("Choose a kit first.", "caution")
            return
        keys = vehicle_lines.not_plainly_carried(self.answer)
        if not keys:
            many = len(self.answer.speakers)
            all_of_them = (
                f"Every listed speaker ({many}) is carried, as far as anyone wrote it down."
            )
            self.say(all_of_them if many else "No speaker is listed, so nothing is known.")
            return
        at = keys.index(self.marked) + 1 if self.marked in keys else 0
        rows.mark_key(keys[at % len(keys)])

    def action_see_dispute(self) -> None:
        """What another revision says of the marked speaker's pins."""
        from tui.browser.screens.speaker import see_dispute

        rivals = self.with_kit.rivals if self.with_kit else {}
        see_dispute(self, rivals.get(self.marked or "", ()))

    def why_not(self, action: Action) -> str:
        """Where nothing is drawn, nothing is shown or hidden."""
        if action.id == "toggle_drawing" and (self.browser.flat or self.has_class("-tiny")):
            return NO_DRAWING
        return super().why_not(action)

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
            from tui.browser.kept_entries import KeptEntry
            from tui.browser.opening import open_entry

            kept = KeptEntry.of_revision("vehicle", entry.id, entry.hash, self.shelf.owner)
            open_entry(self, content, kept, entry.hash)

        self.ask(read, open_grid, group="edit")

    def action_choose_parts(self) -> None:
        """Take another part, or leave it."""
        if self.answer is None:
            self.say("Choose a kit first.", "caution")
            return

        def taken(parts: tuple[str, ...]) -> None:
            if self.kit is not None:
                self.parts = parts
                self._take_kit(self.kit)

        ask_for_parts(self, self.vehicle, self.answer, taken)

    def action_choose_place(self) -> None:
        """Count the costs from another place."""
        self.choose_place(lambda: None)

    def choose_place(self, then: Callable[[], None]) -> None:
        """Ask from where the costs are counted; `then` once they are."""
        if self.kit is None or self.answer is None:
            self.say("Choose a kit first.", "caution")
            return
        kit = self.kit

        def taken(place: str) -> None:
            self.place = place
            self._take_kit(kit, then)

        ask_for_place(self, self.vehicle, self.answer.costs_from, taken)

    def leave(self) -> None:
        """From an open list of kits back to the answer, else back to Find."""
        if self.kits_are_open and self.answer is not None:
            self._open_kits(False)
        else:
            super().leave()
