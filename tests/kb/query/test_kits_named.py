"""A kit by loose words, in a question and in a command alike."""

from __future__ import annotations

import pytest

from kb.query.hints.kits_named import NoKit, find_kit
from kb.query.run import ask
from tests.command import loombook
from tests.kb.query.conftest import Asked
from tests.kb.query.refused import assert_meant, refused


@pytest.mark.parametrize(
    ("words", "id", "note"),
    [
        ("oku-b6", "oku-b6", None),
        ("OKU B6", "oku-b6", None),
        ("b6", "oku-b6", '"b6" taken as oku-b6 (Oku B6 bypass).'),
        ("tav", "tavick-s7", 'A guess: "tav" taken as tavick-s7 ('),
    ],
)
def test_words_that_point_at_one_kit(shipped: Asked, words: str, id: str, note: str | None) -> None:
    _, found, said = find_kit(shipped.connection, words)
    assert found == id
    assert said is None if note is None else said is not None and said.startswith(note)


@pytest.mark.parametrize(
    ("words", "lines"),
    [
        ("oku", ["They are:", "  oku-b4  (Oku B4 bypass)", "  oku-b6  (Oku B6 bypass)"]),
        ("oku b7", []),
        ("", []),
    ],
)
def test_words_that_point_at_several_or_none(shipped: Asked, words: str, lines: list[str]) -> None:
    with pytest.raises(NoKit) as caught:
        find_kit(shipped.connection, words)
    assert caught.value.lines == lines


def test_runs_takes_a_kit_as_a_question_does(shipped: Asked) -> None:
    by_id = loombook("--db", shipped.book.path, "runs", shipped.vehicle, "--kit", "oku-b6")
    for words in ("oku b6", "b6"):
        done = loombook("--db", shipped.book.path, "runs", shipped.vehicle, "--kit", words)
        assert (done.status, done.out) == (0, by_id.out)
        assert "taken as oku-b6" in done.err or words == "oku b6"
    refused = loombook("--db", shipped.book.path, "runs", shipped.vehicle, "--kit", "oku")
    assert refused.status == 1 and "oku-b4  (Oku B4 bypass)" in refused.err


def test_leads_of_a_part_are_those_of_its_kit_on_it(shipped: Asked) -> None:
    error = refused(shipped, "leads of radio-28")
    assert error.repaired == "leads of oku-b6 where part = radio-28"
    assert ask(shipped.connection, error.repaired).rows


def test_a_count_that_depends_on_a_kit_is_offered_with_any(shipped: Asked) -> None:
    assert_meant(shipped, "count speakers by outcome", "count speakers with any kit by outcome")
