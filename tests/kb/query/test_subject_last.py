"""A subject behind what narrows it: offered with its vehicle, its kit or its condition after it."""

from __future__ import annotations

import pytest

from kb.query.run import ask
from tests.kb.query.conftest import Asked
from tests.kb.query.refused import assert_meant, refused

SAID = [
    ("10 speaker cars", "vehicles where speakers = 10"),
    ("count 10-speaker vehicles", "count vehicles where speakers = 10"),
    ("door speakers", "speakers where place ~ door"),
    ("front speakers", "speakers where place ~ front"),
    ("count door speakers by role", "count speakers by role where place ~ door"),
    (
        "door speakers where ohms = 4 or role = woofer sorted by ohms",
        "speakers where place ~ door and (ohms = 4 or role = woofer) sorted by ohms",
    ),
    ("left front speakers", "speakers where place ~ left and place ~ front"),
    ("grey/black wires of tarn 22 concert", "pins of tarn 22 concert where wire = grey/black"),
    ("tarn 22 concert grey wires", "pins of tarn 22 concert where wire ~ grey"),
    ("R1 pins", "pins where connector = R1"),
    ("4 ohm speakers", "speakers where ohms = 4 ohm"),
    ("empty pins of tarn 22 concert", "pins of tarn 22 concert where empty"),
    ("radio connectors", "connectors where unit = radio"),
    ("unverified kits", "kits where not verified"),
    ("verified vehicles", "vehicles where verified"),
    ("halden 2022 vehicles", "vehicles where make = Halden and year = 2022"),
    ("tarn speakers", "speakers where vehicle ~ tarn"),
    ("oku kits", "kits where maker = Oku"),
    ("oku-b6 leads", "leads of oku-b6"),
    ("all speakers", "speakers"),
    ("tarn 2022 concert speakers", "speakers of tarn 2022 concert"),
    ("halden tarn 24 concert speakers", "speakers of halden tarn 24 concert"),
    ("tarn 22 concert kits", "kits for tarn 22 concert"),
    ("tarn 22 concert door speakers", "speakers of tarn 22 concert where place ~ door"),
    ("tarn 22 concert empty pins", "pins of tarn 22 concert where empty"),
    (
        "left out speakers of tarn 22 concert with oku-b6",
        "speakers of tarn 22 concert with oku-b6 where left out",
    ),
    (
        "idle leads of oku-b6 on tarn 22 concert show lead",
        "leads of oku-b6 on tarn 22 concert where idle show lead",
    ),
    ("not carried speakers with oku-b6", "speakers with oku-b6 where not carried"),
]


@pytest.mark.parametrize(("said", "meant"), SAID, ids=[said for said, _ in SAID])
def test_what_stands_before_its_subject_is_offered_behind_it(
    shipped: Asked, said: str, meant: str
) -> None:
    assert_meant(shipped, said, meant)


@pytest.mark.parametrize("said", ["zzz speakers", "left speakers", "tarn kits", "idle leads"])
def test_what_may_mean_several_things_is_offered_as_none(shipped: Asked, said: str) -> None:
    assert refused(shipped, said).repaired is None


def test_so_many_speakers_are_a_word_of_a_vehicle(shipped: Asked) -> None:
    error = refused(shipped, "tarn 2022 concert 10 speakers")
    assert error.repaired == "vehicles of tarn 2022 concert 10 speakers"


ALONE = [
    ("grey/black", "pins where wire = grey/black"),
    ("count grey", "count pins where wire ~ grey"),
    ("ground", "pins where carries = ground"),
    ("front left where ohms = 4", "speakers where place ~ front-left and ohms = 4"),
    ("left out", "speakers with any kit where left out"),
]


@pytest.mark.parametrize(("said", "meant"), ALONE, ids=[said for said, _ in ALONE])
def test_a_condition_without_a_subject_is_offered_with_the_one_it_is_said_of(
    shipped: Asked, said: str, meant: str
) -> None:
    assert_meant(shipped, said, meant)


@pytest.mark.parametrize("said", ["radio", "R1", "zzz", "plan"])
def test_what_may_be_said_of_several_or_of_none_is_offered_as_none(
    shipped: Asked, said: str
) -> None:
    assert refused(shipped, said).repaired is None


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("chime", "speakers where duties = chime"),
        ("emergency call", "speakers where duties = emergency-call"),
        ("noise cancelling", "speakers where duties = noise-cancelling"),
        ("count chime", "count speakers where duties = chime"),
        ("door-fl", "speakers where speaker = door-fl"),
        ("sail-l sorted by vehicle", "speakers where speaker = sail-l sorted by vehicle"),
        ("battery", "pins where carries = battery"),
        ("speekers", "speakers"),
    ],
)
def test_a_value_alone_is_asked_of_what_has_it_as_its_own(
    shipped: Asked, said: str, meant: str
) -> None:
    assert_meant(shipped, said, meant)
    assert ask(shipped.connection, meant).rows


def test_of_what_a_value_may_be_asked_is_told_where_there_are_several(shipped: Asked) -> None:
    error = refused(shipped, "radio")
    ways = ("speakers where fed by = radio", "pins where unit = radio")
    assert error.repaired is None
    assert error.hint == f"It may be asked of several: `{ways[0]}` or `{ways[1]}`."
    assert all(ask(shipped.connection, way).rows for way in ways)


@pytest.mark.parametrize("said", ["lena", "left", "zzzz", "leed me"])
def test_no_subject_is_made_of_another_word(shipped: Asked, said: str) -> None:
    assert refused(shipped, said).repaired is None
