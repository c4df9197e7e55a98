"""A face in sentences: nothing that the drawing and its table say is lost."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from kb.answers.face import Face, Pin, Side
from tests.tui.faces import faces
from tui.drawing.face import side_words
from tui.drawing.face_layout import lay_out
from tui.drawing.face_spoken import spoken_face, way_sentence
from tui.drawing.face_table import spans
from tui.drawing.pieces import plain
from tui.tables import cells

SIDES: st.SearchStrategy[Side] = st.sampled_from(("wire", "mating"))


def said(face: Face, side: Side = "wire", lit: tuple[str, ...] = (), width: int = 80) -> str:
    return " ".join(" ".join(map(plain, spoken_face(face, side, lit, width))).split())


@given(faces(), SIDES, st.integers(40, 160))
def test_every_way_is_told_and_no_line_is_too_long(face: Face, side: Side, width: int) -> None:
    lines = [plain(line) for line in spoken_face(face, side, (), width)]
    assert all(cells(line) <= width for line in lines)
    words = said(face, side)
    for pin in face.pins:
        if pin.circuits != ():
            assert f"way {pin.at}: " in words
    empty = [pin.at for pin in face.pins if pin.circuits == ()]
    assert not empty or f"known to be empty: {spans(empty)}" in words
    documented = {pin.at for pin in face.pins}
    unknown = [at for at in lay_out(face, side).positions if at not in documented]
    assert not unknown or f"take each as live until metered: {spans(unknown)}" in words
    assert face.state == "verified" or "submitted, not verified" in words


@given(faces(placed=True), SIDES)
def test_where_a_way_sits_is_told_from_the_side_that_is_asked_for(face: Face, side: Side) -> None:
    layout = lay_out(face, side)
    words = said(face, side)
    assert side_words(layout)[0] in words
    for row in layout.rows if layout.placed else ():
        assert f"from the left: {', '.join(at or 'no way' for at in row)}" in words


def test_a_way_says_that_its_colour_and_what_it_carries_are_unknown() -> None:
    assert "colour unknown" in way_sentence(Pin("3", ("sub+",)))
    sentence = way_sentence(Pin("3", None, "VT"))
    assert "nobody knows what it carries: take it as live until metered" in sentence


def test_a_speaker_s_own_ways_come_first() -> None:
    pins = (Pin("1", ("battery",)), Pin("2", ("sub+",)), Pin("3", ()))
    words = said(Face("v", "C", "P", 4, pins, "submitted", rows=1), lit=("2",))
    assert words.index("way 2: sub+") < words.index("way 1: battery")
    assert "way 2: sub+, colour unknown; established: not measured; it is this speaker's" in words
