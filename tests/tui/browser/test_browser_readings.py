"""The readings after a job: one key a pin, undo, and nothing lost when the terminal dies."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from textual.events import Key

from kb.store.book import open_book
from tests.tui.browser.driving import Driver, drive, looks
from tests.tui.browser.test_browser_terminal import START, TMUX, Terminal
from tui.browser.screens.readings import Readings

TARN = "halden-tarn-19-concert10"


async def open_readings(driver: Driver) -> None:
    await driver.press("f4")
    driver.app.screen.query_one("#jobs").mark_key("tarn-1187")  # type: ignore[attr-defined]
    await driver.press("r")
    looks(driver, "Readings", "looked at", "A1.3")


def mark(driver: Driver, pin: str) -> None:
    driver.app.screen.query_one("#pins").mark_key(pin)  # type: ignore[attr-defined]


def newest(book: Path) -> tuple[dict[str, object], str]:
    with open_book(book).reading() as connection:
        text, author = connection.execute(
            "SELECT content, author FROM revision WHERE id = ? ORDER BY number DESC LIMIT 1",
            (TARN,),
        ).fetchone()
    return json.loads(text), author


def test_readings_become_a_submitted_revision_with_evidence(book: Path, state: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_readings(driver)
        mark(driver, "A1.3")
        await driver.press("enter", "enter")
        looks(driver, "2 of", "✓ A1.3", "✓ A1.4")
        await driver.press("d")
        await driver.write("BU/GN")
        await driver.press("enter")
        looks(driver, "✗ A1.5", "1 differs")
        assert list(state.iterdir())
        await driver.press("S")
        looks(driver, "Submit these readings?", "2 as documented, 1 differs", "read by meter")
        looks(driver, "✗ A1.5: ", "BU/GN", "WHAT WOULD CHANGE")
        await driver.press("escape")
        looks(driver, "1 differs")
        await driver.press("S", "enter")
        looks(driver, "is submitted with the readings")

    drive(book, script)
    content, author = newest(book)
    assert author == "mira"
    a1 = next(c for c in content["connector"] if c["id"] == "A1")  # type: ignore[attr-defined]
    assert next(p for p in a1["pins"] if str(p["at"]) == "5")["wire"] == "BU/GN"
    (line,) = content["evidence"]  # type: ignore[misc]
    assert line["method"] == "meter" and line["of"] == ["A1.3", "A1.4", "A1.5"]
    assert not list(state.iterdir())


def test_undo_walks_back(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_readings(driver)
        mark(driver, "A1.3")
        await driver.press("enter", "enter", "u")
        looks(driver, "1 of", "✓ A1.3", "· A1.4")
        await driver.press("u", "u")
        looks(driver, "0 of", "Nothing to undo")

    drive(book, script)


def test_what_cannot_be_read_is_said_and_not_taken(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_readings(driver)
        mark(driver, "A1.3")
        await driver.press("d")
        await driver.write("BL")
        await driver.press("enter")
        # The box stays, with what was written and why it is not taken.
        field = driver.app.screen.query_one("#prompt-field")
        assert field.value == "BL"  # type: ignore[attr-defined]
        looks(driver, "blue (BU) or black (BK)")
        field.value = "gr/sw"  # type: ignore[attr-defined]
        await driver.press("enter")
        looks(driver, "grey (GY) or green (GN)")
        await driver.press("escape")
        looks(driver, "A1.3", "0 of")

    drive(book, script)


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("door-zz+", "the nearest is door-"),
        ("door-fl", "lacks its pole; write door-fl+ or door-fl-"),
        ("sub+", "sub has no sub+; write sub.a+"),
    ],
)
def test_what_this_vehicle_does_not_have_is_refused(book: Path, written: str, said: str) -> None:
    async def script(driver: Driver) -> None:
        await open_readings(driver)
        mark(driver, "A1.5")
        await driver.press("d")
        await driver.write(written)
        await driver.press("enter", "enter")
        assert said in " ".join(driver.text().replace("│", " ").split())
        await driver.press("escape")
        looks(driver, "0 of")

    drive(book, script)


def test_a_new_circuit_is_asked_about_before_it_is_a_fact(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_readings(driver)
        mark(driver, "A1.5")
        await driver.press("d")
        await driver.write("gren")
        await driver.press("enter")
        said = " ".join(driver.text().replace("│", " ").split())
        assert "new circuit" in said and "green (GN)" in said and "Enter once more" in said
        await driver.press("escape")
        looks(driver, "0 of")
        # Who means it says so once more, and who means a colour is not asked at all.
        await driver.press("d")
        await driver.write("dome-lamp")
        await driver.press("enter")
        looks(driver, "new circuit")
        await driver.press("enter")
        looks(driver, "✗ A1.5", "dome-lamp", "1 of")
        await driver.press("d")
        await driver.write("green")
        await driver.press("enter")
        looks(driver, "✗ A1.6", "2 of")

    drive(book, script)


def test_what_would_change_is_said_before_it_is_stored(book: Path) -> None:

    def revisions() -> int:
        with open_book(book).reading() as connection:
            return int(connection.execute("SELECT count(*) FROM revision").fetchone()[0])

    before = revisions()

    async def script(driver: Driver) -> None:
        await open_readings(driver)
        mark(driver, "A1.15")
        await driver.press("d")
        await driver.write("nothing")
        await driver.press("enter", "S")
        looks(driver, "DIFFERS", "door-rl with oku-b6", "carried", "→ ")
        await driver.press("escape")

    drive(book, script, size=(120, 40))
    assert revisions() == before


def test_a_refusal_marks_the_line_that_it_names(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_readings(driver)
        screen = driver.app.screen
        screen.failed("The readings do not fit the vehicle: A1.5: no.", "change")  # type: ignore[attr-defined]
        await driver.settle()
        assert screen.query_one("#pins").item.key == "A1.5"  # type: ignore[attr-defined]

    drive(book, script)


def test_in_the_bay_a_reading_says_why_it_is_not_taken(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_readings(driver)
        footer = driver.screen_lines()[-1]
        assert "differs" not in footer and "submit" not in footer and "Esc back" in footer
        for key in ("d", "enter", "space", "m", "S"):
            driver.app.screen.say("")  # type: ignore[attr-defined]
            await driver.press(key)
            looks(driver, "only reads", "0 of")
        assert "What was found" not in driver.text()

    drive(book, script, read_only=True)


def test_nothing_looked_at_is_refused(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_readings(driver)
        await driver.press("S")
        looks(driver, "was looked at; nothing was stored")

    drive(book, script)


def test_what_was_left_is_picked_up_again(book: Path) -> None:
    async def first(driver: Driver) -> None:
        await open_readings(driver)
        mark(driver, "A1.3")
        await driver.press("enter", "enter", "escape")

    async def again(driver: Driver) -> None:
        await open_readings(driver)
        looks(driver, "Picked up where it was left: 2 looked at, just now.", "✓ A1.3", "✓ A1.4")

    drive(book, first)
    drive(book, again)


@pytest.mark.skipif(TMUX is None, reason="no tmux here")
def test_a_killed_terminal_loses_nothing(book: Path, state: Path, tmp_path: Path) -> None:
    command = [sys.executable, "-c", START, "--db", str(book), "browse"]
    extra = {"LOOMBOOK_STATE": str(state)}
    terminal = Terminal(tmp_path / "one", (80, 24), command, extra)
    try:
        to_the_pins(terminal)
        terminal.keys("Enter", "Enter", "Enter")
        terminal.until("3 of")
        kill_the_browser(terminal)
        terminal.until("ended with")
    finally:
        terminal.close()
    terminal = Terminal(tmp_path / "two", (80, 24), command, extra)
    try:
        to_the_pins(terminal)
        assert "Picked up where it was left: 3 looked at" in terminal.until("3 of")
    finally:
        terminal.close()


def to_the_pins(terminal: Terminal) -> None:
    terminal.until("vehicles in this book")
    terminal.keys("F4")
    terminal.until("tarn-1187")
    for _ in range(20):
        if "▸ tarn-1187" in terminal.screen():
            break
        terminal.keys("Down")
        time.sleep(0.2)
    terminal.until("▸ tarn-1187")
    terminal.keys("r")
    terminal.until("looked at, ")


def kill_the_browser(terminal: Terminal) -> None:
    """The process itself, as a power cut would: no handler of ours can run."""
    shell = int(terminal.ask("#{pane_pid}"))
    children = subprocess.run(
        ["ps", "-o", "pid=", "--ppid", str(shell)], capture_output=True, text=True, check=True
    )
    for pid in children.stdout.split():
        os.kill(int(pid), signal.SIGKILL)


def test_two_browsers_do_not_overwrite_each_others_readings(book: Path, state: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_readings(driver)
        mark(driver, "A1.3")
        await driver.press("enter")
        (kept,) = state.glob("readings-*.json")
        before = kept.read_bytes()
        other = Readings("tarn-1187")
        await driver.app.push_screen(other)
        await driver.settle()
        looks(driver, "These readings are open in process", "0 of")
        for key in ("enter", "d", "S"):
            await driver.press(key)
            assert kept.read_bytes() == before
        assert "What was found" not in driver.text()
        await driver.press("escape", "escape", "r")
        looks(driver, "Picked up where it was left: 1 looked at")

    drive(book, script)


def test_unstored_readings_are_of_one_book_and_one_person(
    book: Path, tmp_path: Path, state: Path
) -> None:
    """What one person metered is never another's evidence, nor another book's."""
    other = tmp_path / "other.db"
    shutil.copy(book, other)

    async def read(driver: Driver) -> None:
        await open_readings(driver)
        mark(driver, "A1.3")
        await driver.press("enter", "enter", "ctrl+q")

    async def has(driver: Driver) -> None:
        await open_readings(driver)
        looks(driver, "2 of", "Picked up where it was left")

    async def has_not(driver: Driver) -> None:
        await open_readings(driver)
        looks(driver, "0 of")
        assert "Picked up" not in driver.text()

    drive(book, read, acting="tess")
    drive(book, has_not, acting="lena")
    drive(other, has_not, acting="lena")
    drive(other, has_not, acting="tess")
    drive(book, has, acting="tess")

    # What an older browser kept says of nobody: it stays on disk and is shown to nobody.
    (kept,) = state.glob("readings-*.json")
    old = json.loads(kept.read_text("utf-8"))
    del old["book"], old["by"]
    kept.write_text(json.dumps(old), "utf-8")
    drive(book, has_not, acting="tess")
    assert kept.exists()


def burst(driver: Driver, keys: str) -> None:
    """Keys that a terminal hands over in one go."""
    names = {"/": "slash", "\r": "enter", "-": "minus"}
    for letter in keys:
        driver.app.post_message(Key(names.get(letter, letter), letter))


@pytest.mark.parametrize("keys", ["dBU/GN", "dBU/GN\r"])
def test_letters_in_one_burst_with_the_key_before_them_are_not_lost(book: Path, keys: str) -> None:
    async def script(driver: Driver) -> None:
        await open_readings(driver)
        mark(driver, "A1.3")
        burst(driver, keys)
        for _ in range(5):
            await driver.settle()
        if keys.endswith("\r"):
            looks(driver, "✗ A1.3", "BU/GN", "1 differs")
            return
        assert driver.app.screen.query_one("#prompt-field").value == "BU/GN"  # type: ignore[attr-defined]
        await driver.press("enter")
        looks(driver, "✗ A1.3", "BU/GN")

    drive(book, script)
