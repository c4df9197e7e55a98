"""A person's own keys and colours: read, refused in a sentence, and used."""

from __future__ import annotations

from pathlib import Path

import pytest

from kb.errors import Refused
from tui.browser.preferences import Preferences, read_preferences


def test_no_file_sets_nothing(tmp_path: Path) -> None:
    assert read_preferences(tmp_path / "none.toml") == Preferences()


def test_what_is_set_is_read(tmp_path: Path) -> None:
    path = tmp_path / "browse.toml"
    path.write_text('colours = "light"\nflat = true\n[keys]\nnext-flag = "f7"\n')
    assert read_preferences(path) == Preferences("light", True, {"next-flag": "f7"})


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
    ],
)
def test_a_mistake_is_one_sentence(tmp_path: Path, text: str, said: str) -> None:
    path = tmp_path / "browse.toml"
    path.write_text(text)
    with pytest.raises(Refused, match=said):
        read_preferences(path)
