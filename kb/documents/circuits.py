"""What a pin carries: one pole of a speaker, or a named circuit such as `battery` or `data+`.

`door-fl+` is the plus pole of speaker door-fl; `sub.a-` the minus pole of coil a of speaker sub,
whose other coil is b.
Circuits of the families below end in a pole too, but belong to no speaker.

It stands alone because documents, the store, queries and plans all need one reading of these texts.
"""

import re
from dataclasses import dataclass
from typing import Literal

Pole = Literal["+", "-"]

POLED_FAMILIES: tuple[str, ...] = (
    "line",
    "data",
    "bus",
    "audio",
    "aux",
    "microphone",
    "phone",
    "video",
    "antenna",
)
"""Families of named circuits that come in pairs: `data+`, `line-fl-`. No speaker's id is in one."""

USUAL_CIRCUITS = ("battery", "ignition", "ground", "turn-on", "illumination", "shield", "mute")
"""Usual named circuits, none with a pole; any other name is a circuit too."""

COILS = ("a", "b")
"""The coils of a dual-coil speaker, as circuits name them: `sub.a+`."""

_NAME = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9_-]{0,58}[A-Za-z0-9])?")


class UnreadableCircuit(ValueError):
    """The text names no circuit; `str()` says why and what to write."""


@dataclass(frozen=True, slots=True)
class SpeakerPole:
    """One pole of a speaker, or of one coil of a speaker."""

    speaker: str
    coil: str | None
    pole: Pole

    @property
    def text(self) -> str:
        """The circuit as documents write it."""
        return f"{self.speaker}{'' if self.coil is None else '.' + self.coil}{self.pole}"


@dataclass(frozen=True, slots=True)
class NamedCircuit:
    """A circuit that is no speaker's: `battery`, `data+`, `line-fl+`."""

    name: str

    @property
    def text(self) -> str:
        """The circuit as documents write it."""
        return self.name


def in_poled_family(stem: str) -> bool:
    """Whether `stem` (a circuit without its pole) is of a family that belongs to no speaker."""
    return any(stem == family or stem.startswith(family + "-") for family in POLED_FAMILIES)


def read_circuit(text: str) -> SpeakerPole | NamedCircuit:
    """Read a circuit. Raises `UnreadableCircuit`.

    Whether a speaker of that name exists is for the vehicle to say, not for the text.
    """
    if not text:
        raise UnreadableCircuit(
            'a circuit is empty; write one such as "door-fl+" or "battery", or leave the pin empty'
        )
    stem, pole = (text[:-1], text[-1]) if text[-1] in "+-" else (text, None)
    name, dot, coil = stem.partition(".")
    if not _NAME.fullmatch(name):
        raise UnreadableCircuit(
            f'"{text}" is no circuit; write letters, digits, hyphens, such as "door-fl+", '
            '"sub.a-" or "battery"'
        )
    if pole is None:
        if dot:
            raise UnreadableCircuit(f'"{text}" lacks its pole; write "{text}+" or "{text}-"')
        return NamedCircuit(text)
    if not dot:
        if in_poled_family(name):
            return NamedCircuit(text)
        return SpeakerPole(name, None, "+" if pole == "+" else "-")
    if coil not in COILS:
        meant = coil.lower() if coil.lower() in COILS else None
        right = f'"{name}.{meant}{pole}"' if meant else f'"{name}.a{pole}" or "{name}.b{pole}"'
        raise UnreadableCircuit(
            f'"{text}" names no coil; the coils of a dual-coil speaker are a and b: write {right}'
        )
    return SpeakerPole(name, coil, "+" if pole == "+" else "-")
