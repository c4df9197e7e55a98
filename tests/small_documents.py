"""Small valid documents, invented, as fresh dictionaries that a test may change."""

import json
from collections.abc import Mapping
from typing import Any

Content = dict[str, Any]


def small_vehicle(**head: Any) -> Content:
    """Two speakers on the amplifier (plug HT-20), one on the radio (plug HR-28)."""
    return {
        "kind": "vehicle",
        "vehicle": {
            "id": "oster-fell-20",
            "make": "Oster",
            "model": "Fell",
            "years": "2020-2022",
            "audio": "hall, 3 speakers",
            "sold_speakers": 3,
            **head,
        },
        "unit": [
            {"id": "radio", "kind": "radio", "place": "dash-centre", "panels": ["facia"]},
            {"id": "amp", "kind": "amplifier", "place": "seat-left"},
        ],
        "speaker": [
            {"id": "door-l", "role": "woofer", "place": "door-left", "ohms": 4},
            {"id": "sub", "role": "subwoofer", "place": "load-floor", "ohms": 2},
            {"id": "centre", "role": "centre", "place": "dash-top", "ohms": 4},
        ],
        "connector": [
            {
                "id": "A1",
                "unit": "amp",
                "plug": "HT-20",
                "ways": 20,
                "rows": 2,
                "pins": [
                    {"at": "3", "carries": "door-l+", "wire": "WH/RD"},
                    {"at": "13", "carries": "door-l-", "wire": "WH"},
                    {"at": "5", "carries": "sub.a+", "wire": "PK"},
                    {"at": "15", "carries": "sub.a-", "wire": "PK/BK"},
                    {"at": "1", "carries": "battery", "wire": "RD", "mm2": 6},
                    {"at": "10"},
                ],
            },
            {
                "id": "R1",
                "unit": "radio",
                "plug": "HR-28",
                "ways": 28,
                "pins": [
                    {"at": "11", "carries": "centre+", "wire": "BU/YE"},
                    {"at": "25", "carries": "centre-", "wire": "BU"},
                    {"at": "9", "carries": "data+"},
                ],
            },
        ],
        "panel": [{"id": "facia", "minutes": 22}],
        "route": [
            {"from": "seat-left", "to": "dash-centre", "metres": 1.5, "panels": ["facia"]},
        ],
        "evidence": [{"of": ["A1.3", "R1"], "method": "meter", "on": "2026-03-14"}],
    }


def small_kit(**head: Any) -> Content:
    """One harness always at HT-20, one by choice at HR-28."""
    return {
        "kind": "kit",
        "kit": {
            "id": "ilex-k2",
            "maker": "Ilex",
            "name": "K2 bypass",
            "takes_out": ["amplifier"],
            "line_outputs": 2,
            "output_volts": [5.0, 4.0],
            **head,
        },
        "output": [{"id": "1", "carries": "front-left", "fades": True}],
        "part": [
            {
                "id": "main",
                "use": "always",
                "unit": "amplifier",
                "plugs": ["HT-20"],
                "leads": [{"lead": "A", "plug": "HT-20", "plus": "3", "minus": "13", "wire": "WH"}],
            },
            {
                "id": "radio-28",
                "use": "choice",
                "plugs": ["HR-28"],
                "intercepts": True,
                "leads": [{"lead": "J", "plug": "HR-28", "plus": "11", "minus": "25"}],
            },
        ],
    }


def small_amplifier(**head: Any) -> Content:
    """Two channels of class D."""
    return {
        "kind": "amplifier",
        "amplifier": {
            "id": "brand-2-200",
            "maker": "Brand",
            "name": "2-200",
            "class": "D",
            "fuse_amps": 30,
            "input_volts": [0.2, 4.5],
            **head,
        },
        "channel": [
            {"id": "1", "watts": {"4": 60, "2": 90}, "min_ohms": 2},
            {"id": "2", "watts": {"4": 60, "2.67": 80}, "min_ohms": 2},
        ],
    }


def small_job(**head: Any) -> Content:
    """The small kit and amplifier in the small vehicle."""
    return {
        "kind": "job",
        "job": {
            "id": "fell-7",
            "vehicle": "oster-fell-20",
            "kit": "ilex-k2",
            "parts": ["radio-28"],
            "amplifier": "brand-2-200",
            "amplifier_place": "seat-left",
            "battery_place": "bay-left",
            "ground_metres": 0.5,
            "silent": ["centre"],
            **head,
        },
        "drive": [{"channel": "1", "speakers": ["door-l"]}, {"channel": "2", "speakers": ["sub"]}],
        "fitted": [{"speaker": "door-l", "ohms": 4, "watts": 80}],
    }


def as_json(content: Mapping[str, Any]) -> bytes:
    """The document as a JSON file, one key on a line."""
    return json.dumps(content, indent=1).encode()


def as_toml(content: Mapping[str, Any]) -> bytes:
    """The document as a TOML file: tables under headings, what is inside a row in braces."""
    lines = [
        f"{_key(key)} = {_value(value)}" for key, value in content.items() if not _table(value)
    ]
    for key, value in content.items():
        if isinstance(value, dict):
            lines += ["", f"[{_key(key)}]", *_pairs(value)]
        elif _table(value):
            for row in value:
                lines += ["", f"[[{_key(key)}]]", *_pairs(row)]
    return ("\n".join(lines) + "\n").encode()


def _table(value: object) -> bool:
    return isinstance(value, dict) or (
        isinstance(value, list) and bool(value) and all(isinstance(item, dict) for item in value)
    )


def _pairs(row: Mapping[str, Any]) -> list[str]:
    return [f"{_key(key)} = {_value(value)}" for key, value in row.items()]


def _key(key: str) -> str:
    return key if key.isascii() and key.isidentifier() else json.dumps(key)


def _value(value: object) -> str:
    if isinstance(value, dict):
        return "{ " + ", ".join(_pairs(value)) + " }"
    if isinstance(value, list) and value and all(isinstance(item, dict) for item in value):
        return "[\n" + "".join(f"  {_value(item)},\n" for item in value) + "]"
    if isinstance(value, list):
        return "[" + ", ".join(_value(item) for item in value) + "]"
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
