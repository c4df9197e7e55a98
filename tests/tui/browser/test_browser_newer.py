"""An edit that was begun before somebody else's revision: it is told, brought in, or set aside."""

from __future__ import annotations

import json
import os
import time
from pathlib import Path
from typing import Any

import pytest

from kb.store.book import open_book
from tests.books import document
from tests.tui.browser.driving import LARGE, SMALL, Driver, drive, looks
from tests.tui.browser.test_browser_kept_readings import content_of
from tests.tui.browser.test_browser_readings import TARN
from tui.browser.journal import journal_folder
from tui.browser.lines.left import ago
from tui.browser.screens.confirm import Confirm
from tui.browser.screens.grid import EntryGrid
from tui.browser.worksheet import Worksheet


def lena_adds(book: Path, **head: Any) -> str:
    """Lena's revision, which answers: other years, or what else of the head is named."""
    from kb.store.revisions import add_documents

    content = content_of(book)
    content["vehicle"] |= head or {"years": "2019-2026"}
    with open_book(book).writing() as database:
        (stored,) = add_documents(database, [document(content)], author="lena")
    return stored.hash


def newest(book: Path) -> tuple[dict[str, Any], str]:
    with open_book(book).reading() as connection:
        text, parent = connection.execute(
            "SELECT content, parent FROM revision WHERE id = ? ORDER BY number DESC LIMIT 1",
            (TARN,),
        ).fetchone()
    return json.loads(text), parent


async def edit(driver: Driver) -> EntryGrid:
    await driver.press("t", "a", "r", "n", "enter", "e")
    return grid_of(driver)


def grid_of(driver: Driver) -> EntryGrid:
    return next(s for s in driver.app.screen_stack if isinstance(s, EntryGrid))


async def write_head(driver: Driver, key: str, text: str) -> None:
    grid = grid_of(driver)
    at = next(n for n, line in enumerate(grid.sheets.lines()) if key in line[0])
    grid._move_to(at, 1)
    await driver.write(text)
    await driver.press("enter")


async def begin(driver: Driver) -> None:
    await edit(driver)
    await write_head(driver, "body", "estate")
    await driver.press("escape", "escape", "escape")


def test_what_was_left_says_what_it_is_and_since_when(book: Path) -> None:
    drive(book, begin)
    (kept,) = journal_folder().glob("entry-*.json")
    left = time.time() - 3 * 24 * 3600 - 60
    os.utime(kept, (left, left))

    async def again(driver: Driver) -> None:
        await edit(driver)
        looks(driver, "Picked up where it was left: vehicle body, 3 days ago.")

    drive(book, again)


def test_how_long_ago_is_said_in_its_largest_unit() -> None:
    seconds = (-60, 0, 59, 60, 150, 3600, 86399, 86400, 200000)
    assert [ago(second) for second in seconds] == [
        "just now", "just now", "just now", "1 minute ago", "2 minutes ago", "1 hour ago",
        "23 hours ago", "1 day ago", "2 days ago",
    ]  # fmt: skip


@pytest.mark.parametrize("size", [SMALL, LARGE])
def test_what_others_changed_is_told_and_brought_in(book: Path, size: tuple[int, int]) -> None:
    drive(book, begin)
    lena = lena_adds(book)

    async def again(driver: Driver) -> None:
        grid = await edit(driver)
        looks(driver, "Another revision answers since you began", "lena", "2019-2026")
        await driver.press("enter")
        assert not isinstance(driver.app.screen, Confirm)
        looks(driver, "Brought in from", "vehicle years", "2019-2026", "estate")
        assert grid.made_from == lena
        await driver.press("f10")
        looks(driver, "Submit it for review?", "body")
        assert "TAKE BACK" not in driver.text()
        await driver.press("enter")
        looks(driver, "is submitted")

    drive(book, again, size=size)
    content, parent = newest(book)
    assert (content["vehicle"]["body"], content["vehicle"]["years"]) == ("estate", "2019-2026")
    assert parent == lena


