"""The face as a picture: well-formed whatever the data say, and nothing lost against the text."""

from __future__ import annotations

import re
from xml.etree import ElementTree

from hypothesis import given
from hypothesis import strategies as st

from kb.answers.face import Face, Pin, Side
from tests.tui.faces import faces
from tui.drawing.face_layout import lay_out
from tui.drawing.face_svg import draw_face_svg

SVG = "{http://www.w3.org/2000/svg}"
sides: st.SearchStrategy[Side] = st.sampled_from(("wire", "mating"))
KNOWN = {"svg", "title", "rect", "text", "line"}


def positions_of(root: ElementTree.Element) -> list[tuple[int, int, str]]:
    """(y, x, position) of each drawn way: the only texts of 17 pixels."""
    return [
        (int(text.attrib["y"]), int(text.attrib["x"]), (text.text or "").strip("><"))
        for text in root.iter(f"{SVG}text")
        if text.attrib["font-size"] == "17"
    ]


@given(faces(hostile=True), sides)
def test_it_parses_and_holds_nothing_but_its_own_elements(drawn: Face, side: Side) -> None:
    root = ElementTree.fromstring(draw_face_svg(drawn, side, {p.at for p in drawn.pins[:1]}))
    assert {element.tag.removeprefix(SVG) for element in root.iter()} <= KNOWN
    assert not any(name.startswith("on") for element in root.iter() for name in element.attrib)


@given(faces(placed=True), sides)
def test_every_way_is_drawn_in_its_place(drawn: Face, side: Side) -> None:
    layout = lay_out(drawn, side)
    found = sorted(positions_of(ElementTree.fromstring(draw_face_svg(drawn, side))))
    wanted = [at for row in layout.rows for at in row if at] if layout.placed else []
    assert [at for _, _, at in found] == wanted


@given(faces(placed=True))
def test_the_two_pictures_are_mirror_images(drawn: Face) -> None:
    both = [ElementTree.fromstring(draw_face_svg(drawn, side)) for side in ("wire", "mating")]
    width = int(both[0].attrib["width"])
    mirrored = sorted((y, width - x, at) for y, x, at in positions_of(both[0]))
    found = sorted(positions_of(both[1]))
    # The mating side's heading is longer, so only the distances between rows are comparable.
    top = [rows[0][0] if rows else 0 for rows in (mirrored, found)]
    assert [(y - top[0], x, at) for y, x, at in mirrored] == [
        (y - top[1], x, at) for y, x, at in found
    ]


def test_text_of_a_document_stays_text() -> None:
    pin = Pin("1", ("</text><script>alert(1)</script>",), "WH")
    face = Face("a & <b>", "A1", "P", ways=2, rows=1, pins=(pin,), state="verified")
    svg = draw_face_svg(face)
    assert "<script" not in svg
    assert "a &amp; &lt;b&gt;" in svg


def test_colours_are_written_as_well_as_drawn() -> None:
    face = Face(
        "v", "A1", "P", ways=2, rows=1, state="verified", pins=(Pin("1", ("sub+",), "GNYE"),)
    )
    svg = draw_face_svg(face, lit={"1"})
    assert re.search(r">GNYE<", svg)
    assert "green-and-yellow" in svg
    assert "&gt;1&lt;" in svg
