"""A speaker's own page: how its pins were established, what Enter does, what a message moves."""

from __future__ import annotations

import json
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from kb.store.book import open_book
from kb.store.revisions import add_documents
from tests.tui.browser.driving import SIZES, SMALL, WIDE, Driver, drive, looks

TARN = "halden-tarn-19-concert10"


def measured(book: Path, *pins: str) -> None:
    """Somebody submits a revision of the Tarn of which just these pins were measured."""
    with open_book(book).writing() as database:
        (text,) = database.execute("SELECT content FROM revision WHERE id = ?", (TARN,)).fetchone()
        content = json.loads(text)
        content["evidence"] = [{"of": list(pins), "method": "meter", "on": "2026-03-14"}]
        document = SimpleNamespace(kind="vehicle", id=TARN, content=content)
        add_documents(database, [document], author="nell")


@pytest.mark.parametrize("size", SIZES)
def test_the_pole_that_nobody_measured_is_named(book: Path, size: tuple[int, int]) -> None:
    measured(book, "R1.4", "A2.2", "A2.7")

    async def script(driver: Driver) -> list[str]:
        await driver.write(TARN)
        await driver.press("enter", "1")
        seen = []
        for speaker in ("quarter-l", "quarter-r", "sub"):
            driver.app.screen.query_one("#speakers").mark_key(speaker)  # type: ignore[attr-defined]
            await driver.press("enter")
            seen.append(" ".join(driver.text().split()))
            await driver.press("escape")
        return seen

    one_pole, none, one_coil = drive(book, script, size=size)
    assert "established measured in part, not measured: quarter-l-;" in one_pole
    assert "established not measured: take it as a claim" in none
    assert "not measured: sub.b+, sub.b-;" in one_coil


def test_enter_on_a_part_takes_it_and_stays_and_the_foot_says_so(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.write(TARN)
        await driver.press("enter", "1", "enter")
        assert "Enter take it" in driver.screen_lines()[-1]
        await driver.press("down")
        assert "take it" not in driver.screen_lines()[-1]
        await driver.press("enter")
        looks(driver, "Only a part can be taken here")
        await driver.press("up", "enter")
        looks(driver, "✓ CARRIED", "by lead J of radio-28", "radio-28 is taken")
        await driver.press("escape")
        looks(driver, "main + radio-28")

    drive(book, script)


def test_a_lead_with_its_poles_swapped_says_so_whole_and_so_does_its_cost(book: Path) -> None:
    def swap(content: dict[str, Any]) -> None:
        (radio,) = (c for c in content["connector"] if c["id"] == "R1")
        plus, minus = (next(p for p in radio["pins"] if p["at"] == at) for at in ("4", "5"))
        plus["carries"], minus["carries"] = minus["carries"], plus["carries"]

    with open_book(book).writing() as database:
        (text,) = database.execute("SELECT content FROM revision WHERE id = ?", (TARN,)).fetchone()
        content = json.loads(text)
        swap(content)
        add_documents(
            database, [SimpleNamespace(kind="vehicle", id=TARN, content=content)], author="nell"
        )

    async def script(driver: Driver) -> str:
        await driver.write(TARN)
        await driver.press("enter", "1", "enter")
        return next(line for line in driver.screen_lines() if "▸ part" in line)

    line = drive(book, script, size=SMALL)
    assert "part radio-28, lead J, its plus and minus swapped" in line
    assert "2 panels, 28 min, 1.4 m" in line


def test_a_line_that_is_said_draws_no_list_together(book: Path) -> None:
    """Blank lines before headings come and go with the room, not with a message."""

    async def script(driver: Driver) -> None:
        await driver.write(TARN)
        await driver.press("enter", "1")
        for height in range(24, 52, 2):
            await driver.pilot.resize_terminal(80, height)
            await driver.settle()
            driver.app.screen.say("")  # type: ignore[attr-defined]
            await driver.settle()
            before = driver.screen_lines()[6:14]
            driver.app.screen.say("something is said")  # type: ignore[attr-defined]
            await driver.settle()
            left = [line[:48] for line in driver.screen_lines()[6:14]]
            assert left == [line[:48] for line in before], height

    drive(book, script)


@pytest.mark.parametrize("vehicle", ["sedge 20", "tarn 22 concert", "quessel marl 22"])
def test_a_wide_screen_hides_no_way_of_a_connector(book: Path, vehicle: str) -> None:
    """What no key can scroll to would be hidden: beside the list or below it, all is read."""

    async def script(driver: Driver) -> str:
        await driver.write(vehicle)
        await driver.press("enter", "1", "enter")
        seen = driver.text()
        for _ in range(4):
            await driver.press("pagedown")
            seen += driver.text()
        return seen

    seen = drive(book, script, size=WIDE)
    assert "not documented, so take each as live until metered" in seen
    assert "way  carries" in seen


def test_a_face_longer_than_the_screen_is_read_below_the_list(book: Path) -> None:
    async def script(driver: Driver) -> str:
        await driver.write(TARN)
        await driver.press("enter", "1", "enter", *("pagedown",) * 4)
        return driver.text()

    assert "not documented, so take each as live" in drive(book, script, size=(160, 30))


def test_a_connector_without_rows_has_no_other_side_to_show(book: Path) -> None:
    with open_book(book).writing() as database:
        (text,) = database.execute("SELECT content FROM revision WHERE id = ?", (TARN,)).fetchone()
        content = json.loads(text)
        for connector in content["connector"]:
            connector.pop("rows", None)
        document = SimpleNamespace(kind="vehicle", id=TARN, content=content)
        add_documents(database, [document], author="nell")

    async def script(driver: Driver) -> None:
        await driver.write(TARN)
        await driver.press("enter", "1", "enter")
        assert "other side" not in driver.screen_lines()[-1]
        await driver.press("s")
        looks(driver, "No connector is drawn here")

    drive(book, script, size=WIDE)
