"""Wire colours: what a person wrote, read for certain or refused with what it could mean.

Codes are those of IEC 60757, base first, then stripe. Their order is a fact of the wire and is
never changed: IEC 60757:2021 would sort two codes by its table, but on a vehicle `BU/GN` and
`GN/BU` are two wires.

It stands alone because documents, queries and screens all read and write colours, and a read
command must not pay for pydantic to do so.
"""

from dataclasses import dataclass
from typing import Literal, NoReturn

Scheme = Literal["iec", "de"]

LETTERS: dict[str, str] = {
    "BK": "black",
    "BN": "brown",
    "RD": "red",
    "OG": "orange",
    "YE": "yellow",
    "GN": "green",
    "BU": "blue",
    "VT": "violet",
    "GY": "grey",
    "WH": "white",
    "PK": "pink",
    "GD": "gold",
    "TQ": "turquoise",
    "SR": "silver",
    "GNYE": "green-and-yellow",
}
"""Code -> English word, in the order of IEC 60757, table 1. GNYE is one colour, not two."""

SINGLE = "GNYE"

_WORDS = {word: code for code, word in LETTERS.items()} | {"gray": "GY", "purple": "VT"}

_GERMAN = {
    "SW": "BK",
    "BR": "BN",
    "RT": "RD",
    "OR": "OG",
    "GE": "YE",
    "GN": "GN",
    "BL": "BU",
    "VI": "VT",
    "GR": "GY",
    "WS": "WH",
    "RS": "PK",
    "TK": "TQ",
    "GNGE": SINGLE,
}
"""The older German two-letter codes, as DIN 47100 cables were sold with."""

_TWO_READINGS = {
    "BL": ("BU", "BK"),
    "GR": ("GY", "GN"),
}
"""Letters that one list gives to one colour and another list to another."""

_OTHER_SPELLINGS = {
    "VI": "VT",
    "OR": "OG",
    "BR": "BN",
    # The rest from memory, no source; they are only used to name the code in a refusal.
    "PU": "VT",
    "BLK": "BK",
    "BRN": "BN",
    "RED": "RD",
    "ORG": "OG",
    "ORN": "OG",
    "YEL": "YE",
    "GRN": "GN",
    "BLU": "BU",
    "VIO": "VT",
    "PUR": "VT",
    "GRY": "GY",
    "WHT": "WH",
    "PNK": "PK",
}

_SINGLE_LETTERS = {
    # Single-letter lists exist and disagree; the readings are from memory, no source.
    "B": ("BK", "BU", "BN"),
    "G": ("GN", "GY", "GD"),
    "L": ("BU",),
    "N": ("BN", "BK"),
    "O": ("OG",),
    "P": ("PK", "VT"),
    "R": ("RD",),
    "S": ("SR", "GY", "BK"),
    "V": ("VT",),
    "W": ("WH",),
    "Y": ("YE",),
}

_SHADES = frozenset({"LIGHT", "DARK", "HL", "DK", "LT"})
_SAID_OF_STRIPES = frozenset({"stripe", "striped", "stripes"})


class UnreadableColour(ValueError):
    """The colour cannot be read for certain; `str()` says why and what to write."""


@dataclass(frozen=True, slots=True)
class Colour:
    """A wire's colour: IEC 60757 codes of its base and, where it has one, its stripe."""

    base: str
    stripe: str | None = None

    @property
    def code(self) -> str:
        """`WH` or `GY/BK`, base first."""
        return self.base if self.stripe is None else f"{self.base}/{self.stripe}"

    @property
    def words(self) -> str:
        """`white` or `grey/black`, base first."""
        base = LETTERS[self.base]
        return base if self.stripe is None else f"{base}/{LETTERS[self.stripe]}"


def read_colour(text: str, scheme: Scheme = "iec") -> Colour:
    """Read `GY/BK`, `GYBK`, `grey/black`, `gray-black`, or under scheme "de" also `gr/sw`.

    Raises `UnreadableColour` with a sentence that names what it could mean and what to write.
    """
    written = text.strip()
    parts = _parts(written, scheme)
    codes = [_code(part, scheme) for part in parts]
    if len(codes) == 1:
        return Colour(codes[0])
    base, stripe = codes
    if SINGLE in codes:
        raise UnreadableColour(
            f'"{written}" joins {SINGLE} with another colour, but {SINGLE} (green-and-yellow) '
            f"stands alone; write {SINGLE}, or GN/YE for green with a yellow stripe"
        )
    if base == stripe:
        raise UnreadableColour(
            f'"{written}" has a stripe of its own base colour; write {base}, or the stripe as it is'
        )
    if (base, stripe) == ("GN", "YE") and "/" not in written:
        raise UnreadableColour(
            f'"{written}" could be the one colour green-and-yellow (GNYE) or green with a yellow '
            "stripe (GN/YE); write GNYE or GN/YE"
        )
    return Colour(base, stripe)


