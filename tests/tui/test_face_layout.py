"""Where ways sit: mirror images, each way once, and no order shown that is not recorded."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from kb.answers.face import Face, Pin, Side
from tests.tui.faces import faces
from tui.drawing.face_layout import (
    LABELS_NOT_PLACED,
    NEITHER_RECORDED,
    NUMBERING_NOT_RECORDED,
    ROWS_NOT_RECORDED,
    SIDE_NOT_RECORDED,
    UNEVEN_ROWS,
    lay_out,
)

sides: st.SearchStrategy[Side] = st.sampled_from(("wire", "mating"))


def face(ways: int, rows: int | None, *at: str, **more: object) -> Face:
    pins = tuple(Pin(at=position, circuits=("battery",)) for position in at)
    made = Face("v", "A1", "P", ways=ways, rows=rows, pins=pins, state="verified")
    return replace(made, **more)  # type: ignore[arg-type]  # fields of Face


@given(faces())
def test_the_two_sides_are_mirror_images(drawn: Face) -> None:
    wire, mating = lay_out(drawn, "wire"), lay_out(drawn, "mating")
    assert wire.placed == mating.placed
    if wire.placed:
        assert [tuple(reversed(row)) for row in wire.rows] == list(mating.rows)
    else:
        assert wire.rows == mating.rows


@given(faces(), sides)
def test_every_way_appears_exactly_once(drawn: Face, side: Side) -> None:
    layout = lay_out(drawn, side)
    appearing = [at for row in layout.rows for at in row if at is not None]
    assert len(appearing) == len(set(appearing))
    assert {pin.at for pin in drawn.pins} <= set(appearing)
    assert len(appearing) <= drawn.ways


@given(faces(placed=True), sides)
def test_all_recorded_ways_appear_where_the_count_is_known(drawn: Face, side: Side) -> None:
    layout = lay_out(drawn, side)
    if layout.placed:
        assert len(layout.positions) == drawn.ways
        assert len({len(row) for row in layout.rows}) == 1


@given(faces(), sides)
def test_what_is_not_recorded_is_always_said(drawn: Face, side: Side) -> None:
    layout = lay_out(drawn, side)
    if not layout.placed:
        assert set(layout.cautions) & {ROWS_NOT_RECORDED, LABELS_NOT_PLACED}
        return
    said = layout.cautions[0] if layout.cautions else ""
    assert ("numbering" in said) == (drawn.numbering is None)
    assert ("side that is counted from" in said) == (drawn.seen_from is None)
    assert ("latch" in said) == (drawn.seen_from is None)
    recorded = drawn.numbering is not None and drawn.seen_from is not None
    assert set(layout.cautions[0 if recorded else 1 :]) <= {UNEVEN_ROWS}


def test_row_by_row_from_the_upper_left_of_the_side_that_is_recorded() -> None:
    recorded = face(6, 2, "1", numbering="rows", seen_from="mating")
    assert lay_out(recorded, "mating").rows == (("1", "2", "3"), ("4", "5", "6"))
    assert lay_out(recorded, "wire").rows == (("3", "2", "1"), ("6", "5", "4"))
    assert lay_out(recorded, "wire").cautions == ()


def test_down_each_column() -> None:
    recorded = face(6, 2, "1", numbering="columns", seen_from="wire")
    assert lay_out(recorded, "wire").rows == (("1", "3", "5"), ("2", "4", "6"))


def test_as_usual_is_row_by_row_from_the_wire_side_and_said_to_be_a_guess() -> None:
    layout = lay_out(face(4, 2, "1"), "wire")
    assert layout.rows == (("1", "2"), ("3", "4"))
    assert layout.cautions == (NEITHER_RECORDED,)
    sided = lay_out(face(4, 2, "1", seen_from="wire"), "wire")
    assert sided.cautions == (NUMBERING_NOT_RECORDED,)
    numbered = lay_out(face(4, 2, "1", numbering="columns"), "wire")
    assert numbered.cautions == (SIDE_NOT_RECORDED,)


def test_one_letter_before_a_count_is_a_prefix() -> None:
    layout = lay_out(face(8, 2, "B1", "B8", numbering="columns"), "wire")
    assert layout.rows == (("B1", "B3", "B5", "B7"), ("B2", "B4", "B6", "B8"))


def test_one_letter_that_may_be_a_row_is_not_placed() -> None:
    layout = lay_out(face(8, 2, "B1", "B4"), "wire")
    assert not layout.placed
    assert layout.cautions == (LABELS_NOT_PLACED,)


def test_letters_are_rows_and_numbers_columns() -> None:
    layout = lay_out(face(6, 2, "A1", "B3", numbering="rows", seen_from="wire"), "wire")
    assert layout.rows == (("A1", "A2", "A3"), ("B1", "B2", "B3"))


def test_letters_do_not_invent_ways_where_the_numbers_do_not_come_out() -> None:
    layout = lay_out(face(7, None, "A1", "B3"), "wire")
    assert layout.rows == (("A1", None, None), (None, None, "B3"))


def test_a_row_of_which_nothing_is_documented_is_kept_open() -> None:
    layout = lay_out(face(6, 3, "A1", "C2"), "wire")
    assert layout.rows == (("A1", "A2"), ("B1", "B2"), ("C1", "C2"))


def test_leading_zeros_are_labels_and_not_numbers() -> None:
    assert not lay_out(face(8, 2, "007"), "wire").placed
