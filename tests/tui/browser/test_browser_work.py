"""Long work is said, can be stopped and blocks nothing; a mouse does what the keys do."""

from __future__ import annotations

import time
from pathlib import Path
from typing import Any

from tests.tui.browser.driving import LARGE, Driver, drive, looks
from tui.browser.room import Room

ENDLESS = "WITH RECURSIVE c (n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM c) SELECT count(*) FROM c"


def endless(connection: Any) -> object:
    return connection.execute(ENDLESS).fetchone()


def room(driver: Driver) -> Room:
    screen = driver.app.screen
    assert isinstance(screen, Room)
    return screen


def test_endless_work_is_said_and_escape_ends_it(book: Path) -> None:
    async def script(driver: Driver) -> None:
        here = room(driver)
        here.ask(endless, lambda _: here.say("it came to an end"), group="long")
        await driver.pilot.pause(0.5)
        looks(driver, "working it out … Esc stops")
        await driver.pilot.press("t", "a")  # the loop is free: letters still arrive
        await driver.pilot.pause(0.2)
        looks(driver, "│ ta")
        start = time.monotonic()
        await driver.pilot.press("escape")
        await driver.settle()  # waits for the thread itself, which the interrupt has ended
        assert time.monotonic() - start < 5
        looks(driver, "stopped", "│ ta")
        assert "it came to an end" not in driver.text()

    drive(book, script)


def test_an_overtaken_question_is_stopped_and_its_answer_dropped(book: Path) -> None:
    async def script(driver: Driver) -> None:
        here = room(driver)
        here.ask(endless, lambda _: here.say("the old answer"), group="one")
        await driver.pilot.pause(0.2)
        here.ask(lambda _: 7, lambda value: here.say(f"the new answer {value}"), group="one")
        await driver.settle()
        looks(driver, "the new answer 7")

    drive(book, script)


def test_a_failure_is_one_sentence_on_the_screen(book: Path) -> None:
    async def script(driver: Driver) -> None:
        here = room(driver)
        here.ask(lambda c: c.execute("SELECT no_such"), lambda _: None, group="bad")
        await driver.settle()
        looks(driver, "could not be used", "no_such")
        assert "Traceback" not in driver.text()

    drive(book, script, size=LARGE)


def test_a_mouse_does_what_the_keys_do(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.write("tarn")
        lines = driver.screen_lines()
        at = next(n for n, line in enumerate(lines) if "plain, 6 speakers" in line)
        await driver.pilot.click(offset=(10, at))
        await driver.settle()
        assert "▸ Halden Tarn  2019-2023  plain" in driver.text()
        await driver.pilot.click(offset=(10, at))
        await driver.settle()
        looks(driver, "Halden Tarn 2019-2023", "plain, 6 speakers", "KITS THAT PLUG IN")
        foot = driver.screen_lines()[-1]
        await driver.pilot.click(offset=(foot.index("help"), len(driver.screen_lines()) - 1))
        await driver.settle()
        looks(driver, "type to search", "Esc closes")

    drive(book, script, size=LARGE)


def test_every_screen_fits_when_the_terminal_changes_its_size(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.press("t", "a", "r", "n", "enter", "enter")
        for size in ((160, 50), (80, 24), (120, 40), (60, 20), (80, 24)):
            await driver.pilot.resize_terminal(*size)
            await driver.settle()
            lines = driver.screen_lines()
            assert len(lines) == size[1]
            looks(driver, "3 OF 10 SPEAKERS", "quarter-l")

    drive(book, script)
