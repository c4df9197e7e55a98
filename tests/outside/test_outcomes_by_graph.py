"""Outcomes of generated topologies against an independent reading of them as a graph.

The oracle is networkx (a general graph library): lead sides, ways and speaker poles are nodes, an
edge runs from a lead's side to the way it mates with and from a way to each pole on it, and what a
side reaches judges the outcome. It shares no code and no SQL with the book.
"""

from collections import Counter
from random import Random
from typing import Any

import networkx as nx
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kb.answers.factory_cuts import factory_cuts
from kb.answers.outcomes import with_outcomes
from kb.answers.runs import Runs, runs
from kb.documents.canonical import canonical_json
from kb.documents.findings import Source
from kb.documents.reading import read_documents
from tests.books import book_of
from tests.topologies import kit, vehicle

VEHICLES_AT_ONCE = 25
KITS_AT_ONCE = 3


def graph_of(car: dict[str, Any], parts: list[dict[str, Any]]) -> nx.DiGraph:
    """Lead sides -> ways -> poles, for the parts that mate somewhere."""
    graph = nx.DiGraph()
    kinds = {unit["id"]: unit["kind"] for unit in car["unit"]}
    names = {speaker["id"] for speaker in car["speaker"]}
    for connector in car["connector"]:
        for pin in connector["pins"]:
            for circuit in circuits_of(pin) or ():
                speaker, _, coil = circuit[:-1].partition(".")
                if speaker in names:
                    graph.add_edge(
                        ("way", connector["id"], pin["at"]), ("pole", speaker, coil, circuit[-1])
                    )
        kind = kinds[connector["unit"]] if "unit" in connector else "in-line"
        for part in parts:
            if part.get("unit", kind) != kind:
                continue
            for lead in part["leads"]:
                if lead["plug"] == connector["plug"]:
                    for side, at in (("+", lead["plus"]), ("-", lead["minus"])):
                        # One physical connector is mated at a time: a lead is named with it.
                        node = ("lead", part["id"], lead["lead"], connector["id"], side)
                        graph.add_edge(node, ("way", connector["id"], at))
    return graph


def circuits_of(pin: dict[str, Any]) -> list[str] | None:
    """None where a way has a wire of which nobody wrote what it carries; none on an empty way."""
    if pin.get("carries", "?") == "?":
        return [] if set(pin) == {"at"} else None
    return list(pin["carries"])


def why_idle(car: dict[str, Any], part: dict[str, Any], lead: dict[str, Any]) -> tuple[str, bool]:
    """Why no speaker is on a lead, and whether it is to be taken as live: way by way.

    What is known to be there is told before what nobody knows, and that before emptiness.
    """
    kinds = {unit["id"]: unit["kind"] for unit in car["unit"]}
    found = []
    for connector in car["connector"]:
        kind = kinds[connector["unit"]] if "unit" in connector else "in-line"
        if connector["plug"] != lead["plug"] or part.get("unit", kind) != kind:
            continue
        pins = {pin["at"]: pin for pin in connector["pins"]}
        on = [circuits_of(pins[at]) if at in pins else None for at in (lead["plus"], lead["minus"])]
        if any(on):
            found.append((0, "way carries something else", None in on))
        elif None in on:
            found.append((1, "way not documented", True))
        else:
            found.append((2, "way empty", False))
    return min(found)[1:] if found else ("no such plug", False)


def judged(car: dict[str, Any], the_kit: dict[str, Any], chosen: set[str]) -> dict[str, Any]:
    """Outcome and effect of each speaker, and the idle leads, by reachability."""
    parts = [part for part in the_kit["part"] if part["use"] == "always" or part["id"] in chosen]
    graph = graph_of(car, parts)
    leads = {node[:-1] for node in graph if node[0] == "lead"}
    reached = {
        (*lead, side): nx.descendants(graph, (*lead, side)) if (*lead, side) in graph else set()
        for lead in leads
        for side in "+-"
    }
    idle = {(part["id"], lead["lead"]) for part in parts for lead in part["leads"]}
    idle -= {node[1:3] for node, found in reached.items() if any(f[0] == "pole" for f in found)}
    speakers = {
        entry["id"]: judged_speaker(car, the_kit, entry["id"], leads, reached)
        for entry in car["speaker"]
    }
    return {"speakers": speakers, "idle": idle}


