"""query.lark is the reference: every rule has an example, and every example reads."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from lark.exceptions import LexError

from grammar import parser as parsers
from grammar.parse import parse
from grammar.parser import grammar_text
from grammar.unparse import unparse

TEXT = grammar_text()
EXAMPLES = re.findall(r"e\.g\. (.+)", TEXT)
BUILT = parsers.build(TEXT, strict=True)


@pytest.mark.parametrize("example", EXAMPLES)
def test_an_example_reads_and_can_be_written_again(example: str) -> None:
    assert parse(unparse(parse(example))) == parse(example)


def test_every_rule_has_an_example() -> None:
    rules = re.split(r"\n\n", TEXT)
    named = [block for block in rules if re.search(r"^\??[a-z]\w*:", block, re.MULTILINE)]
    assert len(named) > 12
    assert [block for block in named if "e.g. " not in block] == []


def test_every_word_of_the_language_is_whole() -> None:
    for line in re.findall(r"^[A-Z_]+\.2: /(.*)/", TEXT, re.MULTILINE):
        assert r"(?![\w\-.\/#°+])" in line


def test_every_keyword_stands_in_an_example() -> None:
    words = {re.sub(r"\\s\+", " ", w) for w in re.findall(r"\.2: /([a-z][a-z\\+]*)\(", TEXT)}
    said = " ".join(EXAMPLES)
    assert {w for w in words if not re.search(rf"\b{w}\b", said)} == {"known"}


def test_the_kept_parser_reads_as_the_built_one(tmp_path: Path) -> None:
    place = tmp_path / "deep" / "kept"
    parsers.write(place, BUILT)
    kept = parsers.read(place)
    assert kept is not None
    for example in EXAMPLES:
        assert kept.parse(example, start="query") == BUILT.parse(example, start="query")


def test_two_words_that_collide_are_no_language() -> None:
    collides = TEXT + "\nODD.2: /an?d(?![\\w\\-.\\/#°+])/i\n"
    collides = collides.replace("\nquery:", "\nquery: ODD |", 1)
    parsers.build(collides)
    with pytest.raises(LexError, match="Collision"):
        parsers.build(collides, strict=True)


@pytest.mark.parametrize("content", [b"", b"nonsense", b"\x80\x04N."])
def test_a_damaged_cache_is_built_again(tmp_path: Path, content: bytes) -> None:
    place = tmp_path / "kept"
    place.write_bytes(content)
    assert parsers.read(place) is None


def test_a_folder_that_cannot_be_written_costs_nothing(tmp_path: Path) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("not a folder")
    parsers.write(blocked / "below" / "kept", BUILT)
    assert parsers.read(blocked / "below" / "kept") is None
