"""The plan of a job, walked through: every choice shows at once what follows from it."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

from kb.store.book import open_book
from tests.tui.browser.driving import LARGE, SIZES, SMALL, WIDE, Driver, drive, looks
from tui.browser.journal import journal_folder
from tui.browser.screens.plan import PlanWalk


def mark(driver: Driver, key: object) -> None:
    driver.app.screen.query_one("#settings").mark_key(key)  # type: ignore[attr-defined]


async def open_tarn(driver: Driver) -> None:
    await driver.press("f4")
    driver.app.screen.query_one("#jobs").mark_key("tarn-1187")  # type: ignore[attr-defined]
    await driver.press("enter")
    looks(driver, "tarn-1187", "Vant 5-500", "✓ no fault")


def test_another_amplifier_shows_its_fault_at_once_and_undo_takes_it_back(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_tarn(driver)
        mark(driver, "amplifier")
        await driver.press("enter")
        looks(driver, "Which amplifier?", "vant-1-800")
        driver.app.screen.query_one("#pick-rows").mark_key("vant-1-800")  # type: ignore[attr-defined]
        await driver.press("enter")
        looks(driver, "Vant 1-800", "(changed, not stored)")
        assert "1: 2 Ω, 2: 2 Ω" not in driver.text()
        await driver.press("u")
        looks(driver, "Vant 5-500", "✓ no fault", "undone")

    drive(book, script, size=LARGE)


def test_a_speaker_that_stays_silent_changes_its_channel(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_tarn(driver)
        looks(driver, "1: 2 Ω")
        mark(driver, ("speaker", "sail-l"))
        await driver.press("space")
        looks(driver, "[ ] sail-l", "1: 4 Ω")
        await driver.press("u")
        looks(driver, "[x] sail-l", "1: 2 Ω")

    drive(book, script, size=LARGE)


def test_the_runner_up_stands_beside_the_chosen_plan(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_tarn(driver)
        mark(driver, "parts")
        await driver.press("enter")
        looks(driver, "chosen by", "the plan", "without radio-28")

    drive(book, script, size=LARGE)


def test_a_job_is_planned_from_the_vehicle_and_stored(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.press("t", "a", "r", "n", "enter", "1", "j")
        looks(driver, "Choose the amplifier and where the amplifier goes")
        for key, choice in (
            ("amplifier", "vant-5-500"),
            ("amplifier_place", "seat-front-left"),
            ("battery_place", "bay-left"),
        ):
            mark(driver, key)
            await driver.press("enter")
            driver.app.screen.query_one("#pick-rows").mark_key(choice)  # type: ignore[attr-defined]
            await driver.press("enter")
        # The centre chimes: a plan that cuts it off and gives it no channel has a fault.
        looks(driver, "! 1 FAULT", "centre would go silent", "The way to every speaker")
        looks(driver, "NOT VERIFIED")
        mark(driver, ("speaker", "centre"))
        await driver.press("enter")
        looks(driver, "✓ no fault")
        await driver.press("S")
        await driver.write("Not A Slug")
        await driver.press("enter")
        looks(driver, "Name of the job", "does not fit")
        driver.app.screen.query_one("#prompt-field").value = ""  # type: ignore[attr-defined]
        await driver.write("tarn-2000")
        await driver.press("enter")
        looks(driver, "tarn-2000 is submitted.")

    drive(book, script, size=LARGE)
    with open_book(book).reading() as connection:
        rows = connection.execute("SELECT author FROM revision WHERE id = 'tarn-2000'").fetchall()
    assert [row[0] for row in rows] == ["mira"]


def test_the_sheet_is_written(book: Path, tmp_path: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_tarn(driver)
        await driver.press("P")
        driver.app.screen.query_one("#prompt-field").value = str(tmp_path / "x.html")  # type: ignore[attr-defined]
        await driver.press("enter")
        looks(driver, "written:")

    drive(book, script, size=LARGE)
    assert "tarn-1187" in (tmp_path / "x.html").read_text("utf-8")


async def choose(driver: Driver, title: str, letters: str) -> None:
    """Enter on the marked line, and the choice by its letters."""
    await driver.press("enter")
    looks(driver, title)
    await driver.write(letters)
    await driver.press("enter")


def test_speakers_without_a_channel_are_no_good_plan(book: Path) -> None:
    """Four channels for ten speakers: what would stay silent is said first, not `no fault`."""

    async def script(driver: Driver) -> None:
        await driver.press("t", "a", "r", "n", "enter", "1", "j")
        await choose(driver, "Which amplifier?", "korrel")
        await choose(driver, "Where does the amplifier go?", "bench-right")
        await choose(driver, "Where is the battery?", "bay")
        looks(driver, "! 4 SPEAKERS ON NO CHANNEL", "quarter-l", "NOT VERIFIED")
        assert "no fault" not in driver.text()

    for size in SIZES:
        drive(book, script, size=size)
        for kept in journal_folder().glob("*.json"):
            kept.unlink()


def test_each_choice_leads_to_the_next_and_all_of_them_are_seen(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.press("t", "a", "r", "n", "enter", "1", "j")
        looks(driver, "WHAT PLAYS", "[x] quarter-l")
        settings = driver.app.screen.query_one("#settings")
        assert settings.item.key == "amplifier"  # type: ignore[attr-defined]
        await choose(driver, "Which amplifier?", "vant 5")
        assert settings.item.key == "amplifier_place"  # type: ignore[attr-defined]
        await driver.press("enter")
        rows = driver.app.screen.query_one("#pick-rows")
        # Where the kit takes the factory amplifier out.
        assert rows.item.key == "seat-front-left"  # type: ignore[attr-defined]
        await driver.write("zzz")
        looks(driver, "nothing matches “zzz”")
        await driver.press("enter", "escape")
        assert settings.item.key == "amplifier_place"  # type: ignore[attr-defined]

    drive(book, script, size=SMALL)


def test_changes_that_were_left_are_there_again(book: Path) -> None:
    async def leave(driver: Driver) -> None:
        await driver.press("t", "a", "r", "n", "enter", "1", "j")
        await choose(driver, "Which amplifier?", "korrel")
        await driver.press("escape", "f4")
        looks(driver, "CHANGED, NOT STORED YET", "a new job", "not stored")
        driver.app.screen.query_one("#jobs").mark_key("tarn-1187")  # type: ignore[attr-defined]
        await driver.press("enter")
        mark(driver, ("speaker", "sail-l"))
        await driver.press("space", "f2")

    async def again(driver: Driver) -> None:
        await driver.press("t", "a", "r", "n", "enter", "1", "j")
        looks(driver, "Picked up where it was left: job amplifier, just now. u goes back to before")
        looks(driver, "Korrel 4-75", "(changed, not stored)")
        await driver.press("u")
        assert "Korrel" not in driver.text()
        await driver.press("f4")
        assert "a new job" not in driver.text()
        looks(driver, "CHANGED, NOT STORED YET")
        await driver.press("end", "enter")
        looks(driver, "tarn-1187", "Picked up where it was left: ", "job silent")
        mark(driver, ("speaker", "sail-l"))
        looks(driver, "[ ] sail-l")
        await driver.press("escape", "end", "delete")
        await driver.write("away")
        await driver.press("enter")
        assert "CHANGED" not in driver.text()
        await driver.press("delete")
        looks(driver, "A stored job stays")

    drive(book, leave, size=LARGE)
    drive(book, again, size=LARGE)


def test_a_sheet_replaces_another_file_only_after_asking(book: Path, tmp_path: Path) -> None:
    there = tmp_path / "notes.html"
    there.write_text("mine", "utf-8")

    async def script(driver: Driver) -> None:
        await open_tarn(driver)
        for keys in (("escape",), ("enter",)):
            await driver.press("P")
            driver.app.screen.query_one("#prompt-field").value = str(there)  # type: ignore[attr-defined]
            await driver.press("enter")
            looks(driver, "Replace it?", "What it holds now is lost")
            await driver.press(*keys)
            if keys == ("escape",):
                assert there.read_text("utf-8") == "mine"
        looks(driver, "written:")
        # The same content again asks nothing.
        await driver.press("P")
        driver.app.screen.query_one("#prompt-field").value = str(there)  # type: ignore[attr-defined]
        await driver.press("enter")
        assert "Replace it?" not in driver.text()

    drive(book, script, size=WIDE)
    assert "tarn-1187" in there.read_text("utf-8")


def test_what_is_shown_below_is_gone_to(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_tarn(driver)
        await driver.press("o")
        looks(driver, "Battery negative off", "The order of work: the arrows scroll it")
        await driver.press("o")
        looks(driver, "hidden again")
        await driver.press("w")
        looks(driver, "Why", "Each figure's source")
        await driver.press("end")
        looks(driver, "P all of it on paper")
        assert "--steps" not in driver.text() and "loombook sheet" not in driver.text()

    drive(book, script, size=SMALL)


def test_what_is_not_chosen_is_said_so_in_flat_text(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.press("t", "a", "r", "n", "enter", "1", "j")
        looks(driver, "amplifier: not chosen yet")
        assert "None" not in driver.text()

    drive(book, script, flat=True)


def test_in_the_bay_nothing_is_asked_that_is_refused_afterwards(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_tarn(driver)
        footer = driver.screen_lines()[-1]
        assert "store" not in footer and "sheet" not in footer
        for key in ("S", "P"):
            driver.app.screen.say("")  # type: ignore[attr-defined]
            await driver.press(key)
            looks(driver, "only reads")
            assert "Name of the job" not in driver.text() and "which file" not in driver.text()

    drive(book, script, read_only=True, size=LARGE)


def test_a_dialog_names_its_own_keys_and_leads_elsewhere(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_tarn(driver)
        mark(driver, "amplifier")
        await driver.press("enter")
        footer = driver.screen_lines()[-1]
        assert "Enter takes it" in footer and "Esc leaves it" in footer and "store" not in footer
        await driver.press("f3")
        looks(driver, "The queue")
        assert "Which amplifier?" not in driver.text()
        await driver.press("f4", "end", "enter", "S", "f8")
        looks(driver, "Name of the job")
        await driver.press("f4")
        looks(driver, "Enter walks through the plan")

    drive(book, script, size=LARGE)


def test_a_job_that_is_open_elsewhere_keeps_the_other_ones_changes(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_tarn(driver)
        mark(driver, ("speaker", "sail-l"))
        await driver.press("space")
        (kept,) = journal_folder().glob("job-*.json")
        before = kept.read_bytes()
        await driver.app.push_screen(PlanWalk("tarn-1187"))
        await driver.settle()
        looks(driver, "open in process", "is not kept until it is stored", "[x] sail-l")
        mark(driver, ("speaker", "door-rl"))
        await driver.press("space", "u")
        assert kept.read_bytes() == before
        await driver.press("escape", "escape", "enter")
        looks(driver, "Picked up where it was left", "[ ] sail-l")

    drive(book, script, size=LARGE)


def test_no_speaker_of_a_channel_is_cut_at_any_width(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_tarn(driver)
        await driver.press("tab")
        for width in (80, 100, 110, 116, 120, 160):
            await driver.pilot.resize_terminal(width, 50)
            await driver.settle()
            looks(driver, "door-rr + quarter-r, parallel")

    drive(book, script, size=LARGE)


def test_unstored_changes_are_of_one_book_and_one_person(
    book: Path, tmp_path: Path, state: Path
) -> None:
    other = tmp_path / "other.db"
    shutil.copy(book, other)

    async def change(driver: Driver) -> None:
        await open_tarn(driver)
        mark(driver, ("speaker", "sail-l"))
        await driver.press("space")

    async def has(driver: Driver) -> None:
        await driver.press("f4")
        looks(driver, "CHANGED, NOT STORED YET")
        await driver.press("end", "enter")
        looks(driver, "tarn-1187", "[ ] sail-l", "Picked up where it was left")

    async def has_not(driver: Driver) -> None:
        await driver.press("f4")
        assert "CHANGED, NOT STORED YET" not in driver.text()
        await open_tarn(driver)
        looks(driver, "[x] sail-l")
        assert "Picked up" not in driver.text()

    drive(book, change, size=LARGE, acting="tess")
    drive(book, has_not, size=LARGE, acting="lena")
    drive(other, has_not, size=LARGE, acting="tess")
    drive(book, has, size=LARGE, acting="tess")

    # What an older browser kept says of nobody: it stays on disk and is shown to nobody.
    (kept,) = state.glob("job-*.json")
    old = json.loads(kept.read_text("utf-8"))
    del old["book"], old["by"]
    nobodys = state / "job-tarn_1187.json"
    nobodys.write_text(json.dumps(old), "utf-8")
    kept.write_text(json.dumps(old), "utf-8")
    drive(book, has_not, size=LARGE, acting="tess")
    assert nobodys.exists() and kept.exists()


def test_a_job_that_lacks_something_says_so_before_it_asks_for_a_name(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.press("t", "a", "r", "n", "enter", "1", "j")
        await choose(driver, "Which amplifier?", "vant 5")
        await choose(driver, "Where does the amplifier go?", "seat")
        await driver.press("home", "S")
        looks(driver, "Choose where the battery is first: Enter on its line.")
        assert "Name of the job" not in driver.text()
        await choose(driver, "Where is the battery?", "bay")
        looks(driver, "NOT VERIFIED")
        assert "Choose where the battery is" not in driver.text()
        await driver.press("S")
        looks(driver, "Name of the job")

    drive(book, script, size=LARGE)


def test_what_was_said_for_want_of_a_plan_goes_when_the_plan_comes(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.press("t", "a", "r", "n", "enter", "1", "j")
        await choose(driver, "Which amplifier?", "vant 5")
        await choose(driver, "Where does the amplifier go?", "seat")
        await driver.press("w")
        looks(driver, "There is no plan yet.")
        await choose(driver, "Where is the battery?", "bay")
        looks(driver, "NOT VERIFIED")
        assert "no plan yet" not in driver.text()

    drive(book, script, size=LARGE)
