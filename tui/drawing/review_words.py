"""How review speaks: a state as mark and word, a shop by name and origin, a time to the minute."""

from __future__ import annotations

from collections.abc import Mapping

from tui.clean import clean
from tui.tables import terminal_width, wrap

STATE_MARKS = {
    "draft": "◦",
    "submitted": "•",
    "returned": "↩",
    "verified": "✓",
    "superseded": "–",
    "withdrawn": "✗",
}
STATE_STYLES = {"verified": "good", "returned": "warn", "submitted": "bold"}


def state_words(state: str) -> str:
    """Mark and word: `✓ verified`."""
    return f"{STATE_MARKS.get(state, '?')} {state}"


def moment(at: str) -> str:
    """`2026-03-14 09:30`, UTC, as all of the book's times are."""
    return clean(at[:16].replace("T", " "))


def shop_words(origin: str, here: str, names: Mapping[str, str]) -> str:
    """`this shop`, or another one's origin behind the name that it gave itself."""
    if origin == here:
        return "this shop"
    name = names.get(origin)
    return clean(f"{name} ({origin})" if name else origin)


def by_whom(author: str, origin: str, here: str, names: Mapping[str, str]) -> str:
    """`tom`, or `kai of Northside (shop-1a2b3c4d)`."""
    if origin == here:
        return clean(author)
    return clean(f"{author} of {shop_words(origin, here, names)}")


def paragraph(text: str, first: str = "", indent: str = "  ") -> str:
    """A sentence for the terminal that it is printed on: cleaned, and wrapped to its width."""
    return "\n".join(wrap(text, terminal_width(), indent, first))


def counted(count: int, word: str) -> str:
    """`1 pin`, `2 pins`."""
    return f"{count} {word}{'' if count == 1 else 's'}"
