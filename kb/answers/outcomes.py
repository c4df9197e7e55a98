"""The text of section "outcomes" as a chain of WITH members, and nothing else.

Every question about what a kit does to a speaker is this text with another scope before it and
another SELECT behind it, so that no two screens can disagree.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path


@cache
def outcome_members() -> str:
    """The WITH members of outcomes.sql, which expect `scope` and `path` before them."""
    return Path(__file__).with_name("outcomes.sql").read_text("utf-8")


@cache
def lead_pin_members() -> str:
    """The WITH members of lead_pins.sql, which expect those of outcomes.sql before them."""
    return Path(__file__).with_name("lead_pins.sql").read_text("utf-8")


def with_lead_pins(scope: str, path: str) -> str:
    """The same clause, ending in `lead_pins`: the pins to show for a feed that is on more ways."""
    return f"{with_outcomes(scope, path)},\n{lead_pin_members()}\n"


FIRST_COIL = "IN ('', 'a')"
"""Which of a speaker's feeds stands for it where no lead says another."""


def feed_shown(feed: str, outcome: str) -> str:
    """The coil of the feed to show: of the lead that is named, so that both are of one feed."""
    return f"= coalesce({outcome}.coil, iif({feed}.coil = '', '', 'a'))"


def lead_pins_join(feed: str, path: str) -> str:
    """What puts the pins of the lead beside those of a feed, given by its alias."""
    held = f"{feed}h"
    return (
        f" LEFT JOIN lead_pins {held} ON {feed}.doubled = 1 AND {held}.vehicle = {feed}.vehicle"
        f" AND {held}.path = {path} AND {held}.speaker = {feed}.speaker"
        f" AND {held}.coil = {feed}.coil"
    )


def pin_shown(feed: str, column: str) -> str:
    """A column of the pin to show for a pole: the lead's where it has one of that pole."""
    held, pole = f"{feed}h", column.partition("_")[0]
    return f"iif({held}.{pole} IS NULL, {feed}.{column}, {held}.{column})"


def with_outcomes(scope: str, path: str) -> str:
    """A WITH clause that ends in `outcome` and `idle_lead`; put a SELECT behind it.

    `scope` is a SELECT of revision numbers of vehicles; `path` one of (path, kit, part). The scope
    is looked into by key and never kept apart: SQLite would go through all of it for each speaker.
    """
    return (
        f"WITH scope (vehicle) AS NOT MATERIALIZED ({scope}),\n"
        f"path (path, kit, part) AS ({path}),\n"
        f"{outcome_members()}\n"
    )
