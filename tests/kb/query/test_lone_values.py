"""A value without its field: offered with the field whose it is, where it is only one's."""

from __future__ import annotations

import pytest

from tests.kb.query.conftest import Asked
from tests.kb.query.refused import assert_meant, refused

APART = [
    ("speakers where left front", "speakers where place ~ left and place ~ front"),
    ("speakers left front", "speakers where place ~ left and place ~ front"),
    ("speakers where left door", "speakers where place ~ left and place ~ door"),
    (
        "speakers with oku-b6 where left front and carried",
        "speakers with oku-b6 where place ~ left and place ~ front and carried",
    ),
    ("speakers where not left front", "speakers where not (place ~ left and place ~ front)"),
    ("speakers where front left", "speakers where place ~ front-left"),
    ("speakers where leftout", "speakers with any kit where left out"),
]


@pytest.mark.parametrize(("said", "meant"), APART, ids=[said for said, _ in APART])
def test_words_of_one_field_are_offered_in_any_order(shipped: Asked, said: str, meant: str) -> None:
    assert_meant(shipped, said, meant)


@pytest.mark.parametrize("said", ["speakers where left", "speakers where left zzz"])
def test_what_may_be_a_place_or_an_outcome_is_offered_as_none(shipped: Asked, said: str) -> None:
    assert refused(shipped, said).repaired is None


ALONE = [
    ("pins where grey", "pins where wire ~ grey"),
    ("pins where grey/black and not empty", "pins where wire = grey/black and not empty"),
    ("leads where not white", "leads where not wire ~ white"),
    ("pins where R1", "pins where connector = R1"),
    ("pins R1", "pins where connector = R1"),
    ("connectors where r1", "connectors where connector = R1"),
    ("speakers where door-fl", "speakers where speaker = door-fl"),
    ("vehicles where tweeter", "vehicles where any speaker (role = tweeter)"),
    ("vehicles where not tweeters", "vehicles where not any speaker (role = tweeter)"),
    ("vehicles with tweeter", "vehicles where any speaker (role = tweeter)"),
    ("pins where tweeter", "pins where any speaker (role = tweeter)"),
]


@pytest.mark.parametrize(("said", "meant"), ALONE, ids=[said for said, _ in ALONE])
def test_a_thing_or_a_colour_alone_is_offered_as_what_the_row_has(
    shipped: Asked, said: str, meant: str
) -> None:
    assert_meant(shipped, said, meant)


OTHER_WORDS = [
    ("speakers where feed by radio", "speakers where fed by radio"),
    ("speakers where fedby radio", "speakers where fed by radio"),
    ("speakers where fed radio", "speakers where fed by radio"),
    ("speakers where duty = chime", "speakers where duties = chime"),
    ("speakers where not duty chime", "speakers where not duties = chime"),
    ("pins where colour grey", "pins where wire = grey"),
    ("speakers where place left", "speakers where place ~ left"),
    ("speakers where place door-front-left", "speakers where place = door-front-left"),
    ("vehicles where audio concert", "vehicles where audio ~ concert"),
    ("vehicles where text trim", "vehicles where text ~ trim"),
    ("speakers where minus 3", "speakers where minus = 3"),
    ("speakers where impedance 4", "speakers where ohms = 4"),
    ("speakers show places", "speakers show place"),
    ("pins that carry ground", "pins where carries = ground"),
    ("pins that carry nothing", "pins where carries = none"),
]


@pytest.mark.parametrize(("said", "meant"), OTHER_WORDS, ids=[said for said, _ in OTHER_WORDS])
def test_another_word_for_a_field_is_offered_with_its_value(
    shipped: Asked, said: str, meant: str
) -> None:
    assert_meant(shipped, said, meant)


@pytest.mark.parametrize(
    "said", ["speakers where grey", "vehicles where amplifier", "pins where BL"]
)
def test_what_several_things_may_have_is_offered_as_none(shipped: Asked, said: str) -> None:
    assert refused(shipped, said).repaired is None
