"""Where a speaker plays: front or rear, left or right, centre or bass, read from place and role.

Common practice, no source: places are the shop's own words, so what cannot be read stays unknown,
and an answer that needs it says so. It stands alone because allocation, signal and warnings must
read a place alike.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

ZONES = ("front-left", "front-right", "rear-left", "rear-right", "centre", "bass")
_REAR = {"rear", "back", "quarter", "shelf", "boot", "hatch", "load", "side"}
_FRONT = {"front", "dash", "sail", "pillar", "kick", "mirror", "door", "footwell"}
_ENDS: dict[str, tuple[str | None, str]] = {
    "fl": ("front", "left"),
    "fr": ("front", "right"),
    "rl": ("rear", "left"),
}
_ENDS |= {"rr": ("rear", "right"), "l": (None, "left"), "r": (None, "right")}


def zone_of(speaker: str, place: str | None, role: str) -> str | None:
    """One of `ZONES`, or None where place and id do not tell."""
    if role == "subwoofer":
        return "bass"
    if role == "centre":
        return "centre"
    end, side = _end_and_side(speaker, place)
    if end and side:
        return f"{end}-{side}"
    return "centre" if end == "front" and place in ("dash-top", "dash-centre") else None


def side_of(speaker: str, place: str | None) -> str | None:
    """`left` or `right`, or None where neither place nor id tells."""
    return _end_and_side(speaker, place)[1]


def _end_and_side(speaker: str, place: str | None) -> tuple[str | None, str | None]:
    words = (place or "").split("-")
    side = next((word for word in words if word in ("left", "right")), None)
    # `door-rear-left` is a door and in the rear: what says rear outright wins.
    end = "rear" if _REAR.intersection(words) else None
    if end is None and _FRONT.intersection(words):
        end = "front"
    if "front" in words:
        end = "front"
    tail = re.sub(r"[0-9]+$", "", speaker.split("-")[-1])
    by_id = _ENDS.get(tail, (None, None))
    return end or by_id[0], side or by_id[1]


def zone_of_group(zones: Iterable[str | None]) -> str | None:
    """The zone that a channel plays, where all its speakers agree; None where they do not."""
    found = set(zones)
    return found.pop() if len(found) == 1 else None
