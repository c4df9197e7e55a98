"""The sheets of each kind of document: which tables and columns the entry grid shows, in words.

A key without a column stays with its row unseen, and a table without a sheet with its document.
It stands alone so that the shape can be read at one glance.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Kind = Literal["text", "number", "list", "circuits", "yes", "numbers", "loads"]
LISTS = ("list", "circuits", "numbers", "loads")
"""Kinds whose cells hold several values, parted by spaces or commas."""


@dataclass(frozen=True)
class Column:
    """One column: the document's key, its heading, how a value is written, and a word of help."""

    key: str
    title: str = ""
    kind: Kind = "text"
    help: str = ""
    needed: bool = False

    @property
    def heading(self) -> str:
        """What stands above it."""
        return self.title or self.key


@dataclass(frozen=True)
class Sheet:
    """A table of the document. `inside`: its rows belong to rows of that table, under that key."""

    name: str
    title: str
    columns: tuple[Column, ...]
    inside: str | None = None  # the table whose rows hold these, by their `id`
    under: str | None = None  # the key there: `pins`, `leads`
    head: bool = False  # one row: the entry itself, shown as key and value

    @property
    def before(self) -> int:
        """How many cells of a row come before its own columns."""
        return 1 if self.inside else 0

    @property
    def headings(self) -> list[str]:
        """The columns as they are shown; a row that belongs to another names that one first."""
        return [self.inside or ""] * self.before + [column.heading for column in self.columns]

    def column(self, at: int) -> Column:
        """The column of a cell; the one before its own names the row that it belongs to."""
        if at < self.before:
            help = f"the id of the {self.inside} that it belongs to"
            return Column("", self.inside or "", help=help, needed=True)
        return self.columns[at - self.before]

    def at(self, key: str) -> int:
        """Where the cell of a key is, the first one where none is its own."""
        keys = [column.key for column in self.columns]
        return self.before + keys.index(key) if key in keys else 0


def _needed(key: str, title: str = "", kind: Kind = "text", help: str = "") -> Column:
    return Column(key, title, kind, help, needed=True)


_SLUG = "its name in this book: small letters, digits, hyphens"
_PANELS = Column("panels", "panels off", "list", "ids of the panels that come off to get at it")
_NOTE = Column("note")

_VEHICLE = (
    Sheet("vehicle", "Vehicle", head=True, columns=(
        _needed("id", help=_SLUG), _needed("make"), _needed("model"),
        _needed("years", help="model years: 2019-2023, 2019 or an open 2019-"),
        Column("wmi", "VIN begins with", "list", "the first three characters of its VINs"),
        Column("body"), _needed("audio", "audio option", help="as sold: concert, 10 speakers"),
        Column("sold_speakers", "speakers as sold", "number", "how many the maker counts"))),
    Sheet("unit", "Units", (
        _needed("id"), _needed("kind", help="radio, amplifier, processor, other"),
        Column("place"),
        Column("senses_load", "senses load", "yes", "yes: it mutes or faults when an output is "
               "left open"), _PANELS)),
    Sheet("speaker", "Speakers", (
        _needed("id"), Column("place"),
        _needed("role", help="tweeter, midrange, midbass, woofer, full-range, centre, surround, "
                "subwoofer"),
        Column("ohms", "", "number", "nominal"),
        Column("duties", "", "list", "chime, emergency-call, noise-cancelling, phone"),
        Column("blocks_below_hz", "capacitor Hz", "number", "its in-line capacitor's corner"),
        Column("keep", "keep, why", help="why it must stay in place"), _PANELS)),
    Sheet("connector", "Connectors", (
        _needed("id"), Column("unit", help="the id of its unit; empty: in line"),
        _needed("plug", help="the family that a harness must mate with"),
        _needed("ways", "", "number"), Column("rows", "", "number"), Column("place"), _PANELS)),
    Sheet("pin", "Pins", (
        _needed("at", "way", help="its position as the moulding has it: 3, B3"),
        Column("carries", "", "circuits", "door-fl+ ground …; ?: a wire, use unknown; all blank: "
               "an empty way"),
        Column("wire", help="GY/BK or grey/black"),
        Column("mm2", "mm²", "number"), Column("awg", "AWG", "number")),
        inside="connector", under="pins"),
    Sheet("panel", "Panels", (
        _needed("id"), Column("minutes", "", "number", "to take off and refit"))),
    Sheet("route", "Routes", (
        _needed("from", help="a place"), _needed("to", help="a place"),
        _needed("metres", "", "number"),
        Column("panels", "panels off", "list", "ids of the panels that come off to use it"),
        _NOTE)),
    Sheet("evidence", "Evidence", (
        _needed("of", "", "list", "A1.3 A1.13, or a whole connector"),
        _needed("method", help="meter, tone, polarity-pop, scope, wiring-diagram, hearsay"),
        Column("on", "day", help="2026-03-14"), _NOTE)),
)  # fmt: skip

