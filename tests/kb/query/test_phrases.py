"""What people say first: each is answered with a question that runs and means the same."""

from __future__ import annotations

import pytest

from grammar.errors import QueryError
from kb.query.complete import complete
from kb.query.run import ask
from tests.kb.query.conftest import Asked
from tests.kb.query.refused import assert_meant, refused

V = "halden-tarn-19-concert10"
# ruff: noqa: E501 (a question is one line)
PHRASES = [
    (f"speakers of {V} with oku-b6 left out", f"speakers of {V} with oku-b6 where left out"),
    ("vehicles with oku-b6 fits", "vehicles with oku-b6 where fits"),
    ("speakers with oku-b6 left out first 3", "speakers with oku-b6 where left out first 3"),
    (f"leads on {V} with oku-b6 idle", f"leads on {V} with oku-b6 where idle"),
    ("kits for orrin fits", "kits for orrin where fits"),
    ("speakers of orrin tweeters", "speakers of orrin where role = tweeter"),
    (f"speakers of {V}?", f"speakers of {V}"),
    ("speakers where role = tweeter?", "speakers where role = tweeter"),
    (f"which kits fit {V}?", f"kits for {V} where fits"),
    (f"show me speakers of {V} where role = tweeter ?", f"speakers of {V} where role = tweeter"),
    (f"leads of oku-b6 + radio-28 + radio-14 on {V}", f"leads on {V} with oku-b6 + radio-28 + radio-14"),
    ("leads of oku-b6 + radio-28 where plug = HR-28", "leads with oku-b6 + radio-28 where plug = HR-28"),
    ("speakers where role = tweeter or centre", "speakers where role in (tweeter, centre)"),
    ("speakers where role = tweeter or centre or woofer and ohms = 4", "speakers where role in (tweeter, centre, woofer) and ohms = 4"),
    ("speakers where role = tweeter, centre", "speakers where role in (tweeter, centre)"),
    ("speakers where fed by radio or amp", "speakers where fed by in (radio, amp)"),
    ("speakers where fed by = radio or amp", "speakers where fed by in (radio, amp)"),
    ("speakers wher role = tweeter", "speakers where role = tweeter"),
    (f"speakers of {V} wher role = tweeter", f"speakers of {V} where role = tweeter"),
    ("speakers where tweeter", "speakers where role = tweeter"),
    ("speakers where tweeters and ohms = 4", "speakers where role = tweeter and ohms = 4"),
    (f"speakers in {V}", f"speakers of {V}"),
    ('speakers in "tarn 22 concert" where ohms = 4', 'speakers of "tarn 22 concert" where ohms = 4'),
    ("speakers in tarn 22 concert", "speakers of tarn 22 concert"),
    ("vehicles where at least two speakers (ohms = 4)", "vehicles where at least 2 speakers (ohms = 4)"),
    ("vehicles where more than 2 speakers (ohms = 4)", "vehicles where at least 3 speakers (ohms = 4)"),
    ("vehicles where more than two speakers", "vehicles where at least 3 speakers"),
    ("vehicles where fewer than 2 speakers (ohms = 4)", "vehicles where not at least 2 speakers (ohms = 4)"),
    ("vehicles without subwoofer", "vehicles where no speaker (role = subwoofer)"),
    ("vehicles where no subwoofer", "vehicles where no speaker (role = subwoofer)"),
    (f"kits that fit {V}", f"kits for {V} where fits"),
    ("kits that fit tarn 22 concert", "kits for tarn 22 concert where fits"),
    ("speakers where ohms < 4,5", "speakers where ohms < 4.5"),
    ("pins where size = 2.5 mm^2", "pins where size = 2.5 mm2"),
    ("pins where size = 2.5 mm", "pins where size = 2.5 mm2"),
    ("speakers where ohms more than 4", "speakers where ohms > 4"),
    ("speakers where ohms is less than 4", "speakers where ohms < 4"),
    ("tweeters where ohms = 4", "speakers where role = tweeter and ohms = 4"),
    ("tweeters", "speakers where role = tweeter"),
    ("jobs", "entries where kind = job"),
]  # fmt: skip


@pytest.mark.parametrize(("said", "meant"), PHRASES, ids=[said for said, _ in PHRASES])
def test_a_phrase_is_answered_with_a_question_that_runs(
    shipped: Asked, said: str, meant: str
) -> None:
    assert_meant(shipped, said, meant)


