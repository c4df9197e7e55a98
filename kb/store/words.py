"""The words by which a vehicle is found while they are written, and how a text falls into them.

It stands alone because what is stored and what is sought must be split the same way.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

NAMED_BY = ("id", "make", "model", "body", "audio")


def words_of_text(text: str) -> list[str]:
    """The words of a text, lower case, each once, in order; hyphens and signs part them."""
    return list(dict.fromkeys(re.findall(r"[^\W_]+", text.casefold())))


def words_of_vehicle(head: Mapping[str, Any]) -> list[str]:
    """The words of a vehicle's own names: its id, make, model, body and audio option."""
    return words_of_text(" ".join(str(head[name]) for name in NAMED_BY if head.get(name)))
