"""A disputed way is said to be, by a mark and in words, where no row of the table could say it."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from kb.answers.face import Pin
from tests.tui.test_face_text import FACE, PINS
from tui.commands.face import _as_json
from tui.drawing.face import draw_face
from tui.drawing.face_cells import Cell, cell_lines
from tui.drawing.face_layout import lay_out
from tui.drawing.face_spoken import spoken_face
from tui.drawing.face_svg import draw_face_svg
from tui.drawing.pieces import plain

RIVALS = (Pin("6", ("sub+",), "GN/BK", disputed=True), Pin("7", None, disputed=True))
DISPUTED = replace(FACE, only_rivals=RIVALS)
EMPTY = replace(FACE, pins=(*(p for p in PINS if p.at != "5"), Pin("5", (), disputed=True)))
CLAIMS = (
    "DISPUTED: not documented here, but by another live revision, so take each as live until"
    " metered: 6 (sub+, GN/BK), 7 (? unknown, colour unknown)"
)


def one_line(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("width", [40, 80, 120])
def test_a_way_that_only_a_rival_documents_is_no_plain_unknown(width: int) -> None:
    drawn = one_line("\n".join(map(plain, draw_face(DISPUTED, width=width))))
    said = one_line("\n".join(map(plain, spoken_face(DISPUTED, "wire", (), width))))
    for text in (drawn, said):
        assert f"! {CLAIMS}" in text
        assert "not documented, so take each as live until metered: 2, 9-10" in text
    assert drawn.count("rival") == 3  # both, and way 4, which has a row of its own


def test_its_cell_has_the_mark_and_not_the_claim() -> None:
    for inner in (5, 11):
        cell = [piece.text.strip() for piece in cell_lines(Cell("6", None, False, True), inner)]
        assert cell == ["6", "?", "rival"]


def test_a_way_that_is_empty_for_one_of_two_is_disputed_too() -> None:
    drawn = one_line("\n".join(map(plain, draw_face(EMPTY))))
    assert "! DISPUTED: known to be empty here, and not for another live revision: 5" in drawn
    assert drawn.count("rival") == 2


def test_the_picture_says_it_as_well() -> None:
    svg = draw_face_svg(DISPUTED)
    assert len(re.findall(">disputed<", svg)) == 3
    assert "DISPUTED: not documented here, but by another live revision" in svg
    assert len(re.findall(">disputed<", draw_face_svg(EMPTY))) == 2


def test_json_has_the_claims_beside_what_is_not_documented() -> None:
    told = _as_json(DISPUTED, lay_out(DISPUTED, "wire"), frozenset())
    assert told["only_rivals"] == [
        {"at": "6", "carries": ["sub+"], "empty": False, "wire": "GN/BK"},
        {"at": "7", "carries": None, "empty": False, "wire": None},
    ]
    assert {"6", "7"} <= set(told["undocumented"])
