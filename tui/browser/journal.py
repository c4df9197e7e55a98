"""Work that is not stored yet, kept on disk after every key: a dead terminal loses nothing.

One small file for each piece of work, replaced whole each time (written beside it, flushed, moved),
in the user's state folder and readable by them alone. It goes away when the work is stored.
It stands alone because readings and new entries are kept in the same way.
"""

from __future__ import annotations

import json
import os
import re
from contextlib import suppress
from pathlib import Path
from typing import Any, Self

LONGEST_NAME = 120


def journal_folder() -> Path:
    """LOOMBOOK_STATE, else the user's state folder."""
    named = os.environ.get("LOOMBOOK_STATE")
    if named:
        return Path(named)
    from platformdirs import user_state_path

    return user_state_path("loombook", appauthor=False) / "unstored"


class Journal:
    """One piece of work under a name of its own."""

    def __init__(self, *names: str) -> None:
        safe = "-".join(re.sub(r"[^A-Za-z0-9.]+", "_", name) for name in names)
        self.path = journal_folder() / f"{safe[:LONGEST_NAME]}.json"

    @classmethod
    def at(cls, path: Path) -> Self:
        """The piece of work in a file."""
        journal = cls()
        journal.path = path
        return journal

    def read(self) -> dict[str, Any] | None:
        """What was kept, or None; a file that is no journal is left alone and counts as none."""
        try:
            kept = json.loads(self.path.read_text("utf-8"))
        except (OSError, ValueError, RecursionError):
            return None
        return kept if isinstance(kept, dict) else None

    def keep(self, work: dict[str, Any], *, flush: bool = True) -> None:
        """Replace what was kept; on disk when this returns. Raises OSError.

        Without `flush` the system has it, and the disk a moment later.
        """
        self.path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        beside = self.path.with_suffix(f"{self.path.suffix}.part")
        with beside.open("w", encoding="utf-8") as file:
            json.dump(work, file, ensure_ascii=False)
            file.flush()
            if flush:
                os.fsync(file.fileno())
        beside.replace(self.path)

    def forget(self) -> None:
        """The work is stored: take the file away."""
        with suppress(FileNotFoundError):
            self.path.unlink()


def unstored(first: str) -> list[str]:
    """The rest of the names of what is kept under a first name."""
    try:
        return sorted(path.stem.removeprefix(f"{first}-")
                      for path in journal_folder().glob(f"{first}-*.json"))  # fmt: skip
    except OSError:
        return []
