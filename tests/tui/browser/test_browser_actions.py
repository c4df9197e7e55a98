"""One registry: no key without a word, no word without a method, no key twice in a room."""

from __future__ import annotations

import subprocess
import sys
from collections import Counter
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules

import pytest

import tui.browser.screens as screens
from tests.tui.browser.driving import LARGE, SIZES, SMALL, Driver, drive, looks
from tui.browser.actions import ACTIONS, EVERYWHERE, GROUPS, actions_of, footer_of, key_table
from tui.browser.room import Room
from tui.browser.widgets.entries import Heading, Item, Note
from tui.browser.widgets.foot import Foot
from tui.browser.widgets.rows import Rows


def rooms() -> dict[str, type[Room]]:
    """Every screen by its room."""
    found: dict[str, type[Room]] = {}
    for module in iter_modules(screens.__path__):
        for item in vars(import_module(f"tui.browser.screens.{module.name}")).values():
            if isinstance(item, type) and issubclass(item, Room) and item.ROOM != EVERYWHERE:
                found[item.ROOM] = item
    return found


ROOMS = rooms()


def test_every_room_of_the_registry_is_a_screen() -> None:
    assert set(GROUPS) == {*ROOMS, EVERYWHERE}


@pytest.mark.parametrize("action", ACTIONS, ids=lambda a: f"{a.room}.{a.id}")
def test_every_action_has_its_method_and_its_words(action: object) -> None:
    room = Room if action.room == EVERYWHERE else ROOMS[action.room]  # type: ignore[attr-defined]
    assert callable(getattr(room, f"action_{action.id}", None))  # type: ignore[attr-defined]
    assert action.help and action.label  # type: ignore[attr-defined]


@pytest.mark.parametrize("room", ROOMS)
def test_no_key_means_two_things_in_a_room(room: str) -> None:
    keys = Counter(key for action in actions_of(room) for key in action.keys.split(","))
    ours = {key for a in ACTIONS if a.room == room for key in a.keys.split(",")}
    assert [key for key, times in keys.items() if times > 1 and key not in ours] == []
    own = Counter(key for a in ACTIONS if a.room == room for key in a.keys.split(","))
    assert [key for key, times in own.items() if times > 1] == []


def test_settings_are_told_apart() -> None:
    names = Counter((a.room, a.setting) for a in ACTIONS)
    assert max(names.values()) == 1


@pytest.mark.parametrize("room", ROOMS)
def test_help_is_in_every_footer(room: str) -> None:
    assert "help" in [action.id for action in footer_of(room)]


def test_no_key_that_tmux_or_a_terminal_keeps_for_itself() -> None:
    taken = {"ctrl+b", "ctrl+s", "ctrl+z", "ctrl+c", "ctrl+i", "ctrl+m", "ctrl+j", "ctrl+h"}
    used = {key for action in ACTIONS for key in action.keys.split(",")}
    assert not used & taken
    assert not [key for key in used if "alt+" in key or "meta+" in key or "ctrl+shift" in key]


def test_the_table_for_the_docs_names_every_action() -> None:
    table = "\n".join(key_table())
    for action in ACTIONS:
        assert action.help in table and f"`{action.setting}`" in table


