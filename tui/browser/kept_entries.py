"""Entries that are not stored yet: each in a file of its own, of one book and one person.

Promise: a letter typed into a cell is on disk before the next one is drawn; a file that cannot be
read is left alone and named; two browsers never write the same file.
It stands alone because the list of new entries and the grid must agree on all of this.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from kb.errors import Refused
from tui.browser.journal import Journal, Owner, journal_folder
from tui.browser.lock import Lock
from tui.browser.sheets import Content, is_sound

FIRST = "entry"


@dataclass(frozen=True)
class Work:
    """What was kept: a document, and the hash of the revision that it changes."""

    content: Content
    made_from: str | None
    owner: Owner | None  # None: kept before files said whose they are


class KeptEntry:
    """One unstored entry on disk, while it is open."""

    def __init__(self, name: str, owner: Owner) -> None:
        self.name = name
        self.owner = owner
        self._whole = Journal(FIRST, name)
        self._typed = _typed(self._whole)
        self._lock = Lock(self._whole.path.with_suffix(".lock"))

    @classmethod
    def new(cls, kind: str, owner: Owner) -> KeptEntry:
        """A name that no other has."""
        return cls(f"{kind}-{time.time_ns()}-{owner.mark}", owner)

    @classmethod
    def of_revision(cls, kind: str, id: str, hash: str, owner: Owner) -> KeptEntry:
        """The one place for this person's changes of a revision."""
        return cls(f"{kind}-{id}-{hash[:12]}-{owner.mark}", owner)

    def open(self) -> None:
        """Take it for this browser alone; Refused where another one has it."""
        holder = self._lock.take()
        if holder is not None:
            raise Refused(
                f"This entry is open in another browser ({holder}): go on there, or close it there "
                "first."
            )

    def close(self) -> None:
        """Leave it to others."""
        self._lock.release()

    @property
    def is_there(self) -> bool:
        """Whether anything is kept under its name."""
        return self._whole.path.exists() or self._typed.path.exists()

    @property
    def kept_at(self) -> float | None:
        """When it was last kept; None where nothing is."""
        times = [at for at in (self._whole.kept_at, self._typed.kept_at) if at is not None]
        return max(times, default=None)

    def read(self) -> Work | None:
        """What was kept, a cell half typed included; Refused where it cannot be read."""
        return kept_work(self.name)

    def keep(self, content: Content, made_from: str | None) -> None:
        """Keep the document as it stands, on disk when this returns. Raises OSError."""
        self._whole.keep(self._with_owner(content, made_from))
        self._typed.forget()

    def keep_typed(self, content: Content, made_from: str | None) -> None:
        """Keep it with the cell half typed, beside the whole one. Raises OSError.

        It survives the end of this program and of its terminal; only a loss of power within the
        same moment may take it, and then the whole one is still there.
        """
        self._typed.keep(self._with_owner(content, made_from), flush=False)

    def forget_typed(self) -> None:
        """What was being typed was left."""
        self._typed.forget()

    def forget(self) -> None:
        """It is stored, or thrown away."""
        self._whole.forget()
        self._typed.forget()

    def _with_owner(self, content: Content, made_from: str | None) -> dict[str, Any]:
        return {"content": content, "made_from": made_from, **self.owner._asdict()}


def kept_names() -> list[str]:
    """The names of all unstored entries."""
    try:
        paths = [
            *journal_folder().glob(f"{FIRST}-*.json"),
            *journal_folder().glob(f"{FIRST}-*.typed"),
        ]
    except OSError:
        return []
    return sorted({path.stem.removeprefix(f"{FIRST}-") for path in paths})


def kept_work(name: str) -> Work | None:
    """What is kept under a name; None where there is nothing, Refused where it cannot be read."""
    whole = Journal(FIRST, name)
    for journal in (_typed(whole), whole):
        work = _sound(journal.read())
        if work is not None:
            return work
    if whole.path.exists():
        raise Refused(f"{whole.path} holds no entry that can be read; it was left as it is.")
    return None


def kept_of(owner: Owner) -> Iterator[tuple[str, Work | Refused]]:
    """Every unstored entry of an owner, and each that cannot be read with the reason."""
    for name in kept_names():
        try:
            work = kept_work(name)
        except Refused as fault:
            yield name, fault
            continue
        if work is not None and work.owner in (None, owner):
            yield name, work


def _typed(whole: Journal) -> Journal:
    return Journal.at(whole.path.with_suffix(".typed"))


def _sound(kept: dict[str, Any] | None) -> Work | None:
    if kept is None or not is_sound(kept.get("content")):
        return None
    made_from = kept.get("made_from")
    if not isinstance(made_from, str | None):
        return None
    book, by = kept.get("book"), kept.get("by")
    owner = Owner(book, by) if isinstance(book, str) and isinstance(by, str) else None
    return Work(kept["content"], made_from, owner)
