"""How fast questions are, as ratios measured in one run: against SQL written by hand, and against
`sqlite-utils query` as a whole process.

LOOMBOOK_BENCH_VEHICLES sets the larger book (50000 for the figures in DEVELOPERS.md; 4000 unless
said, which takes seconds to make). `-s` prints the figures.
"""

# ruff: noqa: T201 (the figures are what a bench is for)

from __future__ import annotations

import os
import resource
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from kb.query.run import ask
from kb.store.book import Book
from tests.bench.books import make_book
from tests.command import ROOT, environment

SMALL = 500
LARGE = int(os.environ.get("LOOMBOOK_BENCH_VEHICLES", "4000"))
MARGIN = 1.6
"""On a busy machine a figure may be off by this much; the aims themselves are in the names."""

ONE_THREAD = {"OPENBLAS_NUM_THREADS": "1"}
"""sqlite-utils imports numpy where it is there, and numpy's idle threads would count as work."""

pytestmark = pytest.mark.bench

Books = dict[int, Book]

SHOWN = "v.id, v.make, v.model, v.first_year, v.last_year, v.body, v.audio, v.speakers, v.state"
FLEET = {
    "vehicles where any speaker (role = tweeter and fed by radio)": f"""
        SELECT {SHOWN} FROM vehicle v WHERE v.answers = 1 AND EXISTS (
            SELECT 1 FROM speaker s JOIN fed_by b USING (vehicle, speaker)
            WHERE s.vehicle = v.vehicle AND s.role = 'tweeter' AND b.kind = 'radio')
        ORDER BY v.id""",
    "vehicles where every speaker (ohms = 4)": f"""
        SELECT {SHOWN} FROM vehicle v WHERE v.answers = 1
          AND EXISTS (SELECT 1 FROM speaker s WHERE s.vehicle = v.vehicle)
          AND NOT EXISTS (SELECT 1 FROM speaker s WHERE s.vehicle = v.vehicle
                          AND (s.ohms <> 4 OR s.ohms IS NULL))
        ORDER BY v.id""",
    "vehicles where no connector (unit = amplifier)": f"""
        SELECT {SHOWN} FROM vehicle v WHERE v.answers = 1 AND NOT EXISTS (
            SELECT 1 FROM connector c WHERE c.vehicle = v.vehicle AND c.kind = 'amplifier')
        ORDER BY v.id""",
}
KITS = """
    WITH held AS (
        SELECT l.kit, o.speaker, o.coil, max(o.at = l.plus AND o.pole = '+') AS straight_plus,
               max(o.at = l.minus AND o.pole = '-') AS straight_minus,
               max(o.at = l.plus AND o.pole = '-') AS swapped_plus,
               max(o.at = l.minus AND o.pole = '+') AS swapped_minus
        FROM connector c JOIN lead l ON l.plug = c.plug
        JOIN part p ON p.kit = l.kit AND p.part = l.part AND p.use = 'always'
                   AND (p.unit IS NULL OR p.unit = c.kind)
        JOIN pole o ON o.vehicle = c.vehicle AND o.connector = c.connector
                   AND o.at IN (l.plus, l.minus)
        WHERE c.vehicle = :v GROUP BY l.kit, l.part, l.lead, o.speaker, o.coil),
    counted AS (
        SELECT k.kit, s.speaker, b.documented,
               EXISTS (SELECT 1 FROM held h WHERE h.kit = k.kit AND h.speaker = s.speaker) AS any,
               (SELECT count(DISTINCT h.coil) FROM held h
                WHERE h.kit = k.kit AND h.speaker = s.speaker
                  AND (straight_plus AND straight_minus
                       OR swapped_plus AND swapped_minus)) AS whole,
               EXISTS (SELECT 1 FROM held h WHERE h.kit = k.kit AND h.speaker = s.speaker
                       AND swapped_plus AND swapped_minus) AS swapped,
               (SELECT count(*) FROM feed f
                WHERE f.vehicle = s.vehicle AND f.speaker = s.speaker) AS feeds
        FROM kit k CROSS JOIN speaker s JOIN fed_by b USING (vehicle, speaker)
        WHERE k.answers = 1 AND s.vehicle = :v)
    SELECT k.id, k.maker, k.name, k.line_outputs,
           sum(documented AND any AND whole = feeds AND NOT swapped) AS carried,
           sum(documented AND NOT any) AS left_out,
           sum(documented AND any AND whole < feeds) AS partial,
           sum(documented AND any AND whole = feeds AND swapped) AS reversed,
           sum(NOT documented) AS unknown
    FROM counted JOIN kit k USING (kit) GROUP BY kit {having} ORDER BY k.id"""

