"""Limits that hold for any document before anyone looks at its meaning.

Size, depth and invisible characters are checked here in one pass without recursion, so that a
hostile file is answered fast and nothing later meets one. It stands alone because it knows no kind
of document."""

import re
import unicodedata
from collections.abc import Iterator, Mapping

from kb.documents.findings import Path, Problem
from kb.documents.shown import visible

LARGEST_FILE = 8_000_000
"""Bytes of one file."""
DEEPEST = 8
"""Levels of tables and lists; a pin's list of circuits is the fifth."""
LONGEST_LIST = 1_000
"""Rows of one table, pins of one connector, names of one list."""
MOST_VALUES = 100_000
"""Values of one document, all told."""
MOST_PINS = 5_000
"""Pins of one vehicle, all its connectors together; a car's audio has a few hundred."""
MOST_CIRCUITS = 10_000
"""Circuits on all those pins, each counted on each pin."""
MOST_PINS_PROVEN = 20_000
"""Pins that the evidence of one document is of, each counted once for each [[evidence]]: a row that
names a connector stands for all its pins, and each becomes a row of the book."""
LONGEST_TEXT = 2_000
"""Characters of the longest text, a note; names are held shorter by their own rule."""

_SURROGATE = re.compile("[\ud800-\udfff]")
_JOINERS = "\u200c\u200d"
_REFUSED = frozenset({"Cc", "Cf", "Cs", "Zl", "Zp"})


def bound_problems(content: Mapping[str, object]) -> tuple[list[Problem], bool]:
    """Everything too large, too deep, null or invisible, and whether the rest may still be looked
    at."""
    problems: list[Problem] = []
    readable = True
    pending: list[tuple[Path, object]] = [((), content)]
    seen = 0
    while pending:
        path, value = pending.pop()
        seen += 1
        if seen > MOST_VALUES:
            what = f"it holds more than {MOST_VALUES:,} values"
            return [*problems, Problem((), what, "split it into documents")], False
        if isinstance(value, str):
            problems.extend(_text_problems(path, value))
            readable = readable and not _SURROGATE.search(value)
            continue
        found = list(_container_problems(path, value))
        problems.extend(found)
        readable = readable and not found
        if found:
            continue
        if isinstance(value, dict):
            pending.extend(((*path, key), inner) for key, inner in value.items())
        elif isinstance(value, list):
            pending.extend(((*path, index), inner) for index, inner in enumerate(value))
    return problems, readable


def _container_problems(path: Path, value: object) -> Iterator[Problem]:
    if value is None:
        yield Problem(path, f"{_key(path)}: null stands here", "leave the key out where unknown")
    if not isinstance(value, dict | list):
        return
    if len(path) > DEEPEST:
        what = f"tables and lists are nested deeper than {DEEPEST} levels"
        yield Problem(path[:DEEPEST], what, "write the tables as the documents have them")
    if len(value) > LONGEST_LIST:
        what = f"{_key(path)}: it holds {len(value):,} entries"
        yield Problem(path, what, f"{LONGEST_LIST:,} is the most")
    for key in value if isinstance(value, dict) else ():
        hidden = hidden_character(key)
        if hidden is not None:
            what = f'the key "{visible(key)}" holds the invisible character {hidden}'
            yield Problem((*path, key), what, "take it out")


def _text_problems(path: Path, text: str) -> Iterator[Problem]:
    if len(text) > LONGEST_TEXT:
        yield Problem(
            path,
            f"{_key(path)}: the text is {len(text):,} characters long",
            f"{LONGEST_TEXT:,} is the most",
        )
        return
    hidden = hidden_character(text)
    if hidden is not None:
        yield Problem(
            path, f"{_key(path)}: the text holds the invisible character {hidden}", "take it out"
        )


def hidden_character(text: str) -> str | None:
    """The first character that no document may hold, named as `U+202E`; None where there is none.

    Refused are control characters but newline and tab, lone surrogates, and marks that show nothing
    or turn the direction of what follows; the two joiners that scripts need are kept."""
    for char in text:
        if char in "\n\t" or char in _JOINERS or (" " <= char <= "~"):
            continue
        if unicodedata.category(char) in _REFUSED:
            return f"U+{ord(char):04X}"
    return None


def _key(path: Path) -> str:
    named = [part for part in path if isinstance(part, str)]
    return visible(named[-1]) if named else "the document"