def _parts(written: str, scheme: Scheme) -> list[str]:
    """The one or two colour names of a text, still as written."""
    if not written:
        raise UnreadableColour(
            'no colour is written; write a code such as WH or GY/BK, or "grey/black"'
        )
    if "+" in written:
        raise UnreadableColour(
            f'"{written}" joins colours with "+", which means several wires; '
            "write base/stripe, such as GY/BK"
        )
    if _known(written, scheme):
        return [written]
    if "/" in written:
        parts = [part.strip() for part in written.split("/")]
    else:
        parts = written.replace("-", " ").split()
    if not parts or not all(parts):
        raise UnreadableColour(
            f'"{written}" lacks a colour beside its separator; write GY/BK, or WH'
        )
    if any(part.upper() in _SHADES for part in parts):
        codes = [_known(part, scheme) for part in parts if part.upper() not in _SHADES]
        plain = "/".join(code for code in codes if code)
        raise UnreadableColour(
            f'"{written}" names a shade, and no code stands for light or dark; '
            f"write the plain colour, {plain if plain and all(codes) else 'such as BU'}"
        )
    if any(part.lower() in _SAID_OF_STRIPES for part in parts):
        codes = [_known(part, scheme) for part in parts if part.lower() not in _SAID_OF_STRIPES]
        first = parts[0].lower() not in _SAID_OF_STRIPES
        sure = "/".join(code for code in codes if code) if first and len(codes) == 2 else ""
        raise UnreadableColour(
            f'"{written}" says in words what the slash says; '
            f"write base/stripe, {sure if sure and all(codes) else 'such as GY/BK'}"
        )
    if len(parts) == 1:
        parts = _unseparated(parts[0], scheme)
    if len(parts) > 2:
        raise UnreadableColour(
            f'"{written}" has {len(parts)} colours; a wire has a base and at most one stripe, '
            "such as GY/BK"
        )
    return parts


def _unseparated(token: str, scheme: Scheme) -> list[str]:
    """`GYPK` -> two codes in the order written; anything else is one name."""
    if len(token) == 4:
        halves = [token[:2], token[2:]]
        if all(_known(half, scheme) or half.upper() in _EXPLAINED for half in halves):
            return halves
    return [token]


def _known(token: str, scheme: Scheme) -> str | None:
    if scheme == "de" and token.upper() in _GERMAN:
        return _GERMAN[token.upper()]
    return token.upper() if token.upper() in LETTERS else _WORDS.get(token.lower())


def _code(token: str, scheme: Scheme) -> str:
    return _known(token, scheme) or _refuse(token)


def _refuse(token: str) -> NoReturn:
    """Say what the letters could mean, nearest first."""
    letters = token.upper()
    if letters in _TWO_READINGS:
        one, other = _TWO_READINGS[letters]
        raise UnreadableColour(
            f'"{token}" could be {LETTERS[one]} ({one}) or {LETTERS[other]} ({other}); '
            f"write {one} or {other}"
        )
    if letters in _OTHER_SPELLINGS:
        code = _OTHER_SPELLINGS[letters]
        raise UnreadableColour(
            f'"{token}" is another list\'s spelling of {LETTERS[code]}; write {code}'
        )
    if letters in _GERMAN:
        code = _GERMAN[letters]
        raise UnreadableColour(
            f'"{token}" is the older German spelling of {LETTERS[code]}; write {code}, '
            'or colours = "de" at the top of a file that uses those letters'
        )
    if letters in _SINGLE_LETTERS:
        codes = _SINGLE_LETTERS[letters]
        readings = " or ".join(f"{LETTERS[code]} ({code})" for code in codes)
        raise UnreadableColour(
            f'"{token}" alone is not certain: lists use it for {readings}, and do not agree; '
            f"write {' or '.join(codes)}"
        )
    raise UnreadableColour(_no_colour(token))


def nearest_colour(text: str) -> tuple[str, str] | None:
    """The colour's word that is spelt nearest, and its code; None where none is near."""
    import difflib

    near = difflib.get_close_matches(text.lower()[:40], _WORDS, n=1, cutoff=0.7)
    return (near[0], _WORDS[near[0]]) if near else None


def meant_as_colour(text: str) -> bool:
    """Whether a text that is no colour was meant as one: capitals, a stripe, or known letters."""
    letters = text.upper()
    return (
        "/" in text
        or (text == letters and text.isalpha())
        or letters in _EXPLAINED
        or letters in _SINGLE_LETTERS
    )


def _no_colour(token: str) -> str:
    if token.strip() == "?":
        return '"?" is no colour; leave the colour out where nobody knows it'
    short = token if len(token) <= 40 else token[:39] + "…"
    near = nearest_colour(token)
    if near:
        return f'"{short}" is no colour; the nearest is {near[0]}, written {near[1]}'
    return (
        f'"{short}" is no colour that has a code; '
        f"write one of {' '.join(LETTERS)}, or its English word"
    )


_EXPLAINED = frozenset({*_TWO_READINGS, *_OTHER_SPELLINGS, *_GERMAN})
"""Names that are refused with a sentence of their own, alone or inside an unseparated pair."""
