"""What turns a question round is never dropped: a minus, a misspelt `not`, `non-` in front."""

from __future__ import annotations

import pytest

from grammar.mistake_turned import NEARLY_NOT
from grammar.tree import leading_minus, word_key
from kb.query.hints.sense import keeps_sense
from kb.query.run import ask
from tests.kb.query.conftest import Asked
from tests.kb.query.refused import assert_meant, refused

V = "halden-tarn-19-concert10"
# ruff: noqa: E501 (a question is one line)
TURNED = [
    ("speakers with oku-b6 where -carried show speaker", "speakers with oku-b6 where not carried show speaker"),
    (f"leads of oku-b6 on {V} where -idle", f"leads of oku-b6 on {V} where not idle"),
    ("vehicles with oku-b6 where -fits", "vehicles with oku-b6 where not fits"),
    ("pins where -empty", "pins where not empty"),
    ("speakers where role = -tweeter", "speakers where role != tweeter"),
    ("speakers where role -tweeter", "speakers where role != tweeter"),
    ("speakers where -role = tweeter", "speakers where not role = tweeter"),
    ("speakers where -fed by radio", "speakers where not fed by radio"),
    ("vehicles where no speaker (-role = tweeter)", "vehicles where no speaker (not role = tweeter)"),
    ("pins where wire = -grey", "pins where wire != grey"),
    ("speakers sorted by -ohms", "speakers sorted by ohms down"),
    ("speakers sorted by ohms-, role", "speakers sorted by ohms down, role"),
    ("speakers sorted by ohms - first 3", "speakers sorted by ohms down first 3"),
    ("vehicles sorted by -first-year", "vehicles sorted by first-year down"),
    ("vehicles order by -first-year, make", "vehicles sorted by first-year down, make"),
    ("speakers with oku-b6 where nto carried", "speakers with oku-b6 where not carried"),
    ("speakers with oku-b6 where ont left out", "speakers with oku-b6 where not left out"),
    ("speakers with oku-b6 where nott carried", "speakers with oku-b6 where not carried"),
    ("speakers with oku-b6 where un carried", "speakers with oku-b6 where not carried"),
    ("pins where nt empty", "pins where not empty"),
    ("speakers where nt role = tweeter", "speakers where not role = tweeter"),
    ("speakers where role nto tweeter", "speakers where role != tweeter"),
    ("speakers where role = non-tweeter", "speakers where role != tweeter"),
    ("speakers where fed by non-radio", "speakers where fed by != radio"),
    ("speakers where role isnot tweeter", "speakers where role != tweeter"),
    ("speakers where role ins't tweeter", "speakers where role != tweeter"),
    ("speakers where role aint tweeter", "speakers where role != tweeter"),
    ("speakers where role cannot be tweeter", "speakers where role != tweeter"),
    ("speakers where role is'nt tweeter", "speakers where role != tweeter"),
    ("speakers where role doesn't = tweeter", "speakers where role != tweeter"),
    ("speakers where role = nontweeter", "speakers where role != tweeter"),
    ("speakers where role = nottweeter", "speakers where role != tweeter"),
    ("speakers where role = no tweeter", "speakers where role != tweeter"),
    ("speakers where fed by nonradio", "speakers where fed by != radio"),
    ("speakers where fed by notradio", "speakers where fed by != radio"),
    ("speakers where fed by no radio", "speakers where fed by != radio"),
    ("pins where noempty", "pins where not empty"),
    ("pins where notempty", "pins where not empty"),
    ("vehicles with oku-b6 where nofits", "vehicles with oku-b6 where not fits"),
    ("speakers with oku-b6 where notcarried", "speakers with oku-b6 where not carried"),
    ("entries where unverifed", "entries where not verified"),
    ("connectors where no verified", "connectors where not verified"),
    ("speakers where no verified", "speakers where not verified"),
    ("speakers where any verified", "speakers where verified"),
    ("kits for halden-tarn-19-concert10 where no fits", "kits for halden-tarn-19-concert10 where not fits"),
]  # fmt: skip


@pytest.mark.parametrize(("said", "meant"), TURNED, ids=[said for said, _ in TURNED])
def test_what_turns_a_question_round_stays_in_what_is_offered(
    shipped: Asked, said: str, meant: str
) -> None:
    assert_meant(shipped, said, meant)


