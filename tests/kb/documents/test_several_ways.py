"""A pole on several ways: one rule for form and review, held against SQL over the stored rows."""

from collections import defaultdict
from pathlib import Path
from random import Random

from kb.documents.several_ways import on_several_ways
from kb.review.findings import findings_of
from kb.review.revisions import revisions_of
from tests.books import book_of
from tests.topologies import vehicle

CARS = 400
BY_HAND = """
    SELECT e.id, speaker || iif(coil = '', '', '.' || coil) || pole AS circuit,
           connector || '.' || at AS way
    FROM pole JOIN entry e ON e.revision = pole.vehicle
    WHERE unit IS NOT NULL AND (vehicle, speaker, coil, pole) IN (
        SELECT vehicle, speaker, coil, pole FROM pole WHERE unit IS NOT NULL
        GROUP BY vehicle, speaker, coil, pole HAVING count(*) > 1 AND count(DISTINCT unit) = 1)
"""
DOUBLED = """
    SELECT e.id, f.speaker || iif(f.coil = '', '', '.' || f.coil), f.doubled
    FROM feed f JOIN entry e ON e.revision = f.vehicle WHERE f.unit IS NOT NULL
"""


def test_document_and_rows_agree_on_every_generated_vehicle(tmp_path: Path) -> None:
    cars = {f"car-{seed}": vehicle(Random(seed), f"car-{seed}") for seed in range(CARS)}
    read = {id: {one.pole: set(one.ways) for one in on_several_ways(cars[id])} for id in cars}
    stored: dict[str, dict[str, set[str]]] = {id: defaultdict(set) for id in cars}
    with book_of(tmp_path / "book.db", cars.values()).reading() as connection:
        for id, circuit, way in connection.execute(BY_HAND):
            stored[id][circuit].add(way)
        feeds = {(id, feed): doubled for id, feed, doubled in connection.execute(DOUBLED)}
        for id in list(cars)[:40]:  # and what a review tells is what was read
            (revision,) = revisions_of(connection, id)
            told = [f.where for f in findings_of(connection, revision) if "two ways" in f.saw]
            assert sorted(map(sorted, told)) == sorted(map(sorted, read[id].values()))
    assert read == stored
    for (id, feed), doubled in feeds.items():
        assert bool(doubled) == bool({f"{feed}+", f"{feed}-"} & set(read[id])), (id, feed)
    assert sum(map(bool, read.values())) > CARS / 10
    assert any(len(ways) > 2 for poles in read.values() for ways in poles.values())


def test_a_form_that_is_half_written_is_read_as_far_as_it_goes() -> None:
    pins = [
        {"at": "1", "carries": "sub+"}, {"carries": "sub+"}, {"at": "3", "carries": ["sub+", "?"]},
        {"at": "4", "carries": "sub.c+"}, {"at": "5", "wire": "RD"}, {"at": "1", "carries": "sub+"},
    ]  # fmt: skip
    in_line = {"id": "X", "pins": [{"at": "1", "carries": "sub-"}, {"at": "2", "carries": "sub-"}]}
    (one,) = on_several_ways({"connector": [{"id": "A", "unit": "amp", "pins": pins}, in_line, {}]})
    assert (one.pole, one.ways) == ("sub+", ("A.1", "A.None", "A.3"))
    assert one.paths[2] == ("connector", 0, "pins", 2, "carries")
    assert on_several_ways({}) == []
