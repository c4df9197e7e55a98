"""ASCII stand-ins for the signs that pages and drawings use, where an encoding cannot show them.

A sign that is one column wide keeps its column in a drawing; where a word takes its place in a
page, the spaces after it give way, so that columns stay under each other. What has no stand-in is
written as `\\uXXXX`, which JSON reads back as the same letter.

It stands alone because what leaves the process passes here, and no page need know of encodings.
"""

from __future__ import annotations

import codecs
import re

STAND_INS = {
    "…": "...", "Ω": "ohm", "\u2126": "ohm", "²": "2", "°": "deg", "×": "x", "√": "sqrt",
    "Σ": "sum", "π": "pi", "ρ": "rho", "≥": ">=", "≤": "<=", "≠": "!=",
    "–": "-", "—": "-", "−": "-", "·": ".", "•": "*", "◦": "o",
    "“": '"', "”": '"', "‘": "'", "’": "'",
    "✓": "ok", "✗": "x", "◐": "~", "⇄": "<>", "↩": "<-",
    "→": "->", "←": "<-", "↑": "^", "↓": "v", "►": ">", "▸": ">",
    "─": "-", "╌": "-", "│": "|", "┃": "|",
    "┌": "+", "┐": "+", "└": "+", "┘": "+", "├": "+", "┤": "+", "┬": "+", "┴": "+", "┼": "+",
    "╭": "+", "╮": "+", "╯": "+", "╰": "+",
    "\ufffd": "#",
}  # fmt: skip
NARROW = STAND_INS | {"…": "~"}
"""Where a line has no room to grow: a frame, or a full line of the terminal."""

SHOWN = "loombook-shown"
"""The name of the error handler for a person's eyes: stand-ins, else escapes."""
EXACT = "loombook-exact"
"""The name of the error handler for scripts: escapes alone, so that no value is changed."""

_FRAME = re.compile("[│┃]")
_GAPS = re.compile(r"( {2,})")


def register() -> None:
    """Make the two error handlers known to Python's encoders."""
    codecs.register_error(SHOWN, _shown)
    codecs.register_error(EXACT, _exact)


def aligned(text: str, encoding: str, width: int) -> str:
    """`text` with stand-ins for what `encoding` lacks, its columns kept under each other.

    A line of at most `width` columns stays within them.
    """
    try:
        text.encode(encoding)
    except UnicodeEncodeError:
        return "\n".join(_line(line, encoding, width) for line in text.split("\n"))
    return text


def _line(line: str, encoding: str, width: int) -> str:
    roomy = _translated(line, encoding, STAND_INS)
    if _FRAME.search(line) or len(roomy) > max(width, len(line)):
        return _translated(line, encoding, NARROW)
    return roomy


def _translated(line: str, encoding: str, signs: dict[str, str]) -> str:
    """Each sign by its stand-in; a gap of spaces after it gives way, down to one space."""
    grown = 0
    parts = []
    for number, part in enumerate(_GAPS.split(line)):
        if number % 2:
            taken = min(grown, len(part) - 1)
            grown -= taken
            parts.append(part[taken:])
        else:
            shown = "".join(_sign(letter, encoding, signs) for letter in part)
            grown += len(shown) - len(part)
            parts.append(shown)
    return "".join(parts)


def _sign(letter: str, encoding: str, signs: dict[str, str]) -> str:
    stand_in = signs.get(letter)
    if stand_in is None:
        return letter  # the error handler writes its escape where that is needed
    try:
        letter.encode(encoding)
    except UnicodeEncodeError:
        return stand_in
    return letter


def _shown(fault: UnicodeError) -> tuple[str, int]:
    lost, end = _lost(fault)
    return "".join(STAND_INS.get(letter) or _escape(letter) for letter in lost), end


def _exact(fault: UnicodeError) -> tuple[str, int]:
    lost, end = _lost(fault)
    return "".join(map(_escape, lost)), end


def _lost(fault: UnicodeError) -> tuple[str, int]:
    if not isinstance(fault, UnicodeEncodeError):
        raise fault
    return fault.object[fault.start : fault.end], fault.end


def _escape(letter: str) -> str:
    """As JSON writes a letter in ASCII: UTF-16 units."""
    units = letter.encode("utf-16-be", "surrogatepass")
    return "".join(f"\\u{units[at]:02x}{units[at + 1]:02x}" for at in range(0, len(units), 2))
