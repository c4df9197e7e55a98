"""Which poles count as measured, held against a plain reading of generated documents."""

import sqlite3
from pathlib import Path
from random import Random
from typing import Any

from kb.answers.runs import runs
from kb.review.measured import unmeasured
from kb.store.book import open_book
from tests.books import book_of
from tests.topologies import kit, vehicle

MEASURED = ("meter", "tone", "polarity-pop", "scope")


def with_evidence(chance: Random, car: dict[str, Any]) -> dict[str, Any]:
    """Some pins measured, some only heard of."""
    pins = [f"{c['id']}.{pin['at']}" for c in car["connector"] for pin in c["pins"]]
    methods = ("meter", "tone", "scope", "hearsay", "wiring-diagram")
    lines = [
        {"of": [pin], "method": chance.choice(methods)} for pin in pins if chance.random() < 0.7
    ]
    return {**car, "evidence": lines} if lines else car


def open_poles(car: dict[str, Any], speaker: str) -> set[str]:
    """Circuits of a speaker that no unit has, or that are not measured on all ways there."""
    seen = {
        pin for line in car.get("evidence", []) if line["method"] in MEASURED for pin in line["of"]
    }
    at_units: dict[str, list[str]] = {}
    coils = False
    for connector in car["connector"]:
        for pin in connector["pins"]:
            for circuit in pin.get("carries", []):
                if circuit[:-1].partition(".")[0] == speaker:
                    coils |= "." in circuit
                    if "unit" in connector:
                        where = f"{connector['id']}.{pin['at']}"
                        at_units.setdefault(circuit, []).append(where)
    feeds = [f"{speaker}.a", f"{speaker}.b"] if coils else [speaker]
    circuits = {f"{feed}{pole}" for feed in feeds for pole in "+-"}
    return {c for c in circuits if not at_units.get(c) or not seen.issuperset(at_units[c])}


def test_a_pole_is_measured_where_all_its_ways_at_the_unit_are(tmp_path: Path) -> None:
    some = doubled = 0
    for seed in range(12):
        chance = Random(seed)
        cars = [with_evidence(chance, vehicle(chance, f"car-{n}")) for n in range(20)]
        book = book_of(tmp_path / f"{seed}.db", [*cars, kit(chance, "kit")])
        with book.reading() as connection:
            for car in cars:
                id = car["vehicle"]["id"]
                answer = runs(connection, id, "kit")
                told = unmeasured(connection, answer.vehicle.revision)
                poles = {
                    speaker["id"]: open_poles(car, speaker["id"]) for speaker in car["speaker"]
                }
                assert {circuit.partition(" ")[0] for circuit in told} == set().union(
                    *poles.values()
                )
                for speaker in answer.speakers:
                    sure = not poles[speaker.speaker] and speaker.fed_by is not None
                    assert speaker.measured == sure, (speaker, car)
                    some += sure
                doubled += sum(" at " in circuit for circuit in told)
    assert some > 20 and doubled > 5, (some, doubled)


CAR: dict[str, Any] = {
    "kind": "vehicle",
    "vehicle": {"id": "car", "make": "Oster", "model": "Fell", "years": "2020", "audio": "x"},
    "unit": [{"id": "amp", "kind": "amplifier"}],
    "speaker": [{"id": "sub", "role": "subwoofer"}],
    "connector": [
        {
            "id": "V1", "unit": "amp", "plug": "P", "ways": 26,
            "pins": [{"at": at, "carries": carries} for at, carries in
                     ((17, "sub+"), (18, "sub+"), (25, "sub-"))],
        }
    ],
    "evidence": [{"of": ["V1.17", "V1.25"], "method": "meter"}],
}  # fmt: skip


def test_the_way_that_is_not_measured_is_named(tmp_path: Path) -> None:
    with book_of(tmp_path / "b.db", [CAR]).reading() as connection:
        assert unmeasured(connection, 1) == ("sub+ at V1.18",)


def test_a_book_of_an_older_version_counts_measurements_anew(tmp_path: Path) -> None:
    """Version 3 took a pole for measured where one of its ways was."""
    book_of(tmp_path / "b.db", [CAR])
    connection = sqlite3.connect(tmp_path / "b.db")
    connection.executescript(
        "DROP VIEW unmeasured; DROP VIEW measured_pin;"
        "CREATE VIEW unmeasured (revision, speaker, coil, pole) AS SELECT 1, '', '', '' WHERE 0;"
        "DELETE FROM _sqlite_migrations WHERE name = 'poles_on_several_ways';"
        "PRAGMA user_version = 3;"
    )
    connection.close()
    with open_book(tmp_path / "b.db").reading() as read:
        assert unmeasured(read, 1) == ("sub+ at V1.18",)