def test_help_is_searched_and_shows_the_keys_as_they_are_set(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.press("t", "a", "r", "n", "enter", "enter", "question_mark")
        looks(driver, "Keys", "The vehicle (this screen)", "Z")
        await driver.write("plainly carried")
        looks(driver, "Mark the next speaker that is not plainly carried", "next-flag")
        assert "Leave; nothing is lost" not in driver.text()
        await driver.press("escape", "end", "Z")
        assert driver.app.screen.marked == "quarter-l"  # type: ignore[attr-defined]

    drive(book, script, keys={"next-flag": "Z"}, size=LARGE)


@pytest.mark.parametrize("size", SIZES)
def test_no_text_of_the_help_is_cut(book: Path, size: tuple[int, int]) -> None:
    async def script(driver: Driver) -> None:
        await driver.press("t", "a", "r", "n", "enter", "enter", "question_mark")
        rows = driver.app.screen.query_one("#help-rows", Rows)
        texts: list[str] = []
        for entry in rows.entries:
            if isinstance(entry, Item):
                texts.append(entry.cells[1].plain)
                assert len(texts[-1]) <= rows._widths[1]
            elif isinstance(entry, Note):
                assert len(entry.first + entry.text) < rows.size.width
                texts[-1] += f" {entry.text}"
        assert sorted(texts) == sorted(action.help for action in ACTIONS)
        assert isinstance(rows.entries[0], Heading)
        assert rows.entries[0].text.plain == "The vehicle (this screen)"

    drive(book, script, size=size)


def test_the_help_does_what_is_marked_in_it(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.press("t", "a", "r", "n", "enter", "enter", "question_mark")
        await driver.write("list the kits")
        await driver.press("enter")
        assert driver.app.screen.ROOM == "vehicle"  # type: ignore[attr-defined]
        assert driver.app.screen.kits_are_open  # type: ignore[attr-defined]
        await driver.press("escape", "question_mark")
        await driver.write("sign exactly")
        await driver.press("enter")
        looks(driver, "That is done in another place: A review.")
        await driver.press("f4")
        looks(driver, "Jobs", "tarn-1187")

    drive(book, script, size=LARGE)


def test_in_a_field_the_footer_names_no_letters(book: Path) -> None:
    """There `?` and `y` are written, and F1 and Ctrl+Y do what they do elsewhere."""

    async def script(driver: Driver) -> None:
        footer = driver.screen_lines()[-1]
        assert "F1 help" in footer and "Ctrl+Y copy row" in footer and "? help" not in footer
        await driver.press("f1")
        looks(driver, "Keys", "y, Ctrl+Y")
        # Nothing is sought yet: there `?` asks for help. After a letter it is one itself.
        await driver.press("escape", "question_mark")
        looks(driver, "Keys", "type to search")
        await driver.press("escape", "a", "question_mark")
        assert "type to search" not in driver.text()
        looks(driver, "a?")

    drive(book, script, size=(160, 50))


@pytest.mark.parametrize("room", sorted(ROOMS))
def test_the_way_out_and_the_end_of_the_task_are_in_the_narrowest_footer(
    room: str, book: Path
) -> None:
    """Whatever else fits: Esc, what ends the task, and help."""

    async def script(driver: Driver) -> None:
        ends = [a for a in footer_of(room) if a.foot <= 3]
        foot = driver.app.screen.query_one(Foot)
        foot._offered = lambda: footer_of(room)
        foot._key_here = driver.app.screen.key_of  # type: ignore[attr-defined]
        foot.draw()
        await driver.settle()
        shown = {id for _, _, id in foot._places}
        assert {a.id for a in ends} <= shown
        assert {"back", "help"} <= shown

    drive(book, script, size=SMALL)


def test_a_mistake_of_ours_ends_in_one_sentence(book: Path) -> None:
    """In a process of its own, as a person would meet it: no traceback, no values."""
    script = (
        "import sys; from pathlib import Path; from tui.browser.app import Browser; "
        "from tui.browser.shelf import Shelf; from tui.browser.screens.find import Find\n"
        "def wrong(self, found, text=''): raise KeyError('secret')\n"
        "Find._show = wrong\n"
        "Browser(Shelf(Path(sys.argv[1]), 'mira')).run(headless=True, size=(80, 24))"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, str(book)], capture_output=True, text=True, timeout=60
    )
    said = done.stdout + done.stderr
    assert "a mistake of Loombook's own (KeyError" in said
    assert "Traceback" not in said and "locals" not in said


def test_palette_lists_what_can_be_done_here(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.press("t", "a", "r", "n", "enter", "enter", "ctrl+p")
        await driver.write("next flag")
        await driver.pilot.pause(0.3)
        looks(driver, "next flag (n)")

    drive(book, script, size=(120, 40))


def test_copies_go_to_the_clipboard(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.press("t", "a", "r", "n", "enter", "enter", "y")
        assert driver.app.clipboard.split("\t") == [
            "left out", "stays on factory feed", "quarter-l", "quarter-left", "surround", "radio",
            "", "not measured", "not verified",
        ]  # fmt: skip
        looks(driver, "copied the marked line")
        await driver.press("c")
        assert driver.app.clipboard == "quarter-l"
        await driver.press("Y")
        heading, *lines = driver.app.clipboard.splitlines()
        assert heading == ("outcome\teffect\tspeaker\tplace\trole\tfed by\tto know\tpins\tentry")
        assert len(lines) == 10
        (centre,) = (line for line in lines if "\tcentre\t" in line)
        assert centre.startswith("left out\tstays on factory feed\t") and "\tchime\t" in centre
        (sub,) = (line for line in lines if "\tsub\t" in line)
        assert "must stay in place: closes a vent" in sub
        assert not set("✗◐⇄✓?≠=!") & set(driver.app.clipboard)

    drive(book, script)


def test_before_a_kit_is_chosen_a_copy_says_what_is_not_documented(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.write("brask")
        await driver.press("enter")
        driver.app.screen.query_one("#speakers").focus()
        await driver.press("Y")
        (left,) = (line for line in driver.app.clipboard.splitlines() if "\tdash-l\t" in line)
        assert left.startswith("not documented: meter first\t")

    drive(book, script)
