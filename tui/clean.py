"""The one function that text passes on its way to a terminal.

Data is written by strangers: an escape sequence in a note could repaint the screen, a bidirectional
mark could turn a pin's colour around. Both become a visible mark, and nothing else changes.
"""

from __future__ import annotations

import re

MARK = "\N{REPLACEMENT CHARACTER}"

# C0 and C1 controls, DEL, lone surrogates, line and paragraph separators, and the characters that
# reorder or hide text: bidirectional controls, zero-width marks, tag characters, interlinear marks.
_UNFIT = re.compile(
    "[\x00-\x1f\x7f-\x9f\ud800-\udfff\u061c\u200b-\u200f\u2028-\u202e\u2060-\u206f"
    "\ufeff\ufff9-\ufffb\U000e0000-\U000e007f]"
)
# A pile of combining marks climbs over the lines above it; two are enough for any script here.
_PILE = re.compile(
    "([\u0300-\u036f\u0483-\u0489\u1ab0-\u1aff\u1dc0-\u1dff\u20d0-\u20ff\ufe20-\ufe2f]{2})[\u0300-\u036f\u0483-\u0489\u1ab0-\u1aff\u1dc0-\u1dff\u20d0-\u20ff\ufe20-\ufe2f]+"
)


def clean(text: object) -> str:
    """`text` on one line, with nothing in it that a terminal would obey."""
    return _PILE.sub(r"\1", _UNFIT.sub(MARK, str(text)))


def clean_lines(text: str) -> str:
    """Like `clean`, but line breaks stay line breaks."""
    return "\n".join(clean(line) for line in text.split("\n"))
