"""query.lark as a parser: built once, kept in the user's cache folder, read back in milliseconds.

A cache that is missing, damaged, of another version or cannot be written costs time and nothing
else: the parser is then built from the grammar. That no two words of the language collide is proved
by the tests, in Lark's strict mode.
"""

from __future__ import annotations

import hashlib
import os
import pickle
import sys
import tempfile
from functools import cache
from pathlib import Path

import lark

from grammar.build import Builder
from grammar.lexer import CharacterLexer

STARTS = ["query", "condition"]


def grammar_text() -> str:
    """The grammar, which is also the language's reference."""
    return Path(__file__).with_name("query.lark").read_text("utf-8")


def build(text: str, *, strict: bool = False) -> lark.Lark:
    """The parser, made from the grammar's text; what it gives is the typed tree.

    `strict` proves besides that no text is two words of the language at once; it raises
    lark.exceptions.LexError or GrammarError where one is, and needs the package interegular.
    """
    return lark.Lark(
        text,
        parser="lalr",
        lexer=CharacterLexer,
        transformer=Builder(),
        strict=strict,
        start=STARTS,
        keep_all_tokens=True,
        maybe_placeholders=False,
    )


@cache
def parser() -> lark.Lark:
    """The one parser of a process."""
    text = grammar_text()
    place = cache_file(text)
    found = read(place)
    if found is None:
        found = build(text)
        write(place, found)
    return found


def cache_file(text: str) -> Path:
    """Where the built parser is kept; the name changes with all that it depends on."""
    from platformdirs import user_cache_path

    parts = [f"{part.__module__}.{part.__qualname__}" for part in (CharacterLexer, Builder)]
    made_of = "\0".join((text, lark.__version__, sys.version, *STARTS, *parts))
    name = hashlib.sha256(made_of.encode()).hexdigest()[:20]
    return user_cache_path("loombook", appauthor=False) / f"query-{name}.parser"


def read(place: Path) -> lark.Lark | None:
    """The kept parser, or None where there is none that can be read."""
    try:
        if hasattr(os, "getuid") and place.stat().st_uid != os.getuid():
            return None  # what another user left there is not ours to load
        with place.open("rb") as file:
            return lark.Lark.load(file)
    except (OSError, pickle.UnpicklingError, EOFError, ValueError, KeyError, TypeError):
        return None
    except (AttributeError, ImportError, IndexError, AssertionError):
        return None


def write(place: Path, made: lark.Lark) -> None:
    """Keep a parser: whole or not at all, and silently not where the folder cannot be written."""
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(dir=place.parent, delete=False) as file:
            made.save(file)
        Path(file.name).replace(place)
    except OSError:
        return