def test_the_old_base_is_kept_knowingly_alone(book: Path) -> None:
    drive(book, begin)
    lena_adds(book)
    before, _ = newest(book)

    async def again(driver: Driver) -> None:
        await edit(driver)
        await driver.press("escape", "f10")  # what was not answered is asked again
        looks(driver, "Another revision answers since you began")
        await driver.press("o")
        assert not isinstance(driver.app.screen, Confirm)
        assert newest(book)[0] == before
        await driver.press("f10")
        looks(driver, "WOULD TAKE BACK", "years 2019-2026 → ", "answers now; this was not made")
        await driver.press("enter")
        looks(driver, "is submitted")

    drive(book, again, size=LARGE)
    content, _ = newest(book)
    assert content["vehicle"]["years"] != "2019-2026" and content["vehicle"]["body"] == "estate"


@pytest.mark.parametrize(("key", "stands"), [("enter", "estate"), ("t", "van")])
def test_where_both_changed_theirs_is_kept_by_choice_alone(
    book: Path, key: str, stands: str
) -> None:
    drive(book, begin)
    lena_adds(book, body="van", years="2019-2026")

    async def again(driver: Driver) -> None:
        await edit(driver)
        looks(driver, "BOTH CHANGED", "✗ vehicle body: yours estate; theirs van")
        await driver.press(key)
        looks(driver, "Both had changed vehicle body", stands, "2019-2026")
        brought = " ".join(driver.text().split()).partition("Brought in from ")[2]
        named = brought.partition(". ")[0]
        assert "vehicle years" in named and ("vehicle body" in named) == (key == "t"), named
        assert grid_of(driver).sheets.made().content["vehicle"]["body"] == stands

    drive(book, again, size=LARGE)


@pytest.mark.parametrize("width", [40, 60, 80, 120])
def test_every_answer_and_the_way_back_stand_below_the_question(book: Path, width: int) -> None:
    drive(book, begin)
    lena_adds(book, body="van", years="2019-2026")

    async def again(driver: Driver) -> None:
        await edit(driver)
        foot = "\n".join(driver.screen_lines()[-4:])
        assert all(driver.screen_lines()[-2:])
        for said in ("Enter brings it in", "t brings it in, theirs where both",
                     "o stays on the old base", "Esc back, nothing done"):  # fmt: skip
            assert said in foot, foot

    drive(book, again, size=(width, 24))


def test_the_old_base_tells_what_both_changed_once_more(book: Path) -> None:
    drive(book, begin)
    lena_adds(book, body="van", years="2019-2026")

    async def again(driver: Driver) -> None:
        await edit(driver)
        await driver.press("o", "f10")
        looks(driver, "Submit it for review?", "WOULD TAKE BACK", "years 2019-2026 → ")
        looks(driver, "BOTH CHANGED: yours would stand", "✗ vehicle body: yours estate; theirs van")

    drive(book, again, size=LARGE)


@pytest.mark.parametrize(("key", "stands"), [("enter", "estate"), ("t", "van")])
def test_what_was_brought_in_is_one_step_that_is_taken_back(
    book: Path, key: str, stands: str
) -> None:
    lena = ""

    async def script(driver: Driver) -> None:
        nonlocal lena
        grid = await edit(driver)
        untouched, base = grid.sheets.made().content, grid.made_from
        await write_head(driver, "body", "estate")
        mine = grid.sheets.made().content
        lena = lena_adds(book, body="van", years="2019-2026")
        await driver.press("f10")
        looks(driver, "Another revision answers since you began")
        await driver.press(key)
        merged = grid.sheets.made().content["vehicle"]
        assert (merged["body"], merged["years"]) == (stands, "2019-2026")
        assert grid.made_from == lena
        looks(driver, "Ctrl+U takes it back")

        await driver.press("ctrl+u")
        looks(driver, "undone: what was brought in is out again")
        assert (grid.sheets.made().content, grid.made_from) == (mine, base)
        work = grid.kept.read()
        assert work is not None and (work.content, work.made_from) == (mine, base)
        await driver.press("f10")  # on its old base it is asked about again
        looks(driver, "Another revision answers since you began", "yours estate; theirs van")
        await driver.press("escape", "ctrl+u")
        assert (grid.sheets.made().content, grid.made_from) == (untouched, base)
        await driver.press("ctrl+u")
        looks(driver, "Nothing to undo.")

    drive(book, script, size=LARGE)


