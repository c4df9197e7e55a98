"""The lead's queue, end to end on a real file: read, sign, send back, go on."""

from __future__ import annotations

import json
from pathlib import Path
from types import SimpleNamespace

import pytest

from kb.review.people import add_person
from kb.review.revisions import revisions_of
from kb.store.book import open_book
from kb.store.revisions import add_documents
from tests.tui.browser.driving import Driver, drive, looks

TARN = "halden-tarn-19-concert10"
POLES = ["A1", "A2", "R1.4", "R1.5", "R1.18", "R1.19", "R1.11", "R1.25"]


@pytest.fixture
def reviewed(book: Path) -> Path:
    """A book with a lead, and a fully measured revision of the Tarn by a technician."""
    with open_book(book).writing() as database:
        add_person(database, "mira", "lead", by="mira")
        (text,) = database.execute("SELECT content FROM revision WHERE id = ?", (TARN,)).fetchone()
        content = json.loads(text)
        content["connector"][0]["pins"][3]["wire"] = "GY/GN"
        content["evidence"] = [{"of": POLES, "method": "meter", "on": "2026-03-14"}]
        document = SimpleNamespace(kind="vehicle", id=TARN, content=content)
        add_documents(database, [document], author="tom")
    return book


def states(book: Path) -> dict[str, str]:
    with open_book(book).reading() as connection:
        return {r.author: r.state for r in revisions_of(connection, TARN)}


async def open_review(driver: Driver, author: str) -> None:
    await driver.press("f3")
    looks(driver, "waiting for a lead", f"by {author}")
    rows = driver.app.screen.query_one("#waiting")
    key = next(i.key for i in rows.items if i.cells[2].text == f"by {author}")  # type: ignore[attr-defined]
    rows.mark_key(key)  # type: ignore[attr-defined]
    await driver.press("enter")


def test_a_lead_reads_and_signs(reviewed: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_review(driver, "tom")
        looks(driver, "Review", TARN, "R1.5", "GY/GN grey/green", "EVIDENCE", "meter on A1, A2")
        await driver.press("v")
        looks(driver, "is verified")

    drive(reviewed, script, size=(120, 40))
    assert states(reviewed) == {"tom": "verified", "shipped": "submitted"}


def test_a_lead_sends_back_with_a_reason(reviewed: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_review(driver, "tom")
        await driver.press("r")
        looks(driver, "What is wrong with")
        await driver.write("Meter R1.5 again?")
        await driver.press("enter")
        looks(driver, "went back to tom")

    drive(reviewed, script)
    assert states(reviewed)["tom"] == "returned"


def test_escape_from_the_reason_changes_nothing(reviewed: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_review(driver, "tom")
        await driver.press("r", "x", "escape")

    drive(reviewed, script)
    assert states(reviewed)["tom"] == "submitted"


def test_what_is_not_measured_asks_for_a_reason(reviewed: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_review(driver, "shipped")
        await driver.press("v")
        looks(driver, "Not measured at the unit that feeds it", "Why will less do here?")
        await driver.write("ours, metered last year")
        await driver.press("enter")
        looks(driver, "is verified")

    drive(reviewed, script)


def test_a_technician_is_told_why_not(reviewed: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_review(driver, "tom")
        await driver.press("v")
        looks(driver, "ada acts as a technician; only a lead verifies: mira.")

    drive(reviewed, script, acting="ada")
    assert states(reviewed)["tom"] == "submitted"


def test_bay_mode_cannot_write(reviewed: Path) -> None:
    async def script(driver: Driver) -> None:
        looks(driver, "read only")
        await open_review(driver, "tom")
        await driver.press("v")
        looks(driver, "only reads")

    before = reviewed.read_bytes()
    drive(reviewed, script, read_only=True)
    assert reviewed.read_bytes() == before


def test_a_shop_of_one_signs_alone_and_says_so(reviewed: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_review(driver, "mira")
        await driver.press("v")
        looks(driver, "you may sign alone")
        await driver.write("alone")
        await driver.press("enter")
        looks(driver, "is verified, alone")

    with open_book(reviewed).writing() as database:
        (text,) = database.execute(
            "SELECT content FROM revision WHERE id = ? AND author = 'tom'", (TARN,)
        ).fetchone()
        content = json.loads(text)
        content["vehicle"]["body"] = "estate"
        document = SimpleNamespace(kind="vehicle", id=TARN, content=content)
        add_documents(database, [document], author="mira")
    drive(reviewed, script)
