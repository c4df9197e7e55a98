"""An author takes back what waits, or a draft, and says why."""

from __future__ import annotations

from pathlib import Path

from kb.store.book import open_book
from tests.tui.browser.driving import Driver, drive, looks
from tests.tui.browser.reviewing import open_review, states


def test_an_author_takes_back_what_was_submitted(reviewed: Path) -> None:
    async def not_his(driver: Driver) -> None:
        await open_review(driver, "tom")
        assert "withdraw" not in driver.screen_lines()[-1]
        await driver.press("w")
        looks(driver, "It is by tom: only its author")

    async def script(driver: Driver) -> None:
        await open_review(driver, "tom")
        assert "w withdraw" in driver.screen_lines()[-1]
        await driver.press("h", "w", "enter")
        looks(driver, "Withdraw halden-tarn", "A reason is needed")
        await driver.write("wrong car")
        await driver.press("enter")
        looks(driver, "is withdrawn.")

    drive(reviewed, not_his, size=(120, 40))
    drive(reviewed, script, acting="tom", size=(120, 40))
    assert states(reviewed)["tom"] == "withdrawn"
    with open_book(reviewed).reading() as connection:
        rows = connection.execute("SELECT reason FROM record WHERE act = 'withdraw'").fetchall()
    assert [row[0] for row in rows] == ["wrong car"]


def test_a_draft_is_withdrawn_from_the_list_of_entries(book: Path) -> None:
    from tests.tui.browser.test_browser_kept import begin_a_car

    async def script(driver: Driver) -> None:
        await begin_a_car(driver)
        await driver.press("f9", "end", "delete")
        looks(driver, "Withdraw the draft a-car?")
        await driver.write("a test")
        await driver.press("enter")
        assert "DRAFTS IN THE BOOK" not in driver.text()

    async def other(driver: Driver) -> None:
        await begin_a_car(driver, "b-car")
        await driver.press("f9")

    async def not_hers(driver: Driver) -> None:
        await driver.press("f5", "end", "delete")
        looks(driver, "It is a draft by tom: only its author")

    drive(book, script, size=(120, 40))
    drive(book, other, size=(120, 40), acting="tom")
    drive(book, not_hers, size=(120, 40))
    with open_book(book).reading() as connection:
        (state,) = connection.execute(
            "SELECT state FROM revision_state WHERE id = 'a-car'"
        ).fetchone()
    assert state == "withdrawn"
