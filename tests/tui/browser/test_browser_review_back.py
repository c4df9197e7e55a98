"""A review that was opened by name leads back there; one that the book overtook is not signed."""

from __future__ import annotations

import json
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from textual.screen import Screen

from kb.review.people import add_person
from kb.review.revisions import revisions_of
from kb.store.book import open_book
from kb.store.revisions import add_documents
from tests.tui.browser.driving import LARGE, SIZES, Driver, drive, looks
from tui.browser.screens.review import Review

TARN = "halden-tarn-19-concert10"
POLES = ["A1", "A2", "R1.4", "R1.5", "R1.18", "R1.19", "R1.11", "R1.25"]


def add(book: Path, author: str, **first_pin: Any) -> None:
    """A fully measured revision of the Tarn whose first pin is told otherwise."""
    with open_book(book).writing() as database:
        (text,) = database.execute(
            "SELECT content FROM revision WHERE id = ? ORDER BY number LIMIT 1", (TARN,)
        ).fetchone()
        content = json.loads(text)
        content["connector"][0]["pins"][3] |= first_pin
        content["evidence"] = [{"of": POLES, "method": "meter", "on": "2026-03-14"}]
        document = SimpleNamespace(kind="vehicle", id=TARN, content=content)
        add_documents(database, [document], author=author)


@pytest.fixture
def two_leads(book: Path) -> Path:
    with open_book(book).writing() as database:
        add_person(database, "mira", "lead", by="mira")
        add_person(database, "jan", "lead", by="mira")
    return book


def states(book: Path) -> dict[str, str]:
    with open_book(book).reading() as connection:
        return {r.author: r.state for r in revisions_of(connection, TARN)}


async def by_name(driver: Driver, author: str) -> None:
    await driver.write(f"entries where id = {TARN} and author = {author}")
    await driver.press("enter")
    looks(driver, f"Review   vehicle/{TARN}@")


@pytest.mark.parametrize("size", SIZES)
def test_one_step_back_from_a_review_is_where_it_was_asked_for(
    two_leads: Path, size: tuple[int, int]
) -> None:
    add(two_leads, "tom", wire="GY/GN")

    async def script(driver: Driver) -> None:
        await by_name(driver, "tom")
        footer = driver.screen_lines()[-1]
        assert "next" not in footer and "before" not in footer
        await driver.press("right")
        looks(driver, "This one was opened by itself")
        await driver.press("escape")
        looks(driver, f"entries where id = {TARN}")

    drive(two_leads, script, size=size)


async def to_a_disputed_speaker(driver: Driver) -> tuple[Screen[Any], str]:
    """The vehicle with its first kit, and the marked speaker, of which two revisions differ."""
    await driver.write(TARN)
    await driver.press("enter", "1")
    vehicle = driver.app.screen
    disputed = next(
        s.speaker
        for s in vehicle.with_kit.answer.speakers  # type: ignore[attr-defined]
        if s.disputed
    )
    vehicle.query_one("#speakers").mark_key(disputed)  # type: ignore[attr-defined]
    return vehicle, str(disputed)


def test_a_dispute_leads_back_to_the_vehicle(two_leads: Path) -> None:
    add(two_leads, "tom", carries="mystery")

    async def script(driver: Driver) -> None:
        vehicle, _ = await to_a_disputed_speaker(driver)
        await driver.press("d")
        looks(driver, "Review")
        await driver.press("escape")
        assert driver.app.screen is vehicle

    drive(two_leads, script, size=LARGE)


def test_after_the_act_it_is_where_it_was_asked_for_and_says_what_was_done(
    two_leads: Path,
) -> None:
    add(two_leads, "tom", wire="GY/GN")

    async def script(driver: Driver) -> None:
        await by_name(driver, "tom")
        await driver.press("r")
        await driver.write("meter it")
        await driver.press("enter")
        looks(driver, f"entries where id = {TARN}", "went back to tom")

    drive(two_leads, script, size=LARGE)


@pytest.mark.parametrize("size", SIZES)
def test_a_dispute_of_a_speaker_that_is_sent_back_says_so_on_the_speaker(
    two_leads: Path, size: tuple[int, int]
) -> None:
    """The list below and the face are both read anew then, and neither talks over what was done."""
    add(two_leads, "tom", wire="GY/GN")

    async def script(driver: Driver) -> None:
        vehicle, disputed = await to_a_disputed_speaker(driver)
        await driver.press("enter", "d", "r")
        await driver.write("meter it")
        await driver.press("enter")
        for _ in range(3):
            await driver.settle()
        assert driver.app.screen is not vehicle
        said = " ".join(driver.text().split())
        assert f"{disputed} with" in said and " went back to " in said
        assert said.count("The book has changed: read anew.") == 1

    drive(two_leads, script, size=size)
    assert "returned" in states(two_leads).values()


