"""Questions that a technician, a lead or an owner asks; each answer worked out in plain Python.

`{V}` and `{W}` are vehicles of the book, `{K}` a kit and `{P}` one of its parts of choice. An
answer is the set of keys that the rows must have; a truth of None is an unknown, and is counted.
"""

# ruff: noqa: ARG005, E501 (every judge is called alike; a question and its judge are one line)

from __future__ import annotations

from collections import Counter

import pytest

from kb.query.run import ask
from tests.kb.query.conftest import Asked
from tests.kb.query.judges import (
    AWG10,
    AWG14,
    AWG16,
    Oracle,
    all_of,
    all_ways,
    any_of,
    at_least,
    carried,
    carries,
    connectors,
    every,
    fleet_outcomes,
    fleet_speakers,
    for_vehicle,
    is_empty,
    known,
    left_out,
    neg,
    ohms,
    on_wire,
    outcomes,
    pins,
    place_has,
    poles_of,
    size,
    speakers,
    sub,
    sure,
    vehicles,
    ways,
    wire,
)
from tests.kb.query.world import area, told, years

Truth = bool | None

QUESTIONS: list[tuple[str, Oracle]] = [
    ("vehicles", vehicles(lambda w, v, c: True)),
    ("vehicles where make = HALDEN", vehicles(lambda w, v, c: c["vehicle"]["make"] == "Halden")),
    ("vehicles where model ~ ar", vehicles(lambda w, v, c: "ar" in c["vehicle"]["model"].lower())),
    ("vehicles where year = 2022", vehicles(lambda w, v, c: years(c)[0] <= 2022 <= years(c)[1])),
    ("vehicles where year < 2018", vehicles(lambda w, v, c: years(c)[0] < 2018)),
    (
        "vehicles where year between 2010 and 2017",
        vehicles(lambda w, v, c: years(c)[0] <= 2017 and years(c)[1] >= 2010),
    ),
    ("vehicles where last year > 2023", vehicles(lambda w, v, c: years(c)[1] > 2023)),
    ("vehicles where not year = 2022", vehicles(lambda w, v, c: not years(c)[0] <= 2022 <= years(c)[1])),
    ("vehicles where speakers >= 8", vehicles(lambda w, v, c: len(w.speakers(v)) >= 8)),
    ("vehicles where body is unknown", vehicles(lambda w, v, c: "body" not in c["vehicle"])),
    (
        "vehicles where audio = concert or body ~ estate",
        vehicles(
            lambda w, v, c: any_of(
                known(c["vehicle"].get("audio"), lambda a: a == "concert"),
                known(c["vehicle"].get("body"), lambda b: "estate" in str(b)),
            )
        ),
    ),
    (
        "vehicles where any speaker (role = tweeter and fed by radio)",
        vehicles(
            lambda w, v, c: any_of(
                *sub(w, v, lambda s: all_of(s["role"] == "tweeter", w.is_fed_by(v, s["id"], "radio")))
            )
        ),
    ),
    (
        "vehicles where every speaker (place ~ door and fed by amplifier) and year = 2022",
        vehicles(
            lambda w, v, c: all_of(
                every(
                    sub(w, v, lambda s: all_of(place_has(s, "door"), w.is_fed_by(v, s["id"], "amplifier")))
                ),
                years(c)[0] <= 2022 <= years(c)[1],
            )
        ),
    ),
    (
        "vehicles where no speaker (ohms is unknown)",
        vehicles(lambda w, v, c: neg(any_of(*sub(w, v, lambda s: "ohms" not in s)))),
    ),
    (
        "vehicles where no speaker (ohms < 4)",
        vehicles(lambda w, v, c: neg(any_of(*sub(w, v, lambda s: ohms(s, lambda o: o < 4))))),
    ),
    (
        "vehicles where every speaker (ohms >= 4)",
        vehicles(lambda w, v, c: every(sub(w, v, lambda s: ohms(s, lambda o: o >= 4)))),
    ),
    (
        "vehicles where not every speaker (ohms >= 4)",
        vehicles(lambda w, v, c: neg(every(sub(w, v, lambda s: ohms(s, lambda o: o >= 4))))),
    ),
    (
        "vehicles where at least 3 speakers (ohms = 4)",
        vehicles(lambda w, v, c: at_least(3, sub(w, v, lambda s: ohms(s, lambda o: o == 4)))),
    ),
    (
        "vehicles where at least 2 speaker (role in (tweeter, centre))",
        vehicles(lambda w, v, c: at_least(2, sub(w, v, lambda s: s["role"] in ("tweeter", "centre")))),
    ),
    ("vehicles where no speaker (role = centre)", vehicles(lambda w, v, c: neg(any_of(*sub(w, v, lambda s: s["role"] == "centre"))))),
    ("vehicles where any speaker (role = centre)", vehicles(lambda w, v, c: any_of(*sub(w, v, lambda s: s["role"] == "centre")))),
    ("vehicles where every speaker (fed by amplifier)", vehicles(lambda w, v, c: every(sub(w, v, lambda s: w.is_fed_by(v, s["id"], "amplifier"))))),
    ("vehicles where at least 8 speakers", vehicles(lambda w, v, c: at_least(8, sub(w, v, lambda s: True)))),
    ("vehicles where no speaker", vehicles(lambda w, v, c: neg(any_of(*sub(w, v, lambda s: True))))),
    ("vehicles where no pin (carries = turn-on)", vehicles(lambda w, v, c: neg(any_of(*all_ways(c, lambda p: carries(p, lambda x: "turn-on" in x)))))),
    ("vehicles where at least 60 pins", vehicles(lambda w, v, c: at_least(60, all_ways(c, lambda p: True)))),
    ("connectors where no pin (empty)", connectors(lambda w, v, c: neg(any_of(*ways(c, is_empty))))),
    ("connectors where any pin (empty)", connectors(lambda w, v, c: any_of(*ways(c, is_empty)))),
    ("connectors where every pin (wire is known)", connectors(lambda w, v, c: every(ways(c, lambda p: wire(p, lambda x: True) is not None)))),
    (
        "vehicles where any connector (no pin (carries = turn-on))",
        vehicles(lambda w, v, c: any_of(*(neg(any_of(*ways(k, lambda p: carries(p, lambda x: "turn-on" in x)))) for k in c.get("connector", [])))),
    ),
    (
        "vehicles where every connector (every pin (wire is known))",
        vehicles(lambda w, v, c: every([every(ways(k, lambda p: wire(p, lambda x: True) is not None)) for k in c.get("connector", [])])),
    ),
    (
        "vehicles where every connector (any pin (empty))",
        vehicles(lambda w, v, c: every([any_of(*ways(k, is_empty)) for k in c.get("connector", [])])),
    ),
    (
        "vehicles where any connector (at least 12 pins)",
        vehicles(lambda w, v, c: any_of(*(at_least(12, ways(k, lambda p: True)) for k in c.get("connector", [])))),
    ),
    (
        "vehicles where no connector (unit = amplifier)",
        vehicles(
            lambda w, v, c: not any(
                "unit" in k and w.kind_of(v, k["unit"]) == "amplifier"
                for k in c.get("connector", [])
            )
        ),
    ),
    (
        "vehicles where any connector (any pin (size >= 10 awg))",
        vehicles(
            lambda w, v, c: any_of(*all_ways(c, lambda p: size(p, lambda a: a >= AWG10 - 1e-3)))
        ),
    ),
    ("speakers of {V}", speakers(lambda w, v, s: True, "vehicle")),
    ("speakers of {V}, {W} where role = tweeter", speakers(lambda w, v, s: s["role"] == "tweeter", "vehicle", "other")),
    ("speakers where ohms < 4", speakers(lambda w, v, s: ohms(s, lambda o: o < 4))),
    ("speakers where not (ohms < 4)", speakers(lambda w, v, s: ohms(s, lambda o: o >= 4))),
    ("speakers where ohms is unknown", speakers(lambda w, v, s: "ohms" not in s)),
    ("speakers where ohms != 4 ohm", speakers(lambda w, v, s: ohms(s, lambda o: o != 4))),
    ("speakers where ohms between 2 and 4", speakers(lambda w, v, s: ohms(s, lambda o: 2 <= o <= 4))),
    ("speakers where role = full range", speakers(lambda w, v, s: s["role"] == "full-range")),
    ("speakers where duties = chime", speakers(lambda w, v, s: "chime" in s["duties"] if "duties" in s else None)),
    ("speakers where duties is unknown", speakers(lambda w, v, s: "duties" not in s)),
    ("speakers where duties = none", speakers(lambda w, v, s: not s["duties"] if "duties" in s else None)),
    ("speakers where keep is unknown", speakers(lambda w, v, s: "keep" not in s)),
    ("speakers where place ~ door-", speakers(lambda w, v, s: place_has(s, "door-"))),
    ("speakers where fed by radio", speakers(lambda w, v, s: w.is_fed_by(v, s["id"], "radio"))),
    ("speakers where not fed-by amp", speakers(lambda w, v, s: neg(w.is_fed_by(v, s["id"], "amp")))),
    ("speakers where fed by is unknown", speakers(lambda w, v, s: w.fed_by(v, s["id"]) is None)),
    (
        "speakers where (role = tweeter or ohms < 4) and not fed by radio",
        speakers(
            lambda w, v, s: all_of(
                any_of(s["role"] == "tweeter", ohms(s, lambda o: o < 4)),
                neg(w.is_fed_by(v, s["id"], "radio")),
            )
        ),
    ),
    (
        "speakers where any pin (wire ~ black)",
        speakers(
            lambda w, v, s: any_of(
                *poles_of(w, v, s["id"], lambda p: wire(p, lambda c: "BK" in c.split("/")))
            )
        ),
    ),
    ("pins where wire = grey/black", pins(lambda w, v, c, p: wire(p, lambda x: x == "GY/BK"))),
    ("pins where wire = GYBK and unit = radio", pins(
        lambda w, v, c, p: all_of(
            wire(p, lambda x: x == "GY/BK"),
            "unit" in c and "radio" in (c["unit"], w.kind_of(v, c["unit"])),
        )
    )),
    ("pins where stripe = none", pins(
        lambda w, v, c, p: True if is_empty(p) else wire(p, lambda x: "/" not in x)
    )),
    ("pins where base = GN and stripe = BK", pins(lambda w, v, c, p: wire(p, lambda x: x == "GN/BK"))),
    ("pins where size < 16 awg", pins(lambda w, v, c, p: size(p, lambda a: a < AWG16 - 1e-3))),
    ("pins where size >= 1.5 mm2", pins(lambda w, v, c, p: size(p, lambda a: a >= 1.5))),
    ("pins where awg <= 16", pins(lambda w, v, c, p: size(p, lambda a: "awg" in p and a >= AWG16 - 1e-3))),
    ("pins where awg > 14", pins(lambda w, v, c, p: size(p, lambda a: "awg" in p and a < AWG14 - 1e-3))),
    ("pins where awg = none", pins(lambda w, v, c, p: is_empty(p) or size(p, lambda a: "awg" not in p))),
    ("pins where mm2 between 0.5 mm2 and 16 awg", pins(lambda w, v, c, p: size(p, lambda a: 0.5 <= a <= AWG16 + 1e-3))),
    ("pins where empty", pins(lambda w, v, c, p: is_empty(p))),
    ("pins where not empty", pins(lambda w, v, c, p: not is_empty(p))),
    ("pins where empty = no", pins(lambda w, v, c, p: not is_empty(p))),
    ("pins where carries = none", pins(lambda w, v, c, p: carries(p, lambda x: not x))),
    ("pins where carries is unknown", pins(lambda w, v, c, p: told(p) is None)),
    ("pins where carries is known", pins(lambda w, v, c, p: told(p) is not None)),
    ("pins where carries != battery", pins(lambda w, v, c, p: carries(p, lambda x: "battery" not in x))),
    ("pins where wire is unknown", pins(lambda w, v, c, p: "wire" not in p and not is_empty(p))),
    ("pins where any speaker (role = tweeter)", pins(lambda w, v, c, p: any_of(*on_wire(w, v, p, lambda s: s["role"] == "tweeter")))),
    ("pins where no speaker (role = tweeter)", pins(lambda w, v, c, p: neg(any_of(*on_wire(w, v, p, lambda s: s["role"] == "tweeter"))))),
    ("pins where no speaker", pins(lambda w, v, c, p: neg(any_of(*on_wire(w, v, p, lambda s: True))))),
    ("pins where at least 2 speakers", pins(lambda w, v, c, p: at_least(2, on_wire(w, v, p, lambda s: True)))),
    ("connectors where at least 3 pins (not carries = ground)", connectors(lambda w, v, c: at_least(3, ways(c, lambda p: carries(p, lambda x: "ground" not in x))))),
    ("pins of {V} where carries = battery", pins(lambda w, v, c, p: carries(p, lambda x: "battery" in x), "vehicle")),
    ("pins where at = 28", pins(lambda w, v, c, p: str(p["at"]) == "28")),
    ("pins where mm2 is unknown", pins(lambda w, v, c, p: area(p) is None and not is_empty(p))),
    ("connectors where ways > 20", connectors(lambda w, v, c: known(c.get("ways"), lambda n: n > 20))),
    ("connectors where plug ~ -2", connectors(lambda w, v, c: "-2" in c["plug"])),
    ("speakers of {V} with {K} where left out", outcomes(lambda o, s: left_out(o))),
    ("speakers of {V} with {K} where not left out", outcomes(lambda o, s: neg(left_out(o)))),
    ("speakers of {V} with {K} + {P} where not carried", outcomes(lambda o, s: neg(carried(o)), part=True)),
    ("speakers of {V} with {K} where outcome = unknown", outcomes(lambda o, s: o == "unknown")),
    ("speakers of {V} with {K} where outcome in (carried, unknown)", outcomes(lambda o, s: any_of(carried(o), o == "unknown"))),
    ("speakers of {V} with {K} where outcome is known", outcomes(lambda o, s: o != "unknown")),
    (
        "vehicles with {K} where any speaker (role = tweeter and left out)",
        fleet_speakers(lambda found: any_of(*found), lambda o, s: all_of(s["role"] == "tweeter", left_out(o))),
    ),
    (
        "vehicles with {K} where every speaker (carried)",
        fleet_speakers(every, lambda o, s: carried(o)),
    ),
    (
        "vehicles with {K} where left out = 0 and unknown = 0",
        fleet_outcomes(lambda found: not any(o in ("left out", "unknown") for o, _ in found)),
    ),
    ("kits for {V} where left out = 0", for_vehicle(lambda n: sure(n, "left out", lambda x: x == 0))),
    ("kits for {V} where carried > 3", for_vehicle(lambda n: sure(n, "carried", lambda x: x > 3))),
    ("kits for {V} where carried <= 3", for_vehicle(lambda n: sure(n, "carried", lambda x: x <= 3))),
    ("kits for {V} where partial = 0", for_vehicle(lambda n: sure(n, "partial", lambda x: x == 0))),
    ("kits for {V} where unknown = 1", for_vehicle(lambda n: n["unknown"] == 1)),
]  # fmt: skip
KEYS = {
    "vehicles": ("id",),
    "speakers": ("vehicle", "speaker"),
    "pins": ("vehicle", "connector", "at"),
    "connectors": ("vehicle", "connector"),
    "kits": ("kit",),
}


