"""Words after a bare value are never taken into it in silence; what is in quotes stands as it is."""

from __future__ import annotations

import pytest

from grammar.errors import QueryError
from kb.query.run import ask
from tests.kb.query.conftest import Asked
from tests.kb.query.refused import assert_meant, refused

V = "halden-tarn-19-concert10"
# ruff: noqa: E501 (a question is one line)
SWALLOWED = [
    ("speakers where place != left limit 3", "speakers where place != left first 3"),
    ("speakers where place != left frist 3", "speakers where place != left first 3"),
    ("speakers where place != left sort ohms", "speakers where place != left sorted by ohms"),
    ("speakers where place != left order by ohms desc", "speakers where place != left sorted by ohms down"),
    ("speakers where place != left adn tweeter", "speakers where place != left and role = tweeter"),
    ("speakers where not place ~ left limit 3", "speakers where not place ~ left first 3"),
    ("speakers where place ~ left limit 3", "speakers where place ~ left first 3"),
    ("speakers where vehicle ~ tarn limit 5", "speakers where vehicle ~ tarn first 5"),
    ("vehicles where make != halden limit 2", "vehicles where make != halden first 2"),
    ("vehicles where make = halden please", "vehicles where make = halden"),
    ("vehicles where text ~ tarn limit 2", "vehicles where text ~ tarn first 2"),
    ("pins where carries != ground limit 2", "pins where carries != ground first 2"),
    (f"speakers of {V} with oku-b6 where lead != A limit 3", f"speakers of {V} with oku-b6 where lead != A first 3"),
    (f"leads of oku-b6 on {V} where meant for != front left limit 3", f"leads of oku-b6 on {V} where meant for != front left first 3"),
    (f"kits for {V} where name != oku limit 3", f"kits for {V} where name != oku first 3"),
    ("vehicles with any kit where kit != oku-b6 limit 3", "vehicles with any kit where kit != oku-b6 first 3"),
    ("speakers where place = -left", "speakers where place != left"),
]  # fmt: skip


@pytest.mark.parametrize(("said", "meant"), SWALLOWED, ids=[said for said, _ in SWALLOWED])
def test_what_a_value_swallowed_is_said_right(shipped: Asked, said: str, meant: str) -> None:
    assert_meant(shipped, said, meant)


@pytest.mark.parametrize(
    "said",
    [
        "vehicles where any speaker (place != left limit 3)",
        "vehicles with oku-b6 where any speaker (lead != H limit 3)",
        f"kits for {V} where any lead (meant for != front limit 3)",
        "speakers where place in (left, right limit 3)",
        "speakers where place != left -right",
        "speakers where place != -left",
        "speakers where place != left last 3",
        "speakers where place != left wiht oku",
    ],
)
def test_what_cannot_be_said_right_is_refused_all_the_same(shipped: Asked, said: str) -> None:
    assert refused(shipped, said).repaired is None


def test_the_refusal_names_the_word_and_the_way_out(shipped: Asked) -> None:
    with pytest.raises(QueryError) as caught:
        ask(shipped.connection, "speakers where place != left only")
    told = " ".join(caught.value.render().split())
    assert "`only`" in told and "quotes" in told


def test_a_quoted_value_is_taken_as_it_stands(shipped: Asked) -> None:
    everything = ask(shipped.connection, "speakers").rows
    assert ask(shipped.connection, 'speakers where place != "left limit 3"').rows == everything
    assert not ask(shipped.connection, "speakers where place = 'left limit 3'").rows


def test_a_value_that_some_row_has_may_hold_any_word(shipped: Asked) -> None:
    """A maker wrote `subwoofer, first coil only`, and `only` is a word that questions end with."""
    found = ask(shipped.connection, "leads where meant for ~ coil only").rows
    assert found and all("coil only" in row["meant_for"] for row in found)
    with pytest.raises(QueryError, match="`only` seems to be no part of a value"):
        ask(shipped.connection, "leads where meant for ~ woofer only")


def test_a_condition_of_words_that_leaves_nothing_out_for_want_of_its_value_says_so(
    shipped: Asked,
) -> None:
    for query in (
        "pins where carries != battery ground",
        "pins where not carries = battery ground",
    ):
        notes = ask(shipped.connection, query).notes
        assert (
            'No pin of this book carries "battery ground", so that condition leaves nothing out.'
            in notes
        )
    for query in (
        "pins where carries != ground",
        f"leads of oku-b6 on {V} where meant for != front left",
    ):
        assert not [note for note in ask(shipped.connection, query).notes if "nothing out" in note]
