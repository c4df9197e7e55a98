"""Rows of a matched table -> pins, with every doubt said by its row.

It stands alone because it knows rows and documents' words, but no vehicle beyond its speakers.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any

from kb.documents.carried import UNKNOWN, carried, carried_in_words, has_wire
from kb.documents.circuits import SpeakerPole, UnreadableCircuit, read_circuit
from kb.documents.colours import Scheme, UnreadableColour, read_colour
from kb.documents.shown import shown
from kb.errors import Refused
from kb.intake.headings import Match, Meaning
from kb.nearest import nearest
from kb.wire_sizes import read_awg

_EMPTY_WORDS = frozenset(
    {
        "-",
        "--",
        "–",
        "—",
        "n/c",
        "nc",
        "n.c.",
        "empty",
        "not used",
        "unused",
        "n/a",
        "none",
        "blank",
        "nothing",
    }
)
_UNKNOWN_WORDS = frozenset({UNKNOWN, "??", "unknown", "not known"})
_SIZE = re.compile(r"([0-9]+(?:[.,][0-9]+)?|[1-4]/0)\s*(mm2|mm²|mm\^2|sq\.? ?mm|awg|ga)?", re.I)


@dataclass(frozen=True)
class TablePin:
    """A pin as a document writes it, the connector that the row names, and the row.

    `remark` says how the row was taken where it contradicts itself.
    """

    row: int
    connector: str | None
    facts: Mapping[str, Any]
    remark: str = ""


@dataclass(frozen=True)
class TablePins:
    """What the rows hold. `problems` refuse; `remarks` explain what was left out and why."""

    pins: tuple[TablePin, ...]
    problems: tuple[str, ...]
    remarks: tuple[str, ...]


def read_pins(
    name: str,
    match: Match,
    *,
    speakers: Collection[str],
    meanings: Mapping[str, str] | None = None,
    scheme: Scheme = "iec",
) -> TablePins:
    """The pins of a table. `meanings`: a circuit as the table writes it -> as documents do."""
    said = {text.casefold(): circuit for text, circuit in (meanings or {}).items()}
    pins: dict[tuple[str | None, str], TablePin] = {}
    problems: list[str] = []
    remarks: list[str] = []
    unsaid = 0
    for number, cells in match.rows:
        where = f"{name}, row {number}"
        try:
            pin = _pin(match, number, cells, speakers, said, scheme)
        except Refused as fault:
            problems.append(f"{where}: {fault}")
            continue
        if pin is None:
            unsaid += 1
            continue
        if pin.remark:
            remarks.append(f"{where}: {pin.remark}")
        key = (pin.connector, pin.facts["at"])
        before = pins.get(key)
        if before is None:
            pins[key] = pin
        elif before.facts == pin.facts:
            remarks.append(f"{where} repeats row {before.row}; it is kept once")
        else:
            at = pin.facts["at"]
            problems.append(
                f"{where}: position {at} stands in row {before.row} already, and says "
                f"{_said(before.facts)} there and {_said(pin.facts)} here; keep the right one"
            )
    if unsaid:
        remarks.append(
            f"rows with a position and nothing on it, a note aside: {unsaid}; they say nothing, "
            "not that the way is empty (write `empty` for that, and `?` for a wire of which "
            "nobody knows)"
        )
    return TablePins(tuple(pins.values()), tuple(problems), tuple(remarks))


def _pin(
    match: Match,
    row: int,
    cells: tuple[str, ...],
    speakers: Collection[str],
    said: Mapping[str, str],
    scheme: Scheme,
) -> TablePin | None:
    def cell(meaning: Meaning) -> str:
        index = match.index_of(meaning)
        return cells[index] if index is not None and index < len(cells) else ""

    at, circuit, colour = cell("position"), cell("circuit"), cell("colour")
    if not at:
        if not circuit and not colour:
            return None
        raise Refused(f"{circuit or colour} has no position")
    facts: dict[str, Any] = {"at": at}
    empty = circuit.casefold() in _EMPTY_WORDS
    if circuit.casefold() in _UNKNOWN_WORDS and circuit.casefold() not in said:
        facts["carries"] = UNKNOWN
    elif circuit and not empty:
        facts["carries"] = _circuits(circuit, speakers, said)
    if colour and colour.casefold() not in _EMPTY_WORDS:
        facts["wire"] = _colour(colour, scheme)
    facts |= _size(cell)
    if note := cell("note"):
        facts["note"] = note
    remark = ""
    if empty and has_wire(facts):
        facts["carries"] = UNKNOWN
        remark = (
            f"position {at} is called {shown(circuit)} and has a wire; it is taken as a wire of "
            "which nobody knows what it carries"
        )
    if not empty and facts.keys() <= {"at", "note"}:
        return None
    return TablePin(row, cell("connector") or None, facts, remark)


def _circuits(text: str, speakers: Collection[str], said: Mapping[str, str]) -> str | list[str]:
    if text.casefold() in said:
        text = said[text.casefold()]
    known = {speaker.casefold(): speaker for speaker in speakers}
    circuits = []
    for word in re.split(r"[\s,;]+", text):
        if not word:
            continue
        try:
            circuit = read_circuit(word)
        except UnreadableCircuit as fault:
            raise Refused(f"{fault}; or --means {shown(text + '=CIRCUIT')}") from fault
        if isinstance(circuit, SpeakerPole):
            speaker = known.get(circuit.speaker.casefold())
            if speaker is None:
                near = nearest(circuit.speaker, speakers)
                hint = f"the nearest speaker is {near}" if near else f"known: {', '.join(speakers)}"
                raise Refused(f"{shown(word)} is of no speaker of this vehicle; {hint}")
            word = SpeakerPole(speaker, circuit.coil, circuit.pole).text
        circuits.append(word)
    if len(circuits) > 1 and not all(circuit[-1:] in "+-" for circuit in circuits):
        raise Refused(
            f"{shown(text)} is no circuit that a document writes; "
            f"say which it is with --means {shown(text + '=CIRCUIT')}"
        )
    return circuits[0] if len(circuits) == 1 else circuits


def _colour(text: str, scheme: Scheme) -> str:
    try:
        colour = read_colour(text, scheme)
    except UnreadableColour as fault:
        raise Refused(str(fault)) from fault
    # Under the older letters the code is kept: the vehicle's document may use others.
    return colour.code if scheme == "de" else text


def _size(cell: Any) -> dict[str, Any]:
    for meaning in ("mm2", "awg", "size"):
        text = cell(meaning)
        if not text or text.casefold() in _EMPTY_WORDS:
            continue
        found = _SIZE.fullmatch(text)
        if found is None:
            raise Refused(f"{shown(text)} is no wire size; write 0.75 mm2 or 18 AWG")
        unit = (found[2] or "").casefold()
        if not unit and meaning == "size":
            raise Refused(f"the size {shown(text)} has no unit; write mm2 or AWG behind it")
        if unit in ("awg", "ga") or (not unit and meaning == "awg"):
            try:
                read_awg(found[1] if "/" in found[1] else int(found[1]))
            except ValueError as fault:
                raise Refused(f"{shown(text)} is no AWG size; {fault}") from fault
            return {"awg": found[1] if "/" in found[1] else int(found[1])}
        return {"mm2": float(found[1].replace(",", "."))}
    return {}


def _said(facts: Mapping[str, Any]) -> str:
    text = carried_in_words(carried(facts))
    return f"{text}{' ' + facts['wire'] if 'wire' in facts else ''}"
