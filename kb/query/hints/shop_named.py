"""A shop asked for by the name that it gave itself, where the field `origin` holds its mark.

It stands apart because names are read from the records, and only for an empty answer.
"""

from __future__ import annotations

import sqlite3

from grammar.unparse import write_value
from kb.query.bound import Test
from kb.review.history import shop_names


def origins_named(connection: sqlite3.Connection, condition: Test) -> list[str]:
    """What to ask instead; a name proves nothing, so that every shop that bears it is told."""
    asked = str(condition.value).casefold()
    return [
        f"A shop that calls itself {name} has its entries under `origin = {write_value(origin)}`."
        for origin, name in shop_names(connection).items()
        if asked == name.casefold() or (condition.sign == "~" and asked in name.casefold())
    ]
