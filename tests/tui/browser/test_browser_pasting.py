"""What a spreadsheet, a CSV file or a terminal pastes, as cells: one value stays one."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tui.browser.pasting import Block, next_row, pasted
from tui.browser.sheet_shapes import Column
from tui.browser.sheets import Content
from tui.browser.worksheet import Worksheet


def block(text: str, *, kind: str = "text", room: int = 9, lone: bool = False) -> list[list[str]]:
    return pasted(text, column=Column("x", kind=kind), room=room, lone=lone).rows  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("text", "cells"),
    [
        ("1\tdoor+\tWH\n2\tdoor-\tWH/BK\n", [["1", "door+", "WH"], ["2", "door-", "WH/BK"]]),
        ("1;door-fl+;WH\r\n2;;GY", [["1", "door-fl+", "WH"], ["2", "", "GY"]]),
        ("1,door-fl+\n2,door-fl-\n", [["1", "door-fl+"], ["2", "door-fl-"]]),
        ("1   door-fl+  grey/black", [["1", "door-fl+", "grey/black"]]),
        ("alone", [["alone"]]),
        # one line is one value, and so is one whose marks do not agree with the next
        ("base, 2", [["base, 2"]]),
        ("1,door-fl+\n", [["1,door-fl+"]]),
        ('"KX, big" kit\namplifier, radio', [['"KX, big" kit'], ["amplifier, radio"]]),
        ("under the seat, left\nunder the seat, right",
         [["under the seat, left"], ["under the seat, right"]]),
        ("a,b\nc", [["a,b"], ["c"]]),
        ("two  gaps", [["two  gaps"]]),
        # quotes as spreadsheets write them
        ('1\t"sub+\nsub-"\tWH\n2\tx\tBK', [["1", "sub+ sub-", "WH"], ["2", "x", "BK"]]),
        ('"sub+\nsub-"', [["sub+ sub-"]]),
        ('"door-fl+, door-rl+"\tWH', [["door-fl+, door-rl+", "WH"]]),
        ('"door-fl+, door-rl+"', [["door-fl+, door-rl+"]]),
        ('6" woofer\tdoor\n"5"" woofer"\tdoor', [['6" woofer', "door"], ['5" woofer', "door"]]),
        ('"open\tWH\nb\tBK', [['"open', "WH"], ["b", "BK"]]),
        # line ends: two CRs where a multiplexer made them of CR LF, but not a blank line
        ("a\tb\r\rc\td\r\r", [["a", "b"], ["c", "d"]]),
        ("a\rb\r\rc", [["a"], ["b"], [""], ["c"]]),
        ("a\n\nb", [["a"], [""], ["b"]]),
    ],
)  # fmt: skip
def test_a_pasted_block_falls_into_cells(text: str, cells: list[list[str]]) -> None:
    assert block(text) == cells


def test_commas_part_no_lists_and_no_decimals() -> None:
    assert block("a+,b+\nc+,d+", kind="circuits") == [["a+,b+"], ["c+,d+"]]
    assert block("2,5\n1,5", kind="number") == [["2,5"], ["1,5"]]
    assert block("2,5\n1,5", room=1) == [["2,5"], ["1,5"]]


def test_a_lone_column_is_parted_by_tabs_alone() -> None:
    assert block("a,b\nc,d", lone=True) == [["a,b"], ["c,d"]]
    assert block("a;b\nc;d", lone=True) == [["a;b"], ["c;d"]]
    assert block("make\tOku\nmodel\tX", lone=True) == [["make", "Oku"], ["model", "X"]]


cells = st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs", "Zs", "Zl", "Zp")),
                max_size=6)  # fmt: skip


@given(st.integers(2, 4).flatmap(
    lambda n: st.lists(st.lists(cells, min_size=n, max_size=n), min_size=1, max_size=4)
))  # fmt: skip
def test_what_a_spreadsheet_copies_comes_back(rows: list[list[str]]) -> None:
    """The oracle is the standard library's own writer."""
    rows[-1][0] = "end"  # empty lines at the end are no rows
    text = io.StringIO()
    csv.writer(text, delimiter="\t", lineterminator="\n").writerows(rows)
    assert block(text.getvalue()) == rows


def head(content: Content, at: int, text: str) -> tuple[Content, str]:
    sheet = Worksheet(content)
    found = pasted(text, column=sheet.column((at, 1)), room=1, lone=True)
    said, _ = sheet.fill((at, 1), found).in_words(found.parted_by, "Ctrl+U")
    return sheet.made().content, said


def test_the_head_takes_a_value_a_line() -> None:
    kit = {"kind": "kit", "kit": {}}
    made, said = head(kit, 2, '"KX, big" kit\namplifier, radio')
    assert made["kit"] == {"name": '"KX, big" kit', "takes_out": ["amplifier", "radio"]}
    assert said == "2 lines pasted; Ctrl+U takes them back."


def test_the_head_takes_a_row_down_its_keys_and_names_where_they_stand() -> None:
    kit = {"kind": "kit", "kit": {}}
    made, _ = head(kit, 0, "kx\tOku\tKX")
    assert made["kit"] == {"id": "kx", "maker": "Oku", "name": "KX"}
    made, _ = head(kit, 0, "name\tKX\ntakes out\tradio")
    assert made["kit"] == {"name": "KX", "takes_out": ["radio"]}


def test_what_has_no_room_is_told() -> None:
    sheet = Worksheet({"kind": "vehicle", "vehicle": {}})
    sheet.number = [s.name for s in sheet.sheets].index("pin")
    filled = sheet.fill((0, 4), Block([["1", "2", "3", "4", ""], ["5", "6", "7", "8", ""]], "tabs"))
    said, role = filled.in_words("tabs", "Ctrl+U")
    assert (filled.columns_without_room, role) == (2, "flag")
    assert said.startswith("2 columns had no room and were left out")
    made, said = head({"kind": "vehicle", "vehicle": {}}, 6, "a\nb\nc\nd")
    assert "2 lines had no room" in said
    assert made["vehicle"] == {"audio": "a", "sold_speakers": "b"}


def test_a_pole_that_turns_takes_no_colour_along() -> None:
    """Nobody has seen the other wire yet; its size, and a second speaker of one wire, repeat."""
    keys = ["connector", "at", "carries", "wire", "mm2"]
    assert next_row(["M1", "1", "door-l+", "WH", "0.75"], keys) == [
        "M1",
        "2",
        "door-l-",
        "",
        "0.75",
    ]
    assert next_row(["M1", "1", "ground", "BN", ""], keys) == ["M1", "2", "ground", "BN", ""]
