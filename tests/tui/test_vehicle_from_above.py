"""The vehicle from above: every speaker once, left on the left, nothing wider than asked."""

from __future__ import annotations

import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seed_data import documents
from tui.drawing.pieces import Style, plain
from tui.drawing.vehicle_from_above import (
    LEAST_HEIGHT,
    LEAST_WIDTH,
    Spot,
    Where,
    draw_vehicle,
    read_place,
)
from tui.tables import cells

VEHICLES = [
    content
    for file in documents()
    if (content := tomllib.loads(file.read_text("utf-8")))["kind"] == "vehicle"
]


def spots_of(vehicle: dict[str, list[dict[str, str]]]) -> list[Spot]:
    return [Spot(s.get("place"), s["id"], "x") for s in vehicle["speaker"]]


@pytest.mark.parametrize("vehicle", VEHICLES, ids=lambda v: v["vehicle"]["id"])
def test_every_speaker_of_every_shipped_vehicle_is_drawn_once_on_its_side(
    vehicle: dict[str, list[dict[str, str]]],
) -> None:
    lines = [plain(line) for line in draw_vehicle(spots_of(vehicle), 60, 30)]
    middle = 30
    for speaker in vehicle["speaker"]:
        found = [line for line in lines if speaker["id"] in line.split()]
        assert len(found) == 1, speaker["id"]
        where = read_place(speaker.get("place"))
        assert where is not None, "every place of the shipped vehicles is one that is understood"
        at = found[0].index(speaker["id"])
        if where.side:
            assert (at < middle) == (where.side < 0), found[0]


@pytest.mark.parametrize(
    ("place", "where"),
    [
        ("door-front-left", Where(40, -1)),
        ("door-rear-right", Where(59, 1)),
        ("dash-top", Where(18, 0)),
        ("quarter-left", Where(76, -1)),
        ("load-floor", Where(92, 0)),
        ("rear-shelf-left", Where(84, -1)),
        ("front-left", Where(36, -1)),
        ("Door Front Left", Where(40, -1)),
        ("door", None),  # which door was not written
        ("quarter", None),
        ("somewhere", None),
        ("", None),
        (None, None),
    ],
)
def test_places_are_read_by_their_words_and_never_guessed(
    place: str | None, where: Where | None
) -> None:
    assert read_place(place) == where


def test_front_is_up() -> None:
    order = ["dash-top", "door-front-left", "door-rear-left", "quarter-left", "tailgate"]
    lines = draw_vehicle([Spot(place, f"s{n}", "x") for n, place in enumerate(order)], 60, 30)
    rows = [
        next(at for at, line in enumerate(lines) if f"s{n}" in plain(line).split())
        for n in range(len(order))
    ]
    assert rows == sorted(rows)


def test_what_has_no_place_is_listed_in_words() -> None:
    text = "\n".join(plain(line) for line in draw_vehicle([Spot(None, "sub", "?")], 40, 20))
    assert "not placed in the drawing" in text and "? sub: place not recorded" in text


def test_the_lit_spot_keeps_its_mark() -> None:
    (line,) = [
        line
        for line in draw_vehicle([Spot("door-front-left", "a", "✗", Style.FLAG, lit=True)], 40, 20)
        if "✗" in plain(line)
    ]
    assert [piece.style for piece in line if piece.text == "✗"] == [Style.LIT]


def test_a_sign_stands_beside_its_mark_and_moves_nothing_else() -> None:
    places = ["door-front-left", "door-front-right", "dash-centre", None]
    drawn = [
        [plain(line) for line in draw_vehicle(
            [Spot(place, f"s{n}", "✓", sign=sign) for n, place in enumerate(places)], 60, 20
        )]
        for sign in ("", "≠")
    ]  # fmt: skip
    text = "\n".join(drawn[1])
    assert "│✓≠" in text and "≠✓│" in text and "✓≠ s2" in text and "✓≠ s3: place" in text
    without, with_sign = ([line for line in lines if "│" in line] for lines in drawn)
    assert [len(line) for line in with_sign] == [len(line) for line in without]


PLACES = st.one_of(
    st.none(),
    st.text(max_size=20),
    st.sampled_from(["door-front-left", "door-front-right", "dash-top", "boot-left", "sail-right"]),
)


@settings(max_examples=80, deadline=None)
@given(
    st.lists(st.tuples(PLACES, st.text(min_size=1, max_size=30)), max_size=60),
    st.integers(0, 120),
    st.integers(0, 60),
)
def test_it_never_outgrows_its_room(
    given_spots: list[tuple[str | None, str]], width: int, height: int
) -> None:
    lines = draw_vehicle([Spot(place, label, "x") for place, label in given_spots], width, height)
    assert len(lines) <= max(height, LEAST_HEIGHT)
    assert all(cells(plain(line)) <= max(width, LEAST_WIDTH) for line in lines)


@settings(max_examples=50, deadline=None)
@given(st.integers(1, 40), st.integers(9, 40))
def test_no_spot_is_lost_without_a_word(count: int, height: int) -> None:
    lines = [
        plain(line)
        for line in draw_vehicle(
            [Spot("door-front-left", f"spot{n}", "x") for n in range(count)], 60, height
        )
    ]
    drawn = sum(f"spot{n}" in " ".join(lines).replace(":", " ").split() for n in range(count))
    counted = [int(line.split()[2]) for line in lines if line.startswith("… and")]
    assert drawn + sum(counted) == count
