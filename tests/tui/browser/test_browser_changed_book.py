"""The book changes under an open screen: what is shown is read anew, and that is said.

The changes are made as another process makes them: on a connection of its own.
"""

from __future__ import annotations

import json
import time
from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from kb.store.book import open_book
from kb.store.revisions import add_documents
from tests.tui.browser.driving import LARGE, SIZES, WIDE, Driver, drive, lines_with, looks
from tui.browser.asking import CHANGED

TARN = "halden-tarn-19-concert10"


def rewrite(book: Path, change: Callable[[dict[str, Any]], None], id: str = TARN) -> None:
    """Somebody else submits another revision of a vehicle."""
    with open_book(book).writing() as database:
        (text,) = database.execute(
            "SELECT content FROM revision WHERE id = ? ORDER BY number DESC LIMIT 1", (id,)
        ).fetchone()
        content = json.loads(text)
        change(content)
        document = SimpleNamespace(kind="vehicle", id=id, content=content)
        add_documents(database, [document], author="lena")


def swapped(content: dict[str, Any]) -> None:
    """R1.4 and R1.5 change places: what was plus is minus."""
    (radio,) = (c for c in content["connector"] if c["id"] == "R1")
    plus, minus = (next(p for p in radio["pins"] if p["at"] == at) for at in ("4", "5"))
    plus["carries"], minus["carries"] = minus["carries"], plus["carries"]


def without_quarter_left(content: dict[str, Any]) -> None:
    content["speaker"] = [s for s in content["speaker"] if s["id"] != "quarter-l"]
    for connector in content["connector"]:
        for pin in connector["pins"]:
            if "quarter-l" in str(pin.get("carries", "")):
                pin["carries"] = "mystery"


async def to_the_vehicle(driver: Driver) -> None:
    await driver.write(TARN)
    await driver.press("enter", "1", "p", "down", "space", "enter")
    looks(driver, "✓ quarter-l")


@pytest.mark.parametrize("size", SIZES)
def test_the_vehicle_is_read_anew_when_it_is_come_back_to(
    book: Path, size: tuple[int, int]
) -> None:
    async def script(driver: Driver) -> None:
        await to_the_vehicle(driver)
        await driver.press("end", "enter")
        rewrite(book, swapped)
        await driver.press("escape")
        looks(driver, "⇄ quarter-l", CHANGED)
        assert driver.app.screen.marked == "sub"  # type: ignore[attr-defined]

    drive(book, script, size=size)


