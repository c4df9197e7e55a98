"""Names of people as they are kept, so that one person is one text wherever one acts."""

from __future__ import annotations

import unicodedata

from kb.errors import Refused

LONGEST_NAME = 60


def checked_name(name: str) -> str:
    """The name as it is kept: composed, one line, nothing invisible. Raises Refused."""
    kept = unicodedata.normalize("NFC", name).strip()
    hidden = any(unicodedata.category(letter) in {"Cc", "Cf", "Cs", "Zl", "Zp"} for letter in kept)
    if not kept or hidden or len(kept) > LONGEST_NAME:
        raise Refused(
            f"{name!r} cannot be a name; write 1 to {LONGEST_NAME} visible characters on one line."
        )
    return kept
