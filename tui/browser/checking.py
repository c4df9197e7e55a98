"""A document made on a screen passes the same checks as one from a file."""

from __future__ import annotations

import json
from typing import Any

from kb.errors import Refused


def checked(content: dict[str, Any]) -> Any:
    """The document, read as `add` reads a file; Refused with what is wrong."""
    from kb.documents.findings import Source
    from kb.documents.reading import read_documents

    data = json.dumps(content, ensure_ascii=False).encode()
    reading = read_documents([Source("this form", data, "json")])
    if reading.errors:
        raise Refused(reading.errors[0].sentence)
    return reading.documents[0]
