"""What a known mistake is: its pattern, what is said of it, and how it is put right.

It stands alone because two lists of mistakes are written with it: of other languages, and of the
trade's own phrases.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

Repair = Callable[[str, "re.Match[str]"], list[str]]
"""From the query and the place of the mistake to whole queries to try, the likeliest first."""

QUOTED = re.compile(r'"(?:[^"]|"")*"|\'(?:[^\']|\'\')*\'|“[^”]*”|‘[^’]*’')


@dataclass(frozen=True, slots=True)
class Mistake:
    """`broken` shows it, `repaired` says the same as it is said here.

    One that `reads` may stand in a query that parses, as words that mean nothing. A `certain` one
    is told whatever else is wrong with the query; the others are guesses, told only where putting
    them right makes the query parse.
    """

    name: str
    pattern: re.Pattern[str]
    sentence: str
    repair: Repair
    broken: str
    repaired: str
    certain: bool = True
    reads: bool = False


def cut(text: str, match: re.Match[str], *pieces: str) -> str:
    """The query with these pieces in the place of the match."""
    return text[: match.start()] + "".join(pieces) + text[match.end() :]


def own(text: str, match: re.Match[str], name: str) -> str:
    """What stands in a group as it was typed, quotes and all."""
    return "" if match.start(name) < 0 else text[match.start(name) : match.end(name)]


def put(template: str) -> Repair:
    """Put a template in the place of the match; {NAME} is the original text of that group."""

    def repair(text: str, match: re.Match[str]) -> list[str]:
        groups = {
            name: "" if match.start(name) < 0 else text[match.start(name) : match.end(name)]
            for name in match.re.groupindex
        }
        return [text[: match.start()] + template.format(**groups) + text[match.end() :]]

    return repair


def mistake(
    name: str,
    pattern: str,
    sentence: str,
    repair: Repair,
    broken: str,
    repaired: str,
    *,
    certain: bool = True,
    reads: bool = False,
) -> Mistake:
    compiled = re.compile(pattern, re.IGNORECASE | re.DOTALL)
    return Mistake(name, compiled, sentence, repair, broken, repaired, certain, reads)


WORD = r"[\w\-./#°+]+"
VALUE = rf"(?:\0+|{WORD}(?:[ ]+(?!and\b|or\b|of\b|on\b|for\b|with\b|sorted\b|show\b){WORD})*)"
CONTRACTED = (
    r"\b(?:(?:is|si|ins|are|does|dose|doens|do|was|were|has|have)(?:n[’']?t|[’']n?t|nt[’']|not)"
    r"|(?:ai|ca|did|must|need|should|would|could|wo)n[’']?t|can\s?not(?:\s+be)?)(?!\w)"
)
"""`isn't`, however its letters and its apostrophe were typed."""
