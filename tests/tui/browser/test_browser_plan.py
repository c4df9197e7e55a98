"""The plan of a job, walked through: every choice shows at once what follows from it."""

from __future__ import annotations

from pathlib import Path

from kb.store.book import open_book
from tests.tui.browser.driving import LARGE, Driver, drive, looks


def mark(driver: Driver, key: object) -> None:
    driver.app.screen.query_one("#settings").mark_key(key)  # type: ignore[attr-defined]


async def open_tarn(driver: Driver) -> None:
    await driver.press("f4")
    driver.app.screen.query_one("#jobs").mark_key("tarn-1187")  # type: ignore[attr-defined]
    await driver.press("enter")
    looks(driver, "tarn-1187", "Vant 5-500", "✓ no fault")


def test_another_amplifier_shows_its_fault_at_once_and_undo_takes_it_back(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_tarn(driver)
        mark(driver, "amplifier")
        await driver.press("enter")
        looks(driver, "Which amplifier?", "vant-1-800")
        driver.app.screen.query_one("#pick-rows").mark_key("vant-1-800")  # type: ignore[attr-defined]
        await driver.press("enter")
        looks(driver, "Vant 1-800", "(changed, not stored)")
        assert "1: 2 Ω, 2: 2 Ω" not in driver.text()
        await driver.press("u")
        looks(driver, "Vant 5-500", "✓ no fault", "undone")

    drive(book, script, size=LARGE)


def test_a_speaker_that_stays_silent_changes_its_channel(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_tarn(driver)
        looks(driver, "1: 2 Ω")
        mark(driver, ("speaker", "sail-l"))
        await driver.press("space")
        looks(driver, "[ ] sail-l", "1: 4 Ω")
        await driver.press("u")
        looks(driver, "[x] sail-l", "1: 2 Ω")

    drive(book, script, size=LARGE)


def test_the_runner_up_stands_beside_the_chosen_plan(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_tarn(driver)
        mark(driver, "parts")
        await driver.press("enter")
        looks(driver, "chosen by", "the plan", "without radio-28")

    drive(book, script, size=LARGE)


def test_a_job_is_planned_from_the_vehicle_and_stored(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.press("t", "a", "r", "n", "enter", "1", "j")
        looks(driver, "Choose the amplifier and where the amplifier goes")
        for key, choice in (
            ("amplifier", "vant-5-500"),
            ("amplifier_place", "seat-front-left"),
            ("battery_place", "bay-left"),
        ):
            mark(driver, key)
            await driver.press("enter")
            driver.app.screen.query_one("#pick-rows").mark_key(choice)  # type: ignore[attr-defined]
            await driver.press("enter")
        # The centre chimes: a plan that cuts it off and gives it no channel has a fault.
        looks(driver, "! 1 FAULT", "centre would go silent", "The way to every speaker")
        mark(driver, ("speaker", "centre"))
        await driver.press("enter")
        looks(driver, "✓ no fault")
        await driver.press("S")
        await driver.write("Not A Slug")
        await driver.press("enter")
        looks(driver, "id")
        await driver.press("S")
        await driver.write("tarn-2000")
        await driver.press("enter")
        looks(driver, "tarn-2000 is submitted.")

    drive(book, script, size=LARGE)
    with open_book(book).reading() as connection:
        rows = connection.execute("SELECT author FROM revision WHERE id = 'tarn-2000'").fetchall()
    assert [row[0] for row in rows] == ["mira"]


def test_the_sheet_is_written(book: Path, tmp_path: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_tarn(driver)
        await driver.press("P")
        driver.app.screen.query_one("#prompt-field").value = str(tmp_path / "x.html")  # type: ignore[attr-defined]
        await driver.press("enter")
        looks(driver, "written:")

    drive(book, script, size=LARGE)
    assert "tarn-1187" in (tmp_path / "x.html").read_text("utf-8")