def judged_speaker(
    car: dict[str, Any], the_kit: dict[str, Any], speaker: str, leads: Any, reached: Any
) -> tuple[str, str]:
    """Outcome and effect of one speaker, from what each side of each lead reaches."""
    units, at_units, coils = pins_of(car, speaker)
    feeds = ["a", "b"] if coils & {"a", "b"} else [""]
    if len(units) != 1 or at_units != {(coil, pole) for coil in feeds for pole in "+-"}:
        return "unknown", "meter first"
    straight, swapped, touched = set(), set(), False
    for lead in leads:
        plus, minus = reached[*lead, "+"], reached[*lead, "-"]
        for coil in feeds:
            up, down = ("pole", speaker, coil, "+"), ("pole", speaker, coil, "-")
            touched |= bool({up, down} & (plus | minus))
            straight |= {coil} if up in plus and down in minus else set()
            swapped |= {coil} if down in plus and up in minus else set()
    if straight | swapped == set(feeds):
        return ("reversed" if swapped else "carried"), "moves to new amplifier"
    kinds = {unit["id"]: unit["kind"] for unit in car["unit"]}
    silent = kinds[min(units)] in the_kit["kit"]["takes_out"]
    effect = "goes silent" if silent else "stays on factory feed"
    return ("partial" if touched else "left out"), effect


def pins_of(car: dict[str, Any], speaker: str) -> tuple[set[str], set[tuple[str, str]], set[str]]:
    """Units that own pins of a speaker, its (coil, pole) at units, and its coils anywhere."""
    units, at_units, coils = set(), set(), set()
    for connector in car["connector"]:
        for circuit in (c for pin in connector["pins"] for c in circuits_of(pin) or ()):
            name, _, coil = circuit[:-1].partition(".")
            if name == speaker:
                coils.add(coil)
                if "unit" in connector:
                    units.add(connector["unit"])
                    at_units.add((coil, circuit[-1]))
    return units, at_units, coils


@settings(max_examples=80, deadline=None, suppress_health_check=list(HealthCheck))
@given(seed=st.integers(0, 2**32 - 1))
def test_one_vehicle_and_all_of_them_agree_with_the_graph(tmp_path_factory: Any, seed: int) -> None:
    chance = Random(seed)
    cars = {f"car-{n}": vehicle(chance, f"car-{n}") for n in range(VEHICLES_AT_ONCE)}
    kits = {f"kit-{n}": kit(chance, f"kit-{n}") for n in range(KITS_AT_ONCE)}
    book = book_of(tmp_path_factory.mktemp("book") / "book.db", [*cars.values(), *kits.values()])
    with book.reading() as connection:
        fleet = fleet_outcomes(connection)
        for car_id, car in cars.items():
            for kit_id, the_kit in kits.items():
                choices = {part["id"] for part in the_kit["part"] if chance.random() < 0.4}
                by_graph = judged(car, the_kit, choices)
                answer = runs(connection, car_id, kit_id, sorted(choices))
                by_book = {s.speaker: (s.outcome, s.effect) for s in answer.speakers}
                assert by_book == by_graph["speakers"], (car, the_kit, choices)
                idle = {(lead.part, lead.lead) for lead in answer.idle_leads}
                assert idle == by_graph["idle"], (car, the_kit, choices)
                check_idle_leads(answer, car, the_kit)
                without = judged(car, the_kit, set())["speakers"]
                assert fleet.get((car_id, kit_id), {}) == without, (car, the_kit)
                check_part_fixes(answer, car, the_kit, choices)
                check_named_leads(answer, car, the_kit)
                check_shown_pins(answer, car)
                check_nothing_stays_joined(answer, car, the_kit)


def fleet_outcomes(connection: Any) -> dict[tuple[str, str], dict[str, tuple[str, str]]]:
    """Every vehicle with every kit's `always` parts, in one statement of the same text."""
    rows = connection.execute(
        with_outcomes(
            "SELECT vehicle FROM vehicle WHERE answers = 1",
            "SELECT kit, kit, part FROM part WHERE use = 'always'",
        )
        + """
        SELECT v.id, k.id, o.speaker, o.outcome, o.effect
        FROM outcome o JOIN vehicle v ON v.vehicle = o.vehicle JOIN kit k ON k.kit = o.kit
        """
    )
    found: dict[tuple[str, str], dict[str, tuple[str, str]]] = {}
    for car, the_kit, speaker, outcome, effect in rows:
        found.setdefault((car, the_kit), {})[speaker] = (outcome, effect)
    return found


