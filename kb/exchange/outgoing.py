"""The book into a shared folder: files that are not there yet are written, none is taken away.

It stands alone because it only reads the book, and needs nothing of what judges incoming files.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from kb.errors import Refused
from kb.exchange.folder import KINDS, Kind, path_of
from kb.store.forms import record_of, revision_text


@dataclass(frozen=True)
class SharedOut:
    """How many files the folder gained, how many it had, and how many were mended."""

    folder: Path
    revisions: int
    records: int
    there_already: int
    mended: int


def share_out(connection: sqlite3.Connection, folder: Path) -> SharedOut:
    """Write what was ever submitted, and every act upon it. Drafts and the list of people stay.

    Raises Refused where the folder cannot be written.
    """
    gained: dict[Kind, int] = dict.fromkeys(KINDS, 0)
    there = mended = 0
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for kind, hash, text in _texts(connection):
            path = path_of(folder, kind, hash)
            data = text.encode("utf-8")
            before = _bytes_there(path)
            if before == data:
                there += 1
                continue
            mended += before is not None
            gained[kind] += before is None
            _write(folder, kind, path, data)
    except OSError as fault:
        raise Refused(f"{folder} cannot be written: {fault.strerror or fault}.") from fault
    return SharedOut(folder, gained["revisions"], gained["records"], there, mended)


def _texts(connection: sqlite3.Connection) -> Iterator[tuple[Kind, str, str]]:
    shared = "EXISTS (SELECT 1 FROM record s WHERE s.revision = {} AND s.act = 'submit')"
    for row in connection.execute(
        f"SELECT * FROM revision v WHERE {shared.format('v.hash')} ORDER BY v.hash"
    ):
        text = revision_text(
            row["kind"],
            row["id"],
            row["content"],
            author=row["author"],
            origin=row["origin"],
            parent=row["parent"],
        )
        yield "revisions", row["hash"], text
    for row in connection.execute(
        "SELECT * FROM record r WHERE r.act = 'name' OR (r.act NOT IN ('draft', 'role')"
        f" AND {shared.format('r.revision')}) ORDER BY r.hash"
    ):
        yield "records", row["hash"], record_of(row).text


def _bytes_there(path: Path) -> bytes | None:
    if path.is_symlink():
        return b""  # never written through: the link itself is replaced
    try:
        return path.read_bytes()
    except FileNotFoundError:
        return None


def _write(folder: Path, kind: Kind, path: Path, data: bytes) -> None:
    """Whole, or not at all: a sync program must never see half a file under its final name."""
    for place in (folder / kind, path.parent):
        if place.is_symlink():
            raise Refused(f"{place} is a link; nothing is written through one.")
    path.parent.mkdir(parents=True, exist_ok=True)
    part = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        part.write_bytes(data)
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)
