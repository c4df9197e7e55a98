"""A value as typed, read by what its field holds: units, colours, years, words of a list.

Quantities compare across systems because each is read into one unit: copper area in mm2 (AWG by
the formula of ASTM B258), lengths in metres (1 ft = 0.3048 m exactly), impedance in ohms. What
cannot be read is a ValueError with one sentence; nothing is read by guess.

It stands alone because the conditions of kits are evaluated over facts with the same meaning.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from grammar.tree import Sign, leading_minus, word_key
from grammar.unparse import write_value
from kb.query.catalogue import ORDERED, Field, Kind

METRES_PER_FOOT = 0.3048
METRES_PER_INCH = 0.0254
FIRST_YEAR, LAST_YEAR = 1880, 9999
YOUNGEST_OF_LAST_CENTURY = 60
FEWEST_LETTERS = 4
"""Of a colour's word that is put right; shorter ones may be codes."""

_NUMBER = re.compile(r"([+-]?(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+))\s*([^\s0-9].*)?")
_UNITS: dict[Kind, dict[str, float]] = {
    Kind.OHMS: {"": 1, "ohm": 1, "ohms": 1, "\u03a9": 1, "\u2126": 1},
    Kind.LENGTH: {
        "": 1,
        "m": 1,
        "metre": 1,
        "metres": 1,
        "meter": 1,
        "meters": 1,
        "cm": 0.01,
        "mm": 0.001,
        "ft": METRES_PER_FOOT,
        "foot": METRES_PER_FOOT,
        "feet": METRES_PER_FOOT,
        "in": METRES_PER_INCH,
        "inch": METRES_PER_INCH,
        "inches": METRES_PER_INCH,
    },
    Kind.MINUTES: {"": 1, "min": 1, "minute": 1, "minutes": 1, "h": 60, "hour": 60, "hours": 60},
    Kind.AREA: {"mm2": 1, "mm²": 1, "sqmm": 1},
    Kind.NUMBER: {"": 1},
    Kind.YEAR: {"": 1},
    Kind.YEARS: {"": 1},
}
EXAMPLES: dict[Kind, str] = {
    Kind.OHMS: "4 or 4 ohm",
    Kind.LENGTH: "3.5 m or 12 ft",
    Kind.MINUTES: "15 or 15 min",
    Kind.AREA: "1.5 mm2, 16 awg or 2/0 awg",
    Kind.GAUGE: "16 or 2/0",
    Kind.NUMBER: "2",
    Kind.YEAR: "2022",
    Kind.YEARS: "2022",
    Kind.TIME: "2026-03-14",
    Kind.COLOUR: "GY/BK or grey/black",
    Kind.YES: "yes or no",
    Kind.WRITTEN: '"behind the trim"',
}
_AWG = re.compile(r"(.*?)\s*(?:awg|ga|gauge)\.?", re.IGNORECASE)
_AWG_BEFORE = re.compile(r"(?:awg|ga|gauge|#)[\s#.]*([0-9]+(?:/0)?)(?:\s*awg)?", re.IGNORECASE)
_TIME = r"[0-9]{2}(?::[0-9]{2}(?::[0-9]{2}(?:\.[0-9]{1,6})?)?)?"
_DATE = re.compile(rf"([0-9]{{4}}(?:-[0-9]{{2}}(?:-[0-9]{{2}}(?:[T ]{_TIME})?)?)?)")
_DAY = r"[0-9]{4}-[0-9]{2}-[0-9]{2}"
# As text: nearly no question has these, and each would cost its compilation at every start.
_STAMP = rf"(?i)({_DAY}[T ]{_TIME}) ?(?:Z|[+-]00(?::?00)?)"
"""As `ask --json` gives a time: the book keeps them all in UTC."""

_ELSEWHERE = rf"(?i){_DAY}[T ]{_TIME} ?[+-][0-9]{{2}}(?::?[0-9]{{2}})?"
_ONE_DIGIT_HOUR = rf"(?<=^{_DAY}[T ])(?=[0-9](?::|$))"


@dataclass
class Unreadable(ValueError):
    """A value that its field cannot hold; `near` is the word that it may have meant."""

    sentence: str
    expected: tuple[str, ...] = ()
    near: str | None = None

    def __str__(self) -> str:
        return self.sentence


NOBODY_KNOWS = frozenset({"unknown", "null", "nil", "undefined", "undocumented"})
NOTHING = frozenset({"none", "nothing"})
NEVER_WRITTEN = frozenset({"empty", "blank", "missing"})
"""What nobody writes down as a text of its own; in quotes they are looked for as they stand."""

SAID_OF_KNOWING = frozenset({"unknown", "undocumented", "missing", "known", "documented"})
"""Words for what nobody documented, or what there is none of, or that say which of the two."""


