"""Books of any size, invented by chance from a seed: for benchmarks and for checks by hand.

The documents have the shape of design section 3 and pass the store's own way in; only their text
is not read from files. Some things are left out on purpose, so that unknowns are everywhere.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from kb.store.book import Book, open_book
from kb.store.revisions import add_documents

MAKES = ("Halden", "Oskar", "Quessel", "Brask", "Torvane", "Wendrake", "Yarrin", "Skarne")
MODELS = ("Tarn", "Marl", "Orrin", "Sedge", "Haulm", "Dapple", "Holt", "Fenn", "Carr", "Wold")
PLACES = (
    ("door-fl", "door-front-left", "midbass"),
    ("door-fr", "door-front-right", "midbass"),
    ("sail-l", "sail-left", "tweeter"),
    ("sail-r", "sail-right", "tweeter"),
    ("door-rl", "door-rear-left", "full-range"),
    ("door-rr", "door-rear-right", "full-range"),
    ("centre", "dash-top", "centre"),
    ("sub", "load-floor", "subwoofer"),
)
WIRES = ("WH", "GY/BK", "GY", "GN/BK", "VT", "BU/YE", "OG", "PK/BK", "BN", "YE/RD", "GN/BU")
PLUGS = ("HT", "QM", "BK", "TS")
AT_ONCE = 500


@dataclass(frozen=True)
class Made:
    """What the store asks of a document."""

    kind: str
    id: str
    content: dict[str, Any]


def make_book(path: Path, vehicles: int, *, kits: int = 12, seed: int = 1) -> Book:
    """A new book of that many vehicles and kits."""
    chance = random.Random(seed)
    book = open_book(path)
    documents = [*(kit(chance, number) for number in range(kits))]
    documents += [vehicle(chance, number) for number in range(vehicles)]
    for start in range(0, len(documents), AT_ONCE):
        with book.writing() as database:
            add_documents(database, documents[start : start + AT_ONCE], author="bench")
    return book


def vehicle(chance: random.Random, number: int) -> Made:
    """Eight speakers at most, a radio, often an amplifier, some pins undocumented."""
    make, model = chance.choice(MAKES), chance.choice(MODELS)
    first = chance.randint(2008, 2025)
    id = f"{make}-{model}-{number}".lower()
    amplified = chance.random() < 0.7
    speakers = [one for one in PLACES if chance.random() < 0.9]
    content: dict[str, Any] = {
        "kind": "vehicle",
        "vehicle": {
            "id": id,
            "make": make,
            "model": model,
            "years": f"{first}-" if chance.random() < 0.1 else f"{first}-{first + 4}",
            "audio": chance.choice(("plain", "concert", "hall")),
        },
        "unit": [{"id": "radio", "kind": "radio", "place": "dash-centre"}],
        "speaker": [_speaker(chance, *one) for one in speakers],
        "connector": [],
    }
    if amplified:
        content["unit"].append({"id": "amp", "kind": "amplifier", "place": "seat-front-left"})
    owners: dict[str, list[str]] = {"radio": [], "amp": []}
    for speaker, _, role in speakers:
        by_radio = not amplified or (role in ("centre", "tweeter") and chance.random() < 0.4)
        owners["radio" if by_radio else "amp"].append(speaker)
    plug = chance.choice(PLUGS)
    for unit, fed in owners.items():
        if fed or unit == "radio":
            content["connector"].append(
                {
                    "id": unit[0].upper() + "1",
                    "unit": unit,
                    "plug": f"{plug}-{'28' if unit == 'radio' else '20'}",
                    "ways": 28,
                    "pins": list(_pins(chance, fed)),
                }
            )
    return Made("vehicle", id, content)


def _speaker(chance: random.Random, id: str, place: str, role: str) -> dict[str, Any]:
    made: dict[str, Any] = {"id": id, "place": place, "role": role}
    if chance.random() < 0.8:
        made["ohms"] = chance.choice((2, 4, 4, 6, 8))
    if role == "centre" and chance.random() < 0.5:
        made["duties"] = ["chime"]
    elif role == "woofer":
        made["duties"] = []
    return made


# A wire of which nobody wrote what it carries, in each of the ways to write that down.
_UNTOLD: tuple[list[dict[str, Any]], ...] = (
    [],
    [{"at": 27, "wire": "VT"}],
    [{"at": 27, "carries": "?"}, {"at": 26, "mm2": 0.5}],
)


def _pins(chance: random.Random, fed: list[str]) -> Iterator[dict[str, Any]]:
    yield {"at": 1, "carries": "battery", "wire": "RD", "awg": chance.choice((10, 12, 16))}
    yield {"at": 2, "carries": "ground", "wire": "BK", "mm2": chance.choice((1.5, 2.5, 4))}
    yield {"at": 28}
    yield from _UNTOLD[len(fed) % len(_UNTOLD)]
    for place, speaker in enumerate(fed):
        for pole in "+-":
            if chance.random() < 0.05:
                continue  # nobody documented it
            pin: dict[str, Any] = {"at": 4 + 2 * place + (pole == "-"), "carries": speaker + pole}
            if chance.random() < 0.9:
                pin["wire"] = chance.choice(WIRES)
            if chance.random() < 0.3:
                pin["mm2"] = chance.choice((0.5, 0.75, 1))
            yield pin


def kit(chance: random.Random, number: int) -> Made:
    """One harness at the amplifier, always used, and one at the radio, of choice."""
    plug = PLUGS[number % len(PLUGS)]
    id = f"oku-g{number}"
    return Made(
        "kit",
        id,
        {
            "kind": "kit",
            "kit": {
                "id": id,
                "maker": "Oku",
                "name": f"G{number}",
                "takes_out": ["amplifier"],
                "line_outputs": 4 + number % 4,
            },
            "part": [
                _part(chance, "main", "always", f"{plug}-20", "amplifier"),
                _part(chance, "front", "choice", f"{plug}-28", "radio"),
            ],
        },
    )


def _part(chance: random.Random, id: str, use: str, plug: str, unit: str) -> dict[str, Any]:
    leads = []
    for place, mark in enumerate("ABCDEFGH"[: chance.randint(4, 8)]):
        ways = [4 + 2 * place, 5 + 2 * place]
        if chance.random() < 0.1:
            ways.reverse()
        leads.append({"lead": mark, "plug": plug, "plus": ways[0], "minus": ways[1], "wire": "WH"})
    return {"id": id, "use": use, "unit": unit, "plugs": [plug], "leads": leads}
