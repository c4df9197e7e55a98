"""One connector as a face: what is recorded of its shape, and what each of its ways carries.

It stands alone because terminal, picture and browser draw the same face, and a face must tell a
way that is known to be empty from one that nobody documented, wherever it is drawn.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Side = Literal["wire", "mating"]
Numbering = Literal["rows", "columns"]


@dataclass(frozen=True, slots=True)
class Pin:
    """One documented way. No circuits: it is known to be empty."""

    at: str
    circuits: tuple[str, ...] = ()
    wire: str | None = None  # IEC 60757 letters, base first: GY/BK
    mm2: float | None = None
    awg: int | None = None  # 0 for 1/0, -1 for 2/0
    methods: tuple[str, ...] = ()  # how it was established, as the document says; empty: unsaid
    disputed: bool = False  # another live revision has this way differently


@dataclass(frozen=True, slots=True)
class Face:
    """A connector with its documented ways in the order in which people count.

    `ways`, `rows`, `numbering` and `seen_from` are None where the document does not say: no
    drawing may fill them in without saying so.
    """

    vehicle: str
    connector: str
    plug: str
    pins: tuple[Pin, ...]
    state: str
    unit: str | None = None  # None: in-line
    kind: str = "in-line"
    place: str | None = None
    ways: int | None = None
    rows: int | None = None
    numbering: Numbering | None = None  # rows: row by row; columns: down each column
    seen_from: Side | None = None  # the side from which way 1 is at the upper left
