"""The lines of Find: a VIN's maker, how far each is trusted, and what gives way."""

from __future__ import annotations

import json
from pathlib import Path
from types import SimpleNamespace

import pytest

from kb.review.acts import verify
from kb.review.people import add_person
from kb.store.book import open_book
from kb.store.revisions import add_documents
from tests.tui.browser.driving import SIZES, SMALL, WIDE, Driver, drive, lines_with

VIN = "XZ9AA11B4N2123344"  # check digit by 49 CFR 565.15(c); XZ9 is one car's maker, 2022 its year


def written(book: Path, text: str, size: tuple[int, int], *, flat: bool = False) -> list[str]:
    async def script(driver: Driver) -> list[str]:
        await driver.write(text)
        return driver.screen_lines()

    return drive(book, script, size=size, flat=flat)


@pytest.mark.parametrize("size", SIZES)
def test_a_vin_says_of_each_line_whether_its_maker_is_recorded(
    book: Path, size: tuple[int, int]
) -> None:
    lines = written(book, VIN, size)
    said = " ".join(" ".join(lines).split())
    assert "maker XZ9 is recorded for the first only; for the others nobody recorded" in said
    assert lines_with(lines, "▸")[0].endswith("maker XZ9")
    others = [line for line in lines if line.startswith("  ") and "speakers" in line]
    assert others and all(line.rstrip().endswith("maker ?") for line in others)


def test_flat_text_says_it_in_words(book: Path) -> None:
    said = " ".join(" ".join(written(book, VIN, (120, 40), flat=True)).split())
    assert "plain, 6 speakers, submitted, maker XZ9" in said
    assert "maker not recorded" in said and "maker ?" not in said


@pytest.fixture
def signed(book: Path) -> Path:
    """A vehicle that a lead signed for a reason, with poles that nobody measured."""
    with open_book(book).writing() as database:
        add_person(database, "mira", "lead", by="mira")
        why = "metered last year"
        verify(database, "vehicle/halden-tarn-19-concert10", by="mira", reason=why)
    return book


def test_what_was_verified_on_less_says_so_in_words(signed: Path) -> None:
    (small,) = lines_with(written(signed, "tarn 22 concert", SMALL), "▸")
    assert "not all measured" in small
    (wide,) = lines_with(written(signed, "tarn 22 concert", WIDE), "▸")
    assert "verified on less than measured" in wide


def test_one_long_name_takes_no_column_from_the_others(book: Path) -> None:
    with open_book(book).writing() as database:
        (text,) = database.execute(
            "SELECT content FROM revision WHERE id = 'halden-tarn-19-plain6'"
        ).fetchone()
        content = json.loads(text)
        content["vehicle"] |= {"id": "long", "model": "A Very Long Name Of A Model Indeed Edition"}
        document = SimpleNamespace(kind="vehicle", id="long", content=content)
        add_documents(database, [document], author="nell")
    lines = written(book, "halden", SMALL)
    assert lines_with(lines, "concert, 10 speakers")
    assert lines_with(lines, "A Very Long")