@pytest.mark.parametrize(
    "said",
    [
        "speakers with oku-b6 where not -carried",  # turned round twice, or once?
        "speakers with oku-b6 where --carried",
        "speakers where role != -tweeter",
        "speakers where role != non-tweeter",
        "speakers where role in (-tweeter, woofer)",
        "pins where wire in (-grey, black)",
        "pins where wire = - grey",
        "pins where wire in (- grey, red)",
        "pins where wire = grey-",
        "entries where state none verified",
        "entries where state minus verified",
        "speakers with oku-b6 where outcome lacks carried",
        "speakers where role = non- tweeter",
        "speakers where place ~ nothing but left",
        "speakers where place ~ anything but left",
        "speakers sorted by -ohms down",
        "speakers sorted by ohms- down",
        "leads of oku-b6 where -not idle",
        "speakers where -role not in (tweeter, woofer)",
        "speakers where role -= tweeter",
        "speakers where ohms - < 4",
        "speakers show -role, vehicle",
        "count speakers by -role",
        "vehicles where any -speaker (role = tweeter)",
        "speakers with oku-b6 where hot carried",
        "vehicles with oku-b6 where misfits",
        "speakers with oku-b6 where miscarried",
        "speakers where role in (nontweeter, woofer)",
        "speakers where role != nontweeter",
        "speakers where fed by nonamplifer",
        "speakers where role = midwoofer",
        "speakers where role = tweeterless",
        "vehicles where neverspeaker (role = tweeter)",
        "speakers where fed by anti-radio",
        "speakers with oku-b6 where effect misstays on factory feed",
        "nonspeakers where role = tweeter",
        "vehicles where no nonspeaker (role = tweeter)",
        f"speakers of -{V}",
        "speakers of tarn -concert 2022",
        'speakers of "tarn -concert 2022"',
        "speakers with -oku-b6",
        "-speakers",
    ],
)
def test_a_minus_is_refused_and_nothing_without_it_is_offered(shipped: Asked, said: str) -> None:
    assert refused(shipped, said).repaired is None


def test_text_that_holds_a_hyphen_is_sought_as_it_stands(shipped: Asked) -> None:
    rows = ask(shipped.connection, "speakers where speaker ~ -fl").rows
    assert rows and all("-fl" in row["speaker"] for row in rows)
    assert ask(shipped.connection, "speakers where fed-by = radio").rows


@pytest.mark.parametrize(
    ("text", "key", "minus"),
    [
        ("Fed-by", "fed_by", False),
        ("-carried", "-carried", True),
        ("left - out", "-left_out", False),
        ("left -out", "-left_out", True),
    ],
)
def test_a_minus_in_front_of_a_word_stays_in_its_key(text: str, key: str, minus: bool) -> None:
    assert word_key(text) == key
    assert leading_minus(text) is minus


@pytest.mark.parametrize("word", ["nto", "ont", "nt", "nott", "noot", "npt", "un", "non", "hot"])
def test_nothing_is_offered_that_drops_what_may_be_a_misspelt_not(word: str) -> None:
    assert word in {*NEARLY_NOT.split("|"), "un", "non"}
    assert not keeps_sense(f"speakers where {word} carried", "speakers where carried")
    assert keeps_sense(f"speakers where {word} carried", "speakers where not carried")


def test_a_minus_before_a_sort_key_is_said_by_down() -> None:
    assert keeps_sense("speakers sorted by -ohms", "speakers sorted by ohms down")
    assert not keeps_sense("speakers sorted by -ohms", "speakers sorted by ohms")


@pytest.mark.parametrize(
    ("asked_", "offered", "kept"),
    [
        ("pins where noempty", "pins where empty", False),
        ("pins where noempty", "pins where not empty", True),
        ("pins where not noempty", "pins where empty", True),
        ("speakers where ohms is uknown", "speakers where ohms is known", False),
        ("speakers where role = midwoofer", "speakers where role = woofer", False),
        ("vehicles where atleast 2 speakers", "vehicles where at least 2 speakers", True),
        ("speakers where fed by amplifer", "speakers where fed by amplifier", True),
        ("speakers where acrried", "speakers where carried", True),
        ("speakers where acarried", "speakers where carried", False),
        ("speakers where disconected", "speakers where disconnected", True),
        ("speakers where ohms is unkown sorted by ohms dwon", "speakers where ohms is unknown sorted by ohms down", True),
    ],
)  # fmt: skip
def test_a_beginning_that_turns_a_word_round_is_counted(
    asked_: str, offered: str, kept: bool
) -> None:
    assert keeps_sense(asked_, offered) is kept


EXCEPT = [
    ("speakers except tweeters", "speakers where not role = tweeter"),
    ("speakers but not tweeters", "speakers where not role = tweeter"),
    ("speakers excluding the sub show vehicle", "speakers where not speaker = sub show vehicle"),
    ("speakers where ohms = 4 except tweeters", "speakers where ohms = 4 and not role = tweeter"),
    ("speakers with oku-b6 except carried", "speakers with oku-b6 where not carried"),
    ("pins except for empty", "pins where not empty"),
]


@pytest.mark.parametrize(("said", "meant"), EXCEPT, ids=[said for said, _ in EXCEPT])
def test_what_is_excepted_is_turned_round(shipped: Asked, said: str, meant: str) -> None:
    assert_meant(shipped, said, meant)


@pytest.mark.parametrize(
    "said",
    ["speakers where ohms = 4 or ohms = 2 except tweeters", "speakers except left"],
)
def test_what_is_excepted_of_several_things_is_offered_as_none(shipped: Asked, said: str) -> None:
    assert refused(shipped, said).repaired is None