def test_a_condition_more_is_of_both_that_may_be_met(shipped: Asked) -> None:
    """Without the brackets it would be said of the first alone."""
    meant = "speakers where role = tweeter and (ohms = 4 or ohms = 2)"
    assert_meant(shipped, "tweeters where ohms = 4 or ohms = 2", meant)


@pytest.mark.parametrize(
    "said",
    [
        "speakers last 10",
        "select distinct role from speakers",
        "speakers of nosuch-car where role is woofer",
    ],
)
def test_nothing_is_offered_that_means_something_else(shipped: Asked, said: str) -> None:
    assert refused(shipped, said).repaired is None


@pytest.mark.parametrize(
    "said",
    ["help", "speakers where ohms", "pins where size", "speakers last 10", "speakers limit"],
)
def test_an_example_in_a_hint_runs(shipped: Asked, said: str) -> None:
    with pytest.raises(QueryError) as caught:
        ask(shipped.connection, said)
    hint = caught.value.hint or ""
    if hint.startswith("For example: "):
        ask(shipped.connection, hint.removeprefix("For example: "))


def test_help_points_to_the_words(shipped: Asked) -> None:
    with pytest.raises(QueryError, match="loombook words"):
        ask(shipped.connection, "help")


def test_a_kit_is_found_by_its_words(shipped: Asked) -> None:
    with pytest.raises(QueryError) as caught:
        ask(shipped.connection, f"speakers of {V} with oku")
    assert "fits" in str(caught.value) and "oku-b6" in str(caught.value.hint)
    rows = ask(shipped.connection, f"speakers of {V} with oku-b6").rows
    (maker, name) = next(
        (row["maker"], row["name"])
        for row in ask(shipped.connection, "kits where kit = oku-b6").rows
    )
    found = ask(shipped.connection, f'speakers of {V} with "{maker} {name}"')
    assert found.rows == rows
    assert "taken as oku-b6" in " ".join(found.notes)
    assert ask(shipped.connection, f"leads of '{name}'").rows


@pytest.mark.parametrize(
    ("vin", "why"),
    [
        ("1HGCM82633A00435", "has 16 characters"),
        ("1HGCM82633AO04352", "holds O"),
        ("1HGCM8263IAQ04352", "holds I and Q"),
    ],
)
def test_a_word_that_is_nearly_a_vin_says_why_it_is_none(
    shipped: Asked, vin: str, why: str
) -> None:
    with pytest.raises(QueryError, match=why):
        ask(shipped.connection, f"speakers of {vin}")


def options(shipped: Asked, text: str) -> list[str]:
    return [option.text for option in complete(shipped.connection, text).options]


def test_completion_offers_what_makes_sense_there(shipped: Asked) -> None:
    assert {"awg", "mm2"} <= set(options(shipped, "pins where size < 16 "))
    assert "ohm" in options(shipped, "speakers where ohms < 4 ")
    after = options(shipped, "speakers where fed by ")
    assert "=" in after and not {"<", "<=", ">", ">=", "between"} & set(after)
    assert "between" in options(shipped, "speakers where ohms ")
    assert V in options(shipped, 'speakers of "tarn ')
    assert V in options(shipped, "speakers of tarn")


@pytest.mark.parametrize("head", [f"speakers of {V}", "speakers with oku-b6", "speakers"])
@pytest.mark.parametrize("tail", ["first", "first zero", "first ten", "first -1", "first 2.5"])
def test_first_without_a_whole_number_says_so(shipped: Asked, head: str, tail: str) -> None:
    error = refused(shipped, f"{head} {tail}")
    assert error.sentence.startswith("`first` takes a whole number")
    assert error.repaired is None and error.span is not None
    assert error.query[error.span.start : error.span.end] == "first"


def test_first_is_no_part_of_a_value_that_nothing_has(shipped: Asked) -> None:
    error = refused(shipped, f"speakers of {V} where place = dash-left first")
    assert error.sentence.startswith("`first` takes a whole number") and error.repaired is None


def test_a_question_mark_that_stands_for_a_value_is_kept(shipped: Asked) -> None:
    assert refused(shipped, "speakers where ohms = ?").repaired == "speakers where ohms is unknown"
    assert refused(shipped, "speakers where ohms?").repaired is None
    meant = refused(shipped, "which speakers where ohms = ?").repaired
    assert meant == "speakers where ohms is unknown"
