"""Ways of a connector as text: `3`, `B3` and `007` stay as written, and sort as people count.

It stands alone because screens, sheets and queries sort ways without reading any document.
"""

import re

_DIGITS = "0123456789"
_RUNS = re.compile(r"[0-9]+|[^0-9]+")


def position_order(text: str) -> tuple[tuple[int, int, str], ...]:
    """A sort key: digits by their number, the rest by letters, `2 < 10 < A1 < A2 < A10 < B1`.

    Texts that differ never tie: `7` and `007` are two positions, the shorter first.
    """
    runs = [
        (0, int(run), "") if run[0] in _DIGITS else (1, 0, run.casefold())
        for run in _RUNS.findall(text)
    ]
    return (*runs, (-1, len(text), text))


def position_key(text: str | None) -> str | None:
    """The same order as one text, for what can only sort texts; None stays None."""
    if text is None:
        return None
    made = [
        _number_key(run) if run[0] in _DIGITS else _letters_key(run) for run in _RUNS.findall(text)
    ]
    return f"{''.join(made)}\x01{len(text):06d}{text}"


def _number_key(run: str) -> str:
    number = run.lstrip("0")
    return f"\x02{len(number):06d}{number}"  # the longer number is the larger


def _letters_key(run: str) -> str:
    return f"\x03{run.casefold()}\x01"  # `A` before `A1` before `AB`


def position_number(text: str) -> int | None:
    """The number of a way that is written as a plain number; None for a label such as `B3`."""
    return int(text) if len(text) <= 12 and text.isascii() and text.isdigit() else None
