"""A value that no row has is told where the answer would hide it, with the nearest one."""

from __future__ import annotations

import pytest

from grammar.errors import QueryError
from kb.query.run import ask
from tests.kb.query.conftest import Asked

V = "halden-tarn-19-concert10"
# ruff: noqa: E501 (a question is one line)
HIDDEN = [
    ("vehicles where make != Haldn", 'No vehicle of this book has the make "Haldn", so that condition leaves nothing out. The nearest make is Halden.'),
    ("kits where maker != okuu", 'No kit of this book has the maker "okuu", so that condition leaves nothing out. The nearest maker is Oku.'),
    ("count leads where not part = man", 'No lead of this book has the part "man", so that condition leaves nothing out. The nearest part is main.'),
    ("pins where plug != HR28", 'No pin of this book has the plug "HR28", so that condition leaves nothing out. The nearest plug is HR-28.'),
    (f"pins of {V} where carries != grond", 'No pin of this book carries "grond", so that condition leaves nothing out. The nearest is ground.'),
    ("pins where at != 99", 'No pin of this book is at "99", so that condition leaves nothing out.'),
    ("pins where carries != buzzzer", 'No pin of this book carries "buzzzer", so that condition leaves nothing out. The nearest is buzzer-.'),
    ("leads where meant for != nowhere", 'No lead of this book is meant for "nowhere", so that condition leaves nothing out.'),
    ("speakers where vehicle != tarn", 'No speaker of this book has the vehicle "tarn", so that condition leaves nothing out. Some hold it as a part; `vehicle ~` finds those.'),
    ('speakers where place != "dor front"', 'No speaker of this book has the place "dor front", so that condition leaves nothing out.'),
    ("vehicles where make in (Haledn, Yarrin)", 'No vehicle of this book has the make "Haledn", so that value finds nothing. The nearest make is Halden.'),
    ("vehicles where make = Haledn or make = Yarrin", 'No vehicle of this book has the make "Haledn", so that value finds nothing. The nearest make is Halden.'),
    ("vehicles where make not in (Haledn, Yarrin)", 'No vehicle of this book has the make "Haledn", so that value leaves nothing out. The nearest make is Halden.'),
    ("vehicles where no speaker (place = dor-front-left)", 'No speaker of this book has the place "dor-front-left", so that condition leaves nothing out. The nearest place is door-front-left.'),
    (f"entries of {V} where author != nobdy", 'No entry of this book has the author "nobdy", so that condition leaves nothing out.'),
    ("vehicles where make != Hälden", 'No vehicle of this book has the make "Hälden", so that condition leaves nothing out. The nearest make is Halden.'),
]  # fmt: skip


@pytest.mark.parametrize(("query", "note"), HIDDEN, ids=[query for query, _ in HIDDEN])
def test_a_value_that_nothing_has_is_told_where_the_answer_hides_it(
    shipped: Asked, query: str, note: str
) -> None:
    answer = ask(shipped.connection, query)
    assert answer.rows
    assert note in answer.notes


@pytest.mark.parametrize(
    "query",
    [
        "vehicles where make != halden",
        "vehicles where make in (HALDEN, yarrin)",
        "vehicles where not (make = halden or model = sedge)",
        "vehicles where no speaker (place = door-front-left)",
        "vehicles where not no speaker (place = dor-front-left)",  # finds nothing, and says why
        "pins where carries != ground",
        f"pins of {V} where at != 11",
        f"speakers of {V} where place != roof-shelf",  # not in this car, but in the book
        f"leads of oku-b6 on {V} where meant for != front left",
        "speakers where role != tweeter",
        "vehicles where make = Haldn",
        "entries where revision != 00000000",
    ],
)
def test_nothing_is_told_of_a_value_that_stands_or_that_finds_no_row(
    shipped: Asked, query: str
) -> None:
    notes = ask(shipped.connection, query).notes
    assert not [note for note in notes if " of this book " in note]


@pytest.mark.parametrize(
    "query", ["vehicles where make = nothalden", "vehicles where make != nonhalden"]
)
def test_a_value_turned_round_is_near_none(shipped: Asked, query: str) -> None:
    answer = ask(shipped.connection, query)
    assert "nearest" not in " ".join([*answer.notes, *answer.why_empty])


def test_no_list_is_offered_that_holds_a_word_of_another_field(shipped: Asked) -> None:
    with pytest.raises(QueryError) as caught:
        ask(shipped.connection, "vehicles where make = halden or sedge")
    assert caught.value.repaired == "vehicles where make = halden or model = Sedge"
    with pytest.raises(QueryError) as caught:
        ask(shipped.connection, "vehicles where make = halden or yarrin")
    assert caught.value.repaired == "vehicles where make in (halden, yarrin)"


@pytest.mark.parametrize(
    ("query", "told"),
    [
        ("vehicles where no speaker (place ~ dor)", True),
        ("vehicles where not at least 2 speakers (place ~ dor)", True),
        ("speakers where not place ~ DÖR", True),
        ("speakers where not place ~ DOOR", False),
        ("vehicles where no speaker (place ~ door)", False),
        ("speakers where place ~ dor or role = tweeter", True),
    ],
)
def test_a_part_that_no_value_holds_is_told_where_the_answer_hides_it(
    shipped: Asked, query: str, told: bool
) -> None:
    notes = " ".join(ask(shipped.connection, query).notes)
    assert ("No speaker of this book has" in notes) is told, notes


@pytest.mark.parametrize(
    ("query", "said"),
    [
        (
            "vehicles where any pin (plug = HR28)",
            'No pin of this book has the plug "HR28". The nearest plug is HR-28.',
        ),
        (
            "vehicles where any pin (unit = radio and carries = batery)",
            'No pin of this book carries "batery". The nearest is battery.',
        ),
        ("vehicles where at least 2 speakers (place ~ dor)", 'has "dor" in its place.'),
        ("vehicles where any pin (plug = HR-28 and carries = sub+)", None),
    ],
)
def test_what_a_quantifier_asks_for_in_vain_is_told(
    shipped: Asked, query: str, said: str | None
) -> None:
    answer = ask(shipped.connection, query)
    assert answer.rows == []
    why = " ".join(answer.why_empty)
    assert said in why if said else "of this book" not in why


@pytest.mark.parametrize(
    ("query", "told"),
    [
        ("speakers where plus != minus", True),
        ("speakers where minus connector != connector", True),
        ("vehicles where make = model", True),
        ('vehicles where make = "model"', False),
        ("vehicles where make = Halden", False),
    ],
)
def test_a_field_s_name_as_a_value_is_told_to_be_a_text(
    shipped: Asked, query: str, told: bool
) -> None:
    notes = " ".join(ask(shipped.connection, query).notes)
    assert ("two fields cannot be compared" in notes) is told