LEAVES_NONE_OUT = (" where left out = 0", "HAVING left_out = 0")


@pytest.fixture(scope="module")
def books(tmp_path_factory: pytest.TempPathFactory) -> Books:
    folder = tmp_path_factory.mktemp("bench")
    return {size: make_book(folder / f"{size}.db", size) for size in (SMALL, LARGE)}


def best(work: Callable[[], object], times: int) -> float:
    """The shortest of several runs, in milliseconds: what the work itself takes."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return min(taken) * 1000


def by_hand(connection: sqlite3.Connection, sql: str, **values: object) -> list[dict[str, object]]:
    return [dict(row) for row in connection.execute(sql, values)]


def one_vehicle(connection: sqlite3.Connection) -> tuple[int, str]:
    """The same vehicle in books of every size: both are made from one seed."""
    row = connection.execute(
        "SELECT vehicle, id FROM vehicle WHERE id LIKE '%-250' ORDER BY vehicle LIMIT 1"
    ).fetchone()
    return row[0], row[1]


ONE = (
    "speakers of {V}",
    "pins of {V} where wire = GY/BK",
    "speakers of {V} with oku-g1 where left out",
    "leads of oku-g1 on {V} where idle",
    "kits for {V} where left out = 0",
)


@pytest.mark.parametrize("question", ONE)
def test_a_question_about_one_vehicle_does_not_grow_with_the_book(
    books: Books, question: str
) -> None:
    """Aim: no more than 1.3 between 500 and 50,000 vehicles."""
    taken = {}
    for size, book in books.items():
        with book.reading() as connection:
            text = question.format(V=one_vehicle(connection)[1])
            taken[size] = best(lambda: ask(connection, text), 60)  # noqa: B023 (called at once)
    growth = taken[LARGE] / taken[SMALL]
    print(f"\n{question}: {taken[SMALL]:.2f} -> {taken[LARGE]:.2f} ms, growth {growth:.2f}")
    assert growth <= 1.5  # the shortest of sixty runs: steady even on a busy machine


@pytest.mark.parametrize("question", FLEET)
@pytest.mark.parametrize("size", [SMALL, LARGE])
def test_a_question_over_the_fleet_keeps_up_with_sql_by_hand(
    books: Books, question: str, size: int
) -> None:
    """Aim: within 1.5 of SQL written by hand, which does not count the unknowns."""
    with books[size].reading() as connection:
        rows = by_hand(connection, FLEET[question])
        answer = ask(connection, question)
        assert [row["id"] for row in rows] == [row["id"] for row in answer.rows]
        times = 40 if size == SMALL else 7
        ours = best(lambda: ask(connection, question), times)
        theirs = best(lambda: by_hand(connection, FLEET[question]), times)
    print(f"\n{size} {question}: {ours:.2f} ms, by hand {theirs:.2f} ms: {ours / theirs:.2f}")
    floor = 0.5  # milliseconds to read and compile, which a scan of a small book does not hide
    assert ours <= theirs * 1.5 * MARGIN + floor


@pytest.mark.parametrize(("condition", "having"), [("", ""), LEAVES_NONE_OUT])
@pytest.mark.parametrize("size", [SMALL, LARGE])
def test_kits_for_a_vehicle_keep_up_with_sql_by_hand(
    books: Books, size: int, condition: str, having: str
) -> None:
    """Aim: within 1.5 of SQL written by hand for the same rows."""
    with books[size].reading() as connection:
        number, id = one_vehicle(connection)
        question = f"kits for {id}{condition}"
        sql = KITS.format(having=having)
        rows = by_hand(connection, sql, v=number)
        answer = ask(connection, question)
        keys = ("carried", "left_out", "partial", "reversed", "unknown")
        assert [[row[k] for k in ("id", *keys)] for row in rows] == [
            [row[k] for k in ("kit", *keys)] for row in answer.rows
        ]
        ours = best(lambda: ask(connection, question), 60)
        theirs = best(lambda: by_hand(connection, sql, v=number), 60)
    ratio = f"{ours:.2f} ms, by hand {theirs:.2f} ms: {ours / theirs:.2f}"
    print(f"\n{size} kits for V{condition}: {ratio}")
    assert ours <= theirs * 1.5 * MARGIN + 0.5


def processes(book: Path, question: str, sql: str) -> Iterator[tuple[str, list[str]]]:
    yield "ask", [sys.executable, "-m", "tui", "--db", str(book), "ask", question, "--json"]
    yield "sqlite-utils", [sys.executable, "-m", "sqlite_utils", "query", str(book), sql]


@pytest.mark.parametrize("question", [next(iter(FLEET)), "speakers of {V}"])
def test_the_whole_process_is_no_slower_than_sqlite_utils_query(
    books: Books, question: str
) -> None:
    """Aim: 0.7 of `sqlite-utils query` with SQL written by hand for the same rows.

    Processor time, because others use the machine too; each process does one thing at a time.
    """
    with books[SMALL].reading() as connection:
        number, id = one_vehicle(connection)
    sql = FLEET.get(question, f"""
        SELECT s.*, b.unit, f.* FROM speaker s JOIN fed_by b USING (vehicle, speaker)
        JOIN feed f USING (vehicle, speaker) WHERE s.vehicle = {number}""")  # fmt: skip
    kept = environment(PYTHONPATH=str(ROOT), **ONE_THREAD)
    taken: dict[str, list[float]] = {"ask": [], "sqlite-utils": []}
    for _ in range(9):
        for name, command in processes(books[SMALL].path, question.format(V=id), sql):
            before = resource.getrusage(resource.RUSAGE_CHILDREN)
            subprocess.run(command, capture_output=True, env=kept, check=True)
            after = resource.getrusage(resource.RUSAGE_CHILDREN)
            taken[name].append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    ours, theirs = min(taken["ask"]) * 1000, min(taken["sqlite-utils"]) * 1000
    print(f"\n{question}: ask {ours:.0f} ms, sqlite-utils {theirs:.0f} ms: {ours / theirs:.2f}")
    assert ours <= theirs


def test_completion_answers_within_a_keystroke(books: Books) -> None:
    """As a whole process, it is there before `sqlite-utils query` has found one row."""
    with books[LARGE].reading() as connection:
        id = one_vehicle(connection)[1]
    path = str(books[LARGE].path)
    complete = [sys.executable, "-m", "tui", "--db", path, "completion"]
    complete += ["next-quoted", "--", "ask", f"pins of {id} where wire = G"]
    one_row = [sys.executable, "-m", "sqlite_utils", "query", path, "SELECT 1"]
    kept = environment(PYTHONPATH=str(ROOT), **ONE_THREAD)
    taken: dict[str, list[float]] = {"ours": [], "theirs": []}
    for _ in range(9):
        for name, command in (("ours", complete), ("theirs", one_row)):
            before = resource.getrusage(resource.RUSAGE_CHILDREN)
            subprocess.run(command, capture_output=True, env=kept, check=True)
            after = resource.getrusage(resource.RUSAGE_CHILDREN)
            taken[name].append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    ours, theirs = (min(taken[name]) * 1000 for name in ("ours", "theirs"))
    print(f"\ncompletion {ours:.0f} ms, sqlite-utils {theirs:.0f} ms: {ours / theirs:.2f}")
    assert ours <= theirs
