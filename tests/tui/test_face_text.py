"""The face as text: widths, marks, words, and harm that is shown as text."""

from __future__ import annotations

import re
from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from kb.answers.face import Face, Pin, Side
from tests.tui.faces import faces
from tui.drawing.face import draw_face
from tui.drawing.face_layout import lay_out
from tui.drawing.face_table import spans
from tui.drawing.pieces import Line, plain

sides: st.SearchStrategy[Side] = st.sampled_from(("wire", "mating"))
CELL = re.compile(r"[>< ]*([A-Za-z]?[0-9]+)[>< ]*")


def text_of(lines: list[Line]) -> str:
    return "\n".join(plain(line) for line in lines)


def drawn_rows(lines: list[Line]) -> list[list[str]]:
    """The positions of each drawn row, read back from the text: the first line of each row."""
    rows = []
    after_rule = False
    for line in map(plain, lines):
        if after_rule and line.startswith("│"):
            found = [CELL.fullmatch(cell) for cell in line.strip("│").split("│")]
            rows.append([match[1] for match in found if match])
        after_rule = line[:1] in ("┌", "├")
    return rows


@given(faces(hostile=True), sides, st.sampled_from((40, 80, 120)))
def test_no_line_is_wider_than_the_terminal(drawn: Face, side: Side, width: int) -> None:
    lit = {pin.at for pin in drawn.pins[:2]}
    for line in draw_face(drawn, side, lit, width):
        assert cell_len(plain(line)) <= width


@given(faces(hostile=True), sides)
def test_nothing_reaches_the_terminal_that_it_would_obey(drawn: Face, side: Side) -> None:
    text = text_of(draw_face(drawn, side))
    assert not re.search(
        "[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff]", text
    )


@given(faces(placed=True), sides, st.sampled_from((40, 80, 120)))
def test_the_drawing_holds_every_way_once_and_in_its_place(
    drawn: Face, side: Side, width: int
) -> None:
    layout = lay_out(drawn, side)
    rows = drawn_rows(draw_face(drawn, side, width=width))
    if not layout.placed:
        assert rows == []
        return
    assert Counter(at for row in rows for at in row) == Counter(layout.positions)
    if len(rows) == len(layout.rows):  # one block: each row is a row of the plug
        assert rows == [[at for at in row if at] for row in layout.rows]


@given(faces(placed=True))
def test_the_drawn_sides_are_mirror_images(drawn: Face) -> None:
    wire = drawn_rows(draw_face(drawn, "wire", width=700))
    mating = drawn_rows(draw_face(drawn, "mating", width=700))
    assert [row[::-1] for row in wire] == mating


@given(faces())
def test_the_table_has_every_circuit_and_colour_in_natural_order(drawn: Face) -> None:
    lines = [plain(line) for line in draw_face(drawn, width=400)]
    start = next((i for i, line in enumerate(lines) if line.startswith("  way")), len(lines))
    shown = [line.split()[0] for line in lines[start + 1 :] if re.match("  [^ ]", line)]
    carrying = [pin for pin in drawn.pins if pin.circuits != ()]
    natural = sorted(
        (pin.at for pin in carrying),
        key=lambda at: (at.rstrip("x").rstrip("0123456789"), _number(at)),
    )
    assert shown == natural
    table = "\n".join(lines[start:])
    assert all(circuit in table for pin in carrying for circuit in pin.circuits or ())
    assert all(pin.wire in table for pin in carrying if pin.wire)


def _number(at: str) -> int:
    return int(re.sub(r"\D", "", at))


PINS = (
    Pin("3", ("door-fl+", "sail-l+"), "WH/RD", methods=("meter",)),
    Pin("8", ("door-fl-", "sail-l-"), "WH", methods=("hearsay",)),
    Pin("1", ("battery",), "RD", awg=-1),
    Pin("5", ()),
    Pin("4", ("data+",), None, disputed=True),
)
FACE = Face(
    "oak", "A1", "P-10", ways=10, rows=2, pins=PINS, state="submitted", unit="amp",
    kind="amplifier",
    place="seat", numbering="rows", seen_from="wire",
)  # fmt: skip


def test_each_side_says_what_it_is() -> None:
    assert "WIRE SIDE: you look at the back of the plug" in text_of(draw_face(FACE, "wire"))
    assert "MATING SIDE: you look into the front of the plug" in text_of(draw_face(FACE, "mating"))


def test_the_face_says_how_much_is_documented_and_how_sure_it_is() -> None:
    text = " ".join(text_of(draw_face(FACE)).split())
    assert "5 of 10 ways documented (1 known to be empty); submitted, not verified" in text


def test_empty_and_undocumented_are_told_apart_without_colour() -> None:
    lines = [plain(line) for line in draw_face(FACE)]
    text = "\n".join(lines)
    assert "known to be empty: 5" in text
    assert "not documented, so take each as live until metered: 2, 6-7, 9-10" in text
    marks = next(line for line in lines if "empty" in line and "│" in line)
    assert marks.strip("│").split("│")[4].strip() == "empty"
    assert marks.strip("│").split("│")[1].strip() == "?"


def test_a_lit_way_has_arrows_in_the_cell_and_in_the_table() -> None:
    text = text_of(draw_face(FACE, lit={"3"}))
    assert re.search(r">+ 3 <+", text)
    assert re.search(r"^> 3 ", text, re.M)
    assert not re.search(r">+ ?8 ?<+", text)


def test_code_and_word_of_a_colour_and_the_size_as_written() -> None:
    text = text_of(draw_face(FACE))
    assert re.search(r"door-fl\+ sail-l\+ +WH/RD +white/red +meter", text)
    assert "2/0 AWG" in text
    assert re.search(r"data\+ +\? +not recorded", text)


def test_evidence_that_is_no_measurement_is_not_shown_as_one() -> None:
    text = text_of(draw_face(FACE))
    assert "hearsay: not measured" in text
    assert "DISPUTED; not measured" in text


def test_the_pole_survives_in_the_narrowest_cell() -> None:
    long = Pin("7", ("a-circuit-with-a-very-long-name-front-left-", "b-and-another-one-as-long-"))
    lines = draw_face(Face("v", "A", "P", ways=26, rows=2, pins=(long,), state="verified"))
    column = [line.split("│")[7].strip() for line in map(plain, lines) if line.startswith("│")]
    assert column[0] == "7"
    circuit = column[1 : column.index("wire?")]
    assert len(circuit) <= 4
    assert circuit[-1].endswith("-")


def test_a_hundred_ways_fit_in_blocks() -> None:
    big = Face("v", "A", "P", ways=100, rows=4, pins=PINS, state="verified")
    text = text_of(draw_face(big, width=80))
    assert "columns 1 to 13 of 25, from the left as you look" in text
    assert "columns 14 to 25 of 25, from the left as you look" in text


def test_without_rows_no_face_is_drawn() -> None:
    text = text_of(draw_face(Face("v", "A", "P", ways=10, pins=PINS, state="verified")))
    assert "A LIST, NOT A FACE" in text
    assert "┌" not in text


@pytest.mark.parametrize(
    ("positions", "written"),
    [
        (["1", "2", "3", "10"], "1-3, 10"),
        (["2", "1"], "1-2"),
        (["B1", "B2", "4"], "4, B1-B2"),
        (["A1", "B2"], "A1, B2"),
        (["007", "7", "8"], "7, 007, 8"),
        ([], ""),
    ],
)
def test_spans(positions: list[str], written: str) -> None:
    assert spans(positions) == written
