"""A value of a document as a message may show it: short, on one line, nothing invisible.

It stands alone because every sentence about hostile input passes it.
"""

import datetime

_LONGEST = 60


def shown(value: object) -> str:
    """Text in quotes with control characters spelled out, numbers as they are, the rest by its
    name."""
    if isinstance(value, str):
        return f'"{visible(value)}"'
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return str(value) if value.bit_length() <= 64 else "a huge number"
    if isinstance(value, float):
        return repr(value)
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return "a list"
    if isinstance(value, datetime.date | datetime.time):
        return value.isoformat()
    return "an empty value"


def visible(text: str, longest: int = _LONGEST) -> str:
    """The text cut to a readable length, each character that a screen would hide or obey spelled
    out."""
    cut = text if len(text) <= longest else text[: longest - 1] + "…"
    return "".join(char if char.isprintable() else f"\\u{ord(char):04x}" for char in cut)
