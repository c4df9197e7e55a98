"""Every error: one line of cause, a place, and what could stand there in the language's words."""

from __future__ import annotations

import random
import re

import pytest

from grammar.errors import QueryError, columns, listed
from grammar.expect import STAND_IN, expect_after, tokens_of
from grammar.parse import DEEPEST, LONGEST, MOST_TOKENS, parse, parse_condition
from grammar.tree import Span

TERMINALS = re.compile(r"\b(?:LPAR|RPAR|WORD|STRING|SIGN|AT_LEAST|\$END|COMMA|NUMBER|SORTED)\b")


def refused(text: str) -> QueryError:
    with pytest.raises(QueryError) as caught:
        parse(text)
    return caught.value


@pytest.mark.parametrize(
    ("text", "place", "expected"),
    [
        ("", (0, 0), "a subject"),
        ("speakers of", (11, 11), "a name"),
        ("speakers where", (14, 14), "a condition"),
        ("speakers where ohms =", (21, 21), "a value"),
        ("speakers where ohms in", (22, 22), "`(`"),
        ("speakers where ohms between 3", (29, 29), "and"),
        ("pins where a = b and  ", (20, 20), "not"),
        ("vehicles where any", (18, 18), "a subject"),
        ("vehicles where at least x speakers (a)", (24, 25), "a number"),
        ("speakers sorted", (15, 15), "by"),
        ("speakers with kit +", (19, 19), "a kit or part"),
        ("speakers where place = of", (23, 25), "a value"),
        ("speakers where a = b ~ c", (21, 22), "and"),
    ],
)
def test_the_caret_and_what_could_stand_there(
    text: str, place: tuple[int, int], expected: str
) -> None:
    error = refused(text)
    assert error.span == Span(*place)
    assert expected in error.expected
    assert not TERMINALS.search(error.render())


def test_the_picture_puts_the_caret_under_the_place() -> None:
    lines = refused("speakers where place = of").render().splitlines()
    assert lines[1].rstrip() == "  speakers where place = of"
    assert lines[2] == "  " + " " * 23 + "^^"


@pytest.mark.parametrize("before", [3, 60, 200, 3000])
def test_a_long_query_is_cut_around_the_caret(before: int) -> None:
    text = "speakers where " + "x" * before + " == 4 and " + "y" * 500
    lines = refused(text).render().splitlines()
    assert all(columns(line) <= 79 for line in lines[1:3])
    assert lines[1][lines[2].index("^") :].startswith("==")


def test_wide_letters_move_the_caret() -> None:
    lines = refused("speakers where 日本 == 4").render().splitlines()
    assert columns(lines[1][: lines[1].index("==")]) == lines[2].index("^")


@pytest.mark.parametrize(
    ("text", "limit"),
    [
        ("x" * (LONGEST + 1), "characters"),
        ("speakers where " + "(" * 700 + "a" + ")" * 50, "deep"),
        ("speakers where " + "not " * 790 + "a", "deep"),
        ("speakers where " + "not (" * 300, "deep"),
        ("speakers where " + "any a (" * 200, "deep"),
        ("speakers where " + "a or " * (MOST_TOKENS // 2) + "a", "words and signs"),
    ],
)
def test_limits_are_said(text: str, limit: str) -> None:
    assert limit in refused(text).sentence


def test_the_limits_leave_room() -> None:
    parse("speakers where " + "(" * DEEPEST + "a" + ")" * DEEPEST)
    parse("speakers where " + "not " * DEEPEST + "a")
    parse("speakers where " + "not a and " * 200 + "a")
    parse("speakers where " + "ohms not in (1, 2) and a is not unknown and " * 30 + "a")


def test_the_stand_in_cannot_be_typed() -> None:
    assert "character" in refused(f"speakers where {STAND_IN} = 1").sentence


def test_a_clause_said_twice_is_refused() -> None:
    assert refused("speakers show a show b").sentence == "`show` is said twice."
    assert refused("speakers of a of b").sentence == "`of` is said twice."
    assert refused("speakers first 2 first 3").sentence == "`first` is said twice."


BEGINNINGS, REST = (
    words.split(" ")
    for words in (
        "speakers of with where and or not any every no at least in between is known unknown show "
        "sorted by first down count text ~ = != < ( ) , +",
        '"a b" grey/black 16 awg == && : ! * % ; like null fed left out oku-b6 2/0 door-fl+ '
        "' \" “ [x] \\ \x00 \x1b[31m é 日本 🔊 1e999 -4",
    )
)
WORDS = BEGINNINGS + REST


def test_no_line_gives_anything_but_a_tree_or_a_clean_error(fuzz_cases: int) -> None:
    chance = random.Random(20_260_314)
    read = 0
    for _ in range(fuzz_cases):
        line = " ".join(chance.choices(WORDS, k=chance.randint(0, 14)))
        if chance.random() < 0.2:
            line = "".join(chance.choices(line or " ", k=len(line)))
        for reader in (parse, parse_condition):
            try:
                reader(line)
                read += 1
            except QueryError as error:
                shown = error.render()
                assert error.sentence.endswith((".", ":")), line
                assert not TERMINALS.search(shown.replace(line, "")), line
                if error.repaired:
                    reader(error.repaired)
                if error.span is not None:
                    assert 0 <= error.span.start <= error.span.end <= len(line), line
    assert read > 0


def test_expected_words_can_follow() -> None:
    """What the error says could stand there does: each word of the language is then accepted."""
    chance = random.Random(7)
    tried = 0
    for _ in range(400):
        line = " ".join(chance.choices(BEGINNINGS, k=chance.randint(0, 9)))
        tokens, stray = tokens_of(line)
        if stray is not None:
            continue
        try:
            expected = expect_after(tokens)
        except Exception:  # not the beginning of any query
            continue
        for word in expected.words:
            follows, _ = tokens_of(f"{line} {word} 1")
            expect_after(follows[: len(tokens) + 1])
            tried += 1
    assert tried > 100


def test_listed() -> None:
    assert listed(()) == ""
    assert listed(("a",)) == "a"
    assert listed(("a", "b", "c")) == "a, b or c"