def asks_for_nothing(field: Field, text: str, *, quoted: bool = False) -> bool:
    """Whether the value is a word for what nobody documented, or what there is none of, and no such
    field ever holds it.
    """
    key = word_key(text)
    if key == word_key(field.unknown_word) or key in field.choices_by_key:
        return False
    if is_said_of_none(field, text):
        return not quoted
    if field.known:
        return False
    if key in NOBODY_KNOWS:
        return True
    if field.kind is Kind.NUMBER:
        return False  # none of what is counted is 0, and no unknown
    never = key in NEVER_WRITTEN and not quoted and not field.choices
    return (key in NOTHING and not field.none) or never


def is_said_of_none(field: Field, text: str) -> bool:
    """Whether a word stands for `none` where a field may have that: a way carries `nothing`."""
    key = word_key(text)
    if not field.none or key not in ("nothing", "empty", "blank"):
        return False
    return not any(key in choice.split() for choice in field.choices)  # `way empty`


def units_of(field: Field) -> tuple[str, ...]:
    """The units that a value of the field is typed with, one spelling of each."""
    return {
        Kind.AREA: ("awg", "mm2"),
        Kind.GAUGE: ("awg",),
        Kind.OHMS: ("ohm",),
        Kind.LENGTH: ("m", "cm", "ft", "in"),
        Kind.MINUTES: ("min", "h"),
    }.get(field.kind, ())


def check_sign(field: Field, sign: Sign) -> None:
    """Raises Unreadable where a sign makes no sense for what a field holds."""
    if sign in ("<", "<=", ">", ">=") and field.kind not in ORDERED:
        raise Unreadable(
            f"`{field.name}` has no order, so `{sign}` says nothing about it.",
            ("=", "!=", "~", "in"),
        )
    if sign == "~" and field.kind in (ORDERED | {Kind.YES}) - {Kind.TIME}:
        raise Unreadable(
            f"`{field.name}` holds {_a(field.kind)}, which `~` cannot look into.",
            ("=", "!=", "<", "<=", ">", ">=", "between"),
        )
    if sign != "~" and field.kind is Kind.WRITTEN:
        raise Unreadable(f"`{field.name}` is searched with `~`.", ('~ "words"',))


def read_value(field: Field, sign: Sign, text: str) -> str | float | int:
    """The value in the unit of the field's column; raises Unreadable."""
    kind = field.kind
    if kind is Kind.COLOUR and (leading_minus(text) or "-" in (text[:1], text[-1:])):
        raise Unreadable(f'"{text}" is no colour; what a wire is not is asked for with `!=`.')
    if field.none and word_key(text) == "none" and sign in ("=", "!="):
        return ""
    if kind is Kind.COLOUR:
        return _colour(field, sign, text)
    if kind is Kind.GAUGE:
        return _gauge(field, text)
    if kind is Kind.AREA and (match := _AWG.fullmatch(text)):
        return _awg(match[1])
    if kind is Kind.YES:
        return _yes(field, text)
    if kind is Kind.TIME:
        return _moment(text)
    if kind in _UNITS:
        return _quantity(field, text)
    if not text.strip():
        raise Unreadable("This value is empty.", ("a value",))
    return _word(field, sign, text)


def _moment(text: str) -> str:
    """A date, or a beginning of one, as the book writes times; compared as text of that length."""
    found = _DATE.fullmatch(text) or re.fullmatch(_STAMP, text)
    if found is not None and _is_in_calendar(found[1]):
        return found[1].upper().replace(" ", "T")
    if re.fullmatch(_ELSEWHERE, text):
        raise Unreadable(
            f'"{text}" is a time of another zone; times are in UTC here.', ('"2026-03-14 17:30"',)
        )
    padded = re.sub(_ONE_DIGIT_HOUR, "0", text)
    near = padded if padded != text and _DATE.fullmatch(padded) else _day_said(text)
    raise Unreadable(f'"{text}" is no date.', (f"for example {EXAMPLES[Kind.TIME]}",), near)


def _day_said(text: str) -> str | None:
    """The day that `today` or `yesterday` is, in UTC as all times here."""
    from datetime import UTC, datetime, timedelta

    ago = {"today": 0, "yesterday": 1}.get(text.casefold())
    return None if ago is None else f"{datetime.now(UTC).date() - timedelta(days=ago)}"


def _is_in_calendar(text: str) -> bool:
    """Whether there is such a day, or such a month, and such a time of day."""
    from datetime import datetime

    day, _, time = text.replace(" ", "T").partition("T")
    parts = time.split(":") if time else []
    try:
        datetime.fromisoformat(day + "2000-01-01"[len(day) :])
        clock = zip(map(float, parts), (24, 60, 60), strict=False)
        return len(parts) <= 3 and all(part < most for part, most in clock)
    except ValueError:
        return False


def read_number(text: str) -> float:
    """A bare number, or ValueError."""
    match = _NUMBER.fullmatch(text.strip())
    if not match or match[2]:
        raise ValueError(text)
    return float(match[1])


