"""SQL of the catalogue at its place in a statement: aliases, which revisions answer, pins to show.

The catalogue writes `@` for the level of nesting, `^` for the one around it, and in braces what
only the question decides. The same few texts stand in all questions, so each is placed once.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from kb.answers.outcomes import FIRST_COIL, feed_shown, lead_pins_join, pin_shown

_OF_A_FEED = re.compile(r"\{(?:shown|lead_pins) ([\w@]+) ?(\w*)\}")
"""A column of the pin shown for a feed, or the join that it needs."""

_OF_PATH = re.compile(r"\{of_path ([\w@]+)\}")
"""Where leads of the path alone are meant, not those of parts left aside."""
_ON_THE_PATH = (
    r" AND EXISTS (SELECT 1 FROM path y@ WHERE y@.path = {path} AND y@.kit = \1.kit"
    r" AND y@.part = \1.part)"
)


@dataclass(frozen=True)
class Place:
    """What a question decides for all SQL of the catalogue in it.

    `path` is SQL for the path of a row, `paths` whether there are any (a kit meets a vehicle), and
    `answers` the column that marks the revisions asked.
    `by_lead`: a speaker's row shows the feed that its lead holds; `pins_of_leads`: and of a pole
    on several ways, the one under the lead.
    """

    path: str
    paths: bool
    answers: str
    by_lead: bool
    pins_of_leads: bool


def of_feeds(sql: str) -> bool:
    """Whether the pins that are shown for a speaker stand in it."""
    return "{shown" in sql or "{lead_pins" in sql


@lru_cache(2048)
def placed(sql: str, level: int, place: Place) -> str:
    """The SQL with the aliases of a level of nesting."""
    if of_feeds(sql):
        sql = _with_pins(sql, place.path if place.pins_of_leads else None)
    if "{of_path" in sql:
        sql = _OF_PATH.sub(_ON_THE_PATH if place.paths else "", sql)
    by_lead = place.by_lead and level == 0
    return (
        sql.replace("{coil f@}", feed_shown("f@", "o@") if by_lead else FIRST_COIL)
        .replace("@", str(level) if level else "")
        .replace("^", str(level - 1) if level > 1 else "")
        .replace("{path}", place.path)
        .replace("{answers}", place.answers)
    )


def _with_pins(sql: str, path: str | None) -> str:
    """With the pins of the path's leads, or with the first of each pole."""

    def pin(found: re.Match[str]) -> str:
        feed, column = found.groups()
        if path is None:
            return f"{feed}.{column}" if column else ""
        return pin_shown(feed, column) if column else lead_pins_join(feed, path)

    return _OF_A_FEED.sub(pin, sql)
