"""A document through its sheets and back: the same to the last digit, whatever stands in it."""

from __future__ import annotations

import json
import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from seed_data import documents
from tui.browser.sheet_shapes import SHEETS, Sheet
from tui.browser.sheets import content_of, copied, grids_of, is_sound, made_of, rest_of
from tui.browser.worksheet import Worksheet

SHIPPED = [tomllib.loads(file.read_text("utf-8")) for file in documents()]
texts = st.one_of(
    st.text(max_size=12),
    st.sampled_from(["none", "none ", "a, b", 'say "no"', "007", "1E5", "", "yes", "3", "BK/WH"]),
)
scalars = st.one_of(
    texts, st.integers(), st.booleans(), st.none(), st.floats(allow_nan=False, allow_infinity=False)
)
values = st.one_of(
    scalars, st.lists(scalars, max_size=4), st.dictionaries(texts, scalars, max_size=3)
)
UNDER = {"connector": "pins", "part": "leads"}


def tables(sheet: Sheet) -> st.SearchStrategy[dict[str, object]]:
    """Rows with any of the sheet's keys and some that it does not know."""
    known = {column.key: values for column in sheet.columns}
    unknown = st.dictionaries(st.sampled_from(["note", "seen_from", "what"]), values, max_size=2)
    return st.builds(lambda a, b: {**b, **a}, st.fixed_dictionaries({}, optional=known), unknown)


@st.composite
def contents(draw: st.DrawFn) -> dict[str, object]:
    kind = draw(st.sampled_from(sorted(SHEETS)))
    content: dict[str, object] = {"kind": kind}
    for sheet in SHEETS[kind]:
        if sheet.head:
            content[sheet.name] = draw(tables(sheet))
        elif sheet.inside is None:
            rows = draw(st.none() | st.lists(tables(sheet).filter(bool), max_size=4))
            if rows is not None:
                content[sheet.name] = rows
    for sheet in SHEETS[kind]:
        for outer in content.get(sheet.inside or "", ()):  # type: ignore[attr-defined]
            inner = draw(st.none() | st.lists(tables(sheet).filter(bool), max_size=3))
            if inner is not None:
                outer[sheet.under] = inner
    if draw(st.booleans()):
        content["setting"] = draw(st.lists(st.dictionaries(texts, scalars, max_size=2), max_size=2))
    return content


def same(one: object, other: object) -> bool:
    """Equal, and numbers of one type: 1, 1.0 and true are three things."""
    return json.dumps(one, sort_keys=True) == json.dumps(other, sort_keys=True)


@given(contents())
def test_a_document_comes_back_the_same(content: dict[str, object]) -> None:
    before = json.dumps(content)
    made = content_of(str(content["kind"]), grids_of(content), rest_of(content))
    assert same(made, {**content})
    assert json.dumps(content) == before


@given(contents())
def test_a_copy_makes_the_same_document(content: dict[str, object]) -> None:
    grids = copied(grids_of(content))
    assert same(content_of(str(content["kind"]), grids, rest_of(content)), content)


@pytest.mark.parametrize("content", SHIPPED, ids=lambda c: c[c["kind"]]["id"])
def test_each_cell_written_as_it_stands_changes_nothing(content: dict[str, object]) -> None:
    """Text alone carries every shipped value: what is typed again is the same value."""
    content = json.loads(json.dumps(content, default=str))
    grids = grids_of(content)
    for rows in grids.values():
        for row in rows:
            row.was = {}
    made = content_of(str(content["kind"]), grids, rest_of(content))
    kind = str(content["kind"])
    for key in ("at", "plus", "minus"):
        made, content = text_of(made, key), text_of(content, key)
    assert made[kind] == content[kind]
    assert made == content


def text_of(value: object, key: str) -> dict[str, object]:
    """The document with its positions as text, as it is stored; one circuit bare."""
    if isinstance(value, dict):
        return {
            name: str(inner) if name == key
            else inner[0] if name == "carries" and isinstance(inner, list) and len(inner) == 1
            else text_of(inner, key)
            for name, inner in value.items()
        }  # fmt: skip
    if isinstance(value, list):
        return [text_of(inner, key) for inner in value]  # type: ignore[return-value]
    return value  # type: ignore[return-value]


def test_a_circuit_named_none_is_no_empty_way() -> None:
    content = {
        "kind": "vehicle",
        "vehicle": {},
        "connector": [{"id": "A", "pins": [{"at": "1", "carries": "none"}]}],
    }
    grids = grids_of(content)
    assert grids["pin"][0].cells[2] == '"none"'
    grids["pin"][0].was = {}
    assert content_of("vehicle", grids, {}) == content


def test_many_digits_and_thousands() -> None:
    sheet = Worksheet({"kind": "vehicle", "vehicle": {}, "route": [{"metres": 3.14159265}]})
    sheet.number = [s.name for s in sheet.sheets].index("route")
    assert sheet.value((0, 2)) == "3.14159265"
    for text, value in (("12345.678", 12345.678), ("2,5", 2.5), ("1,250", "1,250"), ("4", 4)):
        sheet.put((0, 2), text)
        assert sheet.made().content["route"][0]["metres"] == value


def test_two_connectors_of_one_name_keep_their_pins() -> None:
    content = {
        "kind": "vehicle",
        "vehicle": {},
        "connector": [{"id": "A", "pins": [{"at": "1"}]}, {"id": "A", "pins": [{"at": "2"}]}],
    }
    assert content_of("vehicle", grids_of(content), {}) == content


def test_places_lead_back_to_the_cells() -> None:
    content = {
        "kind": "vehicle",
        "vehicle": {},
        "connector": [{"id": "A", "pins": [{"at": "1"}]}, {"id": "B", "pins": [{"at": "2"}]}],
    }
    sheet = Worksheet(content)
    sheet.number = [s.name for s in sheet.sheets].index("pin")
    sheet.insert_row(1)
    made = sheet.made()
    assert made.place(("connector", 1, "pins", 0, "wire")) == ("pin", 2, 3)
    assert made.place(("vehicle", "make")) == ("vehicle", 0, 1)
    assert made.place(("step", 0)) is None
    assert made_of("vehicle", grids_of(content), {}).content == content


@pytest.mark.parametrize(
    "content",
    [
        [], None, 3, {}, {"kind": "x"}, {"kind": ["vehicle"]}, {"kind": "vehicle", "vehicle": []},
        {"kind": "vehicle", "unit": "x"}, {"kind": "vehicle", "unit": [3]},
        {"kind": "vehicle", "connector": [{"pins": "x"}]},
        {"kind": "kit", "part": [{"leads": [1]}]}, {"kind": "vehicle", "connector": 7},
    ],
)  # fmt: skip
def test_what_is_no_document_is_told(content: object) -> None:
    assert not is_sound(content)


def test_a_document_is_sound() -> None:
    assert all(is_sound(content) for content in SHIPPED)
    assert is_sound({"kind": "vehicle"})
