"""A person's own keys and colours: read, refused in a sentence, and used."""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
from pathlib import Path

import pytest

from kb.errors import Refused
from tests.tui.browser.driving import LARGE, Driver, drive
from tui.browser.actions import ACTIONS
from tui.browser.preferences import Preferences, read_preferences


def test_no_file_sets_nothing(tmp_path: Path) -> None:
    assert read_preferences(tmp_path / "none.toml") == Preferences()


def test_what_is_set_is_read(tmp_path: Path) -> None:
    path = tmp_path / "browse.toml"
    path.write_text('colours = "light"\nflat = true\n[keys]\nnext-flag = "f7"\n')
    assert read_preferences(path) == Preferences("light", True, {"next-flag": "f7"})


def test_every_key_as_it_is_may_be_written_down(tmp_path: Path) -> None:
    """A file that says what is so anyway is no mistake."""
    path = tmp_path / "browse.toml"
    for action in ACTIONS:
        path.write_text(f'[keys]\n{action.setting} = "{action.keys}"\n')
        if len({a.keys for a in ACTIONS if a.setting == action.setting}) == 1:
            assert read_preferences(path).keys == {action.setting: action.keys}


def test_a_key_is_named_as_the_terminal_names_it(tmp_path: Path) -> None:
    path = tmp_path / "browse.toml"
    path.write_text('[keys]\nnext-flag = "+, F7,Ctrl+E"\nother-side = "S"\n')
    assert read_preferences(path).keys == {"next-flag": "plus,f7,ctrl+e", "other-side": "S"}


def test_the_printed_table_has_the_keys_as_they_are_set(tmp_path: Path) -> None:
    path = tmp_path / "browse.toml"
    path.write_text('[keys]\nnext-flag = "f7"\n')
    told = subprocess.run(
        [sys.executable, "-c", "from tui.main import main; raise SystemExit(main())",
         "browse", "--keys"],
        env={**os.environ, "LOOMBOOK_BROWSE": str(path)}, capture_output=True, text=True,
        check=True,
    )  # fmt: skip
    (line,) = [line for line in told.stdout.splitlines() if "`next-flag`" in line]
    assert "| `F7` |" in line


def test_a_key_that_is_set_works_and_the_old_one_is_a_letter(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.press("f5", "enter", "f6")
        await driver.write("a-unit")
        await driver.press("enter", "f11")
        assert driver.text().count("a-unit") >= 2

    async def quits(driver: Driver) -> None:
        await driver.press("ctrl+q")
        assert driver.app.is_running
        await driver.press("f12")
        assert driver.app._exit

    drive(book, script, keys={"fill-down": "f11"}, size=LARGE)
    drive(book, quits, keys={"quit": "f12"})


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('color = "light"', "color is no setting"),
        ('colours = "pink"', "one of dark, light, terminal"),
        ("flat = 1", "true or false"),
        ('[keys]\nnext-flg = "f7"', "the nearest is next-flag"),
        ("[keys]\nnext-flag = 7", 'a key such as "f7"'),
        ('[keys]\nnext-flag = "k"', "both want k"),
        ('[keys]\nnext-flag = "?x', "cannot be read"),
        ('keys = "x"', "keys is a table"),
        ('[keys]\nverify = "nonsense"', "no key that a terminal sends"),
        ('[keys]\nverify = "ctr+e"', "the nearest is ctrl"),
        ('[keys]\nverify = "?"', "both want ?"),
        ('[keys]\nverify = "question_mark"', "both want ?"),
        ('[keys]\nverify = "ctrl+m"', "cannot have Enter"),
        ('[keys]\nverify = "f11"\ngive-back = "F11"', "both want F11"),
        ('[keys]\nquit = "q"', "a letter is text"),
        ('[keys]\nhelp = "h"', "a letter is text"),
        ('[keys]\nfill-down = "d"', "a letter is text"),
        ('[keys]\nnext-flag = "down"', "moves and opens in every list"),
        ('[keys]\nundo = "f9"', "both want F9"),
    ],
)
def test_a_mistake_is_one_sentence(tmp_path: Path, text: str, said: str) -> None:
    path = tmp_path / "browse.toml"
    path.write_text(text)
    with pytest.raises(Refused, match=said):
        read_preferences(path)


def browse(*arguments: str, book: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", "from tui.main import main; raise SystemExit(main())",
         "--db", str(book), "browse", *arguments],
        capture_output=True, text=True, timeout=60, check=False, stdin=subprocess.DEVNULL,
        env={key: value for key, value in os.environ.items() if key != "TEXTUAL_DRIVER"},
    )  # fmt: skip


def test_the_table_says_where_keys_are_set(book: Path) -> None:
    told = browse("--keys", book=book)
    assert os.environ["LOOMBOOK_BROWSE"] in told.stdout.replace("\n", "")
    assert "[keys]" in told.stdout and "LOOMBOOK_BROWSE" in told.stdout
    assert "browse.toml" in " ".join(browse("--help", book=book).stdout.split())


def test_without_a_terminal_it_says_so_and_ends(book: Path) -> None:
    told = browse(book=book)
    assert told.returncode == 2 and told.stdout == ""
    assert "needs a terminal" in told.stderr and "\x1b" not in told.stderr


def test_a_mistake_of_loombooks_own_is_no_success(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from tui.browser.app import Browser
    from tui.commands import browse as command

    def fails(app: Browser) -> None:
        app._return_code = 1  # as Textual does where an exception ends the app

    monkeypatch.setattr(Browser, "run", fails)
    monkeypatch.setattr(command, "_in_terminal", lambda: True)
    parser = argparse.ArgumentParser()
    command.add_arguments(parser)
    arguments = parser.parse_args([])
    arguments.db, arguments.acting = book, "mira"
    assert command.run(arguments) == 1
    monkeypatch.setattr(Browser, "run", lambda _: None)
    assert command.run(arguments) == 0
