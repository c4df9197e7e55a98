"""What one revision changes against another: pin by pin, then everything else, in trade words.

A pin is the same pin as long as its connector and its way are, so that another wire colour reads as
one change, and a colour that is only spelt otherwise as none. It stands alone because it compares
two contents and knows neither states nor people.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from kb.documents.carried import carried, carried_in_words
from kb.documents.colours import Scheme, read_colour
from kb.documents.positions import position_order
from kb.store.older_evidence import Line, Told, told, told_otherwise, wire_told_anew
from kb.store.rows import pins_named, ways_of

What = Literal["added", "changed", "gone"]
Content = Mapping[str, Any]


@dataclass(frozen=True)
class FieldChange:
    """One value before and after; None where it was, or is, not written down."""

    field: str
    before: str | None
    after: str | None


@dataclass(frozen=True)
class Change:
    """One thing that is added, changed or gone. `methods`: how the new pin was established."""

    table: str
    id: str
    what: What
    fields: tuple[FieldChange, ...]
    methods: tuple[str, ...] = ()


def pin_changes(before: Content, after: Content, *, fallen: Collection[Line] = ()) -> list[Change]:
    """Pins by connector and way; connectors that only got another name are matched first.

    `fallen`: evidence that came between the two, and is older than its pin as told now all the
    same, where the line of descent was looked at.
    """
    renamed = renamed_connectors(before, after)
    old = {
        (renamed.get(connector, connector), at): facts
        for (connector, at), facts in pins_of(before).items()
    }
    new = pins_of(after)
    methods = _methods_since(before, after, renamed, fallen)
    changes = []
    for key in sorted(old.keys() | new.keys(), key=lambda key: (key[0], position_order(key[1]))):
        fields = _differences(old.get(key, {}), new.get(key, {}))
        what: What = "added" if key not in old else "gone" if key not in new else "changed"
        if fields or what != "changed":
            name = f"{key[0]}.{key[1]}"
            changes.append(Change("pin", name, what, fields, methods.get(key, ())))
    return changes


def other_changes(before: Content, after: Content) -> list[Change]:
    """Everything but pins and evidence: heads, units, speakers, connectors, parts, leads, …"""
    renamed = renamed_connectors(before, after)
    changes = [
        Change("connector", new, "changed", (FieldChange("id", old, new),))
        for old, new in sorted(renamed.items())
    ]
    for table, key_of in _KEYS.items():
        old = _keyed(before, table, key_of)
        new = _keyed(after, table, key_of)
        if table == "connector":
            old = {
                renamed.get(id, id): facts | {"id": renamed.get(id, id)}
                for id, facts in old.items()
            }
        changes += _compare(table, old, new)
    changes += _compare("lead", _leads(before), _leads(after))
    head = str(after["kind"])
    changes += _compare(head, {"": _facts(before.get(head, {}))}, {"": _facts(after[head])})
    return changes


def evidence_changes(before: Content, after: Content) -> list[Change]:
    """Lines of evidence that came or went; a line is never changed, it is another line."""
    old = {_text(line): line for line in before.get("evidence", ())}
    new = {_text(line): line for line in after.get("evidence", ())}
    return [
        *(_evidence("added", line) for text, line in new.items() if text not in old),
        *(_evidence("gone", line) for text, line in old.items() if text not in new),
    ]


def pins_of(content: Content) -> dict[tuple[str, str], dict[str, str]]:
    """The facts of each pin by (connector, way), as they are compared and shown."""
    scheme = content.get("colours", "iec")
    return {
        (connector["id"], str(pin["at"])): _pin_facts(pin, scheme)
        for connector in content.get("connector", ())
        for pin in connector.get("pins", ())
    }


def _methods_since(
    before: Content, after: Content, renamed: Mapping[str, str], fallen: Collection[Line]
) -> dict[tuple[str, str], tuple[str, ...]]:
    """How each pin was established, of one that is told otherwise, or whose wire is, only what is
    new: a colour that is written now was in nobody's hand when the circuit was metered."""
    lines = [x not in before.get("evidence", ()) for x in after.get("evidence", ())]
    of_all = methods_of(after, lambda line: line not in fallen)
    of_new = methods_of(after, lambda line: lines[line[0]] and line not in fallen)
    old = {(renamed.get(name, name), at): pin for (name, at), pin in told(before).items()}

    def stands(pin: tuple[str, str], now: Told) -> bool:
        then = old.get(pin)
        return then is not None and not (told_otherwise(then, now) or wire_told_anew(then, now))

    return {
        pin: (of_all if stands(pin, now) else of_new).get(pin, ())
        for pin, now in told(after).items()
    }