def test_the_vehicle_is_read_anew_while_nobody_touches_a_key(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tui.browser.app.LOOK_EVERY", 0.05)

    async def script(driver: Driver) -> None:
        await to_the_vehicle(driver)
        rewrite(book, swapped)
        until = time.monotonic() + 5
        while "⇄ quarter-l" not in driver.text() and time.monotonic() < until:
            await driver.pilot.pause(0.05)
        looks(driver, "⇄ quarter-l", CHANGED)

    drive(book, script)


@pytest.mark.parametrize("size", [LARGE, WIDE])
def test_a_speaker_and_its_face_are_of_one_book(book: Path, size: tuple[int, int]) -> None:
    async def script(driver: Driver) -> None:
        await to_the_vehicle(driver)
        driver.app.screen.query_one("#speakers").mark_key("quarter-l")  # type: ignore[attr-defined]
        rewrite(book, swapped)
        await driver.press("enter")
        looks(driver, "REVERSED", "plus and minus swapped", CHANGED)
        assert "+  R1 way 5" in lines_with(driver.screen_lines(), "+  R1")[0]

    drive(book, script, size=size)


def test_a_face_that_changed_is_told_where_the_answer_did_not(book: Path) -> None:
    """Another way of the connector, which no speaker is on."""

    def note(content: dict[str, Any]) -> None:
        (radio,) = (c for c in content["connector"] if c["id"] == "R1")
        radio["place"] = "behind the glove box"

    async def script(driver: Driver) -> None:
        await to_the_vehicle(driver)
        await driver.press("enter")
        rewrite(book, note)
        driver.app._look_at_book()  # type: ignore[attr-defined]
        await driver.settle()
        looks(driver, "behind the glove box", CHANGED)

    drive(book, script, size=WIDE)


def test_a_speaker_that_the_entry_lost_is_left(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await to_the_vehicle(driver)
        driver.app.screen.query_one("#speakers").mark_key("quarter-l")  # type: ignore[attr-defined]
        await driver.press("enter")
        rewrite(book, without_quarter_left)
        driver.app._look_at_book()  # type: ignore[attr-defined]
        await driver.settle()
        assert type(driver.app.screen).__name__ == "Vehicle"
        looks(driver, "has no quarter-l any more")

    drive(book, script)


def test_a_change_of_something_else_is_not_told(book: Path) -> None:
    def later(content: dict[str, Any]) -> None:
        content["vehicle"]["years"] = "2031"

    async def script(driver: Driver) -> None:
        await to_the_vehicle(driver)
        before = driver.text()
        rewrite(book, later, "torvane-sedge-20-studio9")
        driver.app._look_at_book()  # type: ignore[attr-defined]
        await driver.settle()
        assert driver.text() == before

    drive(book, script)


def test_find_lists_what_the_book_has_now_and_keeps_its_mark(book: Path) -> None:
    def renamed(content: dict[str, Any]) -> None:
        content["vehicle"]["audio"] = "quite another sound"

    async def script(driver: Driver) -> None:
        await driver.write("tarn")
        await driver.press("down")
        key = driver.app.screen.query_one("#found").item.key  # type: ignore[attr-defined]
        rewrite(book, renamed)
        driver.app._look_at_book()  # type: ignore[attr-defined]
        await driver.settle()
        looks(driver, "quite another sound", CHANGED)
        assert driver.app.screen.query_one("#found").item.key == key  # type: ignore[attr-defined]

    drive(book, script)


def test_the_queue_is_read_anew_while_it_is_open(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.press("f3")
        rewrite(book, swapped)
        driver.app._look_at_book()  # type: ignore[attr-defined]
        await driver.settle()
        looks(driver, "by lena", CHANGED)

    drive(book, script, size=WIDE)


def test_a_book_that_is_held_by_another_is_looked_at_later_and_keys_go_on(book: Path) -> None:
    """A look waits in a thread of its own; Esc leaves at once, and says nothing of stopping."""

    async def script(driver: Driver) -> None:
        await to_the_vehicle(driver)
        await driver.press("enter")
        with open_book(book).writing() as database:
            database.execute("PRAGMA cache_spill = ON")
            driver.app._look_at_book()  # type: ignore[attr-defined]
            begun = time.monotonic()
            await driver.pilot.press("escape")
            assert type(driver.app.screen).__name__ == "Vehicle"
            assert time.monotonic() - begun < 3  # the book itself is waited for far longer
        await driver.settle()
        assert "stopped" not in driver.text()

    drive(book, script)


def test_a_plan_is_worked_out_anew_and_keeps_what_was_chosen(book: Path) -> None:
    def slower(content: dict[str, Any]) -> None:
        for panel in content["panel"]:
            panel["minutes"] = 60

    async def script(driver: Driver) -> None:
        await driver.press("f4")
        driver.app.screen.query_one("#jobs").mark_key("tarn-1187")  # type: ignore[attr-defined]
        await driver.press("enter")
        settings = driver.app.screen.query_one("#settings")
        settings.mark_key(("speaker", "sail-l"))  # type: ignore[attr-defined]
        await driver.press("enter")
        before = driver.text()
        looks(driver, "[ ] sail-l")
        rewrite(book, slower)
        driver.app._look_at_book()  # type: ignore[attr-defined]
        await driver.settle()
        looks(driver, "[ ] sail-l", CHANGED)
        assert driver.text().replace(CHANGED, "") != before

    drive(book, script, size=WIDE)
