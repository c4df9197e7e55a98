"""The end of the chain of records: the one value that names the whole book as it stands.

Every act goes on from it and changes it, and no other book comes to the same. It stands alone
because a screen that only asks whether the book has changed must not load what writes.
"""

from __future__ import annotations

from typing import Any

NO_RECORD_YET = "0" * 64


def last_chain(database: Any) -> str:
    """The chain's value after the newest record, or sixty-four zeros in an empty book."""
    row = database.execute("SELECT chain FROM record ORDER BY number DESC LIMIT 1").fetchone()
    return str(row[0]) if row else NO_RECORD_YET