def methods_of(
    content: Content, counts: Callable[[Line], bool] = lambda _: True
) -> dict[tuple[str, str], tuple[str, ...]]:
    """How each pin was established: the methods in the order of the document, each once."""
    ways = ways_of(content)
    found: dict[tuple[str, str], dict[str, None]] = {}
    for position, line in enumerate(content.get("evidence", ())):
        for name in line["of"]:
            for pin in pins_named(name, ways):
                if counts((position, *pin)):
                    found.setdefault(pin, {})[line["method"]] = None
    return {pin: tuple(methods) for pin, methods in found.items()}


def renamed_connectors(before: Content, after: Content) -> dict[str, str]:
    """Old id -> new id, where exactly one connector of a plug and a unit went and one came."""
    old = {c["id"]: (c["plug"], c.get("unit")) for c in before.get("connector", ())}
    new = {c["id"]: (c["plug"], c.get("unit")) for c in after.get("connector", ())}
    gone = {id: where for id, where in old.items() if id not in new}
    came = {id: where for id, where in new.items() if id not in old}
    renamed = {}
    for id, where in gone.items():
        matching = [other for other, there in came.items() if there == where]
        if len(matching) == 1 and list(gone.values()).count(where) == 1:
            renamed[id] = matching[0]
    return renamed


def _pin_facts(pin: Mapping[str, Any], scheme: Scheme) -> dict[str, str]:
    facts = {"carries": carried_in_words(carried(pin))}
    if "wire" in pin:
        facts["wire"] = read_colour(pin["wire"], scheme).code
    if "awg" in pin:
        facts["size"] = f"{pin['awg']} AWG"
    elif "mm2" in pin:
        facts["size"] = f"{pin['mm2']:g} mm2"
    if "note" in pin:
        facts["note"] = pin["note"]
    return facts


_KEYS: dict[str, Callable[[Mapping[str, Any]], str]] = {
    "unit": lambda row: str(row["id"]),
    "speaker": lambda row: str(row["id"]),
    "connector": lambda row: str(row["id"]),
    "panel": lambda row: str(row["id"]),
    "route": lambda row: f"{row['from']} to {row['to']}",
    "output": lambda row: str(row["id"]),
    "part": lambda row: str(row["id"]),
    "channel": lambda row: str(row["id"]),
    "drive": lambda row: str(row["channel"]),
    "fitted": lambda row: str(row["speaker"]),
    "setting": lambda row: str(row["id"]),
    "step": lambda row: str(row["do"]),
}
_SHOWN_ELSEWHERE = {"pins", "leads"}


def _keyed(
    content: Content, table: str, key_of: Callable[[Mapping[str, Any]], str]
) -> dict[str, dict[str, str]]:
    return {key_of(row): _facts(row) for row in content.get(table, ())}


def _leads(content: Content) -> dict[str, dict[str, str]]:
    scheme = content.get("colours", "iec")
    found = {}
    for part in content.get("part", ()):
        for lead in part.get("leads", ()):
            facts = _facts(lead)
            if "wire" in lead:
                facts["wire"] = read_colour(lead["wire"], scheme).code
            found[f"{part['id']}.{lead['lead']}"] = facts
    return found


def _facts(row: Mapping[str, Any]) -> dict[str, str]:
    return {
        key: value if isinstance(value, str) else _text(value)
        for key, value in row.items()
        if key not in _SHOWN_ELSEWHERE
    }


def _compare(
    table: str, old: Mapping[str, Mapping[str, str]], new: Mapping[str, Mapping[str, str]]
) -> Iterator[Change]:
    for id in [*old, *(id for id in new if id not in old)]:
        fields = _differences(old.get(id, {}), new.get(id, {}))
        what: What = "added" if id not in old else "gone" if id not in new else "changed"
        if fields or what != "changed":
            yield Change(table, id, what, fields)


def _differences(old: Mapping[str, str], new: Mapping[str, str]) -> tuple[FieldChange, ...]:
    return tuple(
        FieldChange(field, old.get(field), new.get(field))
        for field in [*old, *(field for field in new if field not in old)]
        if old.get(field) != new.get(field)
    )


def _evidence(what: What, line: Mapping[str, Any]) -> Change:
    fields = [FieldChange("method", None, line["method"])]
    fields += [FieldChange(key, None, str(line[key])) for key in ("on", "note") if key in line]
    if what == "gone":
        fields = [FieldChange(field.field, field.after, None) for field in fields]
    return Change("evidence", " ".join(line["of"]), what, tuple(fields))


def _text(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list) and all(isinstance(item, str | int | float) for item in value):
        return ", ".join(str(item) for item in value) or "none"
    if isinstance(value, Sequence | Mapping):
        return json.dumps(value, ensure_ascii=False, sort_keys=True)
    return str(value)
