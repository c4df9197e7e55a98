"""What a pin of a document carries: circuits, nothing, or what nobody knows.

A pin of which only its way is written is known to be empty. Where there is a wire (a colour, a
size, or "?" for what it carries) and no circuit, what it carries is unknown, and unknown is not
empty. It stands alone because rows, comparisons, plans and screens must all read it the same way.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, TypeAlias

UNKNOWN = "?"
"""What a document writes as `carries` of a wire whose function nobody knows."""

NOTHING = "nothing"
"""How people say that a way is empty; a document says so by leaving all out."""

OF_A_WIRE = ("wire", "mm2", "awg")
"""Keys of a pin that say that there is a wire."""

Carried: TypeAlias = tuple[str, ...] | None
"""Circuits; none of them where the way is known to be empty, None where nobody knows."""


def carried(pin: Mapping[str, Any]) -> Carried:
    """What a pin of a document carries, each circuit as it is written."""
    written = pin.get("carries")
    if written == UNKNOWN or (written is None and has_wire(pin)):
        return None
    if written is None:
        return ()
    return (written,) if isinstance(written, str) else tuple(written)


def has_wire(pin: Mapping[str, Any]) -> bool:
    """Whether a colour or a size says that there is a wire."""
    return any(key in pin for key in OF_A_WIRE)


def kept(circuits: Carried) -> str | None:
    """As a row of the book keeps it: circuits with a space between, '' for none, NULL for what
    nobody knows. Sorted: the circuits of a shared way mean the same in whatever order."""
    return None if circuits is None else " ".join(sorted(set(circuits)))


def read_kept(text: str | None) -> Carried:
    """The same, back from a row."""
    return None if text is None else tuple(text.split())


def carried_in_words(circuits: Carried) -> str:
    """What comes after the word `carries`."""
    return "unknown" if circuits is None else " ".join(circuits) or NOTHING
