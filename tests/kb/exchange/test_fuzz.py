"""Whatever lies in a shared file, a table or a sheet: it is read, or refused with a sentence."""

import hashlib
from copy import deepcopy
from typing import Any

from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from kb.documents.canonical import canonical_json
from kb.errors import Refused
from kb.exchange.folder import Shared
from kb.exchange.reading import read_record, read_revision
from kb.intake.headings import match_headings
from kb.intake.pins import read_pins
from kb.intake.tables import read_table
from tests.kb.review.cases import measured_car

REVISION = {
    "form": "revision-1",
    "kind": "vehicle",
    "id": "vant-oro-20",
    "content": measured_car(),
    "author": "kai",
    "origin": "shop-bbbbbbbb",
}
RECORD = {
    "form": "record-1",
    "revision": "a" * 64,
    "act": "return",
    "by": "kai",
    "origin": "shop-bbbbbbbb",
    "at": "2026-01-01T00:00:00.000000+00:00",
    "reason": "poles",
}
plain = (
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(max_size=8)
)
values = st.recursive(
    plain,
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3)
    ),
    max_leaves=8,
)


def paths(content: Any, before: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Every place inside a form."""
    found = [before] if before else []
    items = (
        content.items() if isinstance(content, dict)
        else enumerate(content) if isinstance(content, list)
        else ()
    )  # fmt: skip
    for key, inner in items:
        found += paths(inner, (*before, key))
    return found


def changed(form: dict[str, Any], path: tuple[Any, ...], value: Any) -> dict[str, Any]:
    made = deepcopy(form)
    at: Any = made
    for key in path[:-1]:
        at = at[key]
    at[path[-1]] = value
    return made


def shared(kind: str, form: Any) -> Shared:
    data = canonical_json(form).encode("utf-8", "surrogatepass")
    hash = hashlib.sha256(data).hexdigest()
    return Shared(kind, hash, f"{kind}/{hash[:2]}/{hash}.json", data)  # type: ignore[arg-type]


def test_the_forms_are_sound_before_they_are_changed() -> None:
    assert read_revision(shared("revisions", REVISION)).id == "vant-oro-20"
    assert read_record(shared("records", RECORD)).act == "return"


@settings(max_examples=150, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.sampled_from(paths(REVISION)), values)
def test_a_revision_with_anything_anywhere(path: tuple[Any, ...], value: Any) -> None:
    form = changed(REVISION, path, value)
    try:
        read = read_revision(shared("revisions", form))
    except Refused as fault:
        assert "\n" not in str(fault) and str(fault).endswith(
            "Nothing of this folder was taken in."
        )
    else:
        assert canonical_json(read.content) == canonical_json(form["content"])


@settings(max_examples=150, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.sampled_from([*paths(RECORD), ("alone",), ("batch",), ("value",), ("person",)]), values)
def test_a_record_with_anything_anywhere(path: tuple[Any, ...], value: Any) -> None:
    form = changed(RECORD, path, value)
    try:
        read = read_record(shared("records", form))
    except Refused as fault:
        assert "\n" not in str(fault)
    else:
        assert read.text == canonical_json(form)


@settings(max_examples=150, deadline=None)
@given(st.binary(max_size=200))
@example(b"\xef\xbb\xbf")
@example(b"PK\x03\x04")
@example(b'pin,circuit\n"')
def test_any_bytes_as_a_table(data: bytes) -> None:
    try:
        table = read_table("t", data)
    except Refused:
        return
    assert table.rows


@settings(max_examples=150, deadline=None)
@given(st.lists(st.lists(st.text(max_size=10), min_size=4, max_size=4), max_size=6))
def test_any_cells_under_headings(rows: list[list[str]]) -> None:
    import csv
    import io

    out = io.StringIO()
    csv.writer(out).writerows([["pin", "circuit", "colour", "size"], *rows])
    try:
        table = read_table("t", out.getvalue().encode("utf-8", "replace"))
        found = read_pins("t", match_headings(table), speakers=["door-l"])
    except Refused:
        return
    assert len(found.pins) + len(found.problems) <= len(rows)
