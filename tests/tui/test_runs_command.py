"""`runs` and `demo` as processes: the order of the page, its width, its JSON, what they touch."""

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

from kb.answers.runs import runs
from kb.shipped import shipped_book
from kb.store.book import Book
from tests.command import ROOT, assert_refused, environment, loombook
from tui.drawing.runs_page import runs_page
from tui.ink import Ink
from tui.tables import cells

CONCERT = "halden-tarn-19-concert10"


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Book:
    return shipped_book(tmp_path_factory.mktemp("book") / "book.db")


def test_what_needs_a_way_of_its_own_comes_first(book: Book) -> None:
    ran = loombook("--db", book.path, "runs", CONCERT, "--kit", "oku-b6")
    assert ran.status == 0, ran
    order = [
        "3 OF 10 SPEAKERS NEED A WAY OF THEIR OWN",
        "LEFT OUT  quarter-l",
        "LEFT OUT  centre",
        "Move to the new amplifier",
        "✓ carried  door-fl",
        "Idle leads",
        "E of main",
        "NOT VERIFIED",
        "✗ 3 of 10 need a way of their own: quarter-l, quarter-r, centre",
    ]
    places = [ran.out.find(words) for words in order]
    assert places == sorted(places) and -1 not in places, ran.out
    assert ran.out.rstrip().endswith("centre"), "the last line must hold the answer"


def test_every_page_fits_every_terminal_with_and_without_colour(book: Book) -> None:
    with book.reading() as connection:
        vehicles = [id for (id,) in connection.execute("SELECT id FROM vehicle WHERE answers = 1")]
        kits = [id for (id,) in connection.execute("SELECT id FROM kit WHERE answers = 1")]
        for vehicle in vehicles:
            for kit in kits:
                answer = runs(connection, vehicle, kit)
                for width in (80, 120):
                    plain = runs_page(answer, width, Ink(colour=False))
                    assert max(map(cells, plain)) <= width
                    assert not any("\x1b" in line for line in plain)
                painted = runs_page(answer, 80, Ink(colour=True))
                assert strip(painted) == runs_page(answer, 80, Ink(colour=False))


def strip(lines: list[str]) -> list[str]:
    return [re.sub(r"\x1b\[[0-9;]*m", "", line) for line in lines]


def test_every_outcome_is_a_word_and_not_only_a_colour(book: Book) -> None:
    ran = loombook("--db", book.path, "runs", "torvane-sedge-20-studio9", "--kit", "tavick-s7")
    for word in ("✗ LEFT OUT", "◐ PARTIAL", "⇄ reversed", "✓ carried", "Unknown, so meter first"):
        assert word in ran.out
    assert "GOES SILENT" in ran.out and "warning chimes" in ran.out


def test_json_is_one_document_and_nothing_else(book: Book) -> None:
    ran = loombook("--db", book.path, "runs", CONCERT, "--kit", "oku-b6", "--json")
    said = json.loads(ran.out)
    assert ran.err == "" and said["parts"] == ["main"]
    assert sum(speaker["outcome"] == "left out" for speaker in said["speakers"]) == 3


def test_refusals_and_usage(book: Book, tmp_path: Path) -> None:
    assert_refused(loombook("--db", book.path, "runs", "no-such", "--kit", "oku-b6"), "No vehicle")
    assert_refused(loombook("--db", book.path, "runs", CONCERT), "--kit", status=2)
    assert_refused(loombook("--db", book.path, "rums"), "did you mean 'runs'", status=2)
    none = tmp_path / "none.db"
    assert_refused(loombook("--db", none, "runs", CONCERT, "--kit", "oku-b6"), "no book")


def test_loose_words_find_the_vehicle_and_say_how(book: Book) -> None:
    ran = loombook("--db", book.path, "runs", "tarn 22 concert", "--kit", "oku-b6")
    assert ran.status == 0 and f"taken as {CONCERT}" in ran.err
    guess = loombook("--db", book.path, "runs", "tran 22 concrt", "--kit", "oku-b6")
    assert guess.status == 0 and "A guess" in guess.err
    several = loombook("--db", book.path, "runs", "tarn", "--kit", "oku-b6")
    assert_refused(several, "fits 3 vehicles", CONCERT, "halden-tarn-19-plain6")


def test_the_demo_answers_and_touches_nothing(tmp_path: Path) -> None:
    home = tmp_path / "home"
    home.mkdir()
    ran = loombook("demo", HOME=str(home), XDG_DATA_HOME=str(home / "data"), TMPDIR=str(tmp_path))
    assert ran.status == 0, ran
    assert "3 OF 10 SPEAKERS NEED A WAY OF THEIR OWN" in ran.out
    for outcome in ("✓ carried", "⇄ reversed", "◐ partial", "✗ left out", "? unknown"):
        assert outcome in ran.out
    assert list(home.rglob("*")) == []
    assert [path.name for path in tmp_path.iterdir()] == ["home"], "the demo left something behind"


def test_the_demo_keeps_a_practice_book_where_asked(tmp_path: Path) -> None:
    path = tmp_path / "practice.db"
    assert loombook("demo", "--into", path).status == 0
    assert loombook("--db", path, "runs", CONCERT, "--kit", "oku-b6").status == 0
    assert_refused(loombook("demo", "--into", path), "exists already")


def test_a_reader_that_goes_away_is_no_fault(tmp_path: Path) -> None:
    """`loombook demo | head -1`, with a real pipe that is closed early."""
    process = subprocess.Popen(
        [sys.executable, "-m", "tui", "demo"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        cwd=ROOT,
        env=environment(TMPDIR=str(tmp_path)),
    )
    assert process.stdout and process.stderr
    process.stdout.close()
    assert process.stderr.read() == b""
    process.stderr.close()
    assert process.wait() == 0
    assert list(tmp_path.iterdir()) == []


def test_hostile_text_reaches_no_terminal(tmp_path: Path) -> None:
    """Past the reader's own refusal: what an older or a foreign book might hold."""
    from tests.books import book_of
    from tests.small_documents import small_kit, small_vehicle

    car = small_vehicle(make="Hal\x1b]52;c;aGk=\x07den", model="Ta\u202ern[/oops]")
    car["speaker"][2]["place"] = "dash\x9b31m\ntop"
    path = tmp_path / "b.db"
    book_of(path, [car, small_kit()])
    ran = loombook("--db", path, "runs", "oster-fell-20", "--kit", "ilex-k2")
    assert ran.status == 0, ran
    assert "[/oops]" in ran.out
    assert not set(ran.out) & {"\x1b", "\x07", "\x9b", "\u202e"}
