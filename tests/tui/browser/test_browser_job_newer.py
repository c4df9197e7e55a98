"""A job that somebody else stores while it is changed here: brought in, set aside, taken back."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from kb.store.book import open_book
from kb.store.revisions import add_documents
from tests.books import document
from tests.tui.browser.driving import LARGE, SMALL, Driver, drive, looks
from tests.tui.browser.test_browser_asks_first import JOB, job_of
from tests.tui.browser.test_browser_plan import mark, open_tarn
from tui.browser.screens.confirm import Confirm
from tui.browser.screens.plan import PlanWalk


def lena_stores(book: Path, **head: Any) -> str:
    """Lena's revision of the job, which answers: what is named of its head."""
    content: dict[str, Any] = job_of(book)[0]
    content["job"] |= head
    with open_book(book).writing() as database:
        (stored,) = add_documents(database, [document(content)], author="lena")
    return stored.hash


def newest(book: Path) -> tuple[dict[str, Any], str, str]:
    """The head of the newest job, its parent and its author."""
    with open_book(book).reading() as connection:
        parent, author = connection.execute(
            "SELECT parent, author FROM revision WHERE id = ? ORDER BY number DESC LIMIT 1", (JOB,)
        ).fetchone()
    head: Any = job_of(book)[0]["job"]
    return head, parent, author


def draft_of(driver: Driver) -> dict[str, Any]:
    plan = next(s for s in driver.app.screen_stack if isinstance(s, PlanWalk))
    assert plan.draft is not None
    head: dict[str, Any] = plan.draft.content["job"]
    return head


async def silence_sail(driver: Driver) -> None:
    await open_tarn(driver)
    mark(driver, ("speaker", "sail-l"))
    await driver.press("space")


@pytest.mark.parametrize("size", [SMALL, LARGE])
def test_what_others_stored_is_brought_in_and_taken_back(book: Path, size: tuple[int, int]) -> None:
    async def script(driver: Driver) -> None:
        await silence_sail(driver)
        mine = dict(draft_of(driver))
        lena = lena_stores(book, amplifier_place="load-floor")
        await driver.press("S", "enter")
        looks(driver, "Another revision answers since you began", "lena", "load-floor")
        await driver.press("enter")
        looks(driver, "Brought in from", "job amplifier_place", "u takes it back")
        assert draft_of(driver) == mine | {"amplifier_place": "load-floor"}
        await driver.press("u")
        looks(driver, "undone, and back on the base from before")
        assert draft_of(driver) == mine
        await driver.press("S", "enter")  # it is asked about anew
        looks(driver, "Another revision answers since you began")
        await driver.press("enter", "S", "enter")
        if isinstance(driver.app.screen, Confirm):  # what its plan has against it
            assert "THIS WOULD CHANGE IN IT" not in driver.text()
            await driver.press("enter")
        looks(driver, "is submitted")
        head, parent, _ = newest(book)
        assert parent == lena and head == mine | {"amplifier_place": "load-floor"}

    drive(book, script, size=size)


def test_the_old_base_is_kept_knowingly_alone(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await silence_sail(driver)
        with open_book(book).reading() as connection:
            (base,) = connection.execute(
                "SELECT hash FROM revision WHERE id = ?", (JOB,)
            ).fetchone()
        lena_stores(book, amplifier_place="load-floor")
        await driver.press("S", "enter", "o")
        looks(driver, f"Store {JOB} all the same?", "amplifier_place load-floor → ")
        assert newest(book)[2] == "lena"
        await driver.press("enter")
        looks(driver, "is submitted")
        head, parent, author = newest(book)
        assert (parent, author) == (base, "mira")  # so its review lists what it takes back
        assert head["amplifier_place"] != "load-floor" and "sail-l" in head["silent"]

    drive(book, script, size=LARGE)


@pytest.mark.parametrize(("key", "theirs"), [("enter", False), ("t", True)])
def test_where_both_changed_theirs_is_kept_by_choice_alone(
    book: Path, key: str, theirs: bool
) -> None:
    async def script(driver: Driver) -> None:
        await silence_sail(driver)
        mine = draft_of(driver)["silent"]
        lena_stores(book, silent=["quarter-l"])
        await driver.press("S", "enter")
        looks(driver, "BOTH CHANGED", "✗ job silent: yours ", "theirs quarter-l")
        await driver.press(key)
        looks(driver, "Both had changed job silent")
        assert draft_of(driver)["silent"] == (["quarter-l"] if theirs else mine)

    drive(book, script, size=LARGE)


def test_changes_that_were_left_are_asked_about_when_they_are_come_back_to(book: Path) -> None:
    drive(book, silence_sail, size=LARGE)
    lena_stores(book, amplifier_place="load-floor")

    async def again(driver: Driver) -> None:
        await driver.press("f4", "end", "enter")
        looks(driver, "Another revision answers since you began", "load-floor")
        await driver.press("enter")
        head = draft_of(driver)
        assert head["amplifier_place"] == "load-floor" and "sail-l" in head["silent"]

    drive(book, again, size=LARGE)


def test_a_job_that_is_stored_anew_while_it_is_looked_at_is_told(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await silence_sail(driver)
        lena_stores(book, amplifier_place="load-floor")
        driver.app._look_at_book()
        await driver.settle()
        looks(driver, "this job was stored anew: S says what differs", "[ ] sail-l")

    drive(book, script, size=LARGE)
