"""One speaker: what becomes of it, its feed pin by pin, the ways to it, its connector's face."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.binding import BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.events import Resize
from textual.widget import Widget
from textual.widgets import Static

from kb.answers.face import Face, Side, read_face
from kb.answers.runs import SpeakerAnswer
from tui.browser import telling
from tui.browser.actions import bindings_of
from tui.browser.room import Room
from tui.browser.text import drawn, lines, shown
from tui.browser.widgets.rows import Rows
from tui.drawing.face import draw_face, shape_words, title_words
from tui.drawing.face_table import table_lines
from tui.drawing.pieces import Line, Piece
from tui.tables import wrap

if TYPE_CHECKING:
    from tui.browser.screens.vehicle import Vehicle


class Speaker(Room):
    """A speaker of the vehicle's answer; the arrows go through its neighbours."""

    ROOM = "speaker"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of("speaker")]

    def __init__(self, vehicle: Vehicle, speaker: str) -> None:
        super().__init__()
        self.vehicle = vehicle
        self.speaker = speaker
        self.side: Side = "wire"
        self.faces: list[Face] = []

    def body(self) -> Iterable[Widget]:
        with Horizontal(id="speaker-body"):
            with VerticalScroll(id="speaker-left", can_focus=False):
                yield Static(id="about")
                yield Rows("fixes", headings=("way", "how", "cost"))
                yield Static(id="face-below")
            with VerticalScroll(id="speaker-right", can_focus=False):
                yield Static(id="face-beside")

    @property
    def answer(self) -> SpeakerAnswer:
        """What the vehicle's answer says of this speaker."""
        assert self.vehicle.answer is not None
        return next(s for s in self.vehicle.answer.speakers if s.speaker == self.speaker)

    def on_mount(self) -> None:
        super().on_mount()
        self.query_one("#fixes").focus()
        self._show()

    def _show(self) -> None:
        answer = self.vehicle.answer
        assert answer is not None
        self.title_line(
            (self.speaker, "title"), f"  {answer.vehicle_title}, with {answer.kit_title}"
        )
        self.query_one("#about", Static).update(
            lines(telling.about_speaker(self.answer, colours=self.browser.in_colour))
        )
        fixes = self.query_one("#fixes", Rows)
        entries = list(telling.fix_entries(self.answer))
        fixes.show(entries, keep=False)
        fixes.display = bool(entries)
        self.faces = []
        self._draw()
        wanted = list(
            dict.fromkeys(
                connector
                for feed in self.answer.feeds
                for connector in (feed.connector, feed.minus_connector)
                if connector
            )
        )
        self.ask(
            lambda connection: [
                read_face(connection, self.vehicle.vehicle, connector) for connector in wanted
            ],
            self._arrived,
            group="face",
        )

    def _arrived(self, faces: list[Face]) -> None:
        self.faces = faces
        self._draw()

    def _draw(self) -> None:
        beside = self.has_class("-wide")
        self.query_one("#speaker-right").display = beside
        target = "#face-beside" if beside else "#face-below"
        width = self.size.width // 2 - 3 if beside else self.size.width - 3
        drawing = []
        for face in self.faces:
            lit = [
                at
                for feed in self.answer.feeds
                for connector, at in (
                    (feed.connector, feed.plus),
                    (feed.minus_connector or feed.connector, feed.minus),
                )
                if connector == face.connector and at is not None
            ]
            picture = _table_of(face, lit, width) if self.browser.flat else None
            drawing += [drawn(line) for line in picture or draw_face(face, self.side, lit, width)]
            drawing.append(shown(""))
        self.query_one("#face-below", Static).update("")
        self.query_one(target, Static).update(lines(drawing))

    def on_resize(self, _: Resize) -> None:
        self.call_after_refresh(self._draw)

    @on(Rows.Chosen, "#fixes")
    def _fix_chosen(self, message: Rows.Chosen) -> None:
        key = message.item.key
        if isinstance(key, tuple) and key[1] == "part":
            self.vehicle.take_part(str(key[2]))
            self.app.pop_screen()

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


def _table_of(face: Face, lit: list[str], width: int) -> list[Line]:
    """The face without its drawing: what a screen reader can read."""
    told: list[Line] = [
        (Piece(text),)
        for words in (title_words(face), shape_words(face))
        for text in wrap(words, width)
    ]
    return [*told, *table_lines(face, [pin.at for pin in face.pins], lit, width)]
