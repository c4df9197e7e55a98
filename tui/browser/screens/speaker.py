"""One speaker: what becomes of it, its feed pin by pin, the ways to it, its connector's face."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.binding import BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.events import Resize
from textual.widget import Widget
from textual.widgets import Static

from kb.answers.face import Face, Side
from kb.answers.rivals import Rival
from kb.answers.runs import SpeakerAnswer
from tui.browser.actions import ACTIONS, Action, bindings_of
from tui.browser.faces import connectors_of, lit_ways, read_faces
from tui.browser.lines.speaker import about_speaker, fix_entries
from tui.browser.room import Room
from tui.browser.text import drawn, lines
from tui.browser.widgets.entries import Drawn, Entry
from tui.browser.widgets.rows import Rows
from tui.drawing.face import draw_face
from tui.drawing.face_layout import lay_out
from tui.drawing.face_spoken import spoken_face
from tui.drawing.pieces import Line, Piece

if TYPE_CHECKING:
    from tui.browser.lines.vehicle_head import KitAnswer
    from tui.browser.screens.vehicle import Vehicle


SHORT_COST = 25  # columns
ABOVE_AND_BELOW = 4  # lines of the screen that are the title's, the footer's and a message's
NOT_DRAWN = "No connector is drawn here: how its ways sit in the plug is not known."
NO_PART = "Only a part can be taken here: new wire and taps are planned with the job."


class Speaker(Room):
    """A speaker of the vehicle's answer; the arrows go through its neighbours.

    All of it is one list, so that one bar scrolls it; where the screen is wide, the face stands
    beside it.
    """

    ROOM = "speaker"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of("speaker")]

    def __init__(self, vehicle: Vehicle, speaker: str) -> None:
        super().__init__()
        self.vehicle = vehicle
        self.speaker = speaker
        self.side: Side = "wire"
        self.faces: list[Face] = []
        self._answer: SpeakerAnswer | None = None

    def body(self) -> Iterable[Widget]:
        with Horizontal(id="speaker-body"):
            # What a way is stays whole, the swapped poles of a lead too; the cost has a short form.
            yield Rows("fixes", headings=("way", "cost"), yields=((1, SHORT_COST),))
            with VerticalScroll(id="speaker-right", can_focus=False):
                yield Static(id="face-beside")

    @property
    def with_kit(self) -> KitAnswer:
        """The vehicle's answer."""
        assert self.vehicle.with_kit is not None
        return self.vehicle.with_kit

    @property
    def answer(self) -> SpeakerAnswer:
        """What the vehicle's answer says of this speaker, or last said."""
        self._answer = self._answer_now() or self._answer
        assert self._answer is not None
        return self._answer

    def _answer_now(self) -> SpeakerAnswer | None:
        speakers = self.with_kit.answer.speakers
        return next((s for s in speakers if s.speaker == self.speaker), None)

    @property
    def origin(self) -> Vehicle:
        """What it shows is the vehicle's answer: where the book has changed, that is read anew."""
        return self.vehicle

    def on_mount(self) -> None:
        super().on_mount()
        self.query_one("#fixes").focus()
        self._show()

    def _show(self) -> None:
        self.faces = []
        self._draw(keep=False)
        self.refresh_foot()
        self._tell_title()
        self._ask_faces(self._arrived)

    def _tell_title(self) -> None:
        answer = self.with_kit.answer
        parts = f" ({' + '.join(answer.path.chosen)})" if answer.path.chosen else ""
        self.title_line(
            (self.speaker, "title"), f"  with {answer.kit_title}{parts}, {answer.vehicle_title}"
        )

    def _ask_faces(self, then: Callable[[list[Face]], None]) -> None:
        wanted = connectors_of(self.answer)
        self.ask(
            lambda connection: read_faces(connection, self.vehicle.vehicle, wanted),
            then,
            group="face",
        )

    def _arrived(self, faces: list[Face]) -> None:
        if not self.is_behind:  # else they are asked for again with the answer that they belong to
            self.faces = faces
            self._draw()
            self.refresh_foot()

    def on_screen_resume(self) -> None:
        """The vehicle may have lost it while another screen lay above."""
        if self._answer_now() is None:
            self.book_moved()

    def book_moved(self) -> None:
        """The vehicle was read anew: show its answer, and the faces of the same book."""
        if self._answer_now() is None:
            if self.is_current:
                self.app.pop_screen()
                self.vehicle.say(f"The vehicle's entry has no {self.speaker} any more.", "caution")
            return
        self._tell_title()
        self._draw()

        def arrived(faces: list[Face]) -> None:
            differ = faces != self.faces
            self._arrived(faces)
            if differ:
                self.say_changed()

        self._ask_faces(arrived)

    def _draw(self, *, keep: bool = True) -> None:
        width, half = self.size.width - 3, self.size.width // 2 - 3
        beside = self.has_class("-wide") and not self.browser.flat
        drawing = self._face(max(20, half if beside else width))
        if beside and len(drawing) > self.size.height - ABOVE_AND_BELOW:
            # No key scrolls it there: what is longer than the screen goes on below the list.
            beside, drawing = False, self._face(max(20, width))
        width = half if beside else width
        self.query_one("#speaker-right").display = beside
        answer = self.answer
        found, colours = self.with_kit, self.browser.in_colour
        known = (found.rivals.get(self.speaker, ()), found.unmeasured.get(self.speaker, ()))
        entries: list[Entry] = [
            *about_speaker(answer, found.answer, *known, colours=colours, width=max(40, width)),
            *fix_entries(answer, found.answer, panels=self.has_class("-high")),
        ]
        face = [Drawn(drawn(line)) for line in drawing]
        if beside:
            self.query_one("#face-beside", Static).update(lines(line.text for line in face))
        else:
            entries += face
        self.query_one("#fixes", Rows).show(entries, keep=keep)

    def _face(self, width: int) -> list[Line]:
        drawing: list[Line] = []
        for face in self.faces:
            lit = lit_ways(self.answer, face.connector)
            drawing.append((Piece(""),))
            if self.browser.flat:
                drawing += spoken_face(face, self.side, lit, width)
            else:
                drawing += draw_face(face, self.side, lit, width)
        return drawing

    def on_resize(self, _: Resize) -> None:
        self.call_after_refresh(self._draw)

    @on(Rows.Chosen, "#fixes")
    def _fix_chosen(self) -> None:
        self.action_take_part()

    @on(Rows.Marked, "#fixes")
    def _fix_marked(self) -> None:
        self.refresh_foot()

    @property
    def _is_drawn(self) -> bool:
        """Whether any face has sides; taken to be so while they are read, where there are any."""
        if not self.faces:
            return bool(connectors_of(self.answer))
        return any(lay_out(face, self.side).placed for face in self.faces)

    def _part(self) -> str | None:
        """The part of the kit that the marked way is."""
        item = self.query_one("#fixes", Rows).item
        key = item.key if item else None
        return str(key[2]) if isinstance(key, tuple) and key[1] == "part" else None

    def why_not(self, action: Action) -> str:
        """Only a part can be taken here, and only what is drawn has another side."""
        if action.id == "take_part" and self._part() is None:
            return NO_PART
        if action.id == "other_side" and not self._is_drawn:
            return NOT_DRAWN
        return super().why_not(action)

    def action_take_part(self) -> None:
        """Take the marked part, and stay to see what becomes of the speaker."""
        part = self._part()
        if part is None:
            self.say(NO_PART, "faint")
            return
        lists = next(self.vehicle.key_of(a) for a in ACTIONS if a.id == "choose_parts")

        def taken() -> None:
            self._show()
            self.say(f"{part} is taken; {lists} on the vehicle's page leaves it.", "fine")

        self.vehicle.take_part(part, taken)

    def action_next_speaker(self) -> None:
        """The next speaker in the list's order."""
        self._go(1)

    def action_previous_speaker(self) -> None:
        """The speaker before."""
        self._go(-1)

    def _go(self, step: int) -> None:
        rows = self.vehicle.query_one("#speakers", Rows)
        keys = [str(item.key) for item in rows.items]
        self.speaker = keys[(keys.index(self.speaker) + step) % len(keys)]
        rows.mark_key(self.speaker)
        self._show()

    def flattened(self) -> None:
        super().flattened()
        self._draw()

    def action_other_side(self) -> None:
        """See the connector from its other side."""
        self.side = "mating" if self.side == "wire" else "wire"
        self._draw()

    def action_choose_place(self) -> None:
        """Count the costs from another place."""
        self.vehicle.choose_place(self._show)

    def action_see_dispute(self) -> None:
        """What differs, as a lead sees it."""
        see_dispute(self, self.with_kit.rivals.get(self.speaker, ()))


def see_dispute(room: Room, rivals: Sequence[Rival]) -> None:
    """Open the review of the first revision that differs; where none does, say so."""
    if not rivals:
        room.say("No other live revision differs on this speaker's pins.")
        return
    from tui.browser.opening import review_entry

    review_entry(room, f"vehicle/{rivals[0].name}")
