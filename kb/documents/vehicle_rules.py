"""What the tables of a vehicle must agree on.

It stands alone from the shapes because these rules compare tables, and speak even where one is
broken."""

from collections.abc import Iterator, Mapping

from kb.documents import vocabulary
from kb.documents.bounds import MOST_CIRCUITS, MOST_PINS
from kb.documents.evidence_rules import breadth_problems, evidence_problems
from kb.documents.findings import Problem
from kb.documents.pin_rules import pin_problems
from kb.documents.rows import Row, head, known, missing, repeated_ids, top_rows


def vehicle_problems(content: Mapping[str, object]) -> Iterator[Problem]:
    """All findings of one vehicle that no single table shows."""
    units = top_rows(content, "unit")
    speakers = top_rows(content, "speaker")
    connectors = top_rows(content, "connector")
    for rows, word in ((units, "unit"), (speakers, "speaker"), (connectors, "connector")):
        yield from repeated_ids(rows, word)
        yield from _names_of_nothing(word, rows)
    yield from repeated_ids(top_rows(content, "panel"), "panel")
    yield from repeated_ids(top_rows(content, "setting"), "setting")
    yield from _unit_names(units)
    yield from _sold(content, speakers)
    yield from _units_of_connectors(connectors, units)
    yield from _shared_plugs(connectors, units)
    yield from _many_pins(connectors)
    yield from pin_problems(connectors, speakers, units)
    yield from _panels(content)
    yield from _routes(content)
    yield from _places(content)
    yield from evidence_problems(content, _evidence_names(connectors), "pin or connector")
    yield from breadth_problems(content, connectors)


def _unit_names(units: list[Row]) -> Iterator[Problem]:
    for unit in units:
        name = unit.text("id")
        if name in vocabulary.UNIT_KINDS and unit.text("kind") not in (None, name):
            yield Problem(
                unit.at("id"),
                f'unit "{name}" bears the name of another kind of unit',
                "give it an id that cannot be mistaken for a kind",
                "warning",
            )


def _names_of_nothing(what: str, rows: list[Row]) -> Iterator[Problem]:
    for row in rows:
        name = row.text("id")
        if name is not None and name.casefold() in vocabulary.SAID_OF_NOTHING:
            yield Problem(
                row.at("id"),
                f'{what} "{name}" bears a word that questions take for what is not there',
                "give it an id of its own",
                "warning",
            )


def _sold(content: Mapping[str, object], speakers: list[Row]) -> Iterator[Problem]:
    vehicle = head(content, "vehicle")
    sold = vehicle.whole("sold_speakers")
    if sold is not None and sold != len(speakers):
        yield Problem(
            vehicle.at("sold_speakers"),
            f"the vehicle was sold with {sold} speakers and {len(speakers)} are listed",
            "list the rest once they are found, or mend the number",
            "warning",
        )


def _units_of_connectors(connectors: list[Row], units: list[Row]) -> Iterator[Problem]:
    names = known(units)
    for connector in connectors:
        unit = connector.text("unit")
        if unit is not None and names is not None and unit not in names:
            yield missing(connector.at("unit"), "unit", unit, names)


def _shared_plugs(connectors: list[Row], units: list[Row]) -> Iterator[Problem]:
    kinds = {unit.text("id"): unit.text("kind") for unit in units}
    first: dict[tuple[str, str], str] = {}
    for connector in connectors:
        plug, unit = connector.text("plug"), connector.text("unit")
        in_line = "unit" not in connector.values
        kind = vocabulary.IN_LINE if in_line else kinds.get(unit)
        if plug is None or kind is None:
            continue
        name = connector.text("id") or "without id"
        other = first.setdefault((plug, kind), name)
        if other == name:
            continue
        if in_line:
            yield Problem(
                connector.at("plug"),
                f'in-line connectors {other} and {name} share the plug "{plug}"',
                "give each keying its own name where they differ",
                "warning",
            )
        else:
            yield Problem(
                connector.at("plug"),
                f'connectors {other} and {name} on units of kind {kind} share the plug "{plug}"',
                "name family and keying, so that each plug fits one of them",
            )


def _many_pins(connectors: list[Row]) -> Iterator[Problem]:
    """More pins or circuits than a vehicle may have, said once, at the connector that passes it."""
    pins = circuits = 0
    for connector in connectors:
        rows = connector.rows("pins")
        pins += len(rows)
        circuits += sum(len(pin.texts("carries")) for pin in rows)
        for count, most, word in ((pins, MOST_PINS, "pins"), (circuits, MOST_CIRCUITS, "circuits")):
            if count > most:
                yield Problem(
                    connector.at("pins"),
                    f"the vehicle has {count:,} {word} up to here",
                    f"{most:,} is the most; leave out connectors that carry no audio",
                )
                return


def _panels(content: Mapping[str, object]) -> Iterator[Problem]:
    panels = known(top_rows(content, "panel"))
    if panels is None:
        return
    named: set[str] = set()
    for table in ("unit", "speaker", "connector", "route"):
        for row in top_rows(content, table):
            for path, panel in row.texts("panels"):
                if panel not in panels and panel not in named:
                    named.add(panel)
                    near = missing(path, "panel", panel, panels).right
                    right = (
                        f"write [[panel]] with its minutes ({near})"
                        if panels
                        else ("write [[panel]] with its minutes")
                    )
                    yield Problem(
                        path,
                        f'panel "{panel}" has no [[panel]] table, so its minutes are unknown',
                        right,
                        "warning",
                    )


def _routes(content: Mapping[str, object]) -> Iterator[Problem]:
    seen: set[tuple[object, ...]] = set()
    for route in top_rows(content, "route"):
        one, other = route.text("from"), route.text("to")
        if one is None or other is None:
            continue
        if one == other:
            yield Problem(
                route.at("to"), f'the route leads from "{one}" to itself', "name two places"
            )
        panels = frozenset(panel for _, panel in route.texts("panels"))
        stretch = (frozenset((one, other)), route.values.get("metres"), panels)
        if _hashable(stretch) and stretch in seen:
            yield Problem(
                route.path,
                f'the route between "{one}" and "{other}" stands twice',
                "a route is usable both ways; keep one",
                "warning",
            )
        elif _hashable(stretch):
            seen.add(stretch)


def _hashable(stretch: tuple[object, ...]) -> bool:
    return not isinstance(stretch[1], list | dict)


def _places(content: Mapping[str, object]) -> Iterator[Problem]:
    """Places that no route reaches but that are written almost like one that a route does."""
    ends = {
        end
        for route in top_rows(content, "route")
        for end in (route.text("from"), route.text("to"))
        if end is not None
    }
    plain = {_plain(end): end for end in sorted(ends)}
    for table in ("unit", "speaker", "connector"):
        for row in top_rows(content, table):
            place = row.text("place")
            if place is not None and place not in ends and _plain(place) in plain:
                yield Problem(
                    row.at("place"),
                    f'the place "{place}" is on no route',
                    f'the routes write "{plain[_plain(place)]}"',
                    "warning",
                )


def _plain(place: str) -> str:
    return "".join(char for char in place.casefold() if char.isalnum())


def _evidence_names(connectors: list[Row]) -> set[str] | None:
    names = known(connectors)
    if names is None:
        return None
    for connector in connectors:
        for pin in connector.rows("pins"):
            position = pin.position("at")
            if position is None:
                return None
            names.add(f"{connector.text('id')}.{position}")
    return names