def test_there_are_at_least_forty() -> None:
    assert len(QUESTIONS) >= 40


@pytest.mark.parametrize(("query", "oracle"), QUESTIONS, ids=[query for query, _ in QUESTIONS])
def test_a_question_is_answered_as_plain_python_answers_it(
    asked: Asked, query: str, oracle: Oracle
) -> None:
    text = query.format(V=asked.vehicle, W=asked.other, K=asked.kit, P=asked.part)
    judged = list(oracle(asked))
    answer = ask(asked.connection, text)
    keys = KEYS[answer.subject]
    assert {tuple(row[key] for key in keys) for row in answer.rows} == {
        key for key, truth in judged if truth is True
    }
    assert len(answer.rows) == sum(truth is True for _, truth in judged)
    assert answer.unknowns == sum(truth is None for _, truth in judged)
    assert answer.unverified == len(answer.rows)  # nobody has verified anything in these books


@pytest.mark.parametrize("by", ["role", "ohms", "fed by", "vehicle"])
def test_counts_by_a_field(asked: Asked, by: str) -> None:
    world = asked.world
    values = {
        "role": lambda v, s: s["role"],
        "ohms": lambda v, s: s.get("ohms"),
        "fed by": lambda v, s: world.fed_by(v, s["id"]),
        "vehicle": lambda v, s: v,
    }
    expected = Counter(values[by](v, s) for v, s in world.every_speaker())
    answer = ask(asked.connection, f"count speakers by {by}")
    key = by.replace(" ", "_")
    assert {row[key]: row["count"] for row in answer.rows} == expected
    numbers = [row["count"] for row in answer.rows]
    assert numbers == sorted(numbers, reverse=True)