_KIT = (
    Sheet("kit", "Kit", head=True, columns=(
        _needed("id", help=_SLUG), _needed("maker"), _needed("name"),
        _needed("takes_out", "takes out", "list", "amplifier, radio, processor; none"),
        _needed("line_outputs", "line outputs", "number"),
        _needed("output_volts", "output volts", "numbers", "such as 5 4"))),
    Sheet("output", "Line outputs", (
        _needed("id"), _needed("carries", help="front-left … rear-right, centre, bass"),
        Column("fades", "", "yes", "yes: it follows balance and fade"))),
    Sheet("part", "Parts", (
        _needed("id"), _needed("use", help="always or choice"),
        Column("unit", help="only on connectors of this kind of unit, or in-line"),
        _needed("plugs", "", "list"),
        Column("intercepts", "", "yes", "yes: it opens the factory wire; no: it only listens"))),
    Sheet("lead", "Leads", (
        _needed("lead"), _needed("plug"), _needed("plus"), _needed("minus"), Column("wire"),
        Column("meant_for", "meant for")), inside="part", under="leads"),
    Sheet("evidence", "Evidence", _VEHICLE[-1].columns),
)  # fmt: skip

_AMPLIFIER = (
    Sheet("amplifier", "Amplifier", head=True, columns=(
        _needed("id", help=_SLUG), _needed("maker"), _needed("name"),
        _needed("class", help="D or AB"), _needed("fuse_amps", "fuse, A", "number"),
        _needed("input_volts", "input volts", "numbers", "least and most for full output: 0.2 4.5"),
        Column("efficiency", "", "number", "a share of 1, such as 0.8"),
        Column("turn_on_amps", "turn-on, A", "number"))),
    Sheet("channel", "Channels", (
        _needed("id"), _needed("watts", "watts by ohms", "loads", "4=60 2=90: 60 W at 4 ohms …"),
        _needed("min_ohms", "least ohms", "number"), _NOTE)),
    Sheet("evidence", "Evidence", _VEHICLE[-1].columns),
)  # fmt: skip

_JOB = (
    Sheet("job", "Job", head=True, columns=(
        _needed("id", help=_SLUG), _needed("vehicle", help="its id in this book"),
        _needed("kit", help="its id in this book"),
        Column("parts", "", "list", "parts of the kit by choice; empty: the plan may choose"),
        _needed("amplifier", help="its id in this book"),
        _needed("amplifier_place", "amplifier's place"),
        _needed("battery_place", "battery's place"),
        Column("ground_metres", "ground wire, m", "number"),
        Column("silent", "", "list", "speakers that shall not play"))),
    Sheet("drive", "Channels", (
        _needed("channel"), _needed("speakers", "", "list"),
        Column("wiring", help="parallel or series"))),
    Sheet("fitted", "Fitted speakers", (
        _needed("speaker", help="the factory speaker that it replaces"),
        Column("ohms", "", "number"), Column("watts", "", "number"),
        Column("blocks_below_hz", "capacitor Hz", "number"), _NOTE)),
    Sheet("evidence", "Evidence", _VEHICLE[-1].columns),
)  # fmt: skip

SHEETS: dict[str, tuple[Sheet, ...]] = {
    "vehicle": _VEHICLE, "kit": _KIT, "amplifier": _AMPLIFIER, "job": _JOB,
}  # fmt: skip
