"""Flat text, for a screen reader: whole sentences, no frames, the cursor on the marked line."""

from __future__ import annotations

from pathlib import Path

from tests.tui.browser.driving import SMALL, Driver, drive, looks

FRAMES = set("╭╮╰╯│─┌┐└┘├┤┼┬┴┃╌")


def test_every_screen_is_whole_sentences(book: Path) -> None:
    async def script(driver: Driver) -> None:
        for keys in (("t", "a", "r", "n"), ("enter",), ("enter",), ("enter",)):
            await driver.press(*keys)
            text = driver.text()
            assert not FRAMES & set(text), text
            assert "…" not in text.replace("working it out …", "")

    drive(book, script, size=(100, 40), flat=True)


def test_a_speaker_is_one_sentence_with_all_that_its_line_says(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.press("t", "a", "r", "n", "enter", "enter")
        words = " ".join(driver.text().split())
        assert (
            "▸ left out, stays on factory feed: quarter-l, surround at quarter-left, fed by radio"
            in words
        )
        assert "centre at dash-top, fed by radio, chime" in words
        _, y = driver.app.cursor_position
        assert driver.screen_lines()[y].startswith("▸ left out")

    drive(book, script, size=SMALL, flat=True)


def test_it_is_switched_on_and_off_where_one_is(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.press("t", "a", "r", "n", "enter", "enter", "f8")
        looks(driver, "left out, stays on factory feed: quarter-l")
        assert not FRAMES & set(driver.text())
        await driver.press("f8")
        assert "╭" in driver.text()

    drive(book, script)


def test_a_dialog_is_read_out_too(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.press("t", "a", "r", "n", "enter", "1", "j", "enter")
        looks(driver, "Which amplifier?", "korrel-4-75, Korrel 4-75, submitted")
        await driver.press("escape", "question_mark")
        looks(driver, "S: Store the job, submitted for review")

    drive(book, script, flat=True)
