"""The lines of Find: a VIN's maker, how far each is trusted, and what gives way."""

from __future__ import annotations

import json
from pathlib import Path
from types import SimpleNamespace

import pytest

from kb.review.acts import send_back, verify
from kb.review.people import add_person
from kb.store.book import open_book
from kb.store.revisions import add_documents
from tests.tui.browser.driving import SIZES, SMALL, WIDE, Driver, drive, lines_with, looks

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


@pytest.fixture
def came_back(book: Path) -> Path:
    """One vehicle of which all there is was returned, one of which it is a draft, and the Tarn,
    which answers though another revision of it was returned.
    """
    with open_book(book).writing() as database:
        add_person(database, "mira", "lead", by="mira")
        (text,) = database.execute(
            "SELECT content FROM revision WHERE id = 'halden-tarn-19-concert10'"
        ).fetchone()
        for id, model, draft in (
            ("halden-wold-24", "Wold", False),
            ("halden-wolf-24", "Wolf", True),
            ("halden-tarn-19-concert10", "Tarn", False),
        ):
            content = json.loads(text)
            content["vehicle"] |= {"id": id, "model": model, "years": "2024-"}
            document = SimpleNamespace(kind="vehicle", id=id, content=content)
            (stored,) = add_documents(database, [document], author="tom", draft=draft)
            if not draft:
                send_back(database, f"{id}@{stored.hash}", by="mira", why="which option?")
    return book


@pytest.mark.parametrize("size", SIZES)
def test_what_came_back_is_found_by_its_words_and_opens_its_review(
    came_back: Path, size: tuple[int, int]
) -> None:
    async def script(driver: Driver) -> None:
        await driver.write("wo 24 halden")
        lines = driver.screen_lines()
        assert "returned, tom's" in lines_with(lines, "Halden Wold")[0]
        assert "draft, tom's" in lines_with(lines, "Halden Wolf")[0]
        looks(driver, "1 draft and 1 returned, in no answer: Enter opens its review")
        await driver.press("enter")
        looks(driver, "Review   vehicle/halden-wold-24@", "which option?")

    drive(came_back, script, size=size)


def test_what_answers_comes_first_and_is_not_listed_twice(came_back: Path) -> None:
    lines = written(came_back, "halden", WIDE)
    assert not [line for line in lines_with(lines, "Tarn") if "tom's" in line]
    names = [line[2:13] for line in lines if line[2:].startswith("Halden ")]
    assert names == ["Halden Tarn"] * 3 + ["Halden Wold", "Halden Wolf"]


@pytest.mark.parametrize("text", ["wold 2023", VIN, "gilda"])
def test_what_came_back_is_not_offered_for_another_car(came_back: Path, text: str) -> None:
    said = " ".join(written(came_back, text, WIDE))
    assert "Halden Wold" not in said or "guess" in said
    assert "in no answer" not in said
