"""One document as the rows of the projection: content in, rows for each table out, nothing else.

A stage of its own so that `rebuild` and `add` cannot differ: both pass here, and here alone.
The content is what the documents package let through; this module reads it and judges nothing.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any, TypeVar

from kb.documents.carried import carried, kept
from kb.documents.circuits import SpeakerPole, read_circuit
from kb.documents.colours import read_colour
from kb.documents.positions import position_order
from kb.documents.years import read_years
from kb.store.words import words_of_vehicle
from kb.wire_sizes import awg_to_mm2, read_awg

Row = dict[str, Any]
Rows = dict[str, list[Row]]
T = TypeVar("T")


def rows_of(revision: int, kind: str, content: Mapping[str, Any], marks: Row) -> Rows:
    """The rows of one revision by table. `marks` holds state, answers and newest."""
    rows: Rows = defaultdict(list)
    {
        "vehicle": _vehicle,
        "kit": _kit,
        "amplifier": _amplifier,
        "job": _job,
    }[kind](rows, revision, content, marks)
    return rows


def _vehicle(rows: Rows, vehicle: int, content: Mapping[str, Any], marks: Row) -> None:
    head = content["vehicle"]
    first_year, last_year = read_years(head["years"])
    speakers = content.get("speaker", ())
    rows["vehicle"].append(
        {
            "vehicle": vehicle,
            "id": head["id"],
            "make": head["make"],
            "model": head["model"],
            "first_year": first_year,
            "last_year": last_year,
            "body": head.get("body"),
            "audio": head.get("audio"),
            "sold_speakers": head.get("sold_speakers"),
            "speakers": len(speakers),
            "words": "\n".join(texts(content)),
            **marks,
        }
    )
    rows["vehicle_word"] += [{"vehicle": vehicle, "word": word} for word in words_of_vehicle(head)]
    rows["wmi"] += [{"vehicle": vehicle, "wmi": wmi} for wmi in unique(head.get("wmi", ()))]
    for unit in content.get("unit", ()):
        senses = unit.get("senses_load")
        rows["unit"].append(
            {
                "vehicle": vehicle,
                "unit": unit["id"],
                "kind": unit["kind"],
                "place": unit.get("place"),
                "senses_load": None if senses is None else int(senses),
            }
        )
        _panels_before(rows, vehicle, "unit", unit)
    for position, speaker in enumerate(speakers):
        rows["speaker"].append(
            {
                "vehicle": vehicle,
                "speaker": speaker["id"],
                "position": position,
                "place": speaker.get("place"),
                "role": speaker["role"],
                "ohms": speaker.get("ohms"),
                "duties": " ".join(speaker["duties"]) if "duties" in speaker else None,
                "keep": speaker.get("keep"),
                "blocks_below_hz": speaker.get("blocks_below_hz") or None,
            }
        )
        _panels_before(rows, vehicle, "speaker", speaker)
    _connectors(rows, vehicle, content)
    rows["panel"] += [
        {"vehicle": vehicle, "panel": panel["id"], "minutes": panel.get("minutes")}
        for panel in content.get("panel", ())
    ]
    for position, route in enumerate(content.get("route", ())):
        rows["route"].append(
            {
                "vehicle": vehicle,
                "position": position,
                "place_a": route["from"],
                "place_b": route["to"],
                "metres": route.get("metres"),
                "note": route.get("note"),
            }
        )
        rows["route_panel"] += [
            {"vehicle": vehicle, "position": position, "panel": panel}
            for panel in unique(route.get("panels", ()))
        ]
    _evidence(rows, vehicle, content)


def _connectors(rows: Rows, vehicle: int, content: Mapping[str, Any]) -> None:
    units = {unit["id"]: unit for unit in content.get("unit", ())}
    speakers = {speaker["id"] for speaker in content.get("speaker", ())}
    scheme = content.get("colours", "iec")
    position_of_pole = 0
    for connector in content.get("connector", ()):
        unit = units.get(connector.get("unit", ""))
        rows["connector"].append(
            {
                "vehicle": vehicle,
                "connector": connector["id"],
                "unit": connector.get("unit"),
                "kind": unit["kind"] if unit else "in-line",
                "plug": connector["plug"],
                "ways": connector.get("ways"),
                "rows": connector.get("rows"),
                "numbering": connector.get("numbering"),
                "seen_from": connector.get("seen_from"),
                "place": connector.get("place") or (unit or {}).get("place"),
            }
        )
        _panels_before(rows, vehicle, "connector", connector)
        pins = sorted(connector.get("pins", ()), key=lambda pin: position_order(str(pin["at"])))
        for position, pin in enumerate(pins):
            where = {"vehicle": vehicle, "connector": connector["id"], "at": str(pin["at"])}
            carries = kept(carried(pin))
            rows["pin"].append(
                where | {"position": position, "carries": carries} | _wire(pin, scheme) | _size(pin)
            )
            for circuit in (carries or "").split():
                position_of_pole += 1
                read = read_circuit(circuit)
                if isinstance(read, SpeakerPole) and read.speaker in speakers:
                    rows["pole"].append(
                        where
                        | {
                            "speaker": read.speaker,
                            "coil": read.coil or "",
                            "pole": read.pole,
                            "position": position_of_pole,
                            "unit": connector.get("unit"),
                        }
                    )
                else:
                    rows["pin_circuit"].append(where | {"circuit": circuit})


def _wire(pin: Mapping[str, Any], scheme: str) -> Row:
    if "wire" not in pin:
        return {"wire": None, "base": None, "stripe": None, "wire_written": None}
    colour = read_colour(pin["wire"], scheme)  # type: ignore[arg-type]  # validated on its way in
    return {
        "wire": colour.code,
        "base": colour.base,
        "stripe": colour.stripe,
        "wire_written": pin["wire"],
    }


def _size(pin: Mapping[str, Any]) -> Row:
    if "awg" in pin:
        awg = read_awg(pin["awg"])
        return {"mm2": awg_to_mm2(awg), "awg": awg}
    return {"mm2": pin.get("mm2"), "awg": None}


def _kit(rows: Rows, kit: int, content: Mapping[str, Any], marks: Row) -> None:
    head = content["kit"]
    rows["kit"].append(
        {
            "kit": kit,
            "id": head["id"],
            "maker": head["maker"],
            "name": head["name"],
            "line_outputs": head.get("line_outputs"),
            **marks,
        }
    )
    rows["takes_out"] += [{"kit": kit, "kind": kind} for kind in unique(head.get("takes_out", ()))]
    scheme = content.get("colours", "iec")
    lead_position = 0
    for position, part in enumerate(content.get("part", ())):
        intercepts = part.get("intercepts")
        rows["part"].append(
            {
                "kit": kit,
                "part": part["id"],
                "position": position,
                "use": part["use"],
                "unit": part.get("unit"),
                "intercepts": None if intercepts is None else int(intercepts),
            }
        )
        rows["part_plug"] += [
            {"kit": kit, "part": part["id"], "plug": plug} for plug in unique(part["plugs"])
        ]
        for lead in part.get("leads", ()):
            lead_position += 1
            wire = lead.get("wire")
            rows["lead"].append(
                {
                    "kit": kit,
                    "part": part["id"],
                    "lead": str(lead["lead"]),
                    "position": lead_position,
                    "plug": lead["plug"],
                    "plus": str(lead["plus"]),
                    "minus": str(lead["minus"]),
                    "wire": None if wire is None else read_colour(wire, scheme).code,
                    "meant_for": lead.get("meant_for"),
                }
            )
    _evidence(rows, kit, content)


def _amplifier(rows: Rows, amplifier: int, content: Mapping[str, Any], marks: Row) -> None:
    head = content["amplifier"]
    named = {key: head[key] for key in ("id", "maker", "name")}
    rows["amplifier"].append({"amplifier": amplifier, **named, **marks})


def _job(rows: Rows, job: int, content: Mapping[str, Any], marks: Row) -> None:
    head = content["job"]
    named = {key: head[key] for key in ("id", "vehicle", "kit")}
    rows["job"].append({"job": job, **named, **marks})


def _evidence(rows: Rows, revision: int, content: Mapping[str, Any]) -> None:
    ways = ways_of(content)
    for position, evidence in enumerate(content.get("evidence", ())):
        for pin in unique(pin for name in evidence["of"] for pin in pins_named(name, ways)):
            connector, at = pin
            rows["evidence"].append(
                {
                    "revision": revision,
                    "position": position,
                    "connector": connector,
                    "at": at,
                    "method": evidence["method"],
                    "day": None if evidence.get("on") is None else str(evidence["on"]),
                    "note": evidence.get("note"),
                }
            )


def ways_of(content: Mapping[str, Any]) -> dict[str, list[str]]:
    """The documented ways of each connector."""
    return {
        connector["id"]: [str(pin["at"]) for pin in connector.get("pins", ())]
        for connector in content.get("connector", ())
    }


def pins_named(name: str, ways: Mapping[str, Sequence[str]]) -> list[tuple[str, str]]:
    """The pins that an evidence's `of` names: "A1.3" is one, "A1" all of that connector."""
    if name in ways:
        return [(name, at) for at in ways[name]]
    connector, _, at = name.rpartition(".")
    return [(connector, at)] if at in ways.get(connector, ()) else []


def _panels_before(rows: Rows, vehicle: int, thing: str, content: Mapping[str, Any]) -> None:
    rows["panel_before"] += [
        {"vehicle": vehicle, "thing": thing, "id": content["id"], "panel": panel}
        for panel in unique(content.get("panels", ()))
    ]


def texts(content: object) -> Iterator[str]:
    """Every text written anywhere in a document, keys left out."""
    if isinstance(content, str):
        yield content
    elif isinstance(content, Mapping):
        for value in content.values():
            yield from texts(value)
    elif isinstance(content, Sequence):
        for value in content:
            yield from texts(value)


def unique(values: Iterable[T]) -> list[T]:
    """The values without repeats, in the order written."""
    return list(dict.fromkeys(values))