def test_a_count_is_the_number_of_rows(asked: Asked) -> None:
    for query, _ in QUESTIONS:
        text = query.format(V=asked.vehicle, W=asked.other, K=asked.kit, P=asked.part)
        rows = ask(asked.connection, text)
        counted = ask(asked.connection, f"count {text}")
        assert counted.rows == [{"count": len(rows.rows)}], text
        assert counted.unknowns == rows.unknowns, text


def test_laws_of_conditions(asked: Asked) -> None:
    """Double negation; and/or with the own negation; a question and its opposite part the scope."""
    seen = 0
    for query, _ in QUESTIONS:
        text = query.format(V=asked.vehicle, W=asked.other, K=asked.kit, P=asked.part)
        head, where, condition = text.partition(" where ")
        if not where:
            continue
        plain = ask(asked.connection, text)
        assert ask(asked.connection, f"{head} where not not ({condition})").rows == plain.rows
        opposite = ask(asked.connection, f"{head} where not ({condition})")
        everything = ask(asked.connection, head)
        assert len(plain.rows) + len(opposite.rows) + plain.unknowns == len(everything.rows), text
        assert plain.unknowns == opposite.unknowns
        both = ask(asked.connection, f"{head} where ({condition}) and not ({condition})")
        assert both.rows == [] and both.unknowns == plain.unknowns
        either = ask(asked.connection, f"{head} where ({condition}) or not ({condition})")
        assert len(either.rows) + plain.unknowns == len(everything.rows)
        seen += 1
    assert seen > 40


