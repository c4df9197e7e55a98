"""Flat text, for a screen reader: whole sentences, no frames, the cursor on the marked line."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.tui.browser.driving import LARGE, SIZES, SMALL, Driver, drive, lines_with, looks

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


def test_a_speaker_s_connector_tells_all_that_its_drawing_tells(book: Path) -> None:
    """How much is documented, how far it is trusted, what to take as live, where each way sits."""

    async def script(driver: Driver) -> list[str]:
        await driver.write("tarn 22 concert")
        await driver.press("enter", "1", "enter")
        seen = []
        for key in ("pagedown", "pagedown"):
            await driver.press(key)
            seen.append(" ".join(driver.text().split()))
        await driver.press("s")
        return [*seen, " ".join(driver.text().split())]

    first, wire, mating = drive(book, script, size=SMALL, flat=True)
    assert "28 ways in 2 rows; 10 of 28 ways documented; submitted, not verified" in first
    assert "? not documented, so take each as live until metered: 2-3, 6-8" in first
    assert "way 4: quarter-l+, OG/BK orange/black; established: not" in first
    assert "WIRE SIDE: you look at the back of the plug" in wire
    assert "latch up, upper row from the left: 1, 2, 3" in wire
    assert "MATING SIDE: you look into the front of the plug" in mating
    assert "latch up, upper row from the left: 14, 13, 12" in mating


def test_no_key_for_a_drawing_is_offered_where_nothing_is_drawn(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.write("tarn 22 concert")
        await driver.press("enter", "1")
        assert "v drawing" in driver.screen_lines()[-1]
        await driver.press("f8")
        assert "drawing" not in driver.screen_lines()[-1]
        await driver.press("v")
        looks(driver, "There is no drawing here")
        await driver.press("f8")
        assert "v drawing" in driver.screen_lines()[-1]

    drive(book, script, size=LARGE)


def test_the_title_is_whole_where_it_is_read_out(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.write("tarn 22 concert")
        await driver.press("enter", "1", "enter")
        title = " ".join(" ".join(driver.screen_lines()[:2]).split())
        assert "five-door estate, concert, 10 speakers" in title

    drive(book, script, size=SMALL, flat=True)


def test_a_colour_that_nobody_wrote_down_is_unknown_and_not_none(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.press("f4")
        driver.app.screen.query_one("#jobs").mark_key("tarn-1187")  # type: ignore[attr-defined]
        await driver.press("r")
        pins = driver.app.screen.query_one("#pins")
        bare = [i for i in pins.items if i.cells[2].text is None]  # type: ignore[attr-defined]
        assert bare
        assert all("colour unknown" in item.sentence for item in bare)
        assert not [i for i in pins.items if "no colour" in i.sentence]  # type: ignore[attr-defined]

    drive(book, script, size=SMALL, flat=True)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("key", ["f", "p", "question_mark", "ctrl+p"])
def test_a_dialog_has_its_lines_to_itself(book: Path, size: tuple[int, int], key: str) -> None:
    """`12    door-front-right` beside a way 12 of the page below would say a third thing."""

    async def script(driver: Driver) -> None:
        await driver.write("tarn 22 concert")
        await driver.press("enter", "1")
        below = [words for line in driver.screen_lines()[2:-1] if (words := line.strip())]
        await driver.press(key)
        above = driver.screen_lines()
        assert driver.app.screen.is_modal
        half_hidden = [
            line for line in above for words in below if len(words) > 8 and words[:4] == line[1:5]
        ]
        assert not half_hidden
        assert not lines_with(above, "surround at")

    drive(book, script, size=size, flat=True)
