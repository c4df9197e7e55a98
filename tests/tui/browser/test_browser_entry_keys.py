"""The entry grid under fast hands: every key in its order, every text in its own cell."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from textual.events import Paste

from kb.store.book import open_book
from tests.tui.browser.driving import LARGE, SMALL, Driver, drive, looks
from tui.browser.screens.grid import EntryGrid
from tui.browser.sheets import Content


def entry(driver: Driver) -> EntryGrid:
    screen = driver.app.screen
    assert isinstance(screen, EntryGrid), screen
    return screen


def content(driver: Driver) -> Content:
    return entry(driver).sheets.made().content


async def new_vehicle(driver: Driver) -> None:
    await driver.press("f5", "enter")


async def edit_tarn(driver: Driver) -> None:
    await driver.press("t", "a", "r", "n", "enter", "e")
    assert entry(driver).sheets.kind == "vehicle"


async def at_once(driver: Driver, *keys: str) -> None:
    """Keys as a terminal hands them on when somebody types ahead: no pause between them."""
    from textual.events import Key

    for key in keys:
        character = {"enter": "\r", "tab": "\t"}.get(key, key if len(key) == 1 else None)
        driver.app.post_message(Key(key, character))
    await driver.settle()
    await driver.settle()


async def paste(driver: Driver, text: str) -> None:
    driver.app.post_message(Paste(text))
    await driver.settle()


def test_typing_ahead_keeps_each_word_in_its_cell(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await new_vehicle(driver)
        await at_once(driver, *"ost-er", "enter", *"Fell", "enter", *"Pel?x", "backspace",
                      "backspace", "enter", *"2020-", "f6", *"half", "tab", *"radio",
                      "f7", "down", *"Z", "enter")  # fmt: skip
        assert content(driver)["vehicle"] == {
            "id": "ost-er", "make": "Z", "model": "Pel", "years": "2020-"}  # fmt: skip
        assert content(driver)["unit"] == [{"id": "half", "kind": "radio"}]

    drive(book, script, size=LARGE)


def test_what_is_half_written_goes_into_its_own_cell(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await edit_tarn(driver)
        await driver.press("f6", "f6", "f6", "f6")
        await driver.write("half-typed")
        await driver.press("f6", "enter")
        looks(driver, "Panels")
        assert content(driver)["connector"][0]["id"] != "half-typed"
        assert content(driver)["panel"][0]["id"] != "half-typed"
        assert content(driver)["connector"][-1]["id"] == "half-typed"
        await driver.press("escape", "f7", "end")
        await driver.write("zzz")
        await driver.pilot.click("#grid", offset=(4, 5))
        await driver.settle()
        assert entry(driver).grid.at_row == 4
        pins = content(driver)["connector"][-1]["pins"]
        assert pins[0]["awg"] == "zzz"
        await driver.press("enter", "enter")
        assert "zzz" not in json.dumps(content(driver)["connector"][0])

    drive(book, script, size=LARGE)


@pytest.mark.parametrize("key", ["f9", "f10"])
def test_storing_takes_the_cell_first(book: Path, key: str) -> None:
    async def script(driver: Driver) -> None:
        await edit_tarn(driver)
        await at_once(driver, "down", *"Halder", key)
        if key == "f10":
            looks(driver, "Submit it for review?", "Halden → Halder")
            await driver.press("enter")
        looks(driver, "is draft" if key == "f9" else "is submitted")

    drive(book, script, size=LARGE)
    with open_book(book).reading() as connection:
        newest = connection.execute(
            "SELECT content FROM revision WHERE id = 'halden-tarn-19-concert10'"
            " ORDER BY number DESC"
        ).fetchone()[0]
    assert json.loads(newest)["vehicle"]["make"] == "Halder"


def test_leaving_in_the_middle_of_a_cell_loses_nothing(book: Path, state: Path) -> None:
    async def first(driver: Driver) -> None:
        await new_vehicle(driver)
        await at_once(driver, *"ost", "enter", *"Fel", "ctrl+q")

    async def again(driver: Driver) -> None:
        await driver.press("f5", "end", "enter")
        assert content(driver)["vehicle"] == {"id": "ost", "make": "Fel"}

    drive(book, first, size=LARGE)
    drive(book, again, size=LARGE)


def test_a_kill_in_the_middle_of_a_cell_loses_nothing(book: Path, state: Path) -> None:
    """What a killed browser leaves is what is on disk before the next key."""

    async def script(driver: Driver) -> None:
        await new_vehicle(driver)
        await driver.write("first-letters")
        (left,) = state.glob("*.typed")
        assert json.loads(left.read_text())["content"]["vehicle"] == {"id": "first-letters"}
        await driver.press("escape")
        assert not list(state.glob("*.typed"))
        assert content(driver)["vehicle"] == {}

    drive(book, script, size=LARGE)


def test_one_cell_is_written_over_and_changed(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await edit_tarn(driver)
        before = content(driver)
        await driver.press("enter", "enter", "up", "down", "enter", "down")
        assert content(driver) == before
        await driver.press("up")
        await driver.press("enter", "end", "backspace", "left", "x", "enter")
        assert content(driver)["vehicle"]["make"] == "Haldxe"
        await driver.press("ctrl+u")
        assert content(driver) == before
        await driver.press("delete")
        assert "model" not in content(driver)["vehicle"]

    drive(book, script, size=LARGE)


def test_a_long_value_and_one_with_marks_survive_a_look(book: Path) -> None:
    from tui.browser.kept_entries import KeptEntry
    from tui.browser.opening import open_entry
    from tui.browser.room import Room

    note = "x" * 9000 + "\u202e\x1b[31m"
    begun = {"kind": "vehicle", "vehicle": {}, "route": [{"from": "a", "note": note}]}

    async def script(driver: Driver) -> None:
        room = driver.app.screen
        assert isinstance(room, Room)
        open_entry(room, begun, KeptEntry.new("vehicle", room.shelf.owner))
        await driver.settle()
        await driver.press("f7", "f7", "end", "enter", "enter")
        assert content(driver) == begun

    drive(book, script, size=LARGE)


def test_pasting_says_what_it_did(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await new_vehicle(driver)
        await driver.press("end", "down", "down", "down", "down", "down", "down")
        await paste(driver, "base, 2")
        assert content(driver)["vehicle"] == {"audio": "base, 2"}
        await driver.press("f6", "f6", "f6", "f6")
        await paste(driver, "A\t1\tdoor-fl+\tWH\t\t\tx\ty\nA\t2\tdoor-fl-\tBK\t\t\tx\ty")
        looks(driver, "2 columns had no room and were left out")
        await paste(driver, 'A\t1\t"sub+\nsub-"\tWH')
        assert content(driver)["connector"][0]["pins"][0]["carries"] == ["sub+", "sub-"]
        await driver.press("ctrl+u", "ctrl+u")
        assert "connector" not in content(driver)
        # into a cell that is being written, one line is text and several are cells
        await driver.write("R")
        await paste(driver, "1")
        await driver.press("tab")
        await paste(driver, "1\n2\n3")
        pins = content(driver)["connector"]
        assert [pin["at"] for table in pins for pin in table["pins"]] == ["1", "2", "3"]
        assert pins[0]["id"] == "R1"

    drive(book, script, size=LARGE)


def test_copying_a_cell_a_row_and_the_sheet(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await edit_tarn(driver)
        await driver.press("f6", "ctrl+l")
        assert driver.app.clipboard == "radio"
        await driver.press("ctrl+y")
        assert driver.app.clipboard.split("\t")[:3] == ["radio", "radio", "dash-centre"]
        await driver.press("ctrl+o")
        lines = driver.app.clipboard.splitlines()
        assert lines[0].startswith("id\tkind\tplace") and len(lines) == 3
        row = lines[1]
        await driver.press("ctrl+y", "ctrl+end", "ctrl+v")
        assert content(driver)["unit"][2] == content(driver)["unit"][0]
        assert row.startswith("radio")

    drive(book, script, size=LARGE)


def test_findings_are_counted_and_gone_to(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await new_vehicle(driver)
        looks(driver, "Needed at least: id, make, model, years, audio option.")
        assert "✗" not in driver.text()
        await driver.write("a-car")
        await driver.press("enter", "f6", "f6", "f6", "f6")
        many = "\n".join(f"A\t{n}\tx\tBL" for n in range(1, 41))
        await paste(driver, many)
        looks(driver, "to mend", "Ctrl+G goes to the next")
        text = driver.text()
        assert "vehicle: make, model, years and audio option are still needed" in text
        await driver.press("ctrl+g")
        assert (entry(driver).sheets.sheet.name, entry(driver).here) == ("vehicle", (1, 1))
        for _ in range(30):
            await driver.press("ctrl+g")
        assert entry(driver).sheets.sheet.name == "pin"
        assert entry(driver).sheets.value(entry(driver).here) == "BL"
        looks(driver, f"pin {entry(driver).here[0] + 1}: wire:")

    drive(book, script, size=LARGE)


def test_the_names_of_the_sheets_can_be_clicked(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await edit_tarn(driver)
        line = next(n for n, text in enumerate(driver.screen_lines()) if "Routes" in text)
        at = driver.screen_lines()[line].index("Routes")
        await driver.pilot.click(offset=(at + 1, line))
        await driver.settle()
        assert entry(driver).sheets.sheet.name == "route"
        await driver.press("ctrl+end")
        assert entry(driver).here[0] == len(entry(driver).sheets.rows)
        await driver.press("ctrl+home")
        assert entry(driver).here[0] == 0

    drive(book, script, size=SMALL)


@pytest.mark.parametrize("size", [(60, 15), (40, 12), (80, 24)])
def test_rows_are_seen_in_a_small_terminal(book: Path, size: tuple[int, int]) -> None:
    async def script(driver: Driver) -> None:
        await edit_tarn(driver)
        await driver.press("f6", "f6")
        await driver.write("xx xx")
        await driver.press("enter")
        assert entry(driver).grid.size.height >= 3
        looks(driver, entry(driver).sheets.rows[0].cells[0])

    drive(book, script, size=size)


def test_flat_text_names_the_cell(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await new_vehicle(driver)
        lines = driver.screen_lines()
        assert any(line.startswith(" id  needed") for line in lines)
        await driver.press("down", "down", "down")
        assert any(line.startswith(" years  needed") for line in driver.screen_lines())

    drive(book, script, flat=True)


def test_keys_are_named_as_they_are_set(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await new_vehicle(driver)
        await paste(driver, "a-car\tOst\tFell\t2020-\t\t\t" + "plain " * 8)
        looks(driver, "F11 takes them back", "it may be stored (F12)", ("plain " * 8).strip())

    drive(book, script, keys={"undo": "f11", "submit": "f12"})


def test_an_amplifier_and_a_job_are_entered(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.press("f5", "down", "down", "enter")
        await paste(driver, "vant-9\tVant\t9\tD\t60\t0.2 4.5")
        await driver.press("f6")
        await paste(driver, "1\t4=60 2=90\t2")
        await driver.press("f10", "enter")
        looks(driver, "vant-9", "is submitted")
        await driver.press("end", "enter")
        await paste(
            driver, "a-job\thalden-tarn-19-concert10\toku-b6\t\tvant-9\tseat-front-left\tbay-left"
        )
        await driver.press("f6")
        await paste(driver, "1\tdoor-fl")
        await driver.press("f10", "enter")
        looks(driver, "a-job", "is submitted")

    drive(book, script, size=LARGE)
    with open_book(book).reading() as connection:
        text = connection.execute("SELECT content FROM revision WHERE id = 'vant-9'").fetchone()[0]
    assert json.loads(text)["channel"] == [{"id": "1", "watts": {"4": 60, "2": 90}, "min_ohms": 2}]


def test_several_lines_pasted_into_a_question_become_one(book: Path, state: Path) -> None:
    from tui.browser.screens.prompt import Prompt

    async def script(driver: Driver) -> None:
        answers: list[str | None] = []
        driver.app.push_screen(Prompt("Why?"), answers.append)
        await driver.settle()
        await paste(driver, "first line\r\n  second line\n\nthird\n")
        await at_once(driver, *"!", "enter")
        assert answers == ["first line second line third!"]

    drive(book, script)


def test_enter_after_tabs_begins_the_next_row(book: Path) -> None:
    """As in a spreadsheet; so does a block from a terminal that does not bracket what is pasted."""

    async def script(driver: Driver) -> None:
        await new_vehicle(driver)
        await driver.press("f6")
        keys = "a|radio|here\nb|amplifier|there\n"
        await at_once(driver, *({"|": "tab", "\n": "enter"}.get(key, key) for key in keys))
        await at_once(driver, *"c", "down", *"d", "enter")
        assert [list(unit.values()) for unit in content(driver)["unit"]] == [
            ["a", "radio", "here"], ["b", "amplifier", "there"], ["c"], ["d"]]  # fmt: skip
        await at_once(driver, "tab", *"x", "up", "left", "left", "enter", "enter")
        assert entry(driver).here[1] == 0

    drive(book, script, size=LARGE)
