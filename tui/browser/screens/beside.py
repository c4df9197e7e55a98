"""What stands beside a vehicle's speakers: where they sit, and the marked one with its connector.

It stands alone because it only follows the mark and the width; what is answered and chosen is the
vehicle's own screen.
"""

from __future__ import annotations

from textual import on
from textual.widgets import Static

from kb.answers.face import Face
from kb.answers.glance import Glance
from kb.answers.runs import Runs, SpeakerAnswer
from tui.browser.faces import connectors_of, lit_ways, read_faces
from tui.browser.lines import vehicle as vehicle_lines
from tui.browser.lines.speaker import about_speaker, fix_notes
from tui.browser.lines.vehicle_head import KitAnswer
from tui.browser.room import Room
from tui.browser.text import drawn, lines
from tui.browser.widgets.aside import Aside
from tui.browser.widgets.entries import Drawn, Entry
from tui.browser.widgets.rows import Rows
from tui.drawing.face import draw_face
from tui.drawing.vehicle_from_above import TALLEST, draw_vehicle

BAR = 1  # column that a list keeps for its bar
FRAME_OF_DRAWING = 3  # its word "front", its nose and its tail


class Beside(Room):
    """A room with a list of speakers, and what is drawn beside and below it."""

    def __init__(self, vehicle: str) -> None:
        super().__init__()
        self.vehicle = vehicle
        self.seen: Glance | None = None
        self.with_kit: KitAnswer | None = None
        self.faces: dict[str, Face] = {}

    @property
    def answer(self) -> Runs | None:
        """What the kit does, once one is chosen."""
        return self.with_kit.answer if self.with_kit else None

    @property
    def marked(self) -> str | None:
        """The marked speaker."""
        item = self.query_one("#speakers", Rows).item
        return str(item.key) if item else None

    def book_moved(self) -> None:
        """Faces are read once each, but of the book as it is."""
        self.faces = {}
        self._draw()

    @on(Rows.Marked, "#speakers")
    @on(Aside.Resized)
    def _draw(self) -> None:
        if self.seen is None:
            return
        speaker = self._marked_answer() if self.has_class("-high") else None
        # Where there is room for it, the marked speaker's connector is drawn under the list.
        spacious = speaker is not None and self.has_class("-wide") and not self.browser.flat
        self.query_one("#vehicle-left").set_class(spacious, "-spacious")
        self._draw_face(speaker if spacious else None)
        right = self.query_one("#vehicle-right")
        width, height = right.size.width, right.size.height
        if width < 2:
            return
        speakers = self.answer.speakers if self.answer else self.seen.speakers
        brief = self._brief(speaker, width - BAR) if speaker else []
        room = min(TALLEST + FRAME_OF_DRAWING, height * 6 // 10) if brief else height
        drawing = draw_vehicle(vehicle_lines.spots(speakers, self.marked), width, room)
        self.query_one("#drawing", Static).update(lines(drawn(line) for line in drawing))
        self.query_one("#brief", Rows).show(brief)

    def _marked_answer(self) -> SpeakerAnswer | None:
        answer = self.answer
        if answer is None:
            return None
        return next((s for s in answer.speakers if s.speaker == self.marked), None)

    def _brief(self, speaker: SpeakerAnswer, width: int) -> list[Entry]:
        assert self.with_kit is not None
        answer, name = self.with_kit.answer, speaker.speaker
        known = (self.with_kit.rivals.get(name, ()), self.with_kit.unmeasured.get(name, ()))
        colours = self.browser.in_colour
        return [
            *about_speaker(speaker, answer, *known, colours=colours, width=width),
            *fix_notes(speaker, answer),
        ]

    def _draw_face(self, speaker: SpeakerAnswer | None) -> None:
        """The connectors of the marked speaker's feeds; read once each."""
        rows = self.query_one("#face", Rows)
        if speaker is None:
            rows.show([])
            return
        wanted = connectors_of(speaker)
        missing = [name for name in wanted if name not in self.faces]
        if missing:
            self.ask(lambda connection: read_faces(connection, self.vehicle, missing),
                     self._faces_arrived, group="face")  # fmt: skip
            return
        width = max(40, rows.size.width - 2)
        rows.show(
            [
                Drawn(drawn(line))
                for name in wanted
                for line in draw_face(self.faces[name], "wire", lit_ways(speaker, name), width)
            ]
        )

    def _faces_arrived(self, faces: list[Face]) -> None:
        if self.is_behind:  # they are asked for again with the answer that they belong to
            return
        self.faces |= {face.connector: face for face in faces}
        self._draw_face(self._marked_answer())
