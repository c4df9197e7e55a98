"""Readings that were begun are found again under any revision, and carried over pin by pin."""

from __future__ import annotations

import json
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest

from kb.store.book import open_book
from tests.books import document
from tests.tui.browser.driving import LARGE, Driver, drive, looks
from tests.tui.browser.test_browser_readings import TARN, mark, newest, open_readings
from tui.browser.screens.readings import Readings

JOB = "tarn-1187"


def content_of(book: Path, id: str = TARN) -> dict[str, Any]:
    with open_book(book).reading() as connection:
        (text,) = connection.execute(
            "SELECT v.content FROM revision v JOIN entry e ON e.revision = v.number"
            " WHERE e.id = ? AND e.answers = 1",
            (id,),
        ).fetchone()
    return dict(json.loads(text))


def another_revision(book: Path, pin: str = "5", **facts: Any) -> str:
    """Somebody else's revision of the vehicle, which answers from now on; one pin of A1 differs."""
    from kb.store.revisions import add_documents

    content = deepcopy(content_of(book))
    a1 = next(c for c in content["connector"] if c["id"] == "A1")
    next(p for p in a1["pins"] if str(p["at"]) == pin).update(facts or {"wire": "VT"})
    with open_book(book).writing() as database:
        (stored,) = add_documents(database, [document(content)], author="lena")
    return stored.hash


async def read_three(driver: Driver) -> None:
    await open_readings(driver)
    mark(driver, "A1.3")
    await driver.press("enter", "enter", "enter", "escape")


def test_readings_are_carried_over_to_another_revision(book: Path) -> None:
    drive(book, read_three)
    another_revision(book)

    async def again(driver: Driver) -> None:
        await driver.press("f4")
        looks(driver, "READINGS BEGUN", "readings begun: 2 of")
        await open_readings(driver)
        looks(driver, "2 looked at", "Another revision answers since: look anew at A1.5", "2 of")
        looks(driver, "✓ A1.3", "✓ A1.4", "↻ A1.5", "look anew", "was door")
        await driver.press("S")
        looks(driver, "READ OF AN OLDER REVISION", "! A1.5")
        await driver.press("escape")
        # Reading it anew takes the old one's place, and undo gives that back.
        mark(driver, "A1.5")
        await driver.press("enter")
        looks(driver, "✓ A1.5", "3 of")
        await driver.press("u")
        looks(driver, "↻ A1.5", "2 of")
        await driver.press("S", "enter")
        looks(driver, "is submitted with the readings")
        assert "READINGS BEGUN" not in driver.text()

    drive(book, again, size=LARGE)
    content, _ = newest(book)
    evidence: Any = content["evidence"]
    assert [line["of"] for line in evidence] == [["A1.3", "A1.4"]]


def test_the_mark_stands_on_the_next_open_pin(book: Path) -> None:
    drive(book, read_three)

    async def again(driver: Driver) -> None:
        await open_readings(driver)
        screen = driver.app.screen
        assert isinstance(screen, Readings) and screen.touched is not None
        assert screen.pin is not None
        first = next(pin.name for pin in screen.touched.pins if pin.name not in screen.readings)
        assert screen.pin.name == first != screen.touched.pins[-1].name
        looks(driver, f"▸ · {first}")

    drive(book, again)


def test_a_revision_that_comes_while_it_is_read_loses_nothing(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_readings(driver)
        mark(driver, "A1.3")
        await driver.press("enter", "enter", "enter")
        another_revision(book)
        await driver.press("S")
        looks(driver, "Another revision answers since", "✓ A1.3", "✓ A1.4", "↻ A1.5", "2 of")
        await driver.press("S", "enter")
        looks(driver, "is submitted with the readings")

    drive(book, script)


def test_a_file_of_before_is_read_with_the_pins_of_its_revision(book: Path, state: Path) -> None:
    """A file for each revision, whose readings say nothing of the pin as it stood."""
    drive(book, read_three)
    (path,) = state.glob("readings-*.json")
    kept = json.loads(path.read_text("utf-8"))
    hash = kept.pop("vehicle")
    del kept["job"]
    for reading in kept["readings"].values():
        del reading["was"]
    path.with_name(f"{path.stem}-{hash[:16]}.json").write_text(json.dumps(kept), "utf-8")
    path.unlink()
    another_revision(book)

    async def again(driver: Driver) -> None:
        await open_readings(driver)
        looks(driver, "✓ A1.3", "✓ A1.4", "↻ A1.5", "Another revision answers")

    drive(book, again)
    assert list(state.glob("readings-*.json"))


@pytest.mark.parametrize("word", ["away", "no"])
def test_begun_readings_are_thrown_away_by_a_person_alone(
    book: Path, state: Path, word: str
) -> None:
    drive(book, read_three)

    async def script(driver: Driver) -> None:
        await driver.press("f4")
        driver.app.screen.query_one("#jobs").mark_key(("read", JOB))  # type: ignore[attr-defined]
        await driver.press("delete")
        looks(driver, f"Throw the readings of {JOB} away?")
        await driver.write(word)
        await driver.press("enter", "escape")

    drive(book, script)
    assert bool(list(state.glob("readings-*.json"))) == (word == "no")


def test_what_was_said_of_the_list_ends_when_one_leaves_it(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_readings(driver)
        mark(driver, "A1.3")
        await driver.press("enter", "S", "enter")
        said = "is submitted with the readings"
        looks(driver, said)  # the coming back itself says it
        await driver.press("question_mark", "escape")
        looks(driver, said)  # a question over the list is no other screen
        await driver.press("r")
        mark(driver, "A1.4")
        await driver.press("enter", "escape")
        looks(driver, "READINGS BEGUN, NOT SUBMITTED YET")
        assert said not in driver.text()

    drive(book, script, size=LARGE)
