"""Pins of a table into a vehicle's content: what is new, what changes, what stays.

It stands alone because it makes a content and stores nothing; a dry run and the real one share it.
"""

from __future__ import annotations

import json
import secrets
from collections.abc import Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from kb.documents.carried import OF_A_WIRE, carried
from kb.errors import Refused
from kb.intake.pins import TablePin
from kb.review.acts import BATCH_PREFIX
from kb.review.changes import Change, pin_changes
from kb.store.older_evidence import standing_evidence

if TYPE_CHECKING:
    import sqlite3

    from sqlite_utils import Database

    from kb.documents.findings import Document
    from kb.store.revisions import Stored


@dataclass(frozen=True)
class NewConnector:
    """What a table cannot say of a connector that the vehicle has not yet."""

    plug: str | None = None
    unit: str | None = None
    ways: int | None = None


@dataclass(frozen=True)
class Merged:
    """The content that would be stored, and what that changes. `made_from` is a hash."""

    document: Document
    changes: tuple[Change, ...]
    warnings: tuple[str, ...]
    made_from: str


def merge(
    connection: sqlite3.Connection,
    vehicle: str,
    pins: Sequence[TablePin],
    *,
    connector: str | None,
    new: NewConnector,
) -> Merged:
    """The vehicle's answering content with the pins. Raises Refused where that is no document."""
    from kb.answers.entries import answering
    from kb.documents.findings import Source
    from kb.documents.reading import read_documents

    entry = answering(connection, "vehicle", vehicle)
    before = json.loads(
        connection.execute(
            "SELECT content FROM revision WHERE number = ?", (entry.revision,)
        ).fetchone()[0]
    )
    content = deepcopy(before)
    for pin in pins:
        name = connector or pin.connector
        if name is None:
            raise Refused(
                f"Row {pin.row} names no connector; say with --connector which one the table is of."
            )
        _put(content, name, pin.facts, new)
    if "evidence" in content:
        # Evidence was of the pin as it stood; what the table says otherwise is not measured.
        content["evidence"] = standing_evidence(before, content)
    text = json.dumps(content, ensure_ascii=False, indent=0)
    reading = read_documents([Source(vehicle, text.encode("utf-8"), "json")])
    if reading.errors:
        lines = [
            f"  {finding.table}: {finding.what}; {finding.right}" for finding in reading.errors
        ]
        raise Refused("\n".join([f"{vehicle} with this table is no sound document:", *lines[:20]]))
    document = reading.documents[0]
    return Merged(
        document,
        tuple(pin_changes(before, document.content)),
        tuple(f"{finding.table}: {finding.what}" for finding in reading.warnings),
        entry.hash,
    )


def speakers_of(connection: sqlite3.Connection, vehicle: str) -> list[str]:
    """The ids of the vehicle's speakers. Raises Refused where the book has no such vehicle."""
    from kb.answers.entries import answering

    entry = answering(connection, "vehicle", vehicle)
    return [
        speaker
        for (speaker,) in connection.execute(
            "SELECT speaker FROM speaker WHERE vehicle = ? ORDER BY position", (entry.revision,)
        )
    ]


def store_batch(database: Database, merged: Merged, *, by: str) -> tuple[Stored, str]:
    """Store what was merged in this same transaction; the batch's name takes it back again."""
    from kb.store.revisions import add_documents

    batch = f"{BATCH_PREFIX}{secrets.token_hex(4)}"
    (stored,) = add_documents(
        database, [merged.document], author=by, batch=batch, made_from=merged.made_from
    )
    return stored, batch


def _put(content: dict[str, Any], name: str, facts: Mapping[str, Any], new: NewConnector) -> None:
    connectors = content.setdefault("connector", [])
    connector = next((c for c in connectors if c["id"].casefold() == name.casefold()), None)
    if connector is None:
        if new.plug is None or new.ways is None:
            known = ", ".join(c["id"] for c in connectors) or "none"
            raise Refused(
                f"The vehicle has no connector {name!r} yet (it has {known}); for a new one say "
                "--plug and --ways, and --unit unless it is in line."
            )
        connector = {"id": name, "plug": new.plug, "ways": new.ways, "pins": []}
        connectors.append(connector | ({"unit": new.unit} if new.unit else {}))
        connector = connectors[-1]
    pins = connector.setdefault("pins", [])
    for place, pin in enumerate(pins):
        if str(pin["at"]) == facts["at"]:
            pins[place] = _over(pin, facts)
            return
    pins.append(dict(facts))


def _over(pin: Mapping[str, Any], facts: Mapping[str, Any]) -> dict[str, Any]:
    """What the table says replaces what was written; what it does not say stays."""
    kept = dict(pin)
    if carried(facts) == ():  # known to be empty
        for key in ("carries", *OF_A_WIRE):
            kept.pop(key, None)
    if {"mm2", "awg"} & facts.keys():
        kept.pop("mm2", None)
        kept.pop("awg", None)
    return kept | {key: value for key, value in facts.items() if key != "at"}
