"""The one text of a document's content, and its hash: what a revision is named by.

Keys sorted by code point, no spaces, UTF-8 unescaped, whole numbers without a point, dates as ISO
text, absent keys absent. The same document in TOML or JSON, its keys in any order, gives the same
text.

It stands alone so that hashes can be checked without reading a document.
"""

import datetime
import hashlib
import json
import math
from collections.abc import Mapping
from typing import Any


def canonical_json(content: Mapping[str, Any]) -> str:
    """The canonical JSON text of a document's content.

    Raises ValueError for a number that is not finite, TypeError for what no document can hold.
    """
    return json.dumps(
        _plain(content), ensure_ascii=False, allow_nan=False, sort_keys=True, separators=(",", ":")
    )


def content_hash(text: str) -> str:
    """SHA-256 of a canonical text in UTF-8, as 64 lower-case hexadecimal digits."""
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def _plain(value: object) -> object:
    if isinstance(value, Mapping):
        if not all(isinstance(key, str) for key in value):
            raise TypeError("a key of a document is text")
        return {key: _plain(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(inner) for inner in value]
    if isinstance(value, float):
        return int(value) if math.isfinite(value) and value.is_integer() else value
    if isinstance(value, datetime.date):
        return value.isoformat()
    if value is None or isinstance(value, str | int | bool):
        return value
    raise TypeError(f"a document cannot hold a {type(value).__name__}")
