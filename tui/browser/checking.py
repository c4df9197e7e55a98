"""A document made on a screen passes the same checks as one from a file."""

from __future__ import annotations

import json
from typing import Any

from kb.errors import Refused


def checked(content: dict[str, Any]) -> Any:
    """The document, read as `add` reads a file; Refused with what is wrong."""
    reading = _read(content)
    if reading.errors:
        first = reading.errors[0]
        more = len(reading.errors) - 1
        raise Refused(
            f"{_place(first.table)}{first.what}; {first.right}."
            + (f" ({more} more like it)" if more else "")
        )
    return reading.documents[0]


def findings(content: dict[str, Any]) -> list[tuple[str, str]]:
    """Each finding as its level and one sentence, errors first."""
    found = [
        (finding.level, f"{_place(finding.table)}{finding.what}; {finding.right}")
        for finding in _read(content).findings
    ]
    return sorted(found, key=lambda pair: pair[0] != "error")


def _read(content: dict[str, Any]) -> Any:
    from kb.documents.findings import Source
    from kb.documents.reading import read_documents

    data = json.dumps(content, ensure_ascii=False).encode()
    return read_documents([Source("this form", data, "json")])


def _place(table: str) -> str:
    from kb.documents.findings import TOP

    return "" if table == TOP else f"{table}: "
