"""Known mistakes of values that need quotes or a hyphen: a plus at the start, a keyword at the end,
the colon of a time.

A part of the phrases of the trade, apart from `mistake_values` because in these nothing is said
otherwise, only written.
"""

from __future__ import annotations

from grammar.mistake_shapes import WORD, mistake, put
from grammar.mistake_values import ENDS, STOPS

_SIGN = r"(?P<sign>(?:!=|<>|=|~)\s*)"

_WORDS = rf"(?:{WORD}(?:[ ]+{STOPS}(?!first\b){WORD})?)"

QUOTED_MISTAKES = (
    mistake(
        "plus in front of a value",
        rf"{_SIGN}(?P<mark>\+{_WORDS}?){ENDS}",
        "A value that begins with + is quoted.",
        put('{sign}"{mark}"'),
        "pins where carries = +12V",
        'pins where carries = "+12V"',
    ),
    mistake(
        "date with a time",
        r"(?P<mark>(?<![\w\-./])[0-9]{4}-[0-9]{1,2}-[0-9]{1,2}(?:\s*T\s*|\s+)"
        r"[0-9]{1,2}(?::[0-9]{2}(?:\.[0-9]+)?){1,2}(?:\s*Z\b|\s*[+-][0-9]{2}(?::?[0-9]{2})?)?)",
        "A date with a time is quoted.",
        put('"{mark}"'),
        "entries where submitted > 2026-11-26 17:00",
        'entries where submitted > "2026-11-26 17:00"',
    ),
    mistake(
        "turn on",
        rf"{_SIGN}(?P<turn>turn|switch)\s+(?P<mark>on){ENDS}",
        "`on` is a keyword; in a value it is joined by a hyphen, or quoted.",
        put("{sign}{turn}-{mark}"),
        "pins where carries = turn on",
        "pins where carries = turn-on",
    ),
)
