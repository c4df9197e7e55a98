"""A misspelt word of the language is an error that names the nearest one, wherever it stands."""

from __future__ import annotations

import pytest

from grammar.errors import QueryError
from grammar.near_keyword import KEYWORDS, near_keyword
from kb.query.run import ask
from tests.kb.query.conftest import Asked
from tests.kb.query.refused import assert_meant, refused

V = "halden-tarn-19-concert10"
# ruff: noqa: E501 (a question is one line)
MISSPELT = [
    ("speakers where ohms is unkown", "speakers where ohms is unknown"),
    ("speakers where ohms is uknown", "speakers where ohms is unknown"),
    ("speakers where ohms is nknown", "speakers where ohms is unknown"),
    ("speakers where ohms is not uknown", "speakers where ohms is not unknown"),
    ("speakers where ohms is knwon", "speakers where ohms is known"),
    (f"speakers of {V} with oku-b6 where outcome is uknown", f"speakers of {V} with oku-b6 where outcome is unknown"),
    ("speakers where ohms betwen 3 and 5", "speakers where ohms between 3 and 5"),
    ("speakers where ohms = 4 adn role = tweeter", "speakers where ohms = 4 and role = tweeter"),
    ("speakers where ohms = 4 ro role = tweeter", "speakers where ohms = 4 or role = tweeter"),
    ("vehicles where evry speaker (role = tweeter)", "vehicles where every speaker (role = tweeter)"),
    ("vehicles where at lest 2 speakers (role = tweeter)", "vehicles where at least 2 speakers (role = tweeter)"),
    ("vehicles where atleast 2 speakers (role = tweeter)", "vehicles where at least 2 speakers (role = tweeter)"),
    ("coutn speakers", "count speakers"),
    ("speakers whit oku-b6", "speakers with oku-b6"),
    ("speakers wiht oku-b6", "speakers with oku-b6"),
    ("speakers fo tarn 22 concert", "speakers of tarn 22 concert"),
    ("speakers of tarn 22 concert shwo speaker", "speakers of tarn 22 concert show speaker"),
    ("speakers sortd by ohms", "speakers sorted by ohms"),
    ("speakers frist 3", "speakers first 3"),
    ("speakers wher role = tweeter", "speakers where role = tweeter"),
    ("pins whree wire = grey/black and not empty", "pins where wire = grey/black and not empty"),
    ("speakers of halden-tarn-19-concert10 were role = tweeter", "speakers of halden-tarn-19-concert10 where role = tweeter"),
    ("count speakers yb role", "count speakers by role"),
    ("speakers where role ni (tweeter, woofer)", "speakers where role in (tweeter, woofer)"),
    ("vehicles where anu speaker (role = tweeter)", "vehicles where any speaker (role = tweeter)"),
    ("vehicles where not eery speaker (ohms = 4)", "vehicles where not every speaker (ohms = 4)"),
    ("vehicles where at leasy 2 speakers (ohms = 4)", "vehicles where at least 2 speakers (ohms = 4)"),
    ("vehicles where a least 2 speakers", "vehicles where at least 2 speakers"),
    ("speakers where ohms i unknown", "speakers where ohms is unknown"),
    ("speakers where ohms iss known", "speakers where ohms is known"),
    ("speakers where role = tweeter aand ohms = 4", "speakers where role = tweeter and ohms = 4"),
    ("speakers where duties = one", "speakers where duties = none"),
    ("speakers where duties si unknown", "speakers where duties is unknown"),
    ("speakers whit oku-b6 where ohms is unkown sortd by ohms dwon", "speakers with oku-b6 where ohms is unknown sorted by ohms down"),
    ("vehicles where speaker (role = tweeter)", "vehicles where any speaker (role = tweeter)"),
]  # fmt: skip


@pytest.mark.parametrize(("said", "meant"), MISSPELT, ids=[said for said, _ in MISSPELT])
def test_a_misspelt_word_is_named_and_put_right(shipped: Asked, said: str, meant: str) -> None:
    assert_meant(shipped, said, meant)


def test_the_word_is_named_also_where_the_rest_does_not_run(shipped: Asked) -> None:
    with pytest.raises(QueryError) as caught:
        ask(shipped.connection, "speakers fo tarn")  # several are called so
    assert caught.value.repaired is None
    assert "`fo` is nearly `of`" in caught.value.render()


@pytest.mark.parametrize(
    "said",
    [
        "vehicles where many speaker (role = tweeter)",
        "vehicles where noo speaker (role = tweeter)",
        "speakers where role = tweeter nand ohms = 4",
    ],
)
def test_what_may_say_another_word_is_none_of_the_language(shipped: Asked, said: str) -> None:
    assert refused(shipped, said).repaired is None


