"""A wire of which nobody knows what it carries, on every drawing of a face."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from kb.answers.face import Pin
from tests.books import book_of
from tests.command import loombook
from tests.kb.review.cases import CAR, car
from tests.tui.test_face_text import FACE, PINS
from tui.drawing.face import draw_face
from tui.drawing.face_cells import Cell, cell_lines
from tui.drawing.face_svg import draw_face_svg
from tui.drawing.pieces import Style, plain

UNTOLD = replace(FACE, pins=(*PINS, Pin("6", None, "GN/BK"), Pin("7", None)))


def test_a_wire_that_nobody_traced_is_neither_empty_nor_documented() -> None:
    lines = [plain(line) for line in draw_face(UNTOLD, width=120)]
    text = " ".join("\n".join(lines).split())
    assert (
        "5 of 10 ways documented (1 known to be empty), 2 with a wire of unknown function" in text
    )
    assert "known to be empty: 5 " in text
    assert (
        "a wire of which nobody knows what it carries, so take each as live until metered: 6-7"
        in text
    )
    assert "not documented, so take each as live until metered: 2, 9-10" in text
    (row,) = [line for line in lines if line.startswith("  6 ")]
    assert row.split()[:4] == ["6", "?", "unknown", "GN/BK"]


@pytest.mark.parametrize("width", [40, 80, 120])
def test_its_cell_shows_the_colour_and_that_it_is_unknown(width: int) -> None:
    cell = cell_lines(Cell("6", Pin("6", None, "GN/BK"), lit=False), inner=(width - 1) // 5 - 1)
    assert [piece.text.strip() for piece in cell][1:] in (["? unknown", "GN/BK"], ["?", "GN/BK"])
    assert cell[1].style is Style.UNKNOWN


def test_its_picture_shows_the_colour_and_that_it_is_unknown() -> None:
    svg = draw_face_svg(replace(FACE, pins=(Pin("6", None, "GN/BK"),)))
    assert svg.count("not known") == 10  # nine ways of which nothing is written, and this one
    assert svg.count("stroke-dasharray") == 10 and ">GN/BK</text>" in svg


def test_json_has_a_null_for_what_nobody_knows(tmp_path: Path) -> None:
    path = tmp_path / "book.db"
    book_of(path, [car({"5": {}, "6": {"wire": "GN/BK"}, "7": {"carries": "?"}})])
    answer = json.loads(loombook("--db", path, "face", CAR, "A1", "--json").out)
    told = {pin["at"]: (pin["carries"], pin["empty"]) for pin in answer["pins"] if pin["at"] > "4"}
    assert told == {
        "5": ([], True),
        "6": (None, False),
        "7": (None, False),
        "8": (["battery"], False),
    }
    assert answer["undocumented"] == [] and answer["unknowns"] == 2
