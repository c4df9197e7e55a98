"""What is not stored yet: whose it is, who has it open, what cannot be read, and drafts."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from textual.events import Key, Paste

from kb.store.book import open_book
from tests.tui.browser.driving import LARGE, Driver, drive, looks
from tui.browser.journal import owner_of
from tui.browser.kept_entries import KeptEntry, kept_work
from tui.browser.lock import Lock
from tui.browser.screens.entries import Entries
from tui.browser.screens.grid import EntryGrid

VEHICLE = {"kind": "vehicle", "vehicle": {"id": "ost-fell", "make": "Ost"}}
HOLD = "from tui.browser.lock import Lock; from pathlib import Path; import sys;\
 l = Lock(Path(sys.argv[1])); assert l.take() is None; print('has it', flush=True); input()"


def kept(book: Path, by: str = "mira") -> KeptEntry:
    made = KeptEntry.new("vehicle", owner_of(book, by))
    made.keep(VEHICLE, None)
    return made


async def begin_a_car(driver: Driver, id: str = "a-car") -> None:
    await driver.press("f5", "home", "enter")
    driver.app.post_message(Paste(f"{id}\tOst\tFell\t2020-\t\t\tplain"))
    await driver.settle()


def test_work_is_of_one_book_and_one_person(book: Path, tmp_path: Path) -> None:
    other = tmp_path / "other.db"
    shutil.copy(book, other)
    kept(book)

    async def has(driver: Driver) -> None:
        await driver.press("f5")
        looks(driver, "NOT STORED YET", "ost-fell")

    async def has_not(driver: Driver) -> None:
        await driver.press("f5")
        assert "ost-fell" not in driver.text()

    drive(book, has, size=LARGE)
    drive(book, has_not, size=LARGE, acting="tam")
    drive(other, has_not, size=LARGE)


def test_work_of_an_older_browser_is_anybodys(book: Path, state: Path) -> None:
    state.mkdir()
    (state / "entry-vehicle_1.json").write_text(json.dumps({"content": VEHICLE}))

    async def script(driver: Driver) -> None:
        await driver.press("f5", "end", "enter")
        assert isinstance(driver.app.screen, EntryGrid)

    drive(book, script, size=LARGE, acting="tam")


def test_two_browsers_never_write_one_work(book: Path, state: Path) -> None:
    """The other browser is another process, killed without a chance to tidy up."""
    mine = kept(book)
    path = next(state.glob("*.json")).with_suffix(".lock")
    other = subprocess.Popen([sys.executable, "-c", HOLD, str(path)],
                             stdin=subprocess.PIPE, stdout=subprocess.PIPE)  # fmt: skip
    assert other.stdout is not None and other.stdout.readline() == b"has it\n"

    async def refused(driver: Driver) -> None:
        await driver.press("f5", "end", "enter")
        looks(driver, f"open in another browser (process {other.pid})")
        assert isinstance(driver.app.screen, Entries)
        await driver.press("delete")
        await driver.write("away")
        await driver.press("enter")
        looks(driver, f"open in another browser (process {other.pid})", "ost-fell")

    async def opened(driver: Driver) -> None:
        await driver.press("f5", "end", "enter")
        assert isinstance(driver.app.screen, EntryGrid)
        await driver.press("escape", "enter")  # left and taken again
        assert isinstance(driver.app.screen, EntryGrid)

    drive(book, refused, size=LARGE)
    other.kill()
    other.communicate()
    drive(book, opened, size=LARGE)
    assert kept_work(mine.name)
    assert not list(state.glob("*.lock"))


def test_a_lock_is_taken_by_one(tmp_path: Path) -> None:
    one, two = Lock(tmp_path / "a" / "x.lock"), Lock(tmp_path / "a" / "x.lock")
    assert one.take() is None and one.take() is None
    assert "process" in str(two.take())
    one.release()
    assert two.take() is None
    two.release()
    assert not list((tmp_path / "a").iterdir())


@pytest.mark.parametrize(
    "text",
    [
        '{"content": []}', "{}", '{"content":{"kind":"job","job":[]}}', "[", "",
        '{"content":{"kind":"vehicle","unit":"x"}}', "[" * 100_000, '{"content":{"kind":"kit"},'
        '"made_from":7}',
    ],
    ids=range(8),
)  # fmt: skip
def test_a_damaged_file_is_named_and_left_alone(book: Path, state: Path, text: str) -> None:
    mine = kept(book)
    damaged = state / "entry-vehicle_damaged.json"
    damaged.write_text(text)

    async def script(driver: Driver) -> None:
        await driver.press("f5")
        looks(driver, "ost-fell")
        told = " ".join(driver.text().split())  # where it breaks hangs on the length of a path
        assert "entry-vehicle_damaged.json holds no entry" in told
        await driver.press("end", "enter")
        assert isinstance(driver.app.screen, EntryGrid)

    drive(book, script, size=LARGE)
    assert damaged.read_text() == text and kept_work(mine.name)


def test_a_draft_is_gone_on_with_and_submitted(book: Path, state: Path) -> None:
    async def first(driver: Driver) -> None:
        await begin_a_car(driver)
        await driver.press("f9")
        looks(driver, "is draft", "DRAFTS IN THE BOOK", "Ost Fell 2020-")

    async def again(driver: Driver) -> None:
        await driver.press("f5", "end", "enter", "f9")
        looks(driver, "Nothing was changed")
        await driver.press("down")
        await driver.write("Oster")
        await driver.press("enter", "f9")
        looks(driver, "is draft", "DRAFTS IN THE BOOK", "Oster Fell")
        assert driver.text().count("a-car@") == 1 and "Ost Fell" not in driver.text()
        await driver.press("end", "enter", "f10", "enter")
        looks(driver, "is submitted")
        assert "DRAFTS IN THE BOOK" not in driver.text()

    drive(book, first, size=LARGE)
    assert not list(state.iterdir())
    drive(book, again, size=LARGE)
    with open_book(book).reading() as connection:
        rows = connection.execute(
            "SELECT s.state, v.content FROM revision v JOIN revision_state s USING (number)"
            " WHERE v.id = 'a-car' ORDER BY v.number"
        ).fetchall()
    assert [row["state"] for row in rows] == ["draft", "submitted"]
    assert json.loads(rows[1]["content"])["vehicle"]["make"] == "Oster"


def test_a_draft_half_changed_is_picked_up(book: Path) -> None:
    async def first(driver: Driver) -> None:
        await begin_a_car(driver)
        await driver.press("f9", "end", "enter", "down")
        await driver.write("Hal")
        await driver.press("ctrl+q")

    async def again(driver: Driver) -> None:
        await driver.press("f5", "end", "enter")
        looks(driver, "Hal", "Fell")

    drive(book, first, size=LARGE)
    drive(book, again, size=LARGE)


def test_an_unchanged_revision_is_not_submitted(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.press("t", "a", "r", "n", "enter", "e", "f10")
        looks(driver, "Nothing was changed: halden-tarn-19-concert10@")
        assert isinstance(driver.app.screen, EntryGrid)
        await driver.press("f9")
        looks(driver, "Nothing was changed")

    drive(book, script, size=LARGE)
    with open_book(book).reading() as connection:
        (count,) = connection.execute(
            "SELECT count(*) FROM revision WHERE id = 'halden-tarn-19-concert10'"
        ).fetchone()
    assert count == 1


def test_the_same_again_is_said(book: Path) -> None:
    """A new entry that is what the book has already, letter for letter."""

    async def script(driver: Driver) -> None:
        for _ in range(2):
            await begin_a_car(driver)
            await driver.press("f10", "enter")
        looks(driver, "The book has the very same already: a-car@")

    drive(book, script, size=LARGE)


def test_another_id_makes_another_entry(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.press("t", "a", "r", "n", "enter", "e")
        await driver.write("another-tarn")
        await driver.press("enter", "f10", "enter")
        looks(driver, "another-tarn@", "is submitted")

    drive(book, script, size=LARGE)
    with open_book(book).reading() as connection:
        row = connection.execute("SELECT parent FROM revision WHERE id = 'another-tarn'").fetchone()
    assert row["parent"] is None


def test_in_the_bay_nothing_is_begun_or_thrown_away(book: Path, state: Path) -> None:
    mine = kept(book)
    before = sorted(path.name for path in state.iterdir())

    async def script(driver: Driver) -> None:
        await driver.press("f5")
        looks(driver, "only reads")
        await driver.press("end", "delete")
        assert "away?" not in driver.text()
        await driver.press("f2", "t", "a", "r", "n", "enter", "e")
        looks(driver, "only reads")
        assert not isinstance(driver.app.screen, EntryGrid)

    drive(book, script, size=LARGE, read_only=True)
    assert sorted(path.name for path in state.iterdir()) == before
    assert kept_work(mine.name)


def test_storing_twice_stores_once_and_leaving_needs_one_key(book: Path, state: Path) -> None:
    async def script(driver: Driver) -> None:
        await begin_a_car(driver)
        for key in ("f10", "f10"):
            driver.app.post_message(Key(key, None))
        await driver.settle()
        await driver.press("enter")
        looks(driver, "a-car@", "is submitted")
        await driver.press("home", "enter")
        for key, letter in (("x", "x"), ("enter", "\r"), ("escape", None)):
            driver.app.post_message(Key(key, letter))
        await driver.settle()
        await driver.settle()
        assert isinstance(driver.app.screen, Entries)

    drive(book, script, size=LARGE)
    assert len(list(state.glob("*.json"))) == 1


def test_a_draft_that_the_book_does_not_take_is_said_to_be_kept(book: Path, state: Path) -> None:
    async def script(driver: Driver) -> None:
        await begin_a_car(driver)
        await driver.press("home", "delete", "f9")
        said = " ".join(driver.text().split())
        assert "Not stored in the book yet: vehicle: id" in said
        assert "What you entered is kept here." in said
        assert isinstance(driver.app.screen, EntryGrid)

    drive(book, script)
    assert list(state.glob("entry-*.json"))
