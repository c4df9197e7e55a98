"""What no row can ever hold is refused where it is asked for, with what could be asked instead."""

from __future__ import annotations

import time

import pytest

from grammar.errors import QueryError
from kb.query.run import ask
from tests.kb.query.conftest import Asked
from tests.kb.query.refused import assert_meant, refused


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ("vehicles where year = 2022.5", "whole number"),
        ("vehicles where first year > 2022.5", "whole number"),
        ("entries where submitted = 2026-02-30", "no date"),
        ("entries where submitted > 2026-13", "no date"),
        ('entries where submitted > "2026-02-28 25:20"', "no date"),
        ('entries where submitted > "2026-02-28 1.2.3"', "no date"),
        ("pins where wire = dark green", "write the plain colour, GN"),
        ("pins where wire = light mauve", "such as BU"),
        ("pins where wire = grey stripe black", "write base/stripe, GY/BK"),
        ("pins where wire = grey black stripe", "write base/stripe, GY/BK"),
        ("pins where wire = stripe black grey", "such as GY/BK"),
    ],
)
def test_an_impossible_value_is_refused(shipped: Asked, said: str, why: str) -> None:
    with pytest.raises(QueryError, match=why) as caught:
        ask(shipped.connection, said)
    assert caught.value.repaired is None


NONE_AND_UNKNOWN = [
    ("pins where carries = nothing", "pins where carries = none"),
    ("pins where carries nothing", "pins where carries = none"),
    ("pins where carries = empty", "pins where carries = none"),
    ("pins where carries != nothing", "pins where carries != none"),
    ("pins where not carries nothing", "pins where not carries = none"),
    ("pins where carries in (ground, nothing)", "pins where carries in (ground, none)"),
    ("pins where carries = missing", "pins where carries is unknown"),
    ("pins where stripe = nothing", "pins where stripe = none"),
    ("pins where unit = nothing", "pins where unit = none"),
    ("speakers where duties = empty", "speakers where duties = none"),
    ("vehicles where last year = nothing", "vehicles where last year = none"),
    ("speakers where place = missing", "speakers where place is unknown"),
    ("speakers where place != empty", "speakers where place is known"),
    ("speakers where ohms = blank", "speakers where ohms is unknown"),
]


@pytest.mark.parametrize(
    ("said", "meant"), NONE_AND_UNKNOWN, ids=[said for said, _ in NONE_AND_UNKNOWN]
)
def test_a_word_for_none_or_unknown_is_no_text_to_look_for(
    shipped: Asked, said: str, meant: str
) -> None:
    assert_meant(shipped, said, meant)


def test_in_quotes_a_word_is_looked_for_as_it_stands(shipped: Asked) -> None:
    for said in ('pins where carries = "empty"', 'speakers where place = "missing"'):
        assert ask(shipped.connection, said).rows == []


@pytest.mark.parametrize(
    "when",
    ["2024", "2024-02", "2024-02-29", '"2024-02-29 10:20"', '"2024-02-29T23:59:59.5"'],
)
def test_what_the_calendar_has_is_taken(shipped: Asked, when: str) -> None:
    assert ask(shipped.connection, f"entries where submitted > {when}").rows


def test_a_time_is_asked_for_as_it_was_answered(shipped: Asked) -> None:
    """`ask --json` prints the whole stamp; it finds the entries that bear it, and only those."""
    every = ask(shipped.connection, "entries").rows
    stamp = str(every[-1]["submitted"])
    assert stamp.endswith("+00:00")
    those = [row for row in every if row["submitted"] == stamp]
    for written in (stamp, stamp.replace("+00:00", "Z"), stamp.replace("T", " ")):
        assert ask(shipped.connection, f'entries where submitted = "{written}"').rows == those


def test_a_time_of_another_zone_is_refused(shipped: Asked) -> None:
    error = refused(shipped, 'entries where submitted > "2026-11-26 09:00+02:00"')
    assert "UTC" in error.sentence and error.repaired is None


def test_an_hour_has_two_digits(shipped: Asked) -> None:
    """Times compare as text: `9:00` would come after `17:00`."""
    said = 'entries where submitted > "2026-11-26 9:00"'
    assert_meant(shipped, said, said.replace(" 9:", " 09:"))


def test_the_values_that_begin_so_are_listed(shipped: Asked) -> None:
    with pytest.raises(QueryError) as caught:
        ask(shipped.connection, "speakers where role = mid")
    assert caught.value.expected == ("midrange", "midbass")


def test_a_part_is_named_with_a_space_as_well(shipped: Asked) -> None:
    with_hyphen = ask(shipped.connection, f"speakers of {shipped.vehicle} with oku-b6 + radio-28")
    for name in ("radio 28", "radio_28", "RADIO 28"):
        asked = f"speakers of {shipped.vehicle} with oku-b6 + {name}"
        assert ask(shipped.connection, asked).rows == with_hyphen.rows


def test_two_kits_after_with_are_told_of(shipped: Asked) -> None:
    with pytest.raises(QueryError, match="one kit"):
        ask(shipped.connection, "speakers with oku-b6, tavick-s7")


@pytest.mark.parametrize("said", ["entries submitted {}", "entries where submitted = {}"])
@pytest.mark.parametrize(("word", "ago"), [("today", 0), ("Yesterday", 1)])
def test_a_day_by_its_word_is_offered_as_its_date(
    shipped: Asked, said: str, word: str, ago: int
) -> None:
    """In UTC, as the book writes times."""
    day = time.strftime("%Y-%m-%d", time.gmtime(time.time() - 86400 * ago))
    assert_meant(shipped, said.format(word), f"entries where submitted = {day}")
