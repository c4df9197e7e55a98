"""What `-o` may write over: a file of its own kind with nothing in it that cannot be had again."""

from pathlib import Path

import pytest

from kb.shipped import shipped_book
from kb.store.book import Book
from tests.command import Ran, assert_refused, loombook

JOB = "tarn-1187"
TARN = "halden-tarn-19-concert10"
FACE, SHEET, READINGS = ("face", TARN, "A1"), ("sheet", JOB), ("readings", JOB)
KINDS = {FACE: "no SVG picture", SHEET: "no sheet of a plan", READINGS: "no sheet of readings"}


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Book:
    return shipped_book(tmp_path_factory.mktemp("book") / "book.db")


def write(book: Book, command: tuple[str, ...], path: Path) -> Ran:
    return loombook("--db", book.path, *command, "-o", path)


@pytest.mark.parametrize("command", KINDS)
def test_only_a_file_of_its_own_kind_is_written_over(
    book: Book, tmp_path: Path, command: tuple[str, ...]
) -> None:
    own = tmp_path / "own"
    own.touch()
    for _ in range(2):
        assert write(book, command, own).status == 0
    first = own.read_bytes()
    assert first
    others = [other for other in KINDS if other != command]
    for other in others:
        assert_refused(write(book, other, own), "own exists", KINDS[other], "another file with -o")
    assert_refused(write(book, command, tmp_path), KINDS[command])
    for text in ('kind = "vehicle"\n', "<!DOCTYPE html>\n<title>mine</title>\n", "way,wire\n"):
        mine = tmp_path / "mine"
        mine.write_text(text)
        assert_refused(write(book, command, mine), "mine exists", KINDS[command])
        assert mine.read_text() == text
    assert own.read_bytes() == first
    assert sorted(found.name for found in tmp_path.iterdir()) == ["mine", "own"]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (",,,,,halden", ",ok,,,,halden"),
        (",,,,,halden", ",,,GY,,halden"),
        (",,,,,halden", ",,,,look again,halden"),
        (",,,,,halden", ",no idea,,,,halden"),
        ("WH/RD", "WH/BK"),  # what was found, in the place of what was documented
        ("\nA1,3,", "\nA1,33,"),  # a way that the job never touched
    ],
)
def test_readings_are_never_written_over(book: Book, tmp_path: Path, old: str, new: str) -> None:
    sheet = tmp_path / "sheet.csv"
    assert write(book, READINGS, sheet).status == 0
    filled = sheet.read_text().replace(old, new, 1)
    assert filled != sheet.read_text()
    sheet.write_text(filled)
    refused = write(book, READINGS, sheet)
    assert_refused(refused, "sheet.csv has 1 reading in it", "--from", "another file")
    assert sheet.read_text() == filled


def test_a_sheet_as_a_spreadsheet_keeps_it_holds_its_readings(book: Book, tmp_path: Path) -> None:
    """Semicolons, a byte order mark, a column of one's own; and letters that are no UTF-8."""
    sheet = tmp_path / "sheet.csv"
    assert write(book, READINGS, sheet).status == 0
    lines = sheet.read_text().splitlines()
    kept = "\r\n".join([lines[0] + ",", *(line + "," for line in lines[1:])]).replace(",", ";")
    sheet.write_bytes(b"\xef\xbb\xbf" + kept.encode())
    assert write(book, READINGS, sheet).status == 0
    sheet.write_bytes(b"\xef\xbb\xbf" + (kept + "on the bench").encode())
    assert_refused(write(book, READINGS, sheet), "has 1 reading in it")
    sheet.write_bytes((kept + "gr\xfcn").encode("latin-1"))
    assert_refused(write(book, READINGS, sheet), "sheet.csv exists", "no sheet of readings")
