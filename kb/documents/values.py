"""The kinds of value that documents hold, each with its rule and the sentence when it is broken.

Every rule is a function from what was written to what is kept. It stands alone so that a new key of
a document is one line: its name and one of these."""

import datetime
import math
import re
from collections.abc import Callable, Sequence
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, PlainValidator, ValidationInfo
from pydantic_core import PydanticCustomError

from kb import wire_sizes
from kb.documents import vocabulary
from kb.documents.carried import UNKNOWN
from kb.documents.circuits import UnreadableCircuit, in_poled_family, read_circuit
from kb.documents.colours import UnreadableColour, read_colour
from kb.documents.shown import shown
from kb.documents.years import read_years
from kb.nearest import nearest

BROKEN = "broken_rule"
"""The error type of every rule here; its context holds `what` and `right`."""

_SLUG = re.compile(r"[a-z0-9](?:[a-z0-9-]{0,78}[a-z0-9])?")
_LABEL = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9_/-]{0,58}[A-Za-z0-9])?")
_POSITION = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9_/-]{0,10}[A-Za-z0-9])?")
_WMI = re.compile(r"[A-HJ-NPR-Z0-9]{3}")


def broken(what: str, right: str) -> PydanticCustomError:
    """The error of a broken rule."""
    return PydanticCustomError(BROKEN, "{what}; {right}", {"what": what, "right": right})


def _sentence(error: ValueError) -> PydanticCustomError:
    what, _, right = str(error).rpartition("; ")
    return broken(what, right)


def _text(value: object, example: str) -> str:
    if isinstance(value, str):
        return value
    right = f'write text, such as "{example}"'
    if isinstance(value, int) and not isinstance(value, bool):
        right = f'write it in quotes, "{shown(value)}"'
    raise broken(f"{shown(value)} stands where text belongs", right)


def _line(longest: int, example: str) -> Callable[[object], str]:
    def check(value: object) -> str:
        text = _text(value, example)
        if not text.strip():
            raise broken("the text is empty", f'write text, such as "{example}"')
        if "\n" in text or "\t" in text:
            raise broken(f"{shown(text)} holds a line end or a tab", "write it on one line")
        if text != text.strip():
            raise broken(
                f"{shown(text)} begins or ends with a space", f"write {shown(text.strip())}"
            )
        if len(text) > longest:
            raise broken(f"the text is {len(text)} characters long", f"{longest} is the most")
        return text

    return check


def _note(value: object) -> str:
    text = _text(value, "under the carpet")
    if not text.strip():
        raise broken("the text is empty", "write it, or leave the key out")
    return text


def _matching(pattern: re.Pattern[str], rule: str, example: str) -> Callable[[object], str]:
    def check(value: object) -> str:
        text = _text(value, example)
        if not pattern.fullmatch(text):
            raise broken(f"{shown(text)} does not fit", f'write {rule}, such as "{example}"')
        return text

    return check


_label = _matching(_LABEL, "letters, digits and inner hyphens, 60 at most", "door-fl")


def _speaker_id(value: object) -> str:
    text = _label(value)
    if "/" in text:
        raise broken(f"{shown(text)} does not fit", f'write "{text.replace("/", "-")}"')
    if in_poled_family(text):
        raise broken(
            f"{shown(text)} is a name of line-level or data circuits", "give the speaker another id"
        )
    return text


def _position(value: object) -> str:
    if isinstance(value, int) and not isinstance(value, bool) and 0 <= value < 10**9:
        return str(value)
    if not isinstance(value, str) or not _POSITION.fullmatch(value):
        raise broken(
            f"{shown(value)} is no way of a connector", "write a number or a label such as B3"
        )
    return value


def _choice(words: Sequence[str], name: str) -> Callable[[object], str]:
    def check(value: object) -> str:
        text = _text(value, words[0])
        if text in words:
            return text
        near = nearest(text, words)
        right = f'the nearest is "{near}"' if near else f"write one of {', '.join(words)}"
        raise broken(f"{shown(text)} is no {name}", right)

    return check


def _number(
    least: float, most: float, unit: str, *, above: bool = False
) -> Callable[[object], float]:
    start = f"above {least:g} up" if above else f"from {least:g}"
    span = f"write a number {start} to {most:,g} {unit}".rstrip()

    def check(value: object) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise broken(f"{shown(value)} stands where a number belongs", span)
        if isinstance(value, float) and not math.isfinite(value):
            raise broken(f"{shown(value)} is not a finite number", span)
        if not least <= value <= most or (above and value == least):
            raise broken(f"{shown(value)} is out of range", span)
        return value

    return check


