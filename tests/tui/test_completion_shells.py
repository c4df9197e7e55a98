"""Tab in real shells: what the line is afterwards, and that it does what it says."""

from __future__ import annotations

import shlex
from pathlib import Path

import pytest

from kb.shipped import shipped_book
from tests.tui.shells import LEFT, SHELLS, TAB, line_after, needed


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("shells") / "book.db"
    shipped_book(path)
    return path


@pytest.fixture(params=SHELLS)
def shell(request: pytest.FixtureRequest) -> str:
    needed(request.param)
    return str(request.param)


def words_of(line: str) -> list[str]:
    """As the command would get them: fish puts a word that it replaced into backslashes."""
    return shlex.split(line)


@pytest.mark.parametrize(
    ("before", "after", "expected"),
    [
        ("'speakers where role = tw", " and ohms = 4'",
         "'speakers where role = tweeter and ohms = 4'"),
        ("'speakers wh", "'", "'speakers where'"),
        ("'speakers where ro", " = tweeter'", "'speakers where role = tweeter'"),
        ("'speakers of halden-tarn-24", " where role = tweeter'",
         "'speakers of halden-tarn-24-concert10 where role = tweeter'"),
        ("speakers wh", " role = tweeter", "speakers where role = tweeter"),
        ("speakers where role=tw", " first 3", "speakers where role=tweeter first 3"),
        ("speakers where ro", "=tweeter", "speakers where role=tweeter"),
    ],
)  # fmt: skip
def test_what_stands_after_the_cursor_stays(
    shell: str, book: Path, tmp_path: Path, before: str, after: str, expected: str
) -> None:
    keys = f"loombook ask {before}{after}" + LEFT * len(after) + TAB
    assert words_of(line_after(shell, book, tmp_path, keys)) == words_of(f"loombook ask {expected}")