def test_a_review_is_read_anew_where_somebody_acts_meanwhile(two_leads: Path) -> None:
    add(two_leads, "tom", wire="GY/GN")

    async def script(driver: Driver) -> None:
        await by_name(driver, "tom")
        add(two_leads, "nell", wire="VT")
        driver.app._look_at_book()
        await driver.settle()
        looks(driver, "the book has changed: read anew; look again before you sign")
        looks(driver, "nell")

    drive(two_leads, script, size=(120, 60))


@pytest.mark.parametrize("who", ["tess", "tom"])
def test_whoever_may_not_sign_is_not_told_to_look_before_it(two_leads: Path, who: str) -> None:
    add(two_leads, "tom", wire="GY/GN")

    async def script(driver: Driver) -> None:
        await by_name(driver, "tom")
        add(two_leads, "nell", wire="VT")
        driver.app._look_at_book()
        await driver.settle()
        looks(driver, "the book has changed: read anew", "nell")
        assert "before you sign" not in driver.text()

    drive(two_leads, script, size=(120, 60), acting=who)


def test_what_changed_since_it_was_read_is_not_signed(two_leads: Path) -> None:
    """The look under the lock, where no other look came between."""
    add(two_leads, "tom", wire="GY/GN")

    async def script(driver: Driver) -> None:
        await by_name(driver, "tom")
        review = driver.app.screen
        assert isinstance(review, Review)
        add(two_leads, "nell", wire="VT")
        review._verify(reason=None, alone=False, sure=True)
        await driver.settle()
        assert driver.app.screen is review
        said = " ".join(driver.text().split())
        assert "Nothing was signed" in said and "look again before you sign" in said

    drive(two_leads, script, size=LARGE)
    assert states(two_leads)["tom"] == "submitted"


def test_a_change_of_another_entry_keeps_nobody_from_signing(two_leads: Path) -> None:
    add(two_leads, "tom", wire="GY/GN")

    async def script(driver: Driver) -> None:
        await by_name(driver, "tom")
        review = driver.app.screen
        assert isinstance(review, Review)
        with open_book(two_leads).writing() as database:
            add_person(database, "ole", "tech", by="mira")
        review._verify(reason=None, alone=False, sure=True)
        await driver.settle()
        looks(driver, "is verified")

    drive(two_leads, script, size=LARGE)
    assert states(two_leads)["tom"] == "verified"


def test_the_foot_names_no_act_that_history_refuses(two_leads: Path) -> None:
    add(two_leads, "tom", wire="GY/GN")

    async def script(driver: Driver) -> None:
        await by_name(driver, "tom")
        assert "v verify" in driver.screen_lines()[-1]
        await driver.press("h")
        assert "verify" not in driver.screen_lines()[-1]
        await driver.press("h")
        assert "v verify" in driver.screen_lines()[-1]

    drive(two_leads, script, size=LARGE)


def test_a_lead_is_told_at_once_that_their_own_revision_is_another_s_to_sign(
    two_leads: Path,
) -> None:
    add(two_leads, "mira", wire="GY/GN")

    async def script(driver: Driver) -> None:
        await by_name(driver, "mira")
        assert "v verify" not in driver.screen_lines()[-1]
        await driver.press("pagedown", "pagedown", "pagedown")
        said = " ".join(driver.text().split())
        assert "a lead never verifies their own revision; jan can; r sends it back" in said

    drive(two_leads, script, size=LARGE)


@pytest.mark.parametrize("act", ["returned", "verified"])
def test_the_foot_of_what_waits_for_no_lead_names_no_signature(two_leads: Path, act: str) -> None:
    add(two_leads, "tom", wire="GY/GN")

    async def script(driver: Driver) -> None:
        await by_name(driver, "tom")
        footer = driver.screen_lines()[-1]
        assert "v verify" in footer and "r return" in footer
        await driver.press("r" if act == "returned" else "v")
        if act == "returned":
            await driver.write("which unit?")
        await driver.press("enter")
        assert states(two_leads)["tom"] == act
        await driver.press("enter")
        looks(driver, f"{act} by mira")
        footer = driver.screen_lines()[-1]
        assert "verify" not in footer and "return" not in footer and "h history" in footer
        for key in ("v", "r"):
            driver.app.screen.say("")  # type: ignore[attr-defined]
            await driver.press(key)
            looks(driver, f"It is {act}: it waits for no lead.")

    drive(two_leads, script, size=LARGE)
