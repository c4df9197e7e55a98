"""Columns that do not all have room give way in the order that the list says."""

from hypothesis import given
from hypothesis import strategies as st

from tui.browser.widgets.columns import GAP, LEAST_COLUMN, fit_columns


def test_all_have_room() -> None:
    assert fit_columns([5, 10, 3], [(1, 4)], 22) == ([5, 10, 3], GAP)


def test_the_gap_gives_way_first() -> None:
    assert fit_columns([5, 10, 3], [(1, 4)], 20) == ([5, 10, 3], 1)


def test_a_column_shrinks_to_its_least_then_the_next_one() -> None:
    assert fit_columns([5, 10, 9], [(1, 4), (2, 3)], 20) == ([5, 4, 9], 1)
    assert fit_columns([5, 10, 9], [(1, 4), (2, 3)], 15) == ([5, 4, 4], 1)


def test_a_column_vanishes_rather_than_being_cut_to_nothing_of_worth() -> None:
    assert fit_columns([5, 20], [(1, 0)], 15) == ([5, 9], 1)
    assert fit_columns([5, 20], [(1, 0)], 12) == ([5, 0], 1)


def test_a_column_is_whole_or_not_there() -> None:
    assert fit_columns([5, 20], [(1, -1)], 25) == ([5, 0], 1)


def test_what_gives_way_never_grows() -> None:
    """A least that is more than the column ever took."""
    assert fit_columns([3, 60], [(0, 12)], 10) == ([3, 6], 1)


@given(
    st.lists(st.integers(0, 60), max_size=8),
    st.lists(st.tuples(st.integers(0, 7), st.integers(-1, 12)), max_size=8),
    st.integers(1, 160),
)
def test_no_row_is_wider_than_its_room(
    widest: list[int], yields: list[tuple[int, int]], room: int
) -> None:
    widths, gap = fit_columns(widest, yields, room)
    shown = [width for width in widths if width]
    assert len(widths) == len(widest)
    assert all(width <= most for width, most in zip(widths, widest, strict=True))
    total = sum(shown) + gap * (len(shown) - 1)
    assert total <= room or max(shown, default=0) <= LEAST_COLUMN
