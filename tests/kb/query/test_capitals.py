"""Capitals never matter: one value, several of them, and any of them joined by `or`."""

from __future__ import annotations

import itertools

import pytest

from kb.query.run import ask
from tests.kb.query.conftest import Asked

FIELDS = (
    ("vehicles", "make"), ("vehicles", "model"), ("vehicles", "id"), ("connectors", "plug"),
    ("connectors", "connector"), ("pins", "connector"), ("pins", "at"), ("pins", "unit"),
    ("speakers", "speaker"), ("speakers", "place"), ("leads", "kit"), ("leads", "lead"),
    ("panels", "panel"), ("kits", "maker"), ("entries", "id"), ("entries", "author"),
)  # fmt: skip
PATTERNS = (
    '{f} in ("{a}", "{b}")',
    '{f} = "{a}" or {f} = "{b}"',
    'not ({f} != "{a}" and {f} != "{b}")',
    '{f} = "{b}" or {f} = "{a}" or {f} = "{a}"',
)


@pytest.mark.parametrize(("subject", "field"), FIELDS)
def test_capitals_never_matter(asked: Asked, subject: str, field: str) -> None:
    everything = ask(asked.connection, f"count {subject} by {field}").rows
    counts = {row[field]: row["count"] for row in everything if row[field]}
    values = sorted(counts, key=lambda value: (-counts[value], value))[:3]
    folded = {value: sum(n for v, n in counts.items() if v.lower() == value.lower())
              for value in values}  # fmt: skip
    for a, b in itertools.combinations(values, 2):
        for pattern in PATTERNS:
            for turned in (str.upper, str.lower, str.swapcase):
                question = pattern.format(f=field, a=turned(a), b=turned(b))
                rows = ask(asked.connection, f"count {subject} where {question}").rows
                assert rows[0]["count"] == folded[a] + folded[b], question


def test_capitals_never_matter_inside_any(shipped: Asked) -> None:
    one, other, both = (
        {
            row["id"]
            for row in ask(shipped.connection, f"vehicles where any pin (connector = {names})").rows
        }
        for names in ("r1", "a1", "r1 or connector = a1")
    )
    assert both == one | other and one - other and other - one
