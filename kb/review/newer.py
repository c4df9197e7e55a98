"""Work on a revision that others have gone past: what stands beside it, and what it would undo.

Two revisions of an entry that were made from one another, at however many steps, follow each other;
two that were not have parted, and the later one knows nothing of the other. What it would take back
is what the other changed against the revision where they parted, and what is as it was there here.
It stands alone because the sheets, the command line and the review must tell the same.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from kb.errors import Refused
from kb.review.changes import Change, What, evidence_changes, other_changes, pin_changes
from kb.review.queue import content_of
from kb.review.revisions import Revision, live, revision_at, revisions_of, without_replaced

Content = Mapping[str, Any]
NAMED_AT_MOST = 6
BACK: dict[What, What] = {"added": "gone", "gone": "added", "changed": "changed"}


@dataclass(frozen=True)
class Newer:
    """A revision that answers, and that what is being written was not made from.

    `differs`: what it says otherwise than the revision where the two parted.
    """

    revision: Revision
    parted: Revision | None
    differs: tuple[Change, ...]


@dataclass(frozen=True)
class TakenBack:
    """What a revision would undo of another live one.

    `parted`: where the two parted; None where it was made from that other one.
    """

    revision: Revision
    parted: Revision | None
    changes: tuple[Change, ...]

    @property
    def in_words(self) -> str:
        """One sentence, for a list of reasons to look twice."""
        other = f"{self.revision.name} by {self.revision.author}, {self.revision.state}"
        if self.parted is None:
            return f"it takes back what {other}, says of {named(self.changes)}"
        return (
            f"it was made from {self.parted.name}, {self.parted.state}, and not from {other}: it "
            f"takes back what that says of {named(self.changes)}"
        )


def newer_than(
    connection: sqlite3.Connection, kind: str, id: str, made_from: str | None
) -> Newer | None:
    """The revision of the entry that answers, where `made_from` (a hash) knows nothing of it.

    Without `made_from`, any that answers: what is written anew has the id of an entry of the book.
    """
    answers = answers_now(connection, kind, id)
    if answers is None:
        return None
    before = lineage(connection, made_from) if made_from else []
    if answers.hash in before:
        return None
    parted = _first_common(connection, before, answers.hash)
    base = content_of(connection, parted.hash) if parted else {"kind": kind, kind: {}}
    return Newer(answers, parted, all_changes(base, content_of(connection, answers.hash)))


def answers_now(connection: sqlite3.Connection, kind: str, id: str) -> Revision | None:
    """The revision of an entry that answers; None where none does."""
    row = connection.execute(
        "SELECT revision FROM entry WHERE kind = ? AND id = ? AND answers = 1", (kind, id)
    ).fetchone()
    return None if row is None else revision_at(connection, row[0])


def taken_back(connection: sqlite3.Connection, revision: Revision) -> tuple[TakenBack, ...]:
    """What a revision undoes of every other that is live, its own parents included."""
    content = content_of(connection, revision.hash)
    before = lineage(connection, revision.hash)
    found = []
    entry = revisions_of(connection, f"{revision.kind}/{revision.id}")
    for other in without_replaced(connection, live(entry, "submitted", "verified")):
        if other.hash == revision.hash or revision.hash in lineage(connection, other.hash):
            continue  # itself, or one that was made from it and knows it
        if other.hash in before and other.author == revision.author:
            continue  # its author mends what is their own
        follows = other.hash in before
        parted = None if follows else _first_common(connection, before, other.hash)
        base = other.parent if follows else parted.hash if parted else None
        if base is None or not _is_there(connection, base):
            continue  # nothing is known of what either changed
        theirs = content_of(connection, other.hash)
        changes = undone(content_of(connection, base), theirs, content)
        if changes:
            found.append(TakenBack(other, parted, changes))
    return tuple(found)


def undone(base: Content, theirs: Content, ours: Content) -> tuple[Change, ...]:
    """What `theirs` changed of `base` and `ours` has as it was; each as a change from theirs back.

    Where ours says a third thing it was told otherwise knowingly: that is a change, not an undoing.
    """
    kept = {
        (change.table, change.id, field.field): field.after
        for change in all_changes(base, ours)
        for field in change.fields
    }
    differ = {
        (change.table, change.id, field.field)
        for change in all_changes(theirs, ours)
        for field in change.fields
    }
    found = []
    for change in all_changes(base, theirs):
        fields = tuple(
            replace(field, before=field.after, after=field.before)
            for field in change.fields
            if (key := (change.table, change.id, field.field)) in differ and key not in kept
        )
        if fields:
            found.append(replace(change, what=BACK[change.what], fields=fields, methods=()))
    return tuple(found)


def all_changes(before: Content, after: Content) -> tuple[Change, ...]:
    """Pins, everything else and evidence, in that order."""
    pins = pin_changes(before, after) if after.get("kind") == "vehicle" else []
    return (*pins, *other_changes(before, after), *evidence_changes(before, after))


def named(changes: tuple[Change, ...] | list[Change], *, but: Collection[str] = ()) -> str:
    """Which things changed, by name: `A1.5, vehicle years and 3 more`; `but`: names left out."""
    names = list(dict.fromkeys(name for change in changes for name in _names(change)))
    names = [name for name in names if name not in but]
    if len(names) > NAMED_AT_MOST:
        return f"{', '.join(names[:NAMED_AT_MOST])} and {len(names) - NAMED_AT_MOST} more"
    return ", ".join(names)


def _names(change: Change) -> Iterator[str]:
    if change.table == "pin":
        yield change.id
    elif change.table == "evidence":
        yield f"evidence on {change.id}"
    elif change.id:
        yield f"{change.table} {change.id}"
    else:  # the head: its values one by one
        yield from (f"{change.table} {field.field}" for field in change.fields)


def lineage(connection: sqlite3.Connection, hash: str) -> list[str]:
    """A revision and those that it was made from, the newest first."""
    return [
        row[0]
        for row in connection.execute(
            "WITH RECURSIVE line (hash, step) AS (SELECT ?, 0 UNION"
            " SELECT v.parent, step + 1 FROM line JOIN revision v ON v.hash = line.hash"
            " WHERE v.parent IS NOT NULL) SELECT hash FROM line ORDER BY step",
            (hash,),
        )
    ]


def _first_common(connection: sqlite3.Connection, before: list[str], other: str) -> Revision | None:
    """Where two lines of descent part: the newest revision that is in both, and in the book."""
    theirs = set(lineage(connection, other))
    for hash in before:
        if hash in theirs and _is_there(connection, hash):
            (number,) = connection.execute(
                "SELECT number FROM revision WHERE hash = ?", (hash,)
            ).fetchone()
            return revision_at(connection, number)
    return None


def _is_there(connection: sqlite3.Connection, hash: str) -> bool:
    return (
        connection.execute("SELECT 1 FROM revision WHERE hash = ?", (hash,)).fetchone() is not None
    )


def must_know(newer: Newer | None, known: str | None) -> None:
    """Refused where a revision answers that whoever submits was not told of (`known`: its hash)."""
    if newer is not None and newer.revision.hash != known:
        raise Refused(
            f"{newer.revision.name} by {newer.revision.author} answers since, and this was not "
            f"made from it; it differs in {named(newer.differs)}. Nothing was stored."
        )