def _whole(least: int, most: int) -> Callable[[object], int]:
    def check(value: object) -> int:
        if isinstance(value, bool) or not isinstance(value, int):
            raise broken(
                f"{shown(value)} stands where a whole number belongs",
                f"write a whole number from {least} to {most:,}, without quotes",
            )
        if not least <= value <= most:
            raise broken(f"{shown(value)} is out of range", f"write one from {least} to {most:,}")
        return value

    return check


def _flag(value: object) -> bool:
    if not isinstance(value, bool):
        raise broken(f"{shown(value)} stands where true or false belongs", "write true or false")
    return value


def _years(value: object) -> str:
    text = _text(value, "2019-2023")
    try:
        read_years(text)
    except ValueError as error:
        raise _sentence(error) from None
    return text


def _wmi(value: object) -> str:
    text = _text(value, "XZ9")
    if not _WMI.fullmatch(text):
        raise broken(
            f"{shown(text)} cannot begin a VIN",
            "write three characters of A-Z and 0-9 without I, O and Q",
        )
    return text


def _circuits(value: object) -> str | list[str]:
    if value == UNKNOWN:
        return UNKNOWN
    listed = value if isinstance(value, list) else [value]
    if not listed:
        raise broken("the list is empty", "leave `carries` out for a way that is known to be empty")
    if UNKNOWN in listed:
        raise broken(
            f'"{UNKNOWN}" stands for a wire of which nobody knows what it carries, and in no list',
            f'write `carries = "{UNKNOWN}"`, or the circuits that were found',
        )
    for circuit in listed:
        try:
            read_circuit(_text(circuit, "door-fl+"))
        except UnreadableCircuit as error:
            raise _sentence(error) from None
    if len(set(listed)) < len(listed):
        raise broken("a circuit is listed twice", "name each once")
    return value  # type: ignore[return-value]  # each item was seen to be text


def _wire(value: object, info: ValidationInfo) -> str:
    text = _text(value, "GY/BK")
    if len(text) > 60:
        raise broken("the text is too long for a colour", "write a code, such as GY/BK")
    scheme = (info.context or {}).get("colours", "iec")
    try:
        read_colour(text, scheme)
    except UnreadableColour as error:
        raise _sentence(error) from None
    return text


def _awg(value: object) -> int | str:
    if isinstance(value, bool) or not isinstance(value, int | str):
        raise broken(f"{shown(value)} is no AWG size", 'write 0 to 40, or "1/0" to "4/0"')
    try:
        wire_sizes.read_awg(value)
    except ValueError as error:
        raise _sentence(error) from None
    return value


def _day(value: object) -> str:
    if isinstance(value, datetime.date) and not isinstance(value, datetime.datetime):
        return value.isoformat()
    if isinstance(value, str) and re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", value):
        try:
            return datetime.date.fromisoformat(value).isoformat()
        except ValueError:
            pass
    raise broken(f"{shown(value)} is no day", "write one of the calendar, such as 2026-03-14")


def _watts_by_load(value: object) -> dict[str, float]:
    if not isinstance(value, dict) or not value:
        raise broken(
            f"{shown(value)} is no table of loads", "write { 4 = 60, 2 = 90 }, watts by ohms"
        )
    loads: set[float] = set()
    watts = _number(0, 100_000, "watts", above=True)
    for ohms, rating in value.items():
        if isinstance(rating, dict):
            raise broken(
                f"the load {shown(ohms)} has a table inside",
                f'put a load with a point in quotes, "{ohms}.67"',
            )
        if not re.fullmatch(r"[0-9]{1,4}(?:\.[0-9]{1,4})?", ohms) or float(ohms) == 0:
            raise broken(f"{shown(ohms)} is no load in ohms", 'write numbers, such as 4 or "2.67"')
        if float(ohms) in loads:
            raise broken(f"the load of {ohms} ohms stands twice", "keep one")
        loads.add(float(ohms))
        watts(rating)
    return value


def _input_volts(value: object) -> list[float]:
    if not isinstance(value, list) or len(value) != 2:
        raise broken(
            f"{shown(value)} is no pair of volts", "write [least, most], such as [0.2, 4.5]"
        )
    least, most = (_number(0, 100, "volts", above=True)(volts) for volts in value)
    if least > most:
        raise broken("the least is above the most", f"write [{most:g}, {least:g}]")
    return value


def _unique(value: list[Any]) -> list[Any]:
    for index, item in enumerate(value):
        if item in value[:index]:
            raise broken(f"{shown(item)} is listed twice", "keep one")
    return value


