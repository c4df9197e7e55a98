"""What the shell is told at a Tab: the hidden completer, and the script in a real bash."""

from __future__ import annotations

import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from kb.shipped import shipped_book
from tests.command import ROOT, environment, loombook


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("completion") / "book.db"
    shipped_book(path)
    return path


def offered(book: Path, *words: str) -> list[str]:
    ran = loombook("--db", book, "completion", "next", "--", *words)
    assert ran.status == 0
    return [line.partition("\t")[0] for line in ran.out.splitlines()]


def completed_by_bash(book: Path, words: list[str]) -> list[str]:
    """The script in a real bash, called as readline calls it."""
    script = loombook("completion", "bash").out
    line = " ".join(["loombook", *words])
    program = (
        f'loombook() {{ "{sys.executable}" -m tui --db "{book}" "$@"; }}\n{script}\n'
        f"COMP_LINE={shlex.quote(line)}; COMP_POINT=${{#COMP_LINE}}; _loombook\n"
        'printf "%s\\n" "${COMPREPLY[@]}"'
    )
    done = subprocess.run(
        ["bash", "--noprofile", "--norc", "-c", program],
        capture_output=True,
        env=environment(PYTHONPATH=str(ROOT)),
        check=True,
    )
    # The second way, with a space at its end, keeps bash from closing a quote.
    return [line for line in done.stdout.decode().splitlines() if line[-1:] != " "]


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (["ask", "spea"], ["speakers"]),
        (["ask", "'speakers where role = tw"], ["speakers where role = tweeter"]),
        (["ask", "speakers", "where", "fed"], ["fed-by"]),
        (["ask", "pins", "where", "wire", "=", "grey/bl"], ["grey/black"]),
        (["ask", "--js"], ["--json"]),
        (["runs", "halden-tarn-24"], ["halden-tarn-24-concert10"]),
        (["wor"], ["words"]),
    ],
)
def test_bash_completes(book: Path, words: list[str], expected: list[str]) -> None:
    assert completed_by_bash(book, words) == expected


def test_two_hyphens_begin_an_option(book: Path) -> None:
    for found in (offered(book, "ask", "--"), completed_by_bash(book, ["ask", "--"])):
        assert {"--json", "--csv", "--file"} <= set(found)
        assert "ask" not in found
    assert "--kit" in offered(book, "runs", "halden-tarn-24-concert10", "--")


def test_a_script_is_installed_wherever_the_option_stands(tmp_path: Path) -> None:
    for arguments in (("--install", "bash"), ("bash", "--install")):
        home = tmp_path / arguments[0]
        ran = loombook("completion", *arguments, HOME=str(home), XDG_DATA_HOME="")
        assert ran.status == 0
        assert "Written: " in ran.out
        assert list(home.rglob("loombook"))


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (["ask", "--save", "late", "speakers wh"], ["speakers where"]),
        (["ask", "--json", "--save=late", "speakers", "wh"], ["where"]),
        (["ask", "--newest", "--", "speakers", "wh"], ["where"]),
        (["ask", "--save", "la"], []),
        (["--as", "tess", "ask", "speakers wh"], ["speakers where"]),
        (["ask", "--as=tess", "speakers wh"], ["speakers where"]),
        (["ask", "--d"], ["--db"]),
        (["--v"], ["--version"]),
        (["runs", "--kit", "oku-b6", "halden-tarn-24"], ["halden-tarn-24-concert10"]),
        (["runs", "--kit=oku-b"], ["--kit=oku-b4", "--kit=oku-b6"]),
        (["runs", "--kit=oku-b6", "x", "--part", "ra"], ["radio-28", "radio-14"]),
        (["runs", "x", ""], []),
        (["face", "--side", ""], ["wire", "mating"]),
        (["people", "add", "tess", "--ro"], ["--role"]),
        (["people", "add", "tess", "--role", "l"], ["lead"]),
        (["people", ""], ["add", "remove"]),
        (["share", "--as", "tess", "i"], ["in"]),
        (["completion", ""], ["bash", "zsh", "fish"]),
        (["nothing", "--"], []),
    ],
)
def test_an_option_takes_along_what_is_its_own(
    book: Path, words: list[str], expected: list[str]
) -> None:
    assert offered(book, *words) == expected


@pytest.mark.parametrize("how", ["--db", "--db="])
@pytest.mark.parametrize("after", [True, False])
def test_the_book_is_the_one_that_the_line_names(
    book: Path, tmp_path: Path, how: str, after: bool
) -> None:
    named = ["--db", str(book)] if how == "--db" else [f"--db={book}"]
    words = ["ask", *named] if after else [*named, "ask"]
    assert offered(tmp_path / "none.db", *words, "pins of halden-tarn-24") == [
        "pins of halden-tarn-24-concert10"
    ]


def test_saved_questions_are_offered_by_name(book: Path, tmp_path: Path) -> None:
    own = tmp_path / "own.db"
    shutil.copy(book, own)
    assert loombook("--db", own, "ask", "--save", "waiting", "vehicles").status == 0
    assert offered(own, "ask", "@w") == ["@waiting"]
    assert offered(own, "ask", "--newest", "@") == ["@waiting"]
    assert offered(own, "ask", "--forget", "") == ["waiting"]
    assert completed_by_bash(own, ["ask", "@wai"]) == ["@waiting"]  # as readline has the word
