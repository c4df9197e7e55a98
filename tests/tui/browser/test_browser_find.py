"""Find: what it forgives, how it takes a VIN, and what a question's table keeps."""

from __future__ import annotations

from pathlib import Path

import pytest

from kb.review.acts import withdraw
from kb.review.revisions import revisions_of
from kb.store.book import Book
from tests.tui.browser.driving import LARGE, SMALL, Driver, drive, lines_with, looks
from tui.browser.screens.find import Find
from tui.browser.widgets.field import Field

VIN = "XZ9AA1232M0123456"  # the maker of one shipped vehicle; model year 1991 or 2021


def written(book: Path, text: str, *, flat: bool = False) -> list[str]:
    async def script(driver: Driver) -> list[str]:
        await driver.write(text)
        return driver.screen_lines()

    return drive(book, script, size=SMALL, flat=flat)


def flow(lines: list[str]) -> str:
    return " ".join(" ".join(lines).split())


@pytest.mark.parametrize(
    ("text", "said"),
    [("tran", "a guess: “tran” read as “tarn”"), ("halden trn", "a guess: “trn” read as “tarn”")],
)
def test_a_near_spelling_is_listed_as_a_guess(book: Path, text: str, said: str) -> None:
    lines = written(book, text)
    assert said in flow(lines) and "no vehicle fits all of it; 3 as a guess" in flow(lines)
    assert lines_with(lines, "▸ Halden Tarn")


def test_the_word_that_left_nothing_is_named(book: Path) -> None:
    lines = written(book, "skarne tarn")
    assert "“tarn” left none of those that fit “skarne”" in flow(lines)
    assert lines_with(lines, "▸ Skarne Holt")


def test_a_misspelt_subject_is_asked_as_a_guess(book: Path) -> None:
    lines = written(book, "speeker where ohms < 4")
    assert "a guess: speakers where ohms < 4; read as a question" in flow(lines)
    assert "8 rows" in flow(lines)


