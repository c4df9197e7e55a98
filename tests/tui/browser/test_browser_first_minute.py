"""From start to the flagged speakers, by someone who has never seen it and reads nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

from kb.review.people import add_person
from kb.store.book import open_book
from tests.tui.browser.driving import SIZES, Driver, drive, lines_with, looks


@pytest.mark.parametrize("size", SIZES)
def test_flagged_speakers_in_under_ten_keystrokes(book: Path, size: tuple[int, int]) -> None:
    keys = ["t", "a", "r", "n", "enter", "enter"]
    assert len(keys) < 10

    async def script(driver: Driver) -> None:
        await driver.press(*keys)
        looks(driver, "Halden Tarn 2019-2023", "3 OF 10 SPEAKERS NEED A WAY OF THEIR OWN")
        for speaker in ("quarter-l", "quarter-r", "centre"):
            (line,) = lines_with(driver.screen_lines()[:8], f"✗ {speaker}")
            assert "radio" in line
        for speaker in ("door-fl", "door-rr", "sub"):
            assert lines_with(driver.screen_lines(), f"✓ {speaker}")

    drive(book, script, size=size)


def test_enter_on_the_heels_of_the_text_opens_what_the_text_means(book: Path) -> None:
    """No pause between the keys: the list for the empty field must not be opened instead."""

    async def script(driver: Driver) -> None:
        await driver.pilot.press("t", "a", "r", "n", "enter", "enter")
        for _ in range(4):
            await driver.settle()
        looks(driver, "Halden Tarn 2019-2023", "3 OF 10 SPEAKERS")

    drive(book, script)


def test_no_book_yet_shows_the_example_and_keeps_nothing(tmp_path: Path) -> None:
    nowhere = tmp_path / "none" / "book.db"

    async def script(driver: Driver) -> Path:
        looks(driver, "example book, nothing of yours", "Halden Tarn")
        await driver.press("t", "a", "r", "n", "enter", "enter")
        looks(driver, "3 OF 10 SPEAKERS")
        return driver.app.shelf.path

    used = drive(nowhere, script)
    assert not nowhere.exists() and not nowhere.parent.exists()
    assert not used.exists()


@pytest.mark.parametrize("read_only", [False, True])
@pytest.mark.parametrize("text", ["", "tarn"])
def test_an_empty_book_says_how_vehicles_come_in(
    tmp_path: Path, text: str, read_only: bool
) -> None:
    empty = tmp_path / "empty.db"
    with open_book(empty).writing() as database:
        add_person(database, "mira", "lead", by="mira")

    async def script(driver: Driver) -> None:
        await driver.write(text)
        said = " ".join(driver.text().split())
        assert "This book has no vehicle yet: " in said
        assert "`loombook add FILE` stores documents, `loombook share in FOLDER` takes" in said
        assert ("F5 enters one here" in said) == (not read_only)
        await driver.press("f5")
        assert ("BEGIN" in driver.text()) == (not read_only)

    drive(empty, script, read_only=read_only)


def test_a_book_with_vehicles_says_nothing_of_that(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.write("xyzzy")
        looks(driver, "no vehicle")
        assert "has no vehicle yet" not in driver.text()

    drive(book, script)


def test_enter_goes_on_and_escape_goes_back(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.press("t", "a", "r", "n", "enter", "enter", "enter")
        looks(driver, "quarter-l", "LEFT OUT", "R1 way 4", "OG/BK orange/black", "WAYS TO REACH IT")
        looks(driver, "radio-28", "new wire to quarter-left", "cut the factory output off")
        await driver.press("escape")
        looks(driver, "3 OF 10 SPEAKERS")
        await driver.press("escape")
        looks(driver, "What is on the bay?")

    drive(book, script)


def test_a_part_of_the_kit_is_taken_as_the_fix(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.press("t", "a", "r", "n", "enter", "1", "enter", "enter", "escape")
        looks(driver, "1 OF 10 SPEAKERS NEEDS A WAY OF ITS OWN", "main + radio-28")
        await driver.press("p")
        looks(driver, "[x]", "radio-14", "does not plug in here")
        await driver.press("down", "space", "enter")
        looks(driver, "3 OF 10 SPEAKERS")

    drive(book, script)


def test_flags_are_walked_with_one_key(book: Path) -> None:
    async def script(driver: Driver) -> list[str]:
        await driver.press("t", "a", "r", "n", "enter", "1", "end")
        seen = []
        for _ in range(4):
            await driver.press("n")
            seen.append(driver.app.screen.marked)  # type: ignore[attr-defined]
        return seen

    assert drive(book, script) == ["quarter-l", "quarter-r", "centre", "quarter-l"]


def test_the_face_lights_the_two_ways_from_either_side(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.press("t", "a", "r", "n", "enter", "1", "enter")
        looks(driver, "WIRE SIDE", "4 <", "5 <")
        await driver.press("s")
        looks(driver, "MATING SIDE")
        await driver.press("right")
        looks(driver, "quarter-r", "R1 way 18", "GY/YE grey/yellow")

    drive(book, script, size=(160, 50))
