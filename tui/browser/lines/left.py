"""What is said of work that was left unfinished and is gone on with: what it is, and since when.

It stands alone because plans, readings and new entries say it alike. How long ago is said, and not
at what hour: the book's own times are UTC, and a clock on the wall is not.
"""

from __future__ import annotations

import time

MINUTE, HOUR, DAY = 60, 3600, 86400


def picked_up(what: str, kept_at: float | None, *, now: float | None = None) -> str:
    """`Picked up where it was left: job silent, 5 minutes ago.`"""
    since = f", {ago((now or time.time()) - kept_at)}" if kept_at is not None else ""
    return f"Picked up where it was left: {what}{since}."


def ago(seconds: float) -> str:
    """How long ago, in the largest whole unit; a clock that was set back counts as just now."""
    for length, word in ((DAY, "day"), (HOUR, "hour"), (MINUTE, "minute")):
        many = int(seconds // length)
        if many >= 1:
            return f"{many} {word}{'' if many == 1 else 's'} ago"
    return "just now"