def _some(value: list[Any]) -> list[Any]:
    if not value:
        raise broken("the list is empty", "name at least one")
    return value


Slug = Annotated[
    str, PlainValidator(_matching(_SLUG, "a-z, 0-9 and inner hyphens, 80 at most", "oku-b6"))
]
Label = Annotated[str, PlainValidator(_label)]
SpeakerId = Annotated[str, PlainValidator(_speaker_id)]
Position = Annotated[str, PlainValidator(_position)]
Name = Annotated[str, PlainValidator(_line(200, "Halden"))]
Place = Annotated[str, PlainValidator(_line(100, "dash-centre"))]
Plug = Annotated[str, PlainValidator(_line(60, "HT-20"))]
Reference = Annotated[str, PlainValidator(_line(120, "A1.3"))]
Note = Annotated[str, PlainValidator(_note)]
Years = Annotated[str, PlainValidator(_years)]
Wmi = Annotated[str, PlainValidator(_wmi)]
Circuits = Annotated[str | list[str], PlainValidator(_circuits)]
Wire = Annotated[str, PlainValidator(_wire)]
Awg = Annotated[int | str, PlainValidator(_awg)]
Day = Annotated[str, PlainValidator(_day)]
Flag = Annotated[bool, PlainValidator(_flag)]
WattsByLoad = Annotated[dict[str, float], PlainValidator(_watts_by_load)]
InputVolts = Annotated[list[float], PlainValidator(_input_volts)]

Mm2 = Annotated[float, PlainValidator(_number(0, 1_000, "mm2", above=True))]
Ohms = Annotated[float, PlainValidator(_number(0, 10_000, "ohms", above=True))]
Watts = Annotated[float, PlainValidator(_number(0, 100_000, "watts", above=True))]
Amps = Annotated[float, PlainValidator(_number(0, 1_000, "amps", above=True))]
SmallAmps = Annotated[float, PlainValidator(_number(0, 1_000, "amps"))]
Volts = Annotated[float, PlainValidator(_number(0, 100, "volts", above=True))]
Hertz = Annotated[float, PlainValidator(_number(0, 100_000, "Hz"))]
Minutes = Annotated[float, PlainValidator(_number(0, 10_000, "minutes"))]
Seconds = Annotated[float, PlainValidator(_number(0, 100_000, "seconds"))]
Metres = Annotated[float, PlainValidator(_number(0, 1_000, "metres"))]
Efficiency = Annotated[float, PlainValidator(_number(0, 1, "", above=True))]
Ways = Annotated[int, PlainValidator(_whole(1, 1_000))]
Count = Annotated[int, PlainValidator(_whole(0, 1_000))]

UnitKind = Annotated[str, PlainValidator(_choice(vocabulary.UNIT_KINDS, "kind of unit"))]
MatesWith = Annotated[
    str, PlainValidator(_choice((*vocabulary.UNIT_KINDS, vocabulary.IN_LINE), "kind of unit"))
]
Role = Annotated[str, PlainValidator(_choice(vocabulary.ROLES, "role of a speaker"))]
Stage = Annotated[str, PlainValidator(_choice(vocabulary.STEP_STAGES, "stage of the work"))]
Duty = Annotated[str, PlainValidator(_choice(vocabulary.DUTIES, "duty"))]
Method = Annotated[str, PlainValidator(_choice(vocabulary.EVIDENCE_METHODS, "method of evidence"))]
Use = Annotated[str, PlainValidator(_choice(vocabulary.PART_USES, "use of a part"))]
OutputChannel = Annotated[str, PlainValidator(_choice(vocabulary.OUTPUT_CHANNELS, "output"))]
AmplifierClass = Annotated[
    str, PlainValidator(_choice(vocabulary.AMPLIFIER_CLASSES, "class of amplifier"))
]
Numbering = Annotated[str, PlainValidator(_choice(vocabulary.NUMBERINGS, "numbering"))]
Side = Annotated[str, PlainValidator(_choice(vocabulary.SIDES, "side of a connector"))]
Wiring = Annotated[str, PlainValidator(_choice(vocabulary.WIRINGS, "wiring"))]
Scheme = Annotated[str, PlainValidator(_choice(vocabulary.COLOUR_SCHEMES, "spelling of colours"))]
Kind = Annotated[
    Literal["vehicle", "kit", "amplifier", "job"],
    PlainValidator(_choice(vocabulary.KINDS, "kind of document")),
]

Unique = AfterValidator(_unique)
Some = AfterValidator(_some)
Panels = Annotated[list[Label], Unique]
