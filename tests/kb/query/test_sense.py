"""What is offered instead of a refused question means what was asked: the same rows, the same
unknowns, the same columns; never its opposite and never half of it.
"""

from __future__ import annotations

import pytest

from grammar.errors import QueryError
from kb.query.hints.sense import keeps_sense
from kb.query.run import ask
from tests.kb.query.conftest import Asked
from tests.kb.query.refused import refused

V = "halden-tarn-19-concert10"
K = f"speakers of {V} with oku-b6 where"
# ruff: noqa: E501 (a question is one line)
ASKED_AND_MEANT = [
    (f"{K} left out = no", f"{K} not left out"),
    (f"{K} left out = yes", f"{K} left out"),
    (f"{K} left out != no", f"{K} left out"),
    (f"{K} not left out = no", f"{K} left out"),
    ("speakers with any kit where carried != yes", "speakers with any kit where not carried"),
    ("speakers where verified = no", "speakers where not verified"),
    ("vehicles where unverified", "vehicles where not verified"),
    ("entries where unverified", "entries where not verified"),
    ("entries where not unverified", "entries where verified"),
    ("speakers where ohms != unknown", "speakers where ohms is known"),
    ("speakers where ohms != null", "speakers where ohms is known"),
    ("speakers where ohms <> null", "speakers where ohms is known"),
    ("speakers where ohms != none", "speakers where ohms is known"),
    ("speakers where ohms is not none", "speakers where ohms is known"),
    ("speakers where ohms is not null", "speakers where ohms is known"),
    ("speakers where ohms not in (null)", "speakers where ohms is known"),
    ("speakers where ohms = null", "speakers where ohms is unknown"),
    ("speakers where ohms in (null)", "speakers where ohms is unknown"),
    ("speakers where not ohms != unknown", "speakers where ohms is unknown"),
    ("speakers where ohms in (4, unknown)", "speakers where ohms = 4 or ohms is unknown"),
    ("speakers where ohms in (2, 4, null) and role = centre", "speakers where (ohms in (2, 4) or ohms is unknown) and role = centre"),
    ("speakers where ohms not in (4, unknown)", "speakers where ohms is known and ohms != 4"),
    ("speakers where role != tweeter, midbass", "speakers where role not in (tweeter, midbass)"),
    ("speakers where role != tweeter and midbass", "speakers where role not in (tweeter, midbass)"),
    ("speakers where role <> tweeter or midbass", "speakers where role not in (tweeter, midbass)"),
    ("speakers where fed by != radio, amplifier", "speakers where fed by not in (radio, amplifier)"),
    ("vehicles where no speaker (fed by != radio, amplifier)", "vehicles where no speaker (fed by not in (radio, amplifier))"),
    ("speakers where fed by unknown", "speakers where fed by is unknown"),
    ("speakers where fed by = none", "speakers where fed by is unknown"),
    ("speakers where fed by != unknown", "speakers where fed by is known"),
    ("speakers where place = unknown", "speakers where place is unknown"),
    ("speakers where unknown ohms", "speakers where ohms is unknown"),
    ("speakers where not unknown ohms", "speakers where ohms is known"),
    ("speakers where no duties", "speakers where duties = none"),
    ("speakers where amp", "speakers where fed by = amp"),
    ("pins where wire = WH and not amp", "pins where wire = WH and not unit = amp"),
    ("vehicles where 10 speakers", "vehicles where speakers = 10"),
    ("vehicles where ten speakers and year = 2022", "vehicles where speakers = 10 and year = 2022"),
    ("connectors where 20 ways", "connectors where ways = 20"),
    (f"{K} swapped", f"{K} reversed"),
    (f"{K} not reversed polarity", f"{K} not reversed"),
    (f"{K} partially carried", f"{K} partial"),
    (f"{K} half", f"{K} partial"),
    ("kits where plug = HT-20", "kits where any lead (plug = HT-20)"),
    ("kits where any part (plug = HT-20)", "kits where any lead (plug = HT-20)"),
    ("vehicles where plug = HT-20", "vehicles where any connector (plug = HT-20)"),
    ("vehicles with plug HT-20", "vehicles where any connector (plug = HT-20)"),
    ("speakers with role tweeter", "speakers where role = tweeter"),
    ("vehicles where make = Halden and role = tweeter", "vehicles where make = Halden and any speaker (role = tweeter)"),
    ("vehicles where not wire = TQ", "vehicles where not any pin (wire = TQ)"),
    ("pins where ohms = 2 or speaker = sub", "pins where any speaker (ohms = 2) or any speaker (speaker = sub)"),
    (f"speakers of {V} with radio-28", f"speakers of {V} with oku-b6 + radio-28"),
    (f"speakers of {V} with radio-28 + radio-14 where left out", f"speakers of {V} with oku-b6 + radio-28 + radio-14 where left out"),
    ("pins where size thicker than 2.5 mm2", "pins where size > 2.5 mm2"),
    ("pins where awg thicker than 16", "pins where size > 16 awg"),
    ("pins where gauge is thinner than 16 awg", "pins where size < 16 awg"),
    ("pins where thinner than 16 awg and unit = radio", "pins where size < 16 awg and unit = radio"),
    ("speakers where ohms > 4 or unknown", "speakers where ohms > 4 or ohms is unknown"),
    ("speakers where (fed by = radio or unknown) and ohms = 4", "speakers where (fed by = radio or fed by is unknown) and ohms = 4"),
    ("pins where size > 4 mm2 or unknown", "pins where size > 4 mm2 or size is unknown"),
    ("vehicles where sold speakers > 4 or unknown", "vehicles where sold speakers > 4 or sold speakers is unknown"),
    (f"{K} left out, unknown", f"{K} left out or unknown"),
    (f"{K} left out, unknown, partial show speaker", f"{K} left out or unknown or partial show speaker"),
    (f"{K} left out, role = tweeter", f"{K} left out and role = tweeter"),
    ("speakers where place in front", "speakers where place ~ front"),
    ("speakers where place in door-front-left", "speakers where place = door-front-left"),
    ("speakers where role in tweeter", "speakers where role = tweeter"),
    ("speakers where role not in tweeter", "speakers where role != tweeter"),
    ("speakers where any duties", "speakers where duties != none"),
    ("speakers where not any duties", "speakers where not duties != none"),
    ("speakers without duties where ohms = 4 or ohms = 2", "speakers where duties = none and (ohms = 4 or ohms = 2)"),
    ("speakers where no ohms", "speakers where ohms is unknown"),
    ("speakers where any ohms", "speakers where ohms is known"),
    ("pins where no colour", "pins where wire = none"),
    ("speakers where no tweeter", "speakers where not role = tweeter"),
    ("speakers where any tweeter", "speakers where role = tweeter"),
    ("speakers where no tweeter and no duties", "speakers where not role = tweeter and duties = none"),
    ("speakers without tweeters where ohms = 4", "speakers where not role = tweeter and ohms = 4"),
    (f"{K} no lead", f"{K} lead = none"),
    ("vehicles with oku-b6 where no carried", "vehicles with oku-b6 where carried = 0"),
    ("vehicles with oku-b6 where any left-out", "vehicles with oku-b6 where left out > 0"),
    ("entries where no disputes", "entries where disputes = 0"),
    ("entries where disputed", "entries where disputes > 0"),
    ("entries where undisputed", "entries where not disputes > 0"),
    ("pin 3 where wire = white or wire = black", "pins where at = 3 and (wire = white or wire = black)"),
    ("vehicles with 10 speakers where make = Halden or year = 2022", "vehicles where speakers = 10 and (make = Halden or year = 2022)"),
    ("speakers where speaker.role = tweeter", "speakers where role = tweeter"),
    ("vehicles where count speakers > 4", "vehicles where speakers > 4"),
    ("connectors where count pins > 4", "connectors where at least 5 pins"),
    ("vehicles show id speakers", "vehicles show id, speakers"),
    ("speakers show speaker role fed by", "speakers show speaker, role, fed by"),
    ("speakers where role not like '%woofer%'", "speakers where not role ~ woofer"),
    ("speakers where place not ~ door", "speakers where not place ~ door"),
    ("speakers where ohms not between 2 and 4", "speakers where not ohms between 2 and 4"),
    ("speakers where ohms > 2 and < 6", "speakers where ohms > 2 and ohms < 6"),
    ("vehicles where year = 2019-2023", "vehicles where year between 2019 and 2023"),
    ("vehicles where year in 2020-2022", "vehicles where year between 2020 and 2022"),
    ("vehicles where year = 2020 to 2022", "vehicles where year between 2020 and 2022"),
    ("count speakers where role = tweeter by vehicle", "count speakers by vehicle where role = tweeter"),
    (f"what feeds door-fl in {V}", f"speakers of {V} where speaker = door-fl show speaker, fed by"),
    ("vehicles with 10 speakers", "vehicles where speakers = 10"),
    ("vehicles with tweeters", "vehicles where any speaker (role = tweeter)"),
    ("vehicles with a subwoofer where year = 2022", "vehicles where any speaker (role = subwoofer) and year = 2022"),
    ("speakers where not verified = no", "speakers where verified"),
    ("speakers where ohms missing", "speakers where ohms is unknown"),
    ("speakers where role not tweeter", "speakers where role != tweeter"),
    ("speakers where role not tweeter or centre", "speakers where role not in (tweeter, centre)"),
    ("speakers where role = not tweeter", "speakers where role != tweeter"),
    ("speakers where role isnt tweeter", "speakers where role != tweeter"),
    ("speakers where role isn’t tweeter", "speakers where role != tweeter"),
    ("speakers where role isn't tweeter", "speakers where role != tweeter"),
    ("speakers where ohms not equal to 4", "speakers where ohms != 4"),
    ("speakers where 2 < ohms < 6", "speakers where ohms > 2 and ohms < 6"),
    ("speakers where 4 <= ohms <= 8 or role = centre", "speakers where (ohms >= 4 and ohms <= 8) or role = centre"),
    ("speakers without tweeters", "speakers where not role = tweeter"),
    ("vehicles where all speakers fed by amplifier", "vehicles where every speaker (fed by amplifier)"),
    ("vehicles show make and model", "vehicles show make, model"),
    ("vehicles sorted by model and make", "vehicles sorted by model, make"),
    ("vehicles show *", "vehicles"),
    ("harnesses", "leads"),
    ("pins where gauge = 16", "pins where awg = 16"),
    ("pins where circuit = turn-on", "pins where carries = turn-on"),
    ("pins where function ~ turn", "pins where carries ~ turn"),
    ("vehicles where brand = halden", "vehicles where make = halden"),
    ("kits where brand = oku", "kits where maker = oku"),
    ("routes where length > 1", "routes where metres > 1"),
    (f"kits for {V} where left out = none", f"kits for {V} where left out = 0"),
    (f"kits for {V} where left out none", f"kits for {V} where left out = 0"),
    (f"kits for {V} where left out != none", f"kits for {V} where left out > 0"),
    ("vehicles with any kit where partial = none", "vehicles with any kit where partial = 0"),
    ("entries where disputes = none", "entries where disputes = 0"),
    ("pins where at = 3,4", "pins where at in (3, 4)"),
    ("pins where at != 3,4", "pins where at not in (3, 4)"),
    ("pins where size = 1,5 mm2", "pins where size = 1.5 mm2"),
    ("vehicles where year = 2020,2021", "vehicles where year in (2020, 2021)"),
    ("pin 11", "pins where at = 11"),
    (f"pin 11 of {V}", f"pins of {V} where at = 11"),
    ("pins 11 where empty", "pins where at = 11 and empty"),
    ("pins at 11", "pins where at = 11"),
    ("pins in 11", "pins where at = 11"),
    (f"count pins at 11 of {V} where empty", f"count pins of {V} where at = 11 and empty"),
    (f"pin R1.11 of {V}", f"pins of {V} where connector = R1 and at = 11"),
    ("speakers where role = tweeter and woofer", "speakers where role in (tweeter, woofer)"),
    ("speakers where role tweeter and woofer and centre", "speakers where role in (tweeter, woofer, centre)"),
    ("speakers where fed by radio and amplifier", "speakers where fed by in (radio, amplifier)"),
    ("speakers where not role = tweeter and woofer", "speakers where role not in (tweeter, woofer)"),
    ("speakers where duties = chime and emergency call", "speakers where duties = chime and duties = emergency-call"),
    ("count speakers by fed", "count speakers by fed by"),
    ("vehicles where make like '%hal%'", "vehicles where make ~ hal"),
    ("pins where size = AWG 16", "pins where size = 16 awg"),
    ("pins where size < #14", "pins where size < 14 awg"),
    ("pins where awg = #16", "pins where awg = 16"),
    ("speakers where role = sub", "speakers where role = subwoofer"),
    ("speakers where role != full", "speakers where role != full-range"),
    ("speakers where ohms at least 4", "speakers where ohms >= 4"),
    ("speakers where ohms is at most 4", "speakers where ohms <= 4"),
    ("speakers where ohms greater than or equal to 4", "speakers where ohms >= 4"),
    ("speakers where ohms less than or equal to 4", "speakers where ohms <= 4"),
    ("speakers where ohms no more than 4", "speakers where ohms <= 4"),
    ("speakers where ohms not less than 4", "speakers where ohms >= 4"),
    ("vehicles where no more than 6 speakers (ohms = 4)", "vehicles where not at least 7 speakers (ohms = 4)"),
    ("speakers where ohms is between 3 and 5", "speakers where ohms between 3 and 5"),
    ("speakers where ohms is not between 3 and 5", "speakers where not ohms between 3 and 5"),
    ("speakers where ohms not < 4", "speakers where not ohms < 4"),
    ("speakers where ohms is not <= 4", "speakers where not ohms <= 4"),
    ("speakers where ohms is > 4", "speakers where ohms > 4"),
    ("pins where isn't empty", "pins where not empty"),
    ("speakers with oku-b6 where it isn't carried", "speakers with oku-b6 where not carried"),
    (f"kits for {V} where doesn't fit", f"kits for {V} where not fits"),
    ("speakers where ohms isn't known", "speakers where ohms is unknown"),
    ("speakers where ohms aren't unknown", "speakers where ohms is known"),
    ("speakers where speaker doesn't contain fl", "speakers where not speaker ~ fl"),
    ("speakers where left out with oku-b6", "speakers with oku-b6 where left out"),
    ("speakers left out with oku-b6", "speakers with oku-b6 where left out"),
    ("vehicles where all speakers (ohms = 4)", "vehicles where every speaker (ohms = 4)"),
    ("speakers where role = tweeter but not ohms = 4", "speakers where role = tweeter and not ohms = 4"),
    ("vehicles where model ~ tar*", "vehicles where model ~ tar"),
    ("pins where at = 3 and 4", "pins where at in (3, 4)"),
    ("speakers where place ~ left, right", "speakers where place ~ left or place ~ right"),
    ("speakers where role = tweeter and place ~ left, right", "speakers where role = tweeter and (place ~ left or place ~ right)"),
    ("speakers where door", "speakers where place ~ door"),
    ("speakers where front left", "speakers where place ~ front-left"),
    ("speakers where not front left", "speakers where not place ~ front-left"),
    ("speakers where tarn", "speakers where vehicle ~ tarn"),
    ("pins where line", "pins where carries ~ line"),
    ("speakers with oku-b6 where no left out", "speakers with oku-b6 where not left out"),
    ("speakers with oku-b6 where no carried", "speakers with oku-b6 where not carried"),
    ("vehicles where no speaker verified", "vehicles where no speaker (verified)"),
    ("speakers with oku-b6 not carried", "speakers with oku-b6 where not carried"),
    (f"pins of {V} not empty", f"pins of {V} where not empty"),
    ("vehicles where year after 2020", "vehicles where year > 2020"),
    ("vehicles where year before 2020", "vehicles where year < 2020"),
    ("vehicles where year since 2020", "vehicles where year >= 2020"),
    ("vehicles where nto any speaker (role = subwoofer)", "vehicles where not any speaker (role = subwoofer)"),
    ("vehicles where exactly 2 speakers (role = tweeter)", "vehicles where at least 2 speakers (role = tweeter) and not at least 3 speakers (role = tweeter)"),
    ("vehicles where exactly two speakers (role = tweeter and not ohms = 8)", "vehicles where at least 2 speakers (role = tweeter and not ohms = 8) and not at least 3 speakers (role = tweeter and not ohms = 8)"),
    ("vehicles where not exactly 2 speakers (role = tweeter)", "vehicles where not (at least 2 speakers (role = tweeter) and not at least 3 speakers (role = tweeter))"),
    ("vehicles where exactly 8 speakers", "vehicles where speakers = 8"),
    ("speakers where duties = –", "speakers where duties = none"),
    ("pins where wire != –", "pins where wire != none"),
    ("speakers where ohms = ?", "speakers where ohms is unknown"),
    ("speakers where ohms != ?", "speakers where ohms is known"),
    ("count speakers by feed", "count speakers by fed by"),
    ("pins where at = 3 to 5", "pins where at in (3, 4, 5)"),
    ("pins where at = 3 4", "pins where at in (3, 4)"),
    ("pins where at != 3 4", "pins where at not in (3, 4)"),
    ("speakers where role = tweeter/woofer", "speakers where role in (tweeter, woofer)"),
    ("speakers where fed by radio/amplifier", "speakers where fed by in (radio, amplifier)"),
    ("speakers where role != tweeter/woofer", "speakers where role not in (tweeter, woofer)"),
    ("pins where at = 3 and 4 and 5", "pins where at in (3, 4, 5)"),
    ("speakers where ohms = 4 and 6", "speakers where ohms in (4, 6)"),
    ("vehicles where speakers = 8 and 10", "vehicles where speakers in (8, 10)"),
    ("vehicles where year = 2020 and 2021", "vehicles where year = 2020 and year = 2021"),
    ("vehicles where make = halden and yarrin", "vehicles where make in (halden, yarrin)"),
    ("vehicles where make = halden and sedge", "vehicles where make = halden and model = sedge"),
    ("vehicles where audio = concert, 10 speakers", 'vehicles where audio = "concert, 10 speakers"'),
    ("vehicles where year = 2020 and audio = concert, 10 speakers first 3", 'vehicles where year = 2020 and audio = "concert, 10 speakers" first 3'),
    ("speakers where place ~ front and left", "speakers where place ~ front and place ~ left"),
    ("speakers where place ~ left or right", "speakers where place ~ left or place ~ right"),
    ("speakers where place ~ left or right or roof", "speakers where place ~ left or place ~ right or place ~ roof"),
    ("speakers where role = tweeter and place ~ left or right", "speakers where role = tweeter and (place ~ left or place ~ right)"),
    ("speakers where place ~ left and verifed", "speakers where place ~ left and verified"),
    ("pins where carries = battery and ground", "pins where carries in (battery, ground)"),
    ("pins where carries = door-fl+ and door-rl+", "pins where carries = door-fl+ and carries = door-rl+"),
    ("pins where ground", "pins where carries = ground"),
    ("kits where maker = oku and tavick", "kits where maker in (oku, tavick)"),
    ("speakers where 4 ohm", "speakers where ohms = 4"),
    ("speakers where 4 ohms", "speakers where ohms = 4"),
    ("pins where 14 awg", "pins where size = 14 awg"),
    ("pins 14 awg", "pins where size = 14 awg"),
    ("speakers where place like 'door-left'", "speakers where place = door-left"),
    ("speakers where place not like 'door-left'", "speakers where place != door-left"),
    ("speakers where place like left", "speakers where place ~ left"),
]  # fmt: skip


