"""A new vehicle, entered as in a spreadsheet: written, pasted, filled down, kept, stored."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import pytest
from textual.events import Paste

from kb.store.book import open_book
from seed_data import documents
from tests.tui.browser.driving import LARGE, Driver, drive, looks
from tui.browser.pasting import next_after, next_row
from tui.browser.sheets import content_of, grids_of, rest_of

SHIPPED = [tomllib.loads(file.read_text("utf-8")) for file in documents()]


@pytest.mark.parametrize("content", SHIPPED, ids=lambda c: c[c["kind"]]["id"])
def test_a_document_comes_back_from_its_sheets(content: dict[str, object]) -> None:
    made = content_of(str(content["kind"]), grids_of(content), rest_of(content))
    assert made == content


def test_text_stays_text() -> None:
    content = {"kind": "vehicle", "vehicle": {}, "connector": [{"id": "A", "pins": []}]}
    grids = grids_of(content)
    grids["pin"] = grids_of(
        {**content, "connector": [{"id": "A", "pins": [{"at": "007", "carries": "data+"}]}]}
    )["pin"]
    made = content_of("vehicle", grids, {})
    assert made["connector"][0]["pins"] == [{"at": "007", "carries": "data+"}]


@pytest.mark.parametrize(
    ("cell", "heading", "below"),
    [
        ("3", "at", "4"), ("B3", "at", "B4"), ("B9", "at", "B10"), ("07", "at", "07"),
        ("door-fl+", "carries", "door-fl-"), ("door-fl-", "carries", "door-fl+"),
        ("battery", "carries", "battery"), ("a+ b+", "carries", "a+ b+"), ("", "at", ""),
        ("3", "minutes", "3"), ("A", "lead", "B"), ("Z", "lead", "Z"), ("9", "lead", "10"),
        ("2", "plus", "3"), ("amp", "id", "amp"), ("2", "id", "3"),
    ],
)  # fmt: skip
def test_fill_down_counts_positions_and_turns_poles(cell: str, heading: str, below: str) -> None:
    assert next_after(cell, heading) == below


def grid(driver: Driver) -> object:
    return driver.app.screen.query_one("#grid")


async def paste(driver: Driver, text: str) -> None:
    assert driver.app.focused is not None
    driver.app.focused.post_message(Paste(text))
    await driver.settle()


async def enter_a_vehicle(driver: Driver) -> None:
    await driver.press("f5", "enter")
    looks(driver, "Vehicle", "Needed at least: id, make, model, years, audio option")
    for value in ("norrad-pell-20-plain2", "Norrad", "Pell", "2020-2022"):
        await driver.write(value)
        await driver.press("enter")
    await driver.press("down", "down")
    await driver.write("plain, 2 speakers")
    await driver.press("enter", "f6")
    await paste(driver, "radio\tradio\tdash-centre")
    await driver.press("f6")
    await paste(driver, "door-l\tdoor-left\tfull-range\t4\ndoor-r\tdoor-right\tfull-range\t4")
    await driver.press("f6")
    await paste(driver, "R1\tradio\tNP-8\t8\t2")
    await driver.press("f6")
    await paste(driver, "R1\t1\tdoor-l+\tWH")
    await driver.press("down")
    # The next three rows: repeat counts the way on and turns the pole round.
    await driver.press("ctrl+r")
    looks(driver, "door-l-")


def test_a_vehicle_is_entered_and_submitted(book: Path, state: Path) -> None:
    async def script(driver: Driver) -> None:
        await enter_a_vehicle(driver)
        await paste(driver, "R1\t3\tdoor-r+\tGY")
        await driver.press("down", "ctrl+r")
        looks(driver, "door-r-", "Pins 4", "nothing found: it may be stored")
        await driver.press("f10")
        looks(driver, "Submit it for review?", "ALL OF IT IS NEW", "R1.3", "door-r+", "GY grey")
        assert "is submitted" not in driver.text()
        await driver.press("escape")
        assert "Submit it" not in driver.text()
        await driver.press("f10", "enter")
        looks(driver, "norrad-pell-20-plain2", "is submitted.")

    drive(book, script, size=LARGE)
    with open_book(book).reading() as connection:
        text, author = connection.execute(
            "SELECT content, author FROM revision WHERE id = 'norrad-pell-20-plain2'"
        ).fetchone()
        fed = connection.execute(
            "SELECT count(*) FROM fed_by b JOIN vehicle v USING (vehicle)"
            " WHERE v.id = 'norrad-pell-20-plain2' AND b.documented = 1"
        ).fetchone()
    assert author == "mira" and fed[0] == 2
    assert [pin["at"] for pin in json.loads(text)["connector"][0]["pins"]] == ["1", "2", "3", "4"]
    assert not list(state.iterdir())


def test_what_is_not_stored_is_there_again(book: Path) -> None:
    async def first(driver: Driver) -> None:
        await enter_a_vehicle(driver)

    async def again(driver: Driver) -> None:
        await driver.press("f5")
        looks(driver, "NOT STORED YET", "norrad-pell-20-plain2", "Norrad Pell")
        await driver.press("end", "enter", "f6", "f6", "f6", "f6")
        looks(driver, "door-l+", "door-l-")
        await driver.press("escape", "delete")
        await driver.write("away")
        await driver.press("enter")
        assert "NOT STORED YET" not in driver.text()

    drive(book, first, size=LARGE)
    drive(book, again, size=LARGE)


def test_undo_and_rows(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await enter_a_vehicle(driver)
        looks(driver, "Pins 2")
        await driver.press("ctrl+u")
        looks(driver, "Pins 1", "undone")
        await driver.press("up", "ctrl+k")
        assert "Pins 1" not in driver.text()
        await driver.press("ctrl+u")
        looks(driver, "Pins 1")

    drive(book, script, size=LARGE)


def test_a_wrong_colour_is_said_while_it_is_written(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await enter_a_vehicle(driver)
        await driver.press("home", "right", "right", "right", "up")
        await driver.write("BL")
        await driver.press("enter")
        looks(driver, "✗", "BL")
        await driver.press("f10")
        looks(driver, "BL")

    drive(book, script, size=LARGE)


def test_another_revision_of_a_vehicle(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.press("t", "a", "r", "n", "enter", "e")
        looks(driver, "halden-tarn-19-concert10", "Pins 25")
        await driver.press("down", "down", "down", "down", "down")
        await driver.write("estate")
        await driver.press("enter", "f10")
        looks(driver, "IT CHANGES", "body five-door estate → estate")
        await driver.press("enter")
        looks(driver, "is submitted")

    drive(book, script, size=LARGE)
    with open_book(book).reading() as connection:
        parents = connection.execute(
            "SELECT parent FROM revision WHERE id = 'halden-tarn-19-concert10' ORDER BY number"
        ).fetchall()
    assert [row[0] is None for row in parents] == [True, False]


def test_a_lead_counts_on_by_its_pair_of_ways() -> None:
    keys = ["", "lead", "plug", "plus", "minus", "wire"]
    assert next_row(["main", "A", "HT-20", "2", "3", "WH"], keys)[1:5] == ["B", "HT-20", "4", "5"]
    assert next_row(["main", "A", "HT-20", "3", "13", "WH"], keys)[3:5] == ["4", "14"]


async def begin_leads(driver: Driver) -> None:
    await driver.press("f5", "down", "enter")
    await paste(driver, "kx\tOku\tKX\tradio\t2\t4")
    await driver.press("f6", "f6")
    looks(driver, "a row in the sheet Parts")
    assert "[[" not in driver.text()
    await paste(driver, "main\talways\tradio\tHR-28\tyes")
    await driver.press("f6")


def test_repeating_a_lead_makes_no_mistake(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await begin_leads(driver)
        await paste(driver, "main\tA\tHR-28\t2\t3\tWH")
        looks(driver, "1 line of 6 columns")
        await driver.press("down", "ctrl+r")
        looks(driver, "B", "nothing found: it may be stored")
        # What Ctrl+U takes back now is another change.
        assert "takes them back" not in driver.text()

    drive(book, script, size=LARGE)


def test_a_line_of_headings_says_where_the_columns_belong(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await begin_leads(driver)
        await paste(driver, "lead\tplug\tminus\tplus\tpart\nA\tHR-28\t3\t2\tmain\n")
        looks(driver, "1 line of 5 columns", "below their headings", "Leads 1")
        made = driver.app.screen.sheets.made().content  # type: ignore[attr-defined]
        assert made["part"][0]["leads"] == [
            {"lead": "A", "plug": "HR-28", "plus": "2", "minus": "3"}
        ]

    drive(book, script, size=LARGE)


def test_a_pole_on_two_ways_is_seen_while_it_is_written(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await enter_a_vehicle(driver)
        await paste(driver, "R1\t3\tdoor-l+\tGY")
        looks(driver, "door-l+ is on R1.1 and R1.3: right only where one wire has two ways")

    drive(book, script, size=LARGE)


def test_all_that_is_to_mend_is_counted(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await enter_a_vehicle(driver)
        await paste(driver, "\n".join(f"R1\t{way}\tdata+\tBL" for way in range(5, 505)))
        assert "200 to mend" not in driver.text()
        count = int(driver.text().split(" to mend")[0].split()[-1].replace(",", ""))
        assert count >= 500

    drive(book, script, size=LARGE)
