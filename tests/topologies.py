"""Invented vehicles and kits with every quirk of wiring, drawn from a source of chance.

Coverage over realism: shared pins, doubled ways, dual coils, half-documented and undocumented
speakers, empty ways and wires of which nobody knows what they carry, two units claiming one,
in-line connectors, swapped and crossed leads, plugs that are absent, parts bound to one kind of
unit.
"""

from random import Random
from typing import Any

KINDS = ("radio", "amplifier", "processor", "other")
PLUGS = ("P-1", "P-2", "P-3")
EMPTY: list[str] = ["known to be empty"]
UNTOLD: list[str] = ["a wire, and no word of what it carries"]
ROLES = ("tweeter", "woofer", "full-range", "centre")


def vehicle(chance: Random, id: str) -> dict[str, Any]:
    """A vehicle document that the reader accepts."""
    kinds = chance.sample(KINDS, chance.randint(1, 3))
    units = [{"id": f"unit-{kind}", "kind": kind} for kind in kinds]
    connectors = [
        {"id": f"C{number}", "unit": unit["id"], "plug": plug, "ways": 40, "pins": {}}
        for number, (unit, plug) in enumerate(
            (unit, plug) for unit in units for plug in chance.sample(PLUGS, chance.randint(1, 2))
        )
    ]
    in_line = [
        {"id": f"X{number}", "plug": plug, "ways": 40, "pins": {}}
        for number, plug in enumerate(chance.sample(PLUGS, chance.randint(0, 2)))
    ]
    speakers = [f"s{number}" for number in range(chance.randint(0, 6))]
    for speaker in speakers:
        _wire(chance, speaker, connectors, in_line)
    for connector in (*connectors, *in_line):
        for at in chance.sample(range(1, 41), 4):
            carried = chance.choice((EMPTY, UNTOLD, ["?"], ["battery"], ["data+"]))
            connector["pins"].setdefault(at, carried)
    return {
        "kind": "vehicle",
        "vehicle": {
            "id": id,
            "make": "Halden",
            "model": "Tarn",
            "years": "2019-",
            "audio": "any",
        },
        "unit": units,
        "speaker": [{"id": speaker, "role": chance.choice(ROLES)} for speaker in speakers],
        "connector": [
            connector | {"pins": [_pin(at, carried) for at, carried in connector["pins"].items()]}
            for connector in (*connectors, *in_line)
        ],
    }


def _wire(
    chance: Random, speaker: str, at_units: list[dict[str, Any]], in_line: list[dict[str, Any]]
) -> None:
    """Put a speaker's poles on pins, or fail to in one of the ways that people do."""
    coils = (".a", ".b") if chance.random() < 0.25 else ("",)
    home = chance.choice(at_units)
    for coil in coils:
        for pole in "+-":
            if chance.random() < 0.06:
                continue  # half documented
            _place(chance, home, f"{speaker}{coil}{pole}")
            if chance.random() < 0.1:
                _place(chance, home, f"{speaker}{coil}{pole}")  # a doubled way
            if chance.random() < 0.04:
                # A second unit, or another connector of the same one.
                _place(chance, chance.choice(at_units), f"{speaker}{coil}{pole}")
            if in_line and chance.random() < 0.5:
                _place(chance, chance.choice(in_line), f"{speaker}{coil}{pole}")


def _place(chance: Random, connector: dict[str, Any], circuit: str) -> None:
    """On a way of its own, or, now and then, on one that other speakers' poles share."""
    pins: dict[int, list[str]] = connector["pins"]
    stem = circuit.rstrip("+-").partition(".")[0]
    shared = [
        at
        for at, carried in pins.items()
        if carried and all(c.rstrip("+-").partition(".")[0] != stem for c in carried)
    ]
    if shared and chance.random() < 0.15:
        pins[chance.choice(shared)].append(circuit)
        return
    # Low ways are crowded, so that leads really meet them.
    free = [at for at in range(1, 25) if at not in pins]
    if free:
        pins[min(free) if chance.random() < 0.8 else chance.choice(free)] = [circuit]


def _pin(at: int, carried: list[str]) -> dict[str, Any]:
    if carried is EMPTY:
        return {"at": at}
    if carried is UNTOLD:
        return {"at": at, "wire": "WH"}
    if carried == ["?"]:
        return {"at": at, "carries": "?"}
    return {"at": at, "wire": "WH", "carries": carried}


def kit(chance: Random, id: str) -> dict[str, Any]:
    """A kit document that the reader accepts."""
    parts = []
    for number in range(chance.randint(1, 4)):
        plugs = chance.sample(PLUGS, chance.randint(1, 2))
        ways = list(range(1, 15))
        chance.shuffle(ways) if chance.random() < 0.3 else None
        leads = []
        while len(ways) >= 2 and len(leads) < 7:
            plus, minus = ways.pop(0), ways.pop(0)
            if chance.random() < 0.2:
                plus, minus = minus, plus
            leads.append(
                {
                    "lead": "ABCDEFGH"[len(leads)],
                    "plug": chance.choice(plugs),
                    "plus": plus,
                    "minus": minus,
                }
            )
        parts.append(
            {
                "id": f"part-{number}",
                "use": "always" if number == 0 else "choice",
                "plugs": plugs,
                "leads": leads,
                **({"unit": chance.choice((*KINDS, "in-line"))} if chance.random() < 0.3 else {}),
            }
        )
    return {
        "kind": "kit",
        "kit": {
            "id": id,
            "maker": "Oku",
            "name": id.upper(),
            "line_outputs": 4,
            "output_volts": [4],
            "takes_out": chance.sample(KINDS, chance.randint(0, 2)),
        },
        "part": parts,
    }