@pytest.mark.parametrize(("asked_", "meant"), ASKED_AND_MEANT, ids=[a for a, _ in ASKED_AND_MEANT])
def test_what_is_offered_means_what_was_asked(shipped: Asked, asked_: str, meant: str) -> None:
    with pytest.raises(QueryError) as caught:
        ask(shipped.connection, asked_)
    assert caught.value.repaired is not None
    offered, wanted = ask(shipped.connection, caught.value.repaired), ask(shipped.connection, meant)
    assert offered.columns == wanted.columns
    assert offered.rows == wanted.rows
    assert offered.unknowns == wanted.unknowns


@pytest.mark.parametrize(
    "said",
    [
        "speakers where vehicle.make = halden",
        "vehicles where 10 pins",
        "vehicles where role != tweeter",  # every speaker, or any
        "vehicles where role = tweeter and ohms < 4",  # of one and the same speaker, or not
        "vehicles where place ~ door",  # of a speaker, or of a connector
        "pins where awg smaller than 12",  # the thicker wires, or the thinner ones
        "pins where gauge over 12",
        "pins where awg at least 12",
        "pins where size thicker than 12",
        "speakers where ohms > 4 and unknown",
        f"{K} not left out, unknown",  # what is unknown is not not left out
        f"{K} left out, unknown, ohms = 4",
        f"{K} left out = 0 or 1",
        "speakers where ohms < unknown",
        "pins where size between none and 2 mm2",
        "speakers first -1",
        "speakers first 2.5",
        "pins where at between 9 and 11",
        # `~` finds text anywhere, and these ask how it begins or ends.
        "vehicles where make like 'hal%'",
        "select speaker from speakers where role like 'mid%'",
        "vehicles where make not like '%hal'",
        "vehicles where model = tar*",
        "vehicles where make starts with hal",
        "vehicles where make doesn't end with hal",
        "speakers 11",
        "pins where unit = radio and 4",
        "speakers with oku-b6 where left",
        "speakers with oku-b6 where not left",
        "vehicles where year > 2018 and 2020",
        "leads where R1",
        "speakers where place = - left",
        "speakers where role = tweeter/loud",
        "speakers where fed by loud/amplifier",
        "speakers where not place ~ left or right",
        "vehicles where not make = halden or sedge",
        "speakers where plus wire = grey and black",
        "pins of 11",
        "count speakers of 9",
        "speakers at 4",
        "speakers of there",
        "speakers there where fed by radio",
        "speakers where role = mid",  # midrange or midbass
        "speakers with oku-b6, tavick-s7",
    ],
)
def test_nothing_is_offered_where_the_sense_is_not_sure(shipped: Asked, said: str) -> None:
    with pytest.raises(QueryError) as caught:
        ask(shipped.connection, said)
    assert caught.value.repaired is None


