"""A wire of which nobody knows what it carries, entered in the grid and in readings."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from kb.documents.carried import carried
from kb.store.book import open_book
from tests.tui.browser.driving import LARGE, Driver, drive, looks
from tests.tui.browser.test_browser_grid import enter_a_vehicle, paste
from tests.tui.browser.test_browser_readings import TARN, mark, newest, open_readings


def test_the_grid_tells_a_wire_without_a_circuit_from_an_empty_way(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await enter_a_vehicle(driver)
        await paste(driver, "R1\t6\t\tVT\nR1\t7\t?\nR1\t8")
        looks(driver, "way 6 has a wire and nobody wrote what it carries")
        await driver.press("f10", "enter")
        looks(driver, "is submitted.")

    drive(book, script, size=LARGE)
    with open_book(book).reading() as connection:
        (text,) = connection.execute(
            "SELECT content FROM revision WHERE id = 'norrad-pell-20-plain2'"
        ).fetchone()
    pins = json.loads(text)["connector"][0]["pins"]
    told: dict[str, Any] = {pin["at"]: carried(pin) for pin in pins if pin["at"] > "2"}
    assert told == {"6": None, "7": None, "8": ()}


def test_a_question_mark_is_a_letter_in_the_grid(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await enter_a_vehicle(driver)
        await paste(driver, "R1\t7")
        await driver.press("right", "right")
        await driver.write("?")
        await driver.press("enter")
        assert driver.app.screen.query_one("#grid")
        looks(driver, "nothing found: it may be stored")
        await driver.press("f10")
        looks(driver, "R1.7", "carries unknown")

    drive(book, script, size=LARGE)


def test_readings_of_a_colour_alone_and_of_a_question_mark(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_readings(driver)
        mark(driver, "A1.9")
        await driver.press("d")
        looks(driver, "A1.9: nothing is documented of it. What was found?")
        await driver.write("GN/BK")
        await driver.press("enter")
        mark(driver, "A1.18")
        await driver.press("d")
        await driver.write("?")
        await driver.press("enter", "S")
        looks(
            driver,
            "A1.9: not documented → GN/BK: a wire of which nobody knows what it carries",
            "A1.18: not documented → ?: a wire of which nobody knows what it carries",
        )
        await driver.press("enter")

    drive(book, script, size=(160, 50))
    content, _ = newest(book)
    connectors: Any = content["connector"]
    pins = {pin["at"]: pin for c in connectors if c["id"] == "A1" for pin in c["pins"]}
    assert carried(pins["9"]) is None and pins["9"]["wire"] == "GN/BK"
    assert carried(pins["18"]) is None

    async def again(driver: Driver) -> None:
        await open_readings(driver)
        mark(driver, "A1.9")
        await driver.press("d")
        looks(driver, "A1.9: documented is ? GN/BK. What was found?")

    drive(book, again, size=LARGE)
    with open_book(book).reading() as connection:
        kept = connection.execute(
            "SELECT p.carries, p.wire FROM pin p JOIN vehicle v USING (vehicle)"
            " WHERE v.id = ? AND v.answers = 1 AND p.connector = 'A1' AND p.at = '9'",
            (TARN,),
        ).fetchone()
    assert tuple(kept) == (None, "GN/BK")
