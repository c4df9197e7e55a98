"""The one text of a revision and of a record, whose SHA-256 is its name.

The text is the very file that shops exchange, so that anyone can check a file against its name with
no more than a hash tool. It stands alone because storing, exchanging and auditing must agree on it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from kb.documents.canonical import canonical_json, content_hash

if TYPE_CHECKING:
    import sqlite3

Act = Literal["draft", "submit", "return", "verify", "supersede", "withdraw", "role", "name"]
REVISION_FORM = "revision-1"
RECORD_FORM = "record-1"


def revision_text(
    kind: str, id: str, content: str, *, author: str, origin: str, parent: str | None
) -> str:
    """The canonical JSON of a revision, around its content, which is canonical JSON already."""
    around = {"kind": kind, "id": id, "author": author, "origin": origin, "form": REVISION_FORM}
    texts = {key: canonical_json({key: value})[1:-1] for key, value in around.items()}
    texts["content"] = f'"content":{content}'
    if parent is not None:
        texts["parent"] = canonical_json({"parent": parent})[1:-1]
    return "{" + ",".join(texts[key] for key in sorted(texts)) + "}"


@dataclass(frozen=True)
class Record:
    """An act, wherever it was made. `at` is UTC in ISO 8601; None and False stay out of the text.

    `revision` is the hash of what it acts upon; None for `role` (whose: `person`, which: `value`)
    and for `name` (of the shop: `value`). `batch` joins what came in together.
    """

    act: Act
    by: str
    origin: str
    at: str
    revision: str | None = None
    reason: str | None = None
    alone: bool = False
    batch: str | None = None
    person: str | None = None
    value: str | None = None

    @property
    def text(self) -> str:
        """The canonical JSON of the record."""
        form = {
            "form": RECORD_FORM,
            "revision": self.revision,
            "act": self.act,
            "by": self.by,
            "origin": self.origin,
            "at": self.at,
            "reason": self.reason,
            "alone": self.alone or None,
            "batch": self.batch,
            "person": self.person,
            "value": self.value,
        }
        return canonical_json({key: value for key, value in form.items() if value is not None})

    @property
    def hash(self) -> str:
        """The record's name."""
        return content_hash(self.text)


def record_of(row: sqlite3.Row) -> Record:
    """A row of `record` as the record that its hash covers."""
    return Record(
        act=row["act"],
        by=row["by"],
        origin=row["origin"],
        at=row["at"],
        revision=row["revision"],
        reason=row["reason"],
        alone=bool(row["alone"]),
        batch=row["batch"],
        person=row["person"],
        value=row["value"],
    )
