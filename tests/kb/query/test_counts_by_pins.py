"""A count by a lead or a way counts each speaker once, and says where it has more of them."""

from __future__ import annotations

import pytest

from kb.query.run import ask
from tests.kb.query.conftest import Asked

TARN, PLAIN = "halden-tarn-19-concert10", "halden-tarn-19-plain6"


def second_feeds(asked: Asked, query: str) -> list[str]:
    return [note for note in ask(asked.connection, query).notes if "second feed" in note]


def more_leads(asked: Asked, query: str) -> list[str]:
    return [note for note in ask(asked.connection, query).notes if "more leads" in note]


@pytest.mark.parametrize("by", ["plus", "minus", "plus wire", "connector"])
def test_a_second_feed_that_is_not_counted_is_said(shipped: Asked, by: str) -> None:
    (note,) = second_feeds(shipped, f"count speakers of {TARN} with oku-b6 by {by}")
    assert note.startswith("1 speaker has a second feed that is not counted here (column feeds); ")


def test_a_second_lead_that_is_not_counted_is_said(shipped: Asked) -> None:
    query = f"count speakers of {TARN} with oku-b6 by lead"
    (note,) = more_leads(shipped, query)
    assert note.startswith("1 speaker is on more leads than the one counted here; `loombook runs ")
    assert second_feeds(shipped, query) == []


@pytest.mark.parametrize(
    "query",
    [
        f"count speakers of {TARN} with oku-b6 by lead where role = tweeter",
        f"count speakers of {PLAIN} by plus",
        f"count speakers of {TARN} with oku-b6 by outcome",
        f"count speakers of {TARN} by role",
        f"count speakers of {TARN}",
        f"count pins of {TARN} by wire",
    ],
)
def test_a_count_that_leaves_none_aside_says_nothing(shipped: Asked, query: str) -> None:
    assert second_feeds(shipped, query) == more_leads(shipped, query) == []


def test_it_is_as_many_as_the_rows_have(asked: Asked) -> None:
    for scope in ("", f"of {asked.vehicle} ", f"with {asked.kit} "):
        rows = ask(asked.connection, f"speakers {scope}show speaker, feeds, plus").rows
        more = sum((row["feeds"] or 0) > 1 for row in rows)
        said = second_feeds(asked, f"count speakers {scope}by plus")
        assert [int(note.split()[0]) for note in said] == ([more] if more else [])
