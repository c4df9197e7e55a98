"""A word out of a listed value is offered as that value, before a note that holds it by chance."""

from __future__ import annotations

import pytest

from kb.query.run import ask
from tests.kb.query.conftest import Asked
from tests.kb.query.refused import assert_meant, refused

CALLS = "duties = emergency-call"


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("speakers where emergency", f"speakers where {CALLS}"),
        ("emergency", f"speakers where {CALLS}"),
        ("vehicles with emergency", f"vehicles where any speaker ({CALLS})"),
        ("vehicles where no emergency", f"vehicles where no speaker ({CALLS})"),
        ("speakers where call", f"speakers where {CALLS}"),
        ("speakers where noise", "speakers where duties = noise-cancelling"),
        ("speakers where role = chime", "speakers where duties = chime"),
        ("speakers with oku-b6 where silent", "speakers with oku-b6 where goes silent"),
        ("speakers with oku-b6 where not silent", "speakers with oku-b6 where not goes silent"),
        ("speakers with oku-b6 where stays", "speakers with oku-b6 where stays on factory feed"),
        ("speakers with oku-b6 where outcome = silent", "speakers with oku-b6 where goes silent"),
        ("speakers with oku-b6 where effect = carried", "speakers with oku-b6 where carried"),
        ("speakers where stays", "speakers with any kit where stays on factory feed"),
        ("entries where retruned", "entries where returned"),
    ],
)
def test_a_word_of_a_value_is_that_value(shipped: Asked, said: str, meant: str) -> None:
    assert_meant(shipped, said, meant)


@pytest.mark.parametrize(
    "said",
    [
        "speakers where left",  # of a place, or left out
        "leads where documented",  # `way not documented` says the opposite
        "speakers with oku-b6 where outcome != silent",
        "speakers where role = feed",
    ],
)
def test_a_word_that_says_more_or_the_opposite_is_no_value(shipped: Asked, said: str) -> None:
    assert refused(shipped, said).repaired is None


def test_the_duty_finds_what_no_note_holds(shipped: Asked) -> None:
    """Words of a note and the duty are other speakers, so which is offered matters."""
    by_duty = ask(shipped.connection, f"speakers where {CALLS} show vehicle, speaker").rows
    by_note = ask(shipped.connection, "speakers where keep ~ emergency show vehicle, speaker").rows
    assert by_duty and by_note
    assert all(row in by_duty for row in by_note)
