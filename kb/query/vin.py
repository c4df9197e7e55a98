"""Vehicle identification numbers: the check digit and the model year of 49 CFR part 565.

ISO 3779 gives the form, 49 CFR 565.15 the check digit (position 9) and the year code (position 10;
a letter in position 7 means 2010 to 2039, a digit 1980 to 2009, for passenger cars, multipurpose
vehicles and light trucks). That rule about position 7 is one of the United States' market: a number
from elsewhere may mean either year of the thirty-year cycle, and both are then kept.

It stands alone because it is arithmetic on text, checked against the regulation's own sample.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date

_FORM = re.compile(r"[A-HJ-NPR-Z0-9]{17}")
_VALUES = dict(
    zip("ABCDEFGHJKLMNPRSTUVWXYZ0123456789", "12345678123457923456789" + "0123456789", strict=True)
)
_WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
_YEAR_CODES = "ABCDEFGHJKLMNPRSTVWXY123456789"
_FIRST_YEAR, _CYCLE = 1980, 30
_NORTH_AMERICA = "12345"
"""First characters of North America (ISO 3780), where position 7 tells the cycle."""


class BadVin(ValueError):
    """The number cannot be right; `str()` says what is wrong with it."""


@dataclass(frozen=True)
class Vin:
    """A number whose check digit is right. `years` is empty where position 10 is no year code."""

    text: str
    years: tuple[int, ...]

    @property
    def years_said(self) -> str:
        """The model year in words."""
        years = " or ".join(str(year) for year in self.years)
        return f"model year {years}" if years else "its letters do not tell the model year"

    @property
    def wmi(self) -> str:
        """World manufacturer identifier: the first three characters."""
        return self.text[:3]


def latest_model_year() -> int:
    """The last model year that can be on sale: manufacturers begin one in the year before it."""
    return date.today().year + 1


def looks_like_vin(text: str) -> bool:
    """Whether a word has the form of one: 17 characters, with a digit, without I, O and Q."""
    return bool(_FORM.fullmatch(text.upper())) and any(c.isdigit() for c in text)


def why_no_vin(text: str) -> str | None:
    """What keeps a word that is meant as one from being one; None where it is not meant as one."""
    word = text.upper()
    if not re.fullmatch(r"[A-Z0-9]{15,19}", word) or sum(c.isdigit() for c in word) < 5:
        return None
    if len(word) != 17:
        return f"{word} has {len(word)} characters, and a VIN has 17"
    wrong = sorted(set(word) & set("IOQ"))
    if wrong:
        return f"{word} holds {' and '.join(wrong)}, and a VIN never does: 1 and 0 are digits in it"
    return None


def check_digit(text: str) -> str:
    """The character that position 9 must hold."""
    total = sum(int(_VALUES[c]) * weight for c, weight in zip(text, _WEIGHTS, strict=True))
    return "X" if total % 11 == 10 else str(total % 11)


def read_vin(text: str, latest: int | None = None) -> Vin:
    """Read a number; `latest` is the last model year that can be on sale. Raises BadVin."""
    vin = text.strip().upper()
    if not _FORM.fullmatch(vin):
        raise BadVin(f"{vin} is no VIN: that has 17 letters and digits, without I, O and Q")
    right = check_digit(vin)
    if vin[8] != right:
        raise BadVin(
            f"{vin} is mistyped, or from a market without a check digit: its ninth character is "
            f"{vin[8]} and would be {right}"
        )
    return Vin(vin, _years(vin, latest))


def as_it_stands(text: str, latest: int | None = None) -> Vin:
    """What a number of the right form says, whether or not its check digit is right."""
    vin = text.strip().upper()
    return Vin(vin, _years(vin, latest))


def _years(vin: str, latest: int | None) -> tuple[int, ...]:
    place = _YEAR_CODES.find(vin[9])
    if place < 0:
        return ()
    years: tuple[int, ...] = (_FIRST_YEAR + place, _FIRST_YEAR + _CYCLE + place)
    if vin[0] in _NORTH_AMERICA:
        years = years[1:] if vin[6].isalpha() else years[:1]
    elif latest is not None:
        years = tuple(year for year in years if year <= latest)
    return years