def test_order_show_and_first(asked: Asked) -> None:
    query = "speakers where ohms is known sorted by ohms down, vehicle, speaker first 7 show ohms, speaker"
    answer = ask(asked.connection, query)
    known_ohms = [(-s["ohms"], v, s["id"]) for v, s in asked.world.every_speaker() if "ohms" in s]
    expected = [{"ohms": -o, "speaker": s} for o, _, s in sorted(known_ohms)[:7]]
    assert answer.rows == expected
    assert answer.columns == ("ohms", "speaker")


def test_unknowns_sort_last_either_way(asked: Asked) -> None:
    for down in ("", " down"):
        values = [r["ohms"] for r in ask(asked.connection, f"speakers sorted by ohms{down}").rows]
        known_values = [value for value in values if value is not None]
        assert known_values == sorted(known_values, reverse=bool(down))
        assert all(value is None for value in values[len(known_values) :])


def test_entries(asked: Asked) -> None:
    rows = ask(asked.connection, "entries where kind = vehicle and state = submitted").rows
    assert {row["id"] for row in rows} == set(asked.world.vehicles)
    one = ask(asked.connection, f"entries of {asked.vehicle}").rows
    assert [row["id"] for row in one] == [asked.vehicle]
    day = one[0]["submitted"][:10]
    assert ask(asked.connection, f"entries of {asked.vehicle} where submitted = {day}").rows == one
    assert not ask(asked.connection, f"entries where submitted < {day}").rows


