"""Model years: `2019`, `2019-2023`, or `2019-` while it is still built.

It stands alone so that the store can read years without validating a document.
"""

import re

_YEARS = re.compile(r"([0-9]{4})(?:(-)([0-9]{4})?)?")
_EARLIEST, _LATEST = 1900, 2100


def read_years(text: str) -> tuple[int, int | None]:
    """First and last model year, inclusive; None where the end is open.

    Raises ValueError with a sentence.
    """
    found = _YEARS.fullmatch(text)
    if found is None:
        raise ValueError(f'"{text[:40]}" is no span of years; write "2019", "2019-2023" or "2019-"')
    first = int(found[1])
    last = int(found[3]) if found[3] else (None if found[2] else first)
    for year in (first, last):
        if year is not None and not _EARLIEST <= year <= _LATEST:
            raise ValueError(f"{year} is no model year; write one from {_EARLIEST} to {_LATEST}")
    if last is not None and last < first:
        raise ValueError(f'"{text}" runs backwards; write the first year first, "{last}-{first}"')
    return first, last