def check_idle_leads(answer: Runs, car: dict[str, Any], the_kit: dict[str, Any]) -> None:
    """A wire that nobody traced is never called an empty way."""
    parts = {part["id"]: part for part in the_kit["part"]}
    for idle in answer.idle_leads:
        (lead,) = (x for x in parts[idle.part]["leads"] if x["lead"] == idle.lead)
        why, live = why_idle(car, parts[idle.part], lead)
        assert idle.why == why, (idle, car, the_kit)
        if why != "way carries something else":
            assert idle.take_as_live == live, (idle, car, the_kit)


def check_named_leads(answer: Runs, car: dict[str, Any], the_kit: dict[str, Any]) -> None:
    """Where a speaker moves, the lead named for each feed reaches both its poles, by the graph."""
    chosen = [part for part in the_kit["part"] if part["id"] in answer.path.chosen]
    graph = graph_of(car, chosen)
    for speaker in answer.speakers:
        if speaker.effect != "moves to new amplifier":
            continue
        for feed in speaker.feeds:
            assert feed.grip is not None
            lead = ("lead", feed.grip.part, feed.grip.lead, feed.grip.connector)
            poles = "-+" if feed.swapped else "+-"
            for side, pole in zip("+-", poles, strict=True):
                node = ("pole", speaker.speaker, feed.coil or "", pole)
                assert nx.has_path(graph, (*lead, side), node), (speaker, car, the_kit)
        swapped = [feed.lead for feed in speaker.feeds if feed.swapped]
        assert (speaker.outcome == "reversed") == bool(swapped)
        # Who turns round the lead that is named must not make a straight one wrong.
        assert speaker.lead == (swapped or [feed.lead for feed in speaker.feeds])[0], (car, the_kit)


def ways_by_pole(car: dict[str, Any], speaker: str) -> dict[tuple[str, str], list[tuple[str, str]]]:
    """(coil, pole) -> its ways, those at units and then those in line, as the document has them."""
    found: dict[tuple[str, str], list[tuple[str, str]]] = {}
    for connector in sorted(car["connector"], key=lambda c: ("unit" not in c, c["id"])):
        for pin in sorted(connector["pins"], key=lambda pin: int(pin["at"])):
            for circuit in pin.get("carries", []):
                name, _, coil = circuit[:-1].partition(".")
                if name == speaker:
                    way = (connector["id"], str(pin["at"]))
                    found.setdefault((coil, circuit[-1]), []).append(way)
    return found


def check_shown_pins(answer: Runs, car: dict[str, Any]) -> None:
    """A pole's pin is the one under the lead that is named, else the first; none is dropped."""
    owned = {connector["id"]: "unit" in connector for connector in car["connector"]}
    for speaker in answer.speakers:
        ways = ways_by_pole(car, speaker.speaker)
        for feed in speaker.feeds if speaker.fed_by else ():
            for pole, spots in (("+", feed.plus_spots), ("-", feed.minus_spots)):
                at_unit = [w for w in ways.get((feed.coil or "", pole), []) if owned[w[0]]]
                assert sorted(spots) == sorted(at_unit), (speaker, car)
                held = [w for w in at_unit if feed.grip and w in feed.grip.spots]
                shown = spots[:1]
                if len(held) == 1:
                    assert shown == tuple(held), (speaker, car)
                elif not held:
                    assert shown == tuple(at_unit[:1]), (speaker, car)


