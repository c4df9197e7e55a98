"""What is told of an answer above its rows: warnings first, and what has no room below the rows."""

from __future__ import annotations

from copy import deepcopy
from pathlib import Path

import pytest

from kb.documents.findings import Source
from kb.documents.reading import read_documents
from kb.review.acts import verify
from kb.review.people import add_person
from kb.store.book import open_book
from kb.store.revisions import add_documents
from seed_data import documents
from tests.bench.books import Made
from tests.tui.browser.driving import SIZES, SMALL, Driver, drive

TARN = "halden-tarn-19-concert10"
MANY_NOTES = "speakers of tarn 22 concert with oku-b6"


@pytest.fixture
def contested(book: Path) -> Path:
    """One vehicle is verified on less than a measurement, and another revision disputes a wire."""
    read = read_documents([Source(f.name, f.read_bytes(), "toml") for f in documents()]).documents
    content = deepcopy(next(one for one in read if one.id == TARN).content)
    radio = next(one for one in content["connector"] if one["id"] == "R1")
    next(pin for pin in radio["pins"] if str(pin["at"]) == "4")["wire"] = "OG/WH"
    with open_book(book).writing() as database:
        add_person(database, "mira", "lead", by="mira")
        verify(database, f"vehicle/{TARN}", by="mira", reason="wiring diagram")
        add_documents(database, [Made("vehicle", TARN, content)], author="tom")
    return book


def asked(book: Path, text: str, size: tuple[int, int], *keys: str) -> list[str]:
    async def script(driver: Driver) -> list[str]:
        await driver.write(text)
        for key in keys:
            await driver.press(key)
        return driver.screen_lines()

    return drive(book, script, size=size)


@pytest.mark.parametrize("size", SIZES)
def test_a_warning_is_the_first_that_is_told(contested: Path, size: tuple[int, int]) -> None:
    said = " ".join(" ".join(asked(contested, MANY_NOTES, size)).split())
    rows = said.index("door-front-left")
    for warning in ("Verified on less than a measurement", "Disputed: another live revision"):
        assert said.index(warning) < said.index("read as a question") < rows
    assert said.count("Disputed") == 1


def test_what_has_no_room_is_said_to_stand_below_the_rows_and_does(contested: Path) -> None:
    first = asked(contested, MANY_NOTES, SMALL)
    assert any("there is more: PgDn, below the last row" in line for line in first)
    assert "on more leads than the one shown" not in " ".join(" ".join(first).split())
    down = asked(contested, MANY_NOTES, SMALL, *["pagedown"] * 6)
    assert "on more leads than the one shown" in " ".join(" ".join(down).split())


@pytest.mark.parametrize("text", ["speakers where ohms < 4", "tarn 22"])
def test_where_all_has_room_nothing_is_said_twice(book: Path, text: str) -> None:
    lines = asked(book, text, (120, 40))
    assert not any("there is more" in line for line in lines)