def test_enter_opens_what_was_guessed(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.write("skrne")
        await driver.press("enter")
        looks(driver, "Skarne Holt 2023-2025")

    drive(book, script)


def test_another_number_is_opened_only_after_it_was_looked_at(book: Path) -> None:
    async def script(driver: Driver) -> None:
        find = driver.app.screen
        await driver.write("sedge 2022 studio8")
        await driver.press("enter")
        assert driver.app.screen is find
        assert "What is listed is not “studio8”" in " ".join(driver.text().split())
        await driver.press("enter")
        looks(driver, "Torvane Sedge 2020-2023")

    drive(book, script)


def test_a_vin_lists_its_maker_first_and_warns_of_a_wrong_digit(book: Path) -> None:
    right, wrong = written(book, VIN), written(book, VIN[:8] + "5" + VIN[9:])
    for lines in (right, wrong):
        assert "plain, 6 speakers" in lines_with(lines, "▸")[0]
    assert "check digit right" in flow(right)
    assert "would be 2" in flow(wrong) and "check digit right" not in flow(wrong)


@pytest.mark.parametrize(
    ("text", "said"),
    [(VIN[:16], "has 16 characters, and a VIN has 17"), (VIN[:5] + "O" + VIN[6:], "holds O")],
)
def test_what_keeps_a_word_from_being_a_vin_is_said(book: Path, text: str, said: str) -> None:
    assert said in flow(written(book, text))


def test_constant_columns_are_told_once_and_make_room(book: Path) -> None:
    kits = written(book, "kits for halden-tarn-19-concert10")
    assert "in every row: partial 0, reversed 0, unknown 0" in flow(kits)
    assert "fits" in lines_with(kits, "left out")[0] and "no room" not in flow(kits)
    pins = written(book, "pins of halden-tarn-19-concert10 where unit = radio")
    assert "in every row: vehicle halden-tarn-19-concert10, unit radio" in flow(pins)
    assert lines_with(pins, "OG/BK orange/black") and "wire" in lines_with(pins, "carries")[0]


@pytest.mark.parametrize(
    ("text", "finished"),
    [
        ("speakers wher", False), ("speakers where", False), ("speakers where ", False),
        ("speakers where ohms <", False), ("speakers where oms < 4", True),
        ("speakers where wire = red", True),
    ],
)  # fmt: skip
def test_only_what_goes_on_is_called_unfinished(book: Path, text: str, finished: bool) -> None:
    said = flow(written(book, text))
    assert ("not finished yet" in said) is not finished
    assert ("something in it is wrong" in said) is finished


def test_tab_offers_nothing_that_stands_there_already(book: Path) -> None:
    assert not lines_with(written(book, "speakers where"), "Tab  where")
    assert not lines_with(written(book, "kits for halden-tarn-19-concert10"), "Tab  halden")
    assert lines_with(written(book, "speakers wher"), "Tab  where")


def test_sentences_are_said_once_and_end_once(book: Path) -> None:
    said = flow(written(book, "speakers where ohms < 1"))
    assert said.count("unknown is not no") == 1
    said = flow(written(book, "leads of oku-b6 on halden-tarn-19-concert10"))
    assert ".;" not in said and "read as a question. Parts of choice" in said


def test_flat_text_labels_the_field(book: Path) -> None:
    assert "What is on the bay?" in written(book, "tarn", flat=True)


def test_the_footer_names_only_keys_that_work_in_the_field(book: Path) -> None:
    async def script(driver: Driver) -> None:
        foot = driver.screen_lines()[-1]
        assert "F1 help" in foot and "? help" not in foot and " y copy" not in foot
        await driver.write("tarn")
        await driver.press("f1")
        looks(driver, "Keys")

    drive(book, script)


def test_enter_opens_the_first_line_however_fast_the_text_was_written(book: Path) -> None:
    """A mark that was left from a shorter text would open another car than the list's first."""

    async def script(driver: Driver) -> None:
        await driver.write("tarn")
        first = lines_with(driver.screen_lines(), "Halden Tarn")[0]
        await driver.press("down", "space", "backspace")
        assert lines_with(driver.screen_lines(), "▸") == [first]
        field = driver.app.screen.query_one("#field")
        field.value = "sedge 20"  # type: ignore[attr-defined]  # at once, as a paste does
        await driver.settle()
        await driver.press("enter")
        looks(driver, "Torvane Sedge 2020-2023")

    drive(book, script)


WRONG = VIN[:8] + "1" + VIN[9:]


def put(driver: Driver, text: str) -> None:
    """Text in the field at once, as a scanner or a paste puts it; its list is not there yet."""
    driver.app.screen.query_one("#field").value = text  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("text", "doubt"),
    [
        (WRONG, "The check digit of this VIN is wrong"),
        (f"{WRONG} plain6", "The check digit of this VIN is wrong"),
        (VIN, "Several vehicles fit this VIN"),
        ("tarn", "More than one line fits"),
        ("skrne", "What is listed is a guess"),
        ("speakers where ohms < 4", "More than one line fits"),
    ],
)
def test_enter_ahead_of_a_list_in_doubt_stays_and_the_next_one_opens(
    book: Path, text: str, doubt: str
) -> None:
    async def script(driver: Driver) -> None:
        find = driver.app.screen
        put(driver, text)
        await driver.press("enter")
        assert driver.app.screen is find
        looks(driver, f"{doubt}: Enter again opens the marked line.", "▸ ")
        await driver.press("enter")
        assert driver.app.screen is not find
        looks(driver, "Which kit?")

    drive(book, script)


def test_enter_ahead_of_the_only_line_opens_it(book: Path) -> None:
    async def script(driver: Driver) -> None:
        put(driver, "skarne")
        await driver.press("enter")
        looks(driver, "Skarne Holt 2023-2025", "Which kit?")

    drive(book, script)


@pytest.mark.parametrize("text", [WRONG, VIN])
def test_a_vin_in_doubt_waits_for_a_second_enter_however_late_the_first_came(
    book: Path, text: str
) -> None:
    """How fast a scanner's Enter follows is nothing that may decide which car is opened."""

    async def script(driver: Driver) -> None:
        find = driver.app.screen
        await driver.write(text)
        await driver.press("enter")
        assert driver.app.screen is find
        looks(driver, "Enter again opens")
        await driver.press("backspace", *text[-1], "enter")  # another text is doubted anew
        assert driver.app.screen is find
        await driver.press("down", "enter")
        looks(driver, "Brask Orrin")

    drive(book, script)