def check_nothing_stays_joined(answer: Runs, car: dict[str, Any], the_kit: dict[str, Any]) -> None:
    """No factory output reaches a wire that is taken over, once all ways named are cut off.

    By the graph: the unit's output -> its ways -> ways in line -> the pole, where a connector in
    line with fewer ways than the unit is one that some wire may pass by.
    """
    cuts = {cut.speaker: cut for cut in factory_cuts(answer, the_kit["kit"]["takes_out"])}
    for speaker in answer.speakers:
        ways = ways_by_pole(car, speaker.speaker)
        for fix in speaker.fixes if speaker.fed_by else ():
            for joint in fix.joints:
                for pole, connector, at, also in (
                    ("+", joint.connector, joint.plus, joint.plus_also),
                    ("-", joint.minus_connector, joint.minus, joint.minus_also),
                ):
                    off = {(connector, at), *(way.spot for way in also)}
                    mine = ways[joint.coil or "", pole]
                    assert off <= set(mine)
                    assert not output_reaches(car, mine, off, connector), (fix, car)
                    if not fix.in_line:
                        assert len(off) == sum(owner(car, way[0]) is not None for way in mine)
        stays = speaker.fed_by_kind not in the_kit["kit"]["takes_out"]
        if speaker.effect != "moves to new amplifier" or not stays:
            assert speaker.speaker not in cuts
            continue
        cut = cuts.get(speaker.speaker)
        more = {way.spot for way in cut.ways} if cut else set()
        for feed in speaker.feeds:
            assert feed.grip is not None
            for pole in "+-":
                mine = ways[feed.coil or "", pole]
                off = {way for way in mine if way in feed.grip.spots} | more
                off |= {w for other in speaker.feeds if other.grip for w in other.grip.spots}
                assert not output_reaches(car, mine, off, feed.grip.connector), (speaker, car)


def owner(car: dict[str, Any], connector: str) -> str | None:
    """The unit of a connector; None in line."""
    unit: str | None = next(c for c in car["connector"] if c["id"] == connector).get("unit")
    return unit


def output_reaches(
    car: dict[str, Any], ways: list[tuple[str, str]], off: set[tuple[str, str]], connector: str
) -> bool:
    """Whether the output still comes to the pole past the connector where the wire is opened."""
    at_unit = [way for way in ways if owner(car, way[0]) is not None]
    in_line = [way for way in ways if way[0] == connector and owner(car, connector) is None]
    graph = nx.DiGraph()
    graph.add_nodes_from(["output", "pole"])
    graph.add_edges_from(("output", way) for way in at_unit)
    if len(in_line) >= len(at_unit):
        graph.add_edges_from((here, there) for here in at_unit for there in in_line)
        graph.add_edges_from((way, "pole") for way in in_line)
    else:
        graph.add_edges_from((way, "pole") for way in (*at_unit, *in_line))
    graph.remove_nodes_from(off)
    return nx.has_path(graph, "output", "pole")


def check_part_fixes(answer: Runs, car: dict[str, Any], the_kit: Any, chosen: set[str]) -> None:
    """A part is offered exactly where adding it would carry the speaker, by the graph."""
    unchosen = [p["id"] for p in the_kit["part"] if p["use"] == "choice" and p["id"] not in chosen]
    moved = {part: judged(car, the_kit, chosen | {part})["speakers"] for part in unchosen}
    for speaker in answer.speakers:
        if speaker.outcome not in ("left out", "partial"):
            continue
        offered = {fix.part for fix in speaker.fixes if fix.way == "part"}
        right = {
            part
            for part, outcomes in moved.items()
            if outcomes[speaker.speaker][0] in ("carried", "reversed")
        }
        assert offered == right, (speaker, car, the_kit)


def test_the_generator_reaches_every_outcome() -> None:
    """A generator that missed an outcome would prove little: judged by the graph alone."""
    seen: Counter[str] = Counter()
    for seed in range(60):
        chance = Random(seed)
        the_kit = kit(chance, "kit")
        for number in range(VEHICLES_AT_ONCE):
            found = judged(vehicle(chance, f"car-{number}"), the_kit, set())["speakers"]
            seen.update(outcome for outcome, _ in found.values())
    assert set(seen) == {"carried", "reversed", "partial", "left out", "unknown"}
    assert min(seen.values()) > 50, seen


@settings(max_examples=30, deadline=None)
@given(seed=st.integers(0, 2**32 - 1))
def test_generated_documents_are_ones_that_the_reader_accepts(seed: int) -> None:
    chance = Random(seed)
    for content in (vehicle(chance, "car"), kit(chance, "kit")):
        data = canonical_json(content).encode()
        reading = read_documents([Source("generated.json", data, "json")])
        assert reading.errors == [], content
