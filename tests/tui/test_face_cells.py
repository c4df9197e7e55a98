"""What a cell of a face says of poles and circuits: none hidden, none turned around, none invented.

A circuit is read back from the lines as a technician would: a line that begins with a hyphen or a
dot goes on with the circuit above it, every other line begins the next one, and + or - at the end
of a line is a pole."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.answers.face import Face, Pin
from kb.documents.circuits import read_circuit
from tui.drawing.face import LEAST_INNER, draw_face
from tui.drawing.face_cells import CIRCUIT_LINES, circuit_lines
from tui.drawing.face_svg import CELL_CHARACTERS
from tui.drawing.face_table import circuits_folded
from tui.drawing.pieces import plain
from tui.tables import CUT

names = st.sampled_from(
    ("door-front-right", "door-front-left", "dash-c", "sail-left", "sub", "tw-l", "rear_shelf-mid")
) | st.from_regex(r"\A[A-Za-z0-9]([a-z0-9_-]{0,20}[a-z0-9])?\Z")
poled = st.builds(
    lambda name, coil, pole: name + coil + pole,
    names,
    st.sampled_from(("", "", ".a", ".b")),
    st.sampled_from("+-"),
)
unpoled = st.sampled_from(("battery", "turn-on", "illumination", "ground", "shield"))
ways = st.lists(poled | unpoled, min_size=1, max_size=6, unique=True)
widths = st.integers(LEAST_INNER, CELL_CHARACTERS)


def read_back(lines: list[str]) -> list[str]:
    """The circuits that several circuits' lines show."""
    shown: list[str] = []
    for line in lines:
        if line.startswith(("-", ".")):
            shown[-1] += line
        else:
            shown.append(line)
    return shown


def pole_of(text: str) -> str:
    return text[-1] if text[-1] in "+-" else ""


def is_of(shown: str, circuit: str) -> bool:
    """Whether a text is the circuit, whole or without its middle."""
    head, cut, tail = shown.partition(CUT)
    if not cut:
        return shown == circuit
    return bool(tail) and circuit.startswith(head) and circuit.endswith(tail)


@given(ways, widths)
def test_each_circuit_of_a_way_shows_with_its_own_pole(circuits: list[str], inner: int) -> None:
    assert all(read_circuit(circuit) for circuit in circuits)
    lines = circuit_lines(circuits, inner)
    assert 0 < len(lines) <= CIRCUIT_LINES
    assert all(0 < len(line) <= inner for line in lines)
    if len(circuits) > CIRCUIT_LINES:
        assert "".join(lines) == f"{len(circuits)} circuits"
        return
    shown = ["".join(lines)] if len(circuits) == 1 else read_back(lines)
    assert len(shown) == len(circuits)
    for text, circuit in zip(shown, circuits, strict=True):
        assert is_of(text, circuit)
        assert pole_of(text) == pole_of(circuit)
    ends = "".join(map(pole_of, lines))
    assert ends == "".join(map(pole_of, circuits))


@given(ways, st.integers(9, 60))
def test_the_table_holds_every_circuit_whole(circuits: list[str], room: int) -> None:
    lines = circuits_folded(circuits, room)
    assert all(0 < len(line) <= room for line in lines)
    joined = "".join(f" {line}" for line in lines)
    assert joined.replace(" ", "") == "".join(circuits)
    for line in lines:
        for word in line.split()[:-1]:
            assert word in circuits or any(circuit.endswith(word) for circuit in circuits)


def cell(circuits: tuple[str, ...], columns: int, width: int, *, alone: bool = False) -> list[str]:
    """The lines of way 1's cell in a drawing of one row of that many columns, all of them alike;
    `alone`: nobody wrote anything down of the others.
    """
    ways = [1] if alone else range(1, columns + 1)
    pins = tuple(Pin(str(at), circuits, "WH", methods=("meter",)) for at in ways)
    face = Face("oak", "A1", "P", ways=columns, rows=1, pins=pins, state="verified",
                numbering="rows", seen_from="wire")  # fmt: skip
    lines = [plain(line) for line in draw_face(face, width=width)]
    found = [line.split("│")[1].strip() for line in lines if line.startswith("│")]
    assert found[0] == "1"
    return found[1 : found.index("WH")]


@pytest.mark.parametrize(
    ("circuits", "drawn"),
    [
        (("door-front-right+", "dash-c-"), ["do…t+", "dash", "-c-"]),
        (("door-front-left+", "sail-left+"), ["do…t+", "sa…t+"]),
        (("door-fl+", "sail-l+"), ["door", "-fl+", "sail", "-l+"]),
        (("door-left-",), ["door", "-left", "-"]),
        (("rear-door-front-left-",), ["rear", "-door", "-fron", "…eft-"]),
        (("a+", "b+", "c+", "d+", "e+"), ["5 cir", "cuits"]),
    ],
)
def test_a_way_at_thirteen_columns_in_eighty(circuits: tuple[str, ...], drawn: list[str]) -> None:
    assert cell(circuits, 13, 80) == drawn


@pytest.mark.parametrize(
    ("circuits", "drawn"),
    [
        (("battery",), ["battery"]),
        (("door-front-left+", "sail-left+"), ["doo…t+", "sail", "-left+"]),
        (("door-left-",), ["door", "-left-"]),
        (("rear-door-front-left-",), ["rear", "-door", "-front", "-left-"]),
        (("illumination",), ["illum", "inati", "on"]),  # no cell is as wide as this word
    ],
)
def test_a_way_takes_the_room_that_the_others_leave_before_a_word_is_broken(
    circuits: tuple[str, ...], drawn: list[str]
) -> None:
    assert cell(circuits, 13, 81, alone=True) == drawn


@given(st.lists(ways, min_size=2, max_size=28), st.integers(1, 3), st.integers(40, 170))
def test_a_face_of_uneven_columns_keeps_its_edges_in_line(
    many: list[list[str]], rows: int, width: int
) -> None:
    pins = tuple(Pin(str(at), tuple(circuits), "WH") for at, circuits in enumerate(many, 1))
    face = Face("oak", "A1", "P", ways=len(many), rows=rows, pins=pins, state="verified")
    lines = [plain(line) for line in draw_face(face, width=width)]
    drawn = [line for line in lines if line and line[0] in "┌├│└"]
    assert all(len(line) <= width for line in lines)
    edges = [[at for at, sign in enumerate(line) if sign in "┌├│└┬┼┴┐┤┘"] for line in drawn]
    blocks = sum(line.startswith("┌") for line in drawn)
    assert len({tuple(places) for places in edges}) <= blocks


def test_the_narrow_table_breaks_no_circuit_into_a_pole() -> None:
    assert circuits_folded(("door-front-left+", "sail-l-"), 11) == [
        "door-front",
        "-left+",
        "sail-l-",
    ]
