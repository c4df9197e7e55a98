"""A car, a kit and an amplifier invented for tests of plans, small enough to work out by hand."""

from collections.abc import Callable
from typing import Any

from kb.plan.whole import WholePlan

Planned = Callable[..., WholePlan]
"""The fixture of conftest.py: the plan of a job, on this car and kit unless others are given."""


def pin(at: int, *carries: str, wire: str | None = None) -> dict[str, Any]:
    found: dict[str, Any] = {"at": at, "carries": carries[0] if len(carries) == 1 else [*carries]}
    return {**found, "wire": wire} if wire else found


def speaker(id: str, place: str, **more: Any) -> dict[str, Any]:
    return {"id": id, "place": place, "role": "full-range", "ohms": 4, **more}


def route(start: str, end: str, metres: float, **more: Any) -> dict[str, Any]:
    return {"from": start, "to": end, "metres": metres, **more}


def car(**more: Any) -> dict[str, Any]:
    """A radio that stays and senses its load; rear-l's poles are on two of its connectors."""
    return {
        "kind": "vehicle",
        "vehicle": {"id": "car", "make": "Oster", "model": "Fell", "years": "2020", "audio": "x"},
        "unit": [
            {"id": "radio", "kind": "radio", "place": "dash-centre", "senses_load": True},
            {"id": "amp", "kind": "amplifier", "place": "seat-left"},
        ],
        "speaker": [
            speaker("door-fl", "door-front-left"),
            speaker("tw-l", "sail-left"),
            speaker("rear-l", "shelf-left"),
            speaker("sub", "boot-left", role="subwoofer"),
        ],
        "connector": [
            {
                "id": "R1", "unit": "radio", "plug": "ZR-1", "ways": 20,
                "pins": [
                    pin(5, "door-fl+", "tw-l+", wire="VT"),
                    pin(6, "door-fl-", "tw-l-", wire="VT/BK"),
                    pin(3, "rear-l+", wire="GN"),
                ],
            },
            {
                "id": "R2", "unit": "radio", "plug": "ZR-2", "ways": 4,
                "pins": [pin(1, "rear-l-", wire="GN/BK")],
            },
            {
                "id": "A1", "unit": "amp", "plug": "ZA-1", "ways": 10,
                "pins": [pin(1, "sub+"), pin(2, "sub-")],
            },
        ],
        "panel": [{"id": "facia", "minutes": 20}, {"id": "shelf", "minutes": 30}],
        "route": [
            route("seat-left", "sill-left", 0.5),
            route("sill-left", "bay-left", 1.5),
            route("sill-left", "dash-centre", 1.2, note="keep off the airbag lead in the sill"),
            route("sill-left", "door-front-left", 0.9, panels=["facia"]),
            route("sill-left", "shelf-left", 2.0, panels=["shelf"]),
        ],
        **more,
    }  # fmt: skip


KIT: dict[str, Any] = {
    "kind": "kit",
    "kit": {
        "id": "kit", "maker": "Zill", "name": "K", "takes_out": ["amplifier"], "line_outputs": 4,
        "output_volts": [5.0, 4.0],
    },
    "part": [
        {
            "id": "main", "use": "always", "unit": "amplifier", "plugs": ["ZA-1"],
            "leads": [{"lead": "A", "plug": "ZA-1", "plus": 1, "minus": 2, "wire": "BN"}],
        }
    ],
}  # fmt: skip
AMPLIFIER: dict[str, Any] = {
    "kind": "amplifier",
    "amplifier": {
        "id": "amp-4", "maker": "Zill", "name": "A", "class": "D", "fuse_amps": 50,
        "input_volts": [0.2, 4.5],
    },
    "channel": [{"id": str(i), "watts": {"4": 70, "2": 100}, "min_ohms": 2} for i in range(1, 5)],
}  # fmt: skip


def job(*drives: dict[str, Any], **more: Any) -> dict[str, Any]:
    head = {
        "id": "j-1", "vehicle": "car", "kit": "kit", "amplifier": "amp-4",
        "amplifier_place": "seat-left", "battery_place": "bay-left", **more,
    }  # fmt: skip
    return {"kind": "job", "job": head, **({"drive": [*drives]} if drives else {})}


def drive(channel: str, *speakers: str, wiring: str = "parallel") -> dict[str, Any]:
    return {"channel": channel, "speakers": [*speakers], "wiring": wiring}


def changed(vehicle: dict[str, Any], name: str, **more: Any) -> dict[str, Any]:
    rows = [{**row, **more} if row["id"] == name else row for row in vehicle["speaker"]]
    return {**vehicle, "speaker": rows}


ALL = (drive("1", "door-fl", "tw-l"), drive("2", "rear-l"), drive("4", "sub"))
