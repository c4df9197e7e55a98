"""Entries of something that is no entry: the condition that was meant is offered, and runs."""

from __future__ import annotations

import pytest

from kb.query.run import ask
from tests.kb.query.conftest import Asked
from tests.kb.query.refused import assert_meant, refused

ENTRY = "halden-tarn-19-concert10"
ASKED = [
    ("entries of any vehicle", "entries where kind = vehicle"),
    ("entries of every car", "entries where kind = vehicle"),
    ("entries of all vehicles", "entries where kind = vehicle"),
    ("entries of vehicles", "entries where kind = vehicle"),
    ("count entries of kits", "count entries where kind = kit"),
    ("count entries by author of jobs", "count entries by author where kind = job"),
    (
        "entries of kits sorted by author first 2",
        "entries where kind = kit sorted by author first 2",
    ),
    ("entries of kits where verified", "entries where kind = kit and verified"),
    (
        "entries of any vehicle where draft or returned",
        "entries where kind = vehicle and (draft or returned)",
    ),
    ("entries of all", "entries"),
    ("entries of every entry where draft", "entries where draft"),
    ("entries by shipped", "entries where author = shipped"),
    ("entries from shipped", "entries where author = shipped"),
    ("entries of shipped where kind = kit", "entries where author = shipped and kind = kit"),
    ('entries of "tarn 22 concert"', f"entries of {ENTRY}"),
    ("entries of tarn 22 concert", f"entries of {ENTRY}"),
    ("drafts", "entries where draft"),
    ("count drafts", "count entries where draft"),
    ("drafts by shipped", "entries where author = shipped and draft"),
    ("entries submitted by shipped", "entries where author = shipped"),
    ("entries where draft and written by shipped", "entries where draft and author = shipped"),
    ("entries where submitted on 2026-03-14", "entries where submitted = 2026-03-14"),
    ("vehicles where state = draft", "entries where kind = vehicle and draft"),
    ("count kits where withdrawn", "count entries where kind = kit and withdrawn"),
    ("returned vehicles", "entries where returned and kind = vehicle"),
]


@pytest.mark.parametrize(("said", "meant"), ASKED, ids=[said for said, _ in ASKED])
def test_what_is_no_entry_is_offered_as_the_condition_it_is(
    shipped: Asked, said: str, meant: str
) -> None:
    assert_meant(shipped, said, meant)


def test_a_hash_alone_is_offered_as_a_revision(shipped: Asked) -> None:
    (row,) = ask(shipped.connection, f"entries of {ENTRY}").rows
    meant = f"entries where revision = {row['revision']}"
    assert_meant(shipped, f"entries of {row['revision']}", meant)
    assert ask(shipped.connection, meant).rows == [row]


@pytest.mark.parametrize("said", ["entries of zzz", "entries by zzz", "entries of tarn 22"])
def test_what_nothing_in_the_book_bears_is_offered_as_nothing(shipped: Asked, said: str) -> None:
    assert refused(shipped, said).repaired is None


def test_beside_another_condition_a_state_is_said_to_be_one_of_entries(shipped: Asked) -> None:
    error = refused(shipped, "vehicles where returned and year = 2022")
    assert error.repaired is None and "said of entries" in (error.hint or "")


def test_a_near_id_is_named_first(shipped: Asked) -> None:
    assert ENTRY in (refused(shipped, f"entries of {ENTRY[:-1]}").hint or "")
