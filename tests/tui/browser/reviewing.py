"""What tests of the queue and of reviews begin with: whose revisions wait, and one of them open."""

from __future__ import annotations

from pathlib import Path

from kb.review.revisions import revisions_of
from kb.store.book import open_book
from tests.tui.browser.driving import Driver, looks

TARN = "halden-tarn-19-concert10"
POLES = ["A1", "A2", "R1.4", "R1.5", "R1.18", "R1.19", "R1.11", "R1.25"]


def states(book: Path) -> dict[str, str]:
    with open_book(book).reading() as connection:
        return {r.author: r.state for r in revisions_of(connection, TARN)}


async def open_review(driver: Driver, author: str) -> None:
    await driver.press("f3")
    looks(driver, "waiting for a lead")
    rows = driver.app.screen.query_one("#waiting")
    key = next(i.key for i in rows.items if i.cells[2].text == f"by {author}")  # type: ignore[attr-defined]
    rows.mark_key(key)  # type: ignore[attr-defined]
    await driver.press("enter")