def test_who_moves_the_mark_has_looked_at_the_list(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.write(WRONG)
        await driver.press("down", "enter")
        looks(driver, "Brask Orrin")

    drive(book, script)


def test_enter_on_a_kit_of_an_answer_opens_its_vehicle_with_it(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.write(
            "kits for halden-tarn-19-concert10 where carried > 0 show kit, carried, left out"
        )
        await driver.press("enter")
        looks(driver, "Halden Tarn", "with Oku B6 bypass", "LEFT OUT")

    drive(book, script)


def test_a_question_about_one_vehicle_opens_it_whatever_it_shows(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.write("speakers of halden-tarn-19-concert10 show role, ohms")
        await driver.press("enter")
        looks(driver, "Halden Tarn", "Which kit?")

    drive(book, script)


@pytest.mark.parametrize("text", ["count speakers by fed by", "kits", "kits where", "zzzzzz"])
def test_enter_says_where_there_is_nothing_to_open(book: Path, text: str) -> None:
    async def script(driver: Driver) -> None:
        find = driver.app.screen
        await driver.write(text + " ")
        await driver.press("enter")
        assert driver.app.screen is find
        looks(driver, "There is nothing to open here.")

    drive(book, script)


def test_enter_on_a_revision_opens_its_review(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.write("entries where kind = kit and id = oku-b6")
        await driver.press("enter")
        looks(driver, "Review   kit/oku-b6@", "lead main.A")
        await driver.press("escape")
        looks(driver, "entries where kind = kit and id = oku-b6")

    drive(book, script)


def test_what_can_no_longer_be_reviewed_says_so(book: Path) -> None:
    with Book(book).writing() as database:
        (revision,) = revisions_of(database.conn, "kit/oku-b6")
        withdraw(database, "kit/oku-b6", by=revision.author)

    async def script(driver: Driver) -> None:
        await driver.write("entries where kind = kit and id = oku-b6")
        await driver.press("enter")
        looks(driver, "is withdrawn; there is nothing to review")

    drive(book, script)


# -- what a row of a question opens


def test_a_row_of_a_question_about_a_kit_keeps_kit_parts_and_speaker(book: Path) -> None:
    async def script(driver: Driver) -> list[str]:
        await driver.write("speakers of halden-tarn-19-concert10 with oku-b6 where left out")
        await driver.press("down", "enter")
        seen = [driver.app.screen.marked]  # type: ignore[attr-defined]
        looks(driver, "with Oku B6 bypass, main", "3 left out")
        await driver.press("escape", "escape")
        question = "speakers of halden-tarn-19-concert10 with oku-b6 + radio-28 where left out"
        await driver.write(question)
        await driver.press("enter")
        looks(driver, "with Oku B6 bypass, main + radio-28", "1 left out")
        assert driver.app.screen.parts == ("radio-28",)  # type: ignore[attr-defined]
        return [*seen, driver.app.screen.marked]  # type: ignore[attr-defined]

    assert drive(book, script, size=LARGE) == ["quarter-r", "centre"]


def test_the_speaker_of_a_row_stays_marked_when_a_kit_is_chosen(book: Path) -> None:
    async def script(driver: Driver) -> str:
        await driver.write("speakers of halden-tarn-19-concert10 where role = surround")
        await driver.press("down", "enter")
        looks(driver, "Which kit?")
        await driver.press("1")
        return str(driver.app.screen.marked)  # type: ignore[attr-defined]

    assert drive(book, script, size=LARGE) == "quarter-r"


def test_who_comes_back_types_over_what_was_sought(book: Path) -> None:
    async def script(driver: Driver) -> None:
        field = driver.app.screen.query_one(Field)
        await driver.write("tarn")
        await driver.press("f1", "escape")  # a look at the help is no leaving
        await driver.write("x")
        assert field.value == "tarnx"
        await driver.press("backspace", "enter", "escape")
        assert isinstance(driver.app.screen, Find) and field.value == "tarn"
        await driver.write("sedge")
        assert field.value == "sedge"
        await driver.press("enter", "f2", "left")
        await driver.write("x")
        assert field.value.startswith("x") or field.value.endswith("x")
        assert len(field.value) == len("sedge") + 1

    drive(book, script, size=LARGE)
