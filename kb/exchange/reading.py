"""Bytes of a shared file -> a revision or a record that may be stored, or the reason why not.

Nothing is repaired on its way in: a file is exactly the canonical text of what it says, or it is
refused. It stands alone as the one place where a stranger's text becomes a row.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

from kb.documents.bounds import LONGEST_TEXT, hidden_character
from kb.documents.canonical import canonical_json
from kb.documents.findings import Source
from kb.errors import Refused
from kb.exchange.folder import BadFile, Shared
from kb.store.forms import RECORD_FORM, REVISION_FORM, Record
from kb.store.names import checked_name

CLOCKS_MAY_DIFFER = timedelta(days=1)
SHARED_ACTS = ("submit", "return", "verify", "supersede", "withdraw", "name")
DEEPEST_JSON = 40

_HASH = re.compile(r"[0-9a-f]{64}")
_ORIGIN = re.compile(r"shop-[0-9a-f]{8}")
_BATCH = re.compile(r"batch-[0-9a-z]{4,20}")
_MOMENT = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}\.[0-9]{6}\+00:00")
_REVISION_KEYS = {"form", "kind", "id", "content", "author", "origin"}
_RECORD_KEYS = {"form", "act", "by", "origin", "at"}


@dataclass(frozen=True, slots=True)
class Incoming:
    """A revision from elsewhere, its content read and found sound."""

    hash: str
    name: str
    kind: str
    id: str
    content: dict[str, Any]
    author: str
    origin: str
    parent: str | None


def read_revision(shared: Shared) -> Incoming:
    """Raises BadFile where anything is not as a book would have written it."""
    form = _form(shared, REVISION_FORM, _REVISION_KEYS, {"parent"})
    kind, id, content = form["kind"], form["id"], form["content"]
    parent = form.get("parent")
    if parent is not None:
        _matches(shared, "parent", parent, _HASH)
    _person(shared, "author", form["author"])
    _matches(shared, "origin", form["origin"], _ORIGIN)
    _sound(shared, kind, id, content)
    return Incoming(
        shared.hash, shared.name, kind, id, content, form["author"], form["origin"], parent
    )


def read_record(shared: Shared) -> Record:
    """Raises BadFile where anything is not as a book would have written it."""
    form = _form(
        shared, RECORD_FORM, _RECORD_KEYS, {"revision", "reason", "alone", "batch", "value"}
    )
    act = form["act"]
    if act not in SHARED_ACTS:
        raise BadFile(shared.name, f"{act!r:.40} is no act that travels between shops")
    _person(shared, "by", form["by"])
    _matches(shared, "origin", form["origin"], _ORIGIN)
    _moment(shared, form["at"])
    if "revision" in form:
        _matches(shared, "revision", form["revision"], _HASH)
    if "batch" in form:
        _matches(shared, "batch", form["batch"], _BATCH)
    if "reason" in form:
        _plain(shared, "reason", form["reason"])
    if "value" in form:
        _person(shared, "value", form["value"])
    if ("value" in form) != (act == "name") or ("revision" in form) == (act == "name"):
        raise BadFile(shared.name, f"the keys do not fit the act {act}")
    if "alone" in form and (form["alone"] is not True or act != "verify"):
        raise BadFile(shared.name, "`alone` is true on a verification, or absent")
    return Record(
        act=act,
        by=form["by"],
        origin=form["origin"],
        at=form["at"],
        revision=form.get("revision"),
        reason=form.get("reason"),
        alone=form.get("alone", False),
        batch=form.get("batch"),
        value=form.get("value"),
    )


def _form(shared: Shared, name: str, needed: set[str], allowed: set[str]) -> dict[str, Any]:
    """The tables of a file that is exactly its own canonical text."""
    try:
        text = shared.data.decode("utf-8")
        if _depth(text) > DEEPEST_JSON:
            raise BadFile(shared.name, "it is nested too deeply")
        read = json.loads(text)
        form: dict[str, Any] = read if isinstance(read, dict) else {}
        same = canonical_json(form).encode("utf-8") == shared.data
    except (ValueError, TypeError, RecursionError) as fault:
        raise BadFile(shared.name, "it is not JSON as a book writes it") from fault
    if not same:
        raise BadFile(shared.name, "it is not in canonical form (sorted keys, no spaces)")
    if form.get("form") != name:
        raise BadFile(shared.name, f"it is no {name}; a newer Loombook may have written it")
    for key in sorted(needed - form.keys()):
        raise BadFile(shared.name, f"the key `{key}` is missing")
    for key in sorted(form.keys() - needed - allowed):
        raise BadFile(shared.name, f"the key {key!r:.40} is not known")
    return form


def _depth(text: str) -> int:
    """How deep brackets go, those inside texts left out; no recursion."""
    deepest = depth = 0
    in_text = escaped = False
    for letter in text:
        if in_text:
            if escaped:
                escaped = False
            elif letter == "\\":
                escaped = True
            elif letter == '"':
                in_text = False
        elif letter == '"':
            in_text = True
        elif letter in "[{":
            depth += 1
            deepest = max(deepest, depth)
        elif letter in "]}":
            depth -= 1
    return deepest


def _sound(shared: Shared, kind: object, id: object, content: object) -> None:
    """The content passes the same door as every document, and comes out unchanged."""
    from kb.documents.reading import read_documents

    if not isinstance(content, Mapping):
        raise BadFile(shared.name, "its content is no document")
    # On many lines: the reader holds lines short, and a shared file is one line.
    text = json.dumps(content, ensure_ascii=False, indent=0)
    reading = read_documents([Source(shared.name, text.encode("utf-8"), "json")])
    if reading.errors:
        first = reading.errors[0]
        raise BadFile(shared.name, f"{first.table}: {first.what}; {first.right}")
    document = reading.documents[0]
    if (document.kind, document.id) != (kind, id):
        raise BadFile(shared.name, f"its content is {document.kind} {document.id}, not as it says")
    if canonical_json(document.content) != canonical_json(content):
        raise BadFile(shared.name, "its content is not written as a book keeps it")


def _matches(shared: Shared, key: str, value: object, pattern: re.Pattern[str]) -> None:
    if not isinstance(value, str) or not pattern.fullmatch(value):
        raise BadFile(shared.name, f"`{key}` is {value!r:.60}, which cannot be one")


def _person(shared: Shared, key: str, value: object) -> None:
    try:
        sound = isinstance(value, str) and checked_name(value) == value
    except Refused:
        sound = False
    if not sound:
        raise BadFile(shared.name, f"`{key}` is {value!r:.60}, which cannot be a name")


def _plain(shared: Shared, key: str, value: object) -> None:
    if not isinstance(value, str) or not value or len(value) > LONGEST_TEXT:
        raise BadFile(shared.name, f"`{key}` is no text of 1 to {LONGEST_TEXT:,} characters")
    if hidden_character(value):
        raise BadFile(shared.name, f"`{key}` holds {hidden_character(value)}, which shows nothing")


def _moment(shared: Shared, value: object) -> None:
    _matches(shared, "at", value, _MOMENT)
    try:
        moment = datetime.fromisoformat(str(value))
    except ValueError as fault:
        raise BadFile(shared.name, f"`at` is {value!r:.60}, no moment of the calendar") from fault
    if moment > datetime.now(UTC) + CLOCKS_MAY_DIFFER:
        raise BadFile(shared.name, f"`at` is {value!r:.60}, which is still to come")
