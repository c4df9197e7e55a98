"""Nothing but rows or a clean error, nothing written, nothing without an end."""

from __future__ import annotations

import os
import random
import sqlite3

import pytest

from grammar.errors import QueryError
from kb.query import run
from kb.query.complete import complete
from kb.query.run import ask, explain, limits
from kb.query.subjects import SUBJECTS
from tests.kb.query.conftest import Asked

CASES = int(os.environ.get("LOOMBOOK_FUZZ", "1500"))


def _words(asked: Asked) -> list[str]:
    names = [f.name for s in SUBJECTS for f in s.fields] + [
        f.name for s in SUBJECTS for f in s.flags
    ]
    values = ["tweeter", "4", "16 awg", "1.5 mm2", "GY/BK", "grey", "2022", "yes", "none", '"a b"']
    return [
        *names,
        *values,
        asked.vehicle,
        asked.kit,
        "é",
        "unknown",
        "%",
        "'",
        "\x00",
        "🔊",
        "oku",
    ]


def _line(chance: random.Random, words: list[str], asked: Asked) -> str:
    """Mostly well-formed: a subject, a scope, conditions; then sometimes broken."""
    subject = chance.choice(SUBJECTS)
    fields = [f.name for f in subject.fields]
    parts = [chance.choice(("", "", "count ")) + subject.name]
    parts.append(
        chance.choice(
            [
                "",
                "",
                f"of {asked.vehicle}",
                f"with {asked.kit}",
                "with any kit",
                f"for {asked.vehicle}",
                f"of {asked.kit}",
                f"with {asked.kit} + {asked.part}",
            ]
        )
    )
    made = []
    for _ in range(chance.randint(0, 3)):
        sign = chance.choice(["=", "!=", "<", ">=", "~", "is unknown", "in (", "between", ""])
        value = chance.choice(words)
        tail = {"in (": f"{value}, {chance.choice(words)})", "is unknown": "", "": ""}
        tail["between"] = f"{value} and {value}"
        one = f"{chance.choice(fields)} {sign} {tail.get(sign, value)}"
        if chance.random() < 0.2 and subject.parts:
            inside = chance.choice(list(subject.parts))
            one = f"{chance.choice(['any', 'every', 'no', 'at least 2'])} {inside} ({one})"
        made.append(chance.choice(["", "not "]) + one)
    if made:
        parts.append("where " + chance.choice([" and ", " or "]).join(made))
    parts.append(chance.choice(["", "", f"sorted by {chance.choice(fields)}", "first 3"]))
    line = " ".join(part for part in parts if part)
    if chance.random() < 0.2:
        at = chance.randint(0, len(line))
        line = line[:at] + chance.choice(words) + line[at + chance.randint(0, 3) :]
    return line


def test_no_line_gives_anything_but_rows_or_a_clean_error(shipped: Asked) -> None:
    chance = random.Random(4)
    words = _words(shipped)
    answered = 0
    for _ in range(CASES):
        line = _line(chance, words, shipped)
        try:
            made = ask(shipped.connection, line)
        except QueryError as error:
            shown = error.render()
            assert error.sentence.strip().endswith((".", "?")), (line, error.sentence)
            if error.repaired:
                ask(shipped.connection, error.repaired)
            assert "Traceback" not in shown
        else:
            answered += 1
            assert all(tuple(row) == made.columns for row in made.rows), line
            assert made.rows or made.why_empty, line
    assert answered > CASES // 20


def test_completion_never_fails_and_what_it_offers_goes_on(shipped: Asked) -> None:
    chance = random.Random(5)
    words = _words(shipped)
    offered = 0
    for _ in range(CASES // 5):
        line = _line(chance, words, shipped)
        begun = line[: chance.randint(0, len(line))]
        found = complete(shipped.connection, begun)
        for option in found.options[:3]:
            again = complete(shipped.connection, begun[: found.start] + option.text + " ")
            assert again.start >= found.start
            offered += 1
    assert offered > 50


def test_values_come_from_the_rows_that_the_line_leaves(shipped: Asked) -> None:
    line = f"pins of {shipped.vehicle} where unit = radio and wire = "
    offered = {option.text for option in complete(shipped.connection, line).options}
    rows = ask(shipped.connection, f"pins of {shipped.vehicle} where unit = radio").rows
    assert offered == {row["wire"] for row in rows if row["wire"]}
    inside = "vehicles where any speaker (fed by radio and role = "
    roles = {o.text for o in complete(shipped.connection, inside).options if o.help}
    assert roles == {r["role"] for r in ask(shipped.connection, "speakers where fed by radio").rows}


def test_the_connection_cannot_write(shipped: Asked) -> None:
    with pytest.raises(sqlite3.OperationalError, match="readonly"):
        shipped.connection.execute("CREATE TABLE x (y)")
    before = shipped.connection.execute("SELECT total_changes()").fetchone()[0]
    ask(shipped.connection, "speakers with any kit where left out")
    assert shipped.connection.execute("SELECT total_changes()").fetchone()[0] == before


def test_a_search_without_an_end_is_stopped(shipped: Asked) -> None:
    endless = "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n) SELECT max(i) FROM n"
    with pytest.raises(QueryError, match="searched for"), limits(shipped.connection, 0.05):
        shipped.connection.execute(endless).fetchone()
    assert ask(shipped.connection, "count vehicles").rows[0]["count"] == len(shipped.world.vehicles)


def test_too_many_rows_are_refused(shipped: Asked, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(run, "MOST_ROWS", 5)
    with pytest.raises(QueryError, match="More than 5 rows"):
        ask(shipped.connection, "pins")
    assert len(ask(shipped.connection, "pins first 5").rows) == 5


@pytest.mark.parametrize(
    "text", ["100% _sure_", "a-b/c.d+e", "it's", 'say "so"', "Ärger", "x*y", "[0-9]", "back\\slash"]
)
def test_text_matches_as_it_is_written(text: str, tmp_path_factory: pytest.TempPathFactory) -> None:
    from grammar.unparse import write_value
    from kb.store.book import open_book
    from kb.store.revisions import add_documents
    from tests.bench.books import Made

    book = open_book(tmp_path_factory.mktemp("text") / "book.db")
    made = [
        Made("vehicle", f"v{number}", {"kind": "vehicle", "vehicle":
             {"id": f"v{number}", "make": make, "model": "M", "years": "2020"}})
        for number, make in enumerate([text, text.upper(), "other", "100x _Xsure_", "aXbXcXdXe"])
    ]  # fmt: skip
    with book.writing() as database:
        add_documents(database, made, author="t")
    with book.reading() as connection:
        for sign in ("=", "~"):
            query = f"vehicles where make {sign} {write_value(text)}"
            assert [row["id"] for row in ask(connection, query).rows] == ["v0", "v1"], query


@pytest.mark.parametrize(
    "query",
    [
        "count speakers with oku-b6 where left out",
        "speakers with any kit where carried",
        "vehicles with oku-b6 where left out = 0",
        "leads of oku-b6 on halden-tarn-19-concert10 where idle",
    ],
)
def test_no_row_goes_through_all_vehicles_again(shipped: Asked, query: str) -> None:
    """Else a question with a kit takes the square of the fleet: minutes for 5,000 vehicles."""
    made = explain(shipped.connection, query)
    plan = shipped.connection.execute(f"EXPLAIN QUERY PLAN {made.sql}", made.parameters)
    assert not [row[3] for row in plan if row[3].startswith("SCAN scope")]
