"""What the environment says: which book, and who acts. Read once, at the edge."""

from __future__ import annotations

import getpass
import os
from pathlib import Path

NAME_OF_NOBODY = "unnamed"


def book_path() -> Path:
    """LOOMBOOK_DB, else book.db in the user's data folder."""
    named = os.environ.get("LOOMBOOK_DB")
    if named:
        return Path(named)
    from platformdirs import user_data_path

    return user_data_path("loombook", appauthor=False) / "book.db"


def acting_name() -> str:
    """LOOMBOOK_NAME, else the login name."""
    named = os.environ.get("LOOMBOOK_NAME")
    if named:
        return named
    try:
        return getpass.getuser()
    except (OSError, KeyError):
        return NAME_OF_NOBODY
