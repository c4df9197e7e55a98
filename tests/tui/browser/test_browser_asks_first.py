"""What is asked before it is done, and that no held key and no paste ever answers it."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

from textual.events import Key

from kb.store.book import open_book
from tests.books import document
from tests.tui.browser.driving import LARGE, Driver, drive, looks
from tests.tui.browser.test_browser_plan import mark, open_tarn
from tests.tui.browser.test_browser_readings import mark as mark_pin
from tests.tui.browser.test_browser_readings import open_readings
from tui.browser.screens.confirm import Confirm

JOB = "tarn-1187"


def job_of(book: Path, id: str = JOB) -> tuple[dict[str, object], int]:
    """The newest document of a job, and how many there are."""
    with open_book(book).reading() as connection:
        rows = connection.execute(
            "SELECT content FROM revision WHERE kind = 'job' AND id = ? ORDER BY number", (id,)
        ).fetchall()
    return json.loads(rows[-1][0]), len(rows)


async def seconds_of(driver: Driver, key: str, letter: str | None, times: int) -> None:
    """A key that is held down: its repeats come as a terminal gives them."""
    for _ in range(times):
        driver.app.post_message(Key(key, letter))
        await driver.pilot.pause(0.03)
    await driver.settle()


def test_a_held_enter_takes_nothing_and_one_alone_does(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_readings(driver)
        mark_pin(driver, "A1.3")
        await driver.press("enter", "S")
        looks(driver, "Submit these readings?")
        await seconds_of(driver, "enter", "\r", 30)
        looks(driver, "Submit these readings?", "press it once more")
        await driver.press("enter")
        looks(driver, "is submitted with the readings")

    drive(book, script)


def test_keys_that_come_at_once_take_nothing(book: Path) -> None:
    """What a terminal without bracketed paste hands over: S, Enter, Enter."""

    async def script(driver: Driver) -> None:
        await open_readings(driver)
        mark_pin(driver, "A1.3")
        await driver.press("enter")
        for key, letter in (("S", "S"), ("enter", "\r"), ("enter", "\r")):
            driver.app.post_message(Key(key, letter))
        for _ in range(5):
            await driver.settle()
        assert isinstance(driver.app.screen, Confirm)
        # The Enters that came while it was summed up read no further pin either.
        looks(driver, "1 as documented", "1 of")
        driver.app.screen._is_shown()
        driver.app.post_message(Key("enter", "\r"))
        await driver.settle()
        await driver.pilot.pause(0.4)
        assert isinstance(driver.app.screen, Confirm)
        looks(driver, "press it once more")

    drive(book, script)


def test_a_job_whose_plan_has_a_fault_asks(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_tarn(driver)
        mark(driver, ("speaker", "centre"))
        await driver.press("space")
        if "FAULT" not in driver.text():
            await driver.press("space")
        looks(driver, "FAULT")
        await driver.press("S")
        field = driver.app.screen.query_one("#prompt-field")
        assert field.selection.end > field.selection.start == 0  # type: ignore[attr-defined]
        await driver.write("a-name")  # in the place of the old one, and not behind it
        await driver.press("enter")
        looks(driver, "Store a-name all the same?", "✗ ")
        await driver.press("escape")
        with open_book(book).reading() as connection:
            assert not connection.execute("SELECT 1 FROM revision WHERE id = 'a-name'").fetchall()
        await driver.press("S")
        await driver.write("a-name")
        await driver.press("enter", "enter")
        looks(driver, "a-name is submitted")

    drive(book, script, size=LARGE)


def test_a_job_that_was_stored_anew_is_not_undone_unasked(book: Path) -> None:
    from kb.store.revisions import add_documents

    async def script(driver: Driver) -> None:
        await open_tarn(driver)
        mark(driver, ("speaker", "sail-l"))
        await driver.press("space", "space", "space")
        content, _ = job_of(book)
        content["job"]["amplifier_place"] = "load-floor"  # type: ignore[index]
        with open_book(book).writing() as database:
            add_documents(database, [document(content)], author="lena")
        await driver.press("S", "enter")
        looks(driver, "Another revision answers since you began", "by lena (submitted) answers now")
        await driver.press("o")
        looks(driver, f"Store {JOB} all the same?", "by lena (submitted) answers since you began")
        looks(driver, "amplifier_place load-floor → ")
        await driver.press("escape")

    drive(book, script, size=LARGE)
    assert job_of(book)[0]["job"]["amplifier_place"] == "load-floor"  # type: ignore[index]


def test_a_job_by_the_name_of_another_asks(book: Path) -> None:
    before = job_of(book)

    async def script(driver: Driver) -> None:
        await driver.press("f4")
        rows = driver.app.screen.query_one("#jobs")
        other = next(item.key for item in rows.items if item.key != JOB)  # type: ignore[attr-defined]
        rows.mark_key(other)  # type: ignore[attr-defined]
        await driver.press("enter", "S")
        await driver.write(JOB)
        await driver.press("enter")
        looks(driver, f"Store {JOB} all the same?", "is in the book under this name")
        await driver.press("escape")

    drive(book, script, size=LARGE)
    assert job_of(book) == before


def test_an_export_never_takes_the_place_of_a_book(book: Path) -> None:
    before = book.read_bytes()

    async def script(driver: Driver) -> None:
        await open_tarn(driver)
        await driver.press("P")
        await driver.write(str(book))
        await driver.press("enter")
        looks(driver, "is a book, and nothing replaces it")
        assert not isinstance(driver.app.screen, Confirm)

    drive(book, script, size=(160, 50))
    assert book.read_bytes() == before
    command = [sys.executable, "-c", "from tui.main import main; raise SystemExit(main())"]
    for arguments in (["sheet", JOB, "-o", str(book)], ["readings", JOB, "-o", str(book)]):
        told = subprocess.run([*command, "--db", str(book), *arguments], capture_output=True,
                              text=True, check=False)  # fmt: skip
        assert told.returncode == 1 and "is a book, and nothing replaces it" in told.stderr
        assert book.read_bytes() == before
