"""Model years as a document writes them: "2019", "2019-2023", or an open "2019-"."""

from __future__ import annotations

import re

_YEARS = re.compile(r"(\d{4})(?:(-)(\d{4})?)?")


def read_years(text: str) -> tuple[int, int | None]:
    """First and last model year, inclusive; None where the span is open.

    Raises ValueError, its text a sentence, for anything else and for years the wrong way round.
    """
    match = _YEARS.fullmatch(text.strip())
    if match is None:
        raise ValueError(
            f'the model years "{text}" cannot be read; write "2019", "2019-2023" or "2019-"'
        )
    first = int(match[1])
    last = int(match[3]) if match[3] else (None if match[2] else first)
    if last is not None and last < first:
        raise ValueError(f'the model years "{text}" run backwards; write "{last}-{first}"')
    return first, last
