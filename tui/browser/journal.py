"""Work that is not stored yet, kept on disk after every key: a dead terminal loses nothing.

One small file for each piece of work, replaced whole each time (written beside it, flushed, moved),
in the user's state folder and readable by them alone. It goes away when the work is stored.
What is one person's work on one book is found again by that person in that book alone.
It stands alone because readings, jobs and new entries are kept in the same way.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
from contextlib import suppress
from pathlib import Path
from typing import Any, NamedTuple, Self

LONGEST_NAME = 120


class Owner(NamedTuple):
    """Whose work it is: a book's path and a person."""

    book: str
    by: str

    @property
    def mark(self) -> str:
        """A short name for file names."""
        return hashlib.sha256("\0".join(self).encode()).hexdigest()[:8]


def owner_of(path: Path, by: str) -> Owner:
    """The owner of what is kept for a book."""
    return Owner(os.path.realpath(path), by)


def journal_folder() -> Path:
    """LOOMBOOK_STATE, else the user's state folder."""
    named = os.environ.get("LOOMBOOK_STATE")
    if named:
        return Path(named)
    from platformdirs import user_state_path

    return user_state_path("loombook", appauthor=False) / "unstored"


class Journal:
    """One piece of work under a name of its own; with an owner, only that owner's."""

    def __init__(self, *names: str, owner: Owner | None = None) -> None:
        self.owner = owner
        if owner is not None:  # before the rest: a long name is cut at its end
            names = (*names[:1], owner.mark, *names[1:])
        safe = "-".join(re.sub(r"[^A-Za-z0-9.]+", "_", name) for name in names)
        self.path = journal_folder() / f"{safe[:LONGEST_NAME]}.json"

    @classmethod
    def at(cls, path: Path) -> Self:
        """The piece of work in a file."""
        journal = cls()
        journal.path = path
        return journal

    @property
    def kept_at(self) -> float | None:
        """When it was last kept, as the system counts seconds; None where nothing is."""
        try:
            return self.path.stat().st_mtime
        except OSError:
            return None

    def read(self) -> dict[str, Any] | None:
        """What was kept, or None; a file that is no journal is left alone and counts as none.

        So is one that does not say it is the owner's.
        """
        try:
            kept = json.loads(self.path.read_text("utf-8"))
        except (OSError, ValueError, RecursionError):
            return None
        if not isinstance(kept, dict):
            return None
        is_theirs = self.owner is None or (kept.get("book"), kept.get("by")) == self.owner
        return kept if is_theirs else None

    def keep(self, work: dict[str, Any], *, flush: bool = True) -> None:
        """Replace what was kept; on disk when this returns. Raises OSError.

        Without `flush` the system has it, and the disk a moment later.
        """
        if self.owner is not None:
            work = work | self.owner._asdict()
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


def unstored(first: str, owner: Owner) -> list[str]:
    """The rest of the names of what an owner keeps under a first name."""
    start = f"{first}-{owner.mark}-"
    try:
        return sorted(path.stem.removeprefix(start)
                      for path in journal_folder().glob(f"{start}*.json"))  # fmt: skip
    except OSError:
        return []