@pytest.mark.parametrize("word", ["unown", "nown"])
def test_what_may_be_known_or_unknown_is_neither(shipped: Asked, word: str) -> None:
    with pytest.raises(QueryError) as caught:
        ask(shipped.connection, f"speakers where ohms is {word}")
    assert caught.value.repaired is None


@pytest.mark.parametrize("word", ["nown", "jnown", "iknown", "unown", "un-known"])
@pytest.mark.parametrize("said", ["is", "is not", "isn't", "has", "not", ""])
def test_a_misspelt_known_is_never_offered_as_a_value(shipped: Asked, said: str, word: str) -> None:
    """`not (place = nown)` is true of every row, `not (place is known)` of hardly one."""
    for text in (f"not (place {said} {word})", f"place {said} {word}"):
        assert f"= {word}" not in (refused(shipped, f"speakers where {text}").repaired or "")


@pytest.mark.parametrize("value", ["brown", "down-left"])
def test_a_value_that_is_like_known_by_chance_is_offered(shipped: Asked, value: str) -> None:
    assert refused(shipped, f"speakers where place is {value}").repaired


@pytest.mark.parametrize("word", [*KEYWORDS, "not", "no", "where", "none", "door", "left", "rear"])
def test_a_word_that_is_one_is_no_misspelling(word: str) -> None:
    assert near_keyword(word) is None


@pytest.mark.parametrize(
    ("word", "meant"),
    [("adn", "and"), ("annd", "and"), ("whit", "with"), ("betwen", "between"), ("unknwon", "unknown"),
     ("sho", "show"), ("showw", "show"), ("fo", "of"), ("band", None), ("hand", None)],
)  # fmt: skip
def test_how_near_a_word_must_be(word: str, meant: str | None) -> None:
    assert near_keyword(word) == meant


@pytest.mark.parametrize(
    "said", ['leads where plsu ~ "9"', "speakers where plsu = 17", "leads where pluss = 3"]
)
def test_of_fields_as_near_the_one_with_the_fewest_slips_is_offered(
    shipped: Asked, said: str
) -> None:
    """`plsu` shares as many letters with `plug`, and two changed places."""
    typed = said.split()[2]
    assert_meant(shipped, said, said.replace(typed, "plus"))


NAMES = [
    ("speakers with tavikc-s7", "speakers with tavick-s7"),
    ("speakers of tarn 22 concert with oku-b6 + radoi-28 where left out",
     "speakers of tarn 22 concert with oku-b6 + radio-28 where left out"),
    ("pins where wire = blcak", "pins where wire = black"),
    ("pins where wire != gren and unit = radio", "pins where wire != green and unit = radio"),
]  # fmt: skip


@pytest.mark.parametrize(("said", "meant"), NAMES, ids=[said for said, _ in NAMES])
def test_a_misspelt_kit_part_or_colour_is_offered_by_its_name(
    shipped: Asked, said: str, meant: str
) -> None:
    assert_meant(shipped, said, meant)


@pytest.mark.parametrize(
    "said",
    [
        "speakers with oku-b7",
        "speakers with oku-b6 + radio-29",
        "pins where wire = BLK",
        "pins where wire = notblack",
        "pins where wire = nongrey",
        "pins where wire = blcak/white",
    ],
)
def test_another_number_or_the_opposite_is_never_the_nearest(shipped: Asked, said: str) -> None:
    assert refused(shipped, said).repaired is None


@pytest.mark.parametrize(
    "said",
    [
        "entries where reason is known",
        "entries where region = north",
        "entries where duties > 0",
        "vehicles where radio ~ concert",
        "speakers where known",
        "speakers where not known",
    ],
)
def test_most_letters_of_a_field_are_no_slip_of_the_keys_for_it(shipped: Asked, said: str) -> None:
    assert refused(shipped, said).repaired is None


@pytest.mark.parametrize(
    ("said", "command"),
    [
        ("entries where reason is known", "loombook history"),
        ("entries where reason ~ sheet", "loombook history"),
        ("entries where verified by lena", "loombook history"),
        ("entries show id, reviewer", "loombook history"),
        ("entries where method = meter", "loombook review"),
        ("entries where evidence is known", "loombook review"),
        ("speakers where not measured", "loombook review"),
        ("pins where disputed", "entries where disputes > 0"),
    ],
)
def test_what_another_command_tells_is_said_to_be_told_there(
    shipped: Asked, said: str, command: str
) -> None:
    error = refused(shipped, said)
    assert command in (error.hint or "") and error.repaired is None