def test_leads_on_a_vehicle_are_what_runs_says(asked: Asked) -> None:
    from kb.answers.runs import runs

    for parts in ((), (asked.part,)):
        said = runs(asked.connection, asked.vehicle, asked.kit, parts)
        path = " + ".join((asked.kit, *parts))
        rows = ask(asked.connection, f"leads with {path} on {asked.vehicle} where idle").rows
        assert [(r["part"], r["lead"], r["why"]) for r in rows] == [
            (lead.part, lead.lead, lead.why) for lead in said.idle_leads
        ]
        speakers_said = ask(asked.connection, f"speakers of {asked.vehicle} with {path}").rows
        assert [(r["speaker"], r["outcome"], r["effect"]) for r in speakers_said] == [
            (s.speaker, s.outcome, s.effect) for s in said.speakers
        ]


def test_any_kit_gives_a_row_for_each_kit_that_plugs_in(asked: Asked) -> None:
    world = asked.world
    plugs = {c["plug"]: c for c in world.vehicles[asked.vehicle]["connector"]}
    expected = set()
    for kit, content in world.kits.items():
        for part in content["part"]:
            for plug in part["plugs"] if part["use"] == "always" else ():
                connector = plugs.get(plug)
                if connector is None:
                    continue
                kind = world.kind_of(asked.vehicle, connector["unit"])
                if part.get("unit", kind) == kind:
                    expected.add(kit)
    rows = ask(asked.connection, f"speakers of {asked.vehicle} with any kit").rows
    assert {row["kit"] for row in rows} == expected
    assert len(rows) == len(expected) * len(world.speakers(asked.vehicle))
    fitting = ask(asked.connection, f"kits for {asked.vehicle} where fits").rows
    assert {row["kit"] for row in fitting} == expected