@pytest.mark.parametrize(
    ("asked_", "offered", "kept"),
    [
        ("speakers where not loud", "speakers where loud", False),
        ("speakers where a != b", "speakers where a = b", False),
        ("speakers where role tweeter", "speakers where not role = tweeter", False),
        ("speakers where not a != b", "speakers where a = b", True),
        ("speakers where a != null", "speakers where a is known", True),
        ("speakers where a is known and b", "speakers where a is known and b = 1", True),
        ("v where fewer than 2 speakers", "v where not at least 2 speakers", True),
        ('speakers where a ~ "not b"', "speakers where a = b", True),
    ],
)
def test_what_turns_a_question_round_is_counted(asked_: str, offered: str, kept: bool) -> None:
    assert keeps_sense(asked_, offered) is kept


def test_two_letters_the_wrong_way_round_are_near(shipped: Asked) -> None:
    answer = ask(shipped.connection, 'speakers of "tran 22 concert"')
    assert any(note.startswith("A guess: ") and V in note for note in answer.notes)


def test_a_sign_of_another_keyboard_quotes_as_well(shipped: Asked) -> None:
    curly = ask(shipped.connection, "vehicles where make = ‘Halden’")
    assert curly.rows and curly.rows == ask(shipped.connection, "vehicles where make = Halden").rows