def test_what_has_no_sheet_is_taken_back_with_what_was_brought_in() -> None:
    old = {"kind": "amplifier", "amplifier": {"id": "a"}, "setting": [{"id": "one"}]}
    new = {"kind": "amplifier", "amplifier": {"id": "b"}, "setting": [{"id": "two"}]}
    sheets = Worksheet(old, "first")
    before = sheets.made().content
    sheets.bring_in(new, "second")
    assert (sheets.made().content["setting"], sheets.made_from) == ([{"id": "two"}], "second")
    assert sheets.undo()
    assert (sheets.made().content, sheets.made_from) == (before, "first")
    assert not sheets.undo()


def test_a_revision_that_comes_while_the_summary_is_read_is_not_undone(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await edit(driver)
        await write_head(driver, "body", "estate")
        await driver.press("f10")
        looks(driver, "Submit it for review?")
        lena_adds(book)
        await driver.press("enter")
        looks(driver, "by lena answers since", "differs in vehicle years")
        await driver.press("f10")
        looks(driver, "Another revision answers since you began")

    drive(book, script, size=LARGE)
    assert newest(book)[0]["vehicle"]["years"] == "2019-2026"


def test_an_id_that_the_book_has_is_told_before_it_is_submitted(book: Path) -> None:
    from tests.tui.browser.test_browser_kept import begin_a_car

    async def script(driver: Driver) -> None:
        await begin_a_car(driver, TARN)
        await driver.press("f10")
        looks(driver, f"! {TARN}@", "by shipped (submitted) answers now; this was not made")

    drive(book, script, size=LARGE)


def test_a_kit_that_the_book_has_is_changed_from_the_list_of_entries(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.press("f5", "e")
        looks(driver, "finds the vehicle")
        await driver.press("down", "e")
        looks(driver, "Which kit?", "oku-b6", "Oku B6 bypass")
        await driver.write("oku-b6")
        await driver.press("enter")
        grid = grid_of(driver)
        assert grid.sheets.title() == "oku-b6" and grid.made_from is not None
        await write_head(driver, "name", "B6 bypass, new")
        await driver.press("f10")
        looks(driver, "Submit it for review?", "B6 bypass → B6 bypass, new")
        await driver.press("enter")
        looks(driver, "kit oku-b6@", "is submitted")

    drive(book, script, size=LARGE)
    with open_book(book).reading() as connection:
        (count,) = connection.execute(
            "SELECT count(*) FROM revision WHERE id = 'oku-b6' AND parent IS NOT NULL"
        ).fetchone()
    assert count == 1


def test_a_dossier_opens_its_own_revision_whatever_was_begun(book: Path) -> None:
    drive(book, begin)
    lena = lena_adds(book, years="2019-2027")

    async def script(driver: Driver) -> None:
        await driver.press("f3")
        rows = driver.app.screen.query_one("#waiting")
        key = next(item.key for item in rows.items if lena[:12] in str(item.key))  # type: ignore[attr-defined]
        rows.mark_key(key)  # type: ignore[attr-defined]
        await driver.press("enter", "e")
        grid = grid_of(driver)
        assert grid.made_from == lena
        assert grid.sheets.made().content["vehicle"]["years"] == "2019-2027"

    drive(book, script, size=LARGE)