def _word(field: Field, sign: Sign, text: str) -> str:
    """A word of the field's list in its own spelling, or text as it is typed."""
    if sign == "~" or not field.choices:
        return text
    found = field.choices_by_key.get(word_key(text))
    if found is not None:
        return found
    if field.kind is Kind.UNIT:
        return text  # a unit's id: the binder asks the book whether there is one
    from kb.nearest import nearest

    known = (*field.choices, "none") if field.none else field.choices
    begun = [choice for choice in field.choices if choice.startswith(text.casefold())]
    near = begun[0] if len(begun) == 1 else nearest(text, known) if not begun else None
    if near is not None and _drops_a_word(text, near):
        near = None
    could = tuple(write_value(choice) for choice in begun or field.choices)
    raise Unreadable(f'`{field.name}` is never "{text}".', could, near)


_SAID_BESIDE = frozenset({"a", "all", "an", "are", "as", "be", "exactly", "is", "just", "of"})
_SAID_BESIDE |= {"always", "only", "speaker", "speakers", "the", "they", "unit", "units", "way"}
"""Words beside a value that add nothing to it; any other may turn it round: `non- tweeter`."""


def _drops_a_word(text: str, near: str) -> bool:
    """Whether a near word leaves out one that was typed and may matter."""
    typed = [word for word in re.findall(r"\w+", text.casefold()) if word not in _SAID_BESIDE]
    return len(typed) > len(re.findall(r"\w+", near))


def _quantity(field: Field, text: str) -> float:
    match = _NUMBER.fullmatch(text.strip())
    units = _UNITS[field.kind]
    unit = (match[2] or "").strip() if match else ""
    if not unit and field.key in units:
        unit = field.key  # `mm2`, `metres`: the field's name is its unit
    factor = units.get(unit, units.get(unit.lower()))
    if not match or factor is None:
        if field.kind is Kind.AREA and match and not unit:
            raise Unreadable(f"{text} of what: awg or mm2?", (f"{text} awg", f"{text} mm2"))
        if field.kind is Kind.NUMBER and word_key(text) in NOTHING:
            raise Unreadable(f"`{field.name}` is a number, and none of them is 0.", ("0",), "0")
        before = _AWG_BEFORE.fullmatch(text) if field.kind is Kind.AREA else None
        raise Unreadable(
            f'"{text}" is no {_name(field.kind)}.',
            (f"for example {EXAMPLES[field.kind]}",),
            f"{before[1]} awg" if before else None,
        )
    if field.kind in (Kind.YEAR, Kind.YEARS):
        _check_year(match[1])
    return float(match[1]) * factor


def _check_year(text: str) -> None:
    if "." in text:
        raise Unreadable(
            f"{text} is no model year; a year is a whole number.", ("for example 2022",)
        )
    if FIRST_YEAR <= float(text) <= LAST_YEAR:
        return
    near = None
    if len(text) == 2 and text.isdigit():
        near = f"19{text}" if int(text) >= YOUNGEST_OF_LAST_CENTURY else f"20{text}"
    raise Unreadable(
        f"{text} is no model year; a year has four digits.", ("for example 2022",), near
    )


def _gauge(field: Field, text: str) -> float:
    match = _AWG.fullmatch(text)
    if re.search(r"mm|²", text):
        raise Unreadable(f"`{field.name}` is a gauge; an area is compared with `size`.")
    return _awg(match[1] if match else text)


def _awg(text: str) -> float:
    from kb.wire_sizes import awg_to_mm2, read_awg

    try:
        return awg_to_mm2(read_awg(text))
    except ValueError as fault:
        before = _AWG_BEFORE.fullmatch(text)
        near = f"{before[1]} awg" if before else None
        raise Unreadable(f"{fault}.", (f"for example {EXAMPLES[Kind.AREA]}",), near) from None


def _colour(field: Field, sign: Sign, text: str) -> str:
    from kb.documents.colours import UnreadableColour, nearest_colour, read_colour

    try:
        colour = read_colour(text)
    except UnreadableColour as fault:
        near = nearest_colour(text) if len(text) >= FEWEST_LETTERS else None
        raise Unreadable(f"{fault}.", (), near[0] if near else None) from None
    one = field.key in ("base", "stripe")
    if colour.stripe and (one or sign == "~"):
        meant = "is one colour" if one else "with `~` looks for one colour of a wire"
        raise Unreadable(
            f'`{field.name}` {meant}, and "{text}" is two.', (colour.base, colour.stripe)
        )
    return colour.code


def _yes(field: Field, text: str) -> int:
    if text.lower() in ("yes", "true"):
        return 1
    if text.lower() in ("no", "false"):
        return 0
    raise Unreadable(f"`{field.name}` is yes or no.", ("yes", "no"))


def _name(kind: Kind) -> str:
    return {Kind.OHMS: "impedance", Kind.YEARS: "year", Kind.MINUTES: "time"}.get(kind, kind.value)


def _a(kind: Kind) -> str:
    name = _name(kind)
    return f"{'an' if name[0] in 'aeiouAEIO' else 'a'} {name}"