@pytest.mark.parametrize(
    ("query", "key"),
    [
        ("vehicles where last year {} none", "last_year"),
        ("pins where awg {} none", "awg"),
        ("pins where mm2 {} none", "mm2"),
        ("pins where unit {} none", "unit"),
        ("connectors where unit {} none", "unit"),
    ],
)
def test_none_of_a_number_can_be_asked_for(shipped: Asked, query: str, key: str) -> None:
    everything = ask(shipped.connection, query.partition(" where ")[0])
    values = [row[key] for row in everything.rows]
    none = ask(shipped.connection, query.format("="))
    assert len(none.rows) == values.count("") > 0
    assert none.unknowns == values.count(None)
    some = ask(shipped.connection, query.format("!="))
    assert len(some.rows) + len(none.rows) + some.unknowns == len(values)


def test_a_part_of_a_name_is_said_to_be_one(shipped: Asked) -> None:
    answer = ask(shipped.connection, "speakers where vehicle = halden")
    assert not answer.rows
    assert "Some hold it as a part: `vehicle ~ halden` finds those." in answer.why_empty
    assert ask(shipped.connection, "speakers where vehicle ~ halden").rows


@pytest.mark.parametrize(
    ("said", "hint"),
    [
        (
            "pins where left out",
            "`left out` is said of speakers, and is a field of vehicles, kits.",
        ),
        ("connectors where idle", "`idle` is said of leads."),
        ("pins show left out", "`left out` is a field of vehicles, kits."),
    ],
)
def test_a_word_of_another_subject_names_first_where_it_stands_alone(
    shipped: Asked, said: str, hint: str
) -> None:
    assert refused(shipped, said).hint == hint


def test_which_way_a_gauge_counts_is_told(shipped: Asked) -> None:
    for said in ("pins where awg smaller than 12", "pins where gauge over 12"):
        assert "A smaller `awg` is a thicker wire" in refused(shipped, said).sentence
    notes = " ".join(ask(shipped.connection, "pins where awg < 12 awg").notes)
    assert "a smaller number is a thicker wire" in notes
    assert not ask(shipped.connection, "pins where size < 12 awg").notes
