"""What the one field of Find means, and what it finds; asked of kb, never worked out here."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from kb.query.as_typed import COUNTED, ListedVehicle, vehicles_as_typed

AT_MOST = 100  # lines that a list shows


@dataclass(frozen=True)
class Found:
    """What a text found, what it was taken for, and how many there are, in words."""

    meant: str
    count: str
    vehicles: tuple[ListedVehicle, ...] = ()


def look_up(connection: Any, text: str) -> Found:
    """Vehicles that fit all words of the text, or its VIN."""
    listing = vehicles_as_typed(connection, text, limit=AT_MOST)
    words = " and ".join(f"“{word}”" for word in text.split())
    meant = listing.note or f"read as words: vehicles with {words}, or a year that they span"
    return Found(meant if text.strip() else "", _count(listing.total, listing.many, bool(words)),
                 listing.vehicles)  # fmt: skip


def _count(total: int, many: bool, sought: bool) -> str:
    vehicles = "vehicle fits" if total == 1 else "vehicles fit"
    if not sought:
        vehicles = "vehicle in this book" if total == 1 else "vehicles in this book"
    if many:
        return f"more than {COUNTED} {vehicles}; the first {AT_MOST} are listed"
    listed = f"; the first {AT_MOST} are listed" if total > AT_MOST else ""
    return f"{total or 'no'} {vehicles}{listed}"
