"""`face` as a command, on a real book, in a process of its own."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

import pytest

import seed_data
from kb.documents.reading import Source, read_documents
from kb.store.book import open_book
from kb.store.revisions import add_documents

TARN = "halden-tarn-19-concert10"


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("book") / "book.db"
    reading = read_documents(
        [Source(found.name, found.read_bytes(), "toml") for found in seed_data.documents()]
    )
    with open_book(path).writing() as database:
        add_documents(database, reading.documents, author="nina")
    return path


def face(book: Path, *arguments: str, **environment: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [
            sys.executable,
            "-c",
            "from tui.main import main; raise SystemExit(main())",
            "--db",
            str(book),
            "face",
            *arguments,
        ],
        capture_output=True,
        encoding="utf-8",
        env={**os.environ, "COLUMNS": "80", "PYTHONIOENCODING": "utf-8", **environment},
        check=False,
    )


def test_the_face_of_the_example(book: Path) -> None:
    done = face(book, TARN, "A1", "--way", "3,13")
    assert (done.returncode, done.stderr) == (0, "")
    assert "WIRE SIDE" in done.stdout
    assert "> 13   door-fl- sail-l-  WH     white" in done.stdout
    assert "9 of 20 ways documented (1 known to be empty)" in done.stdout
    assert "\x1b" not in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 80


def test_every_connector_of_the_shipped_book_fits_every_terminal(book: Path) -> None:
    from rich.cells import cell_len

    from kb.answers.face import read_face
    from tui.drawing.face import draw_face
    from tui.drawing.pieces import plain

    with open_book(book).reading() as connection:
        named = connection.execute(
            "SELECT v.id, c.connector FROM connector c JOIN vehicle v USING (vehicle)"
        ).fetchall()
        assert len(named) > 20
        for vehicle, connector in named:
            drawn = read_face(connection, vehicle, connector)
            lit = {pin.at for pin in drawn.pins[::3]}
            for side in ("wire", "mating"):
                for width in (40, 60, 80, 120, 200):
                    lines = [plain(line) for line in draw_face(drawn, side, lit, width)]
                    assert max(map(cell_len, lines)) <= width


def test_json_agrees_with_the_document(book: Path) -> None:
    done = face(book, TARN, "A1", "--side", "mating", "--json", "--way", "5")
    answer = json.loads(done.stdout)
    assert answer["side"] == "mating"
    assert answer["layout"][0] == ["10", "9", "8", "7", "6", "5", "4", "3", "2", "1"]
    assert answer["unknowns"] == 11
    pins = {pin["at"]: pin for pin in answer["pins"]}
    assert pins["3"]["carries"] == ["door-fl+", "sail-l+"]
    assert (pins["16"]["wire"], pins["16"]["words"]) == ("VT/BK", "violet/black")
    assert pins["10"]["empty"] is True
    assert [at for at, pin in pins.items() if pin["lit"]] == ["5"]


def test_recorded_numbering_reaches_the_face(book: Path) -> None:
    answer = json.loads(face(book, "torvane-sedge-20-studio9", "V1", "--json").stdout)
    assert (answer["numbering"], answer["seen_from"]) == ("rows", "mating")
    assert answer["layout"][0][0] == "8"
    assert answer["cautions"] == []
    assert [pin["established_by"] for pin in answer["pins"] if pin["at"] == "21"] == [["hearsay"]]


def test_the_picture_says_its_side_and_replaces_only_pictures(book: Path, tmp_path: Path) -> None:
    picture = tmp_path / "a1.svg"
    for _ in range(2):
        done = face(book, TARN, "A1", "-o", str(picture))
        assert done.returncode == 0
        assert "wire side" in done.stdout
    ElementTree.parse(picture)
    notes = tmp_path / "notes.txt"
    notes.write_text("mine")
    refused = face(book, TARN, "A1", "-o", str(notes))
    assert refused.returncode == 1
    assert "is no SVG picture" in refused.stderr
    assert notes.read_text() == "mine"
    assert sorted(found.name for found in tmp_path.iterdir()) == ["a1.svg", "notes.txt"]


@pytest.mark.parametrize(
    ("arguments", "status", "said"),
    [
        ((TARN, "A9"), 1, "it has A1, A2, R1"),
        (("no-such-car", "A1"), 1, "No vehicle in this book fits"),
        ((TARN, "A1", "--way", "3,99"), 1, "has no way 99; its ways are 1-20"),
        ((TARN, "A1", "-o", "/nowhere/a.svg"), 1, "cannot be written"),
        ((TARN,), 2, "CONNECTOR"),
        ((TARN, "A1", "--side", "top"), 2, "--side"),
    ],
)
def test_a_mistake_gets_one_clear_sentence(
    book: Path, arguments: tuple[str, ...], status: int, said: str
) -> None:
    done = face(book, *arguments)
    assert done.returncode == status
    assert said in done.stderr
    assert done.stdout == ""
    assert done.stderr.count("\n") == 1


def test_a_connector_is_found_in_any_case(book: Path) -> None:
    assert face(book, TARN, "a1").stdout == face(book, TARN, "A1").stdout
