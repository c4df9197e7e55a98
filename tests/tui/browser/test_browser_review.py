"""The lead's queue, end to end on a real file: read, sign, send back, go on."""

from __future__ import annotations

import json
from pathlib import Path
from types import SimpleNamespace

import pytest
from textual.events import Key

from kb.review.acts import send_back, verify, withdraw
from kb.review.people import add_person
from kb.review.revisions import revisions_of
from kb.store.book import open_book
from kb.store.revisions import add_documents
from tests.kb.exchange.shops import bring, out, shop, take
from tests.tui.browser.driving import LARGE, SMALL, Driver, drive, looks
from tests.tui.browser.reviewing import TARN, open_review, states
from tui.browser.screens.grid import EntryGrid
from tui.browser.widgets.entries import Note
from tui.clean import clean


def test_a_lead_reads_and_signs(reviewed: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_review(driver, "tom")
        looks(driver, "Review", TARN, "R1.5", "GY/GN grey/green", "EVIDENCE", "meter on A1, A2")
        await driver.press("v")
        looks(driver, "Sign this revision?", "by tom: changes", "R1.5", "AGAINST IT")
        assert states(reviewed)["tom"] == "submitted"
        await driver.press("escape", "v", "enter")
        looks(driver, "is verified")

    drive(reviewed, script, size=(120, 40))
    assert states(reviewed) == {"tom": "verified", "shipped": "submitted"}


def test_a_lead_sends_back_with_a_reason(reviewed: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_review(driver, "tom")
        await driver.press("r")
        looks(driver, "What is wrong with")
        await driver.write("Meter R1.5 again?")
        await driver.press("enter")
        looks(driver, "went back to tom")

    drive(reviewed, script)
    assert states(reviewed)["tom"] == "returned"


def test_escape_from_the_reason_changes_nothing(reviewed: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_review(driver, "tom")
        await driver.press("r", "x", "escape")

    drive(reviewed, script)
    assert states(reviewed)["tom"] == "submitted"


def test_what_is_not_measured_asks_for_a_reason(reviewed: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_review(driver, "shipped")
        await driver.press("v")
        said = " ".join(driver.text().replace("│", " ").split())
        assert "Not measured at the unit that feeds it" in said and "Why will less do here?" in said
        assert "by shipped: all of it is new. Against it: " in said
        await driver.write("ours, metered last year")
        await driver.press("enter")
        looks(driver, "is verified")

    drive(reviewed, script)


def test_a_technician_is_told_why_not(reviewed: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_review(driver, "tom")
        footer = driver.screen_lines()[-1]
        assert "verify" not in footer and "return" not in footer
        looks(driver, "ada acts as a technician; only a lead verifies: mira.")
        await driver.press("r")
        looks(driver, "ada acts as a technician; only a lead returns: mira.")
        assert "What is wrong with" not in driver.text()
        await driver.press("v")
        looks(driver, "only a lead verifies: mira.")

    drive(reviewed, script, acting="ada", size=(120, 40))
    assert states(reviewed)["tom"] == "submitted"


def test_bay_mode_cannot_write(reviewed: Path) -> None:
    async def script(driver: Driver) -> None:
        looks(driver, "read only")
        await open_review(driver, "tom")
        for key in ("v", "r"):
            await driver.press(key)
            looks(driver, "only reads")
            assert "What is wrong with" not in driver.text()
            await driver.press("right")

    before = reviewed.read_bytes()
    drive(reviewed, script, read_only=True)
    assert reviewed.read_bytes() == before


def test_a_shop_of_one_signs_alone_and_says_so(reviewed: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_review(driver, "mira")
        await driver.press("v")
        looks(driver, "you may sign alone")
        await driver.write("alone")
        await driver.press("enter")
        looks(driver, "is verified, alone")

    with open_book(reviewed).writing() as database:
        (text,) = database.execute(
            "SELECT content FROM revision WHERE id = ? AND author = 'tom'", (TARN,)
        ).fetchone()
        content = json.loads(text)
        content["vehicle"]["body"] = "estate"
        document = SimpleNamespace(kind="vehicle", id=TARN, content=content)
        add_documents(database, [document], author="mira")
    drive(reviewed, script)


def test_a_shop_of_one_that_signs_less_is_asked_once(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_review(driver, "mira")
        await driver.press("v")
        looks(driver, "no feed is measured", "is mira's", "With your reason you sign it alone.")
        await driver.press("enter")
        looks(driver, "A reason is needed")
        await driver.write("metered on the last one")
        await driver.press("enter")
        looks(driver, "is verified, alone")

    with open_book(book).writing() as database:
        add_person(database, "mira", "lead", by="mira")
        (text,) = database.execute("SELECT content FROM revision WHERE id = ?", (TARN,)).fetchone()
        content = json.loads(text)
        content["vehicle"]["body"] = "estate"
        document = SimpleNamespace(kind="vehicle", id=TARN, content=content)
        add_documents(database, [document], author="mira")
    drive(book, script, size=LARGE)
    with open_book(book).reading() as connection:
        signed = connection.execute(
            "SELECT alone, reason FROM record WHERE act = 'verify'"
        ).fetchall()
    assert [tuple(row) for row in signed] == [(1, "metered on the last one")]


def test_a_held_key_signs_one_and_no_more(reviewed: Path) -> None:
    """Twenty presses without a pause between ask once, and sign nothing."""

    async def script(driver: Driver) -> None:
        await open_review(driver, "tom")
        for _ in range(20):
            await driver.pilot.press("v")
        await driver.settle()
        looks(driver, "Sign this revision?")
        assert states(reviewed)["tom"] == "submitted"
        await driver.press("enter")
        looks(driver, "The queue", "is verified")

    drive(reviewed, script, size=(120, 40))
    with open_book(reviewed).reading() as connection:
        signed = connection.execute("SELECT author FROM entry WHERE state = 'verified'").fetchall()
    assert [row[0] for row in signed] == ["tom"]


def test_what_is_not_on_the_screen_yet_is_not_signed(reviewed: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_review(driver, "tom")
        review = driver.app.screen
        review.action_next_review()  # type: ignore[attr-defined]
        review.action_verify()  # type: ignore[attr-defined]
        assert "still being read" in str(review._last_said[0])  # type: ignore[attr-defined]
        await driver.settle()

    drive(reviewed, script)
    assert states(reviewed) == {"tom": "submitted", "shipped": "submitted"}


def test_keys_are_named_and_not_commands(reviewed: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_review(driver, "tom")
        await driver.press("end")
        looks(driver, "v signs it; r sends it back")
        assert "loombook verify" not in driver.text()

    drive(reviewed, script)


def test_what_came_back_is_shown_to_its_author(reviewed: Path) -> None:
    with open_book(reviewed).writing() as database:
        (entry,) = (r for r in revisions_of(database.conn, TARN) if r.author == "tom")
        send_back(database, entry.name, by="mira", why="Meter R1.5 once more.")

    async def script(driver: Driver) -> None:
        await driver.press("f3")
        looks(driver, "RETURNED TO YOU", "mira,", "Meter R1.5 once more.")
        await driver.press("enter")
        looks(driver, "Review", "returned", "GY/GN")

    async def not_his(driver: Driver) -> None:
        await driver.press("f3")
        assert "RETURNED TO YOU" not in driver.text()

    drive(reviewed, script, acting="tom", size=(120, 40))
    drive(reviewed, not_his, acting="mira", size=(120, 40))


def test_the_queue_is_read_anew_when_one_comes_back_to_it(reviewed: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_review(driver, "tom")
        with open_book(reviewed).writing() as database:
            (entry,) = (r for r in revisions_of(database.conn, TARN) if r.author == "tom")
            send_back(database, entry.name, by="mira", why="Meter R1.5 once more.")
        await driver.press("v")
        looks(driver, "is returned: it waits for no lead any more")
        assert "vehicle vehicle" not in driver.text()
        await driver.press("escape")
        assert "by tom" not in driver.text()

    drive(reviewed, script, size=(120, 40))


def test_second_thoughts_elsewhere_are_before_all_that_waits(
    reviewed: Path, tmp_path: Path
) -> None:
    """Signed here, and withdrawn by its author in the shop that it came from."""
    theirs = shop(tmp_path / "theirs.db", lead="cole")
    with open_book(reviewed).reading() as connection:
        (text,) = connection.execute(
            "SELECT content FROM revision WHERE id = ? AND author = 'tom'", (TARN,)
        ).fetchone()
    content = json.loads(text) | {"vehicle": {**json.loads(text)["vehicle"], "body": "estate"}}
    (made,) = bring(theirs, "ada", content)
    take(open_book(reviewed), out(theirs, tmp_path / "first"))
    with open_book(reviewed).writing() as database:
        verify(database, f"{TARN}@{made}", by="mira", reason="the body was looked up")
    with theirs.writing() as database:
        withdraw(database, f"{TARN}@{made}", by="ada", reason="metered the wrong car")
    take(open_book(reviewed), out(theirs, tmp_path / "second"))

    async def script(driver: Driver) -> None:
        await driver.press("f3")
        looks(driver, "TAKEN BACK ELSEWHERE", "look again", "metered the wrong car")

    drive(reviewed, script, size=(120, 40))


def test_copies_say_what_they_took(reviewed: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.press("f3", "c")
        first = driver.app.screen.query_one("#waiting").item.cells[0].plain  # type: ignore[attr-defined]
        assert driver.app.clipboard == first
        await open_review(driver, "tom")
        await driver.press("y")
        looks(driver, "copied “halden-tarn-19-concert10@")
        await driver.press("Y")
        looks(driver, "copied the whole page")
        assert "GY/GN" in driver.app.clipboard and "\x1b" not in driver.app.clipboard

    drive(reviewed, script)


def test_the_history_of_an_entry_is_one_key_away(reviewed: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_review(driver, "tom")
        await driver.press("h")
        looks(driver, "2 revisions", "submitted by tom", "submitted by shipped")
        await driver.press("v")
        looks(driver, "go back to what it changes first")
        await driver.press("h")
        looks(driver, "CHANGES")

    drive(reviewed, script, size=(120, 40))
    assert states(reviewed)["tom"] == "submitted"


def test_an_author_mends_what_came_back(reviewed: Path) -> None:
    with open_book(reviewed).writing() as database:
        (entry,) = (r for r in revisions_of(database.conn, TARN) if r.author == "tom")
        send_back(database, entry.name, by="mira", why="The body is an estate.")

    async def script(driver: Driver) -> None:
        await driver.press("f3", "enter")
        looks(driver, "returned")
        await driver.press("end")
        looks(driver, "e opens it in the sheets")
        await driver.press("e")
        screen = driver.app.screen
        assert isinstance(screen, EntryGrid) and screen.made_from == entry.hash
        assert "GY/GN" in json.dumps(screen.sheets.made().content)
        looks(driver, TARN)
        await driver.press("down", "down", "down", "down")
        body = next(n for n, line in enumerate(screen.sheets.lines()) if "body" in line[0])
        screen._move_to(body, 1)
        await driver.write("estate")
        await driver.press("enter", "f10", "enter")
        looks(driver, "is submitted")

    drive(reviewed, script, acting="tom", size=(120, 40))
    with open_book(reviewed).reading() as connection:
        (text,) = connection.execute(
            "SELECT content FROM revision WHERE parent = ?", (entry.hash,)
        ).fetchone()
    content = json.loads(text)
    assert content["vehicle"]["body"] == "estate"
    assert content["connector"][0]["pins"][3]["wire"] == "GY/GN"


@pytest.mark.parametrize("kind", ["vehicle", "kit", "amplifier", "job"])
def test_any_kind_is_edited_from_its_dossier(reviewed: Path, kind: str) -> None:
    async def script(driver: Driver) -> None:
        await driver.press("f3")
        rows = driver.app.screen.query_one("#waiting")
        rows.mark_key(next(i.key for i in rows.items if i.cells[1].text == kind))  # type: ignore[attr-defined]
        name = rows.item.key  # type: ignore[attr-defined]
        await driver.press("enter", "e")
        if kind == "vehicle":  # the one by tom answers
            looks(driver, "Another revision answers since you began")
            await driver.press("escape")
        screen = driver.app.screen
        assert isinstance(screen, EntryGrid)
        content = screen.sheets.made().content
        assert name.startswith(f"{kind}/{content[kind]['id']}@")

    drive(reviewed, script)


def test_the_bay_edits_nothing(reviewed: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_review(driver, "tom")
        await driver.press("e")
        looks(driver, "only reads")

    drive(reviewed, script, read_only=True)


def test_an_empty_reason_is_asked_for_again(reviewed: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_review(driver, "shipped")
        for key, question in (("v", "Why will less do here?"), ("r", "What is wrong with")):
            await driver.press(key, "enter")
            looks(driver, question, "A reason is needed")
            await driver.press("escape")

    drive(reviewed, script)
    assert states(reviewed)["shipped"] == "submitted"


def test_what_was_copied_is_not_said_of_the_next_one(reviewed: Path) -> None:
    async def script(driver: Driver) -> None:
        await open_review(driver, "tom")
        await driver.press("y")
        looks(driver, "copied “")
        await driver.press("n")
        assert "copied" not in driver.text()

    drive(reviewed, script)


def test_the_marked_one_is_seen_with_all_its_reasons(reviewed: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.press("f3")
        rows = driver.app.screen.query_one("#waiting")
        for _ in range(len(rows.items)):  # type: ignore[attr-defined]
            at = rows.marked  # type: ignore[attr-defined]
            seen = " ".join(driver.text().split())
            for note in rows.entries[at + 1 :]:  # type: ignore[attr-defined]
                if not isinstance(note, Note):
                    break
                assert " ".join(clean(note.text).split()) in seen
            await driver.press("down")

    drive(reviewed, script, size=SMALL)
    drive(reviewed, script, size=SMALL, flat=True)


def test_a_paste_that_comes_as_keys_signs_nothing(reviewed: Path) -> None:
    """A reason and its Enter in one go, as a terminal without bracketed paste hands them over."""

    async def script(driver: Driver) -> None:
        await open_review(driver, "shipped")
        await driver.press("v")
        for letter in "fine\r":
            driver.app.post_message(Key("enter" if letter == "\r" else letter, letter))
        await driver.settle()
        looks(driver, "That came all at once")
        assert states(reviewed)["shipped"] == "submitted"
        await driver.press("enter")
        looks(driver, "is verified")

    drive(reviewed, script)
