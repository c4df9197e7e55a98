"""The command and its streams: closed, full or poor in letters. Real processes."""

import ast
import json
import subprocess
import sys
import unicodedata
from pathlib import Path

import pytest

from kb.shipped import shipped_book
from kb.store.book import Book, open_book
from tests.command import ROOT, environment, loombook
from tests.small_documents import as_json, as_toml, small_kit, small_vehicle
from tui.stand_ins import NARROW, STAND_INS, aligned

CONCERT = "halden-tarn-19-concert10"
LOST = "standard output cannot be written"
FULL = Path("/dev/full")
needs_full = pytest.mark.skipif(not FULL.exists(), reason="needs a device that is always full")

# A child of a shell can close its streams before the command starts; Popen alone cannot.
RUN = 'exec "$0" -m tui "$@"'


def in_shell(redirected: str, *arguments: str | Path, **extra: str) -> tuple[int, str]:
    """Exit status and standard error of the command with its streams redirected by a shell."""
    done = subprocess.run(
        ["/bin/sh", "-c", f"{RUN} {redirected}", sys.executable, *map(str, arguments)],
        stderr=subprocess.PIPE,
        stdout=subprocess.DEVNULL,
        cwd=ROOT,
        env=environment(**extra),
        timeout=60,
        check=False,
    )
    said = done.stderr.decode()
    assert "Traceback" not in said and "mistake of Loombook" not in said, said
    assert "Exception ignored" not in said, said
    return done.returncode, said


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Book:
    return shipped_book(tmp_path_factory.mktemp("book") / "book.db")


@needs_full
@pytest.mark.parametrize("redirected", [">&-", ">/dev/full"])
@pytest.mark.parametrize("more", [(), ("--json",)])
def test_add_with_no_room_for_its_words_does_not_deny_what_it_stored(
    tmp_path: Path, redirected: str, more: tuple[str, ...]
) -> None:
    car = tmp_path / "car.toml"
    car.write_bytes(as_toml(small_vehicle()))
    path = tmp_path / "book.db"
    status, said = in_shell(redirected, "--db", path, "add", car, *more)
    assert status == 1
    assert said.startswith(f"loombook: {LOST} (") and said.count("\n") == 1
    assert "what the command had stored before is kept" in said
    assert "nothing was changed" not in said
    with open_book(path).reading() as connection:
        assert connection.execute("SELECT count(*) FROM revision").fetchone()[0] == 1


@needs_full
@pytest.mark.parametrize("redirected", [">&-", ">/dev/full"])
@pytest.mark.parametrize(
    "arguments",
    [
        ("demo",),
        ("--help",),
        ("runs", "--help"),
        ("--version",),
        ("runs", CONCERT, "--kit", "oku-b6"),
        ("ask", "pins"),
        ("ask", "pins", "--csv"),
        ("face", CONCERT, "A1"),
    ],
    ids=" ".join,
)
def test_lost_output_is_one_sentence_and_not_the_books_fault(
    book: Book, redirected: str, arguments: tuple[str, ...]
) -> None:
    status, said = in_shell(redirected, "--db", book.path, *arguments)
    assert status == 1
    assert said.startswith(f"loombook: {LOST} (") and said.count("\n") == 1


def test_nobody_listening_anywhere_is_no_crash(book: Book) -> None:
    assert in_shell("2>&-", "--db", book.path, "runs", "no-such", "--kit", "x") == (1, "")
    assert in_shell("<&- >&- 2>&-", "--db", book.path, "runs", CONCERT, "--kit", "oku-b6")[0] == 1


@needs_full
def test_warnings_that_cannot_be_told_do_not_stop_the_work(tmp_path: Path) -> None:
    car = tmp_path / "car.toml"
    car.write_bytes(as_toml(small_vehicle(sold_speakers=9)))
    path = tmp_path / "book.db"
    assert in_shell("2>/dev/full", "--db", path, "add", car)[0] == 0
    with open_book(path).reading() as connection:
        assert connection.execute("SELECT count(*) FROM revision").fetchone()[0] == 1


@pytest.mark.parametrize("verb", ["add", "ask"])
def test_a_closed_standard_input_is_one_sentence(book: Book, verb: str) -> None:
    status, said = in_shell("<&-", "--db", book.path, verb, "-")
    assert status == 1
    assert said == (
        "loombook: standard input is closed, so `-` has nothing to read; name a file.\n"
    )


# -- letters


ASCII = {"PYTHONIOENCODING": "ascii"}
C_LOCALE = {
    "PYTHONIOENCODING": "",
    "LC_ALL": "C",
    "PYTHONCOERCECLOCALE": "0",
    "PYTHONUTF8": "0",
}


@pytest.mark.parametrize("poor", [ASCII, C_LOCALE], ids=["ascii", "C locale"])
def test_every_page_of_the_main_job_can_be_read_without_a_sign(
    book: Book, poor: dict[str, str]
) -> None:
    for arguments in (
        ("demo",),
        ("--help",),
        ("runs", CONCERT, "--kit", "oku-b6"),
        ("face", CONCERT, "A1"),
        ("plan", "tarn-1187"),
        ("ask", "speakers of halden-tarn-19-concert10 with oku-b6 where left out"),
        ("words",),
    ):
        ran = loombook("--db", book.path, *arguments, **poor)
        assert ran.status == 0, ran
        assert ran.out.isascii() and ran.err.isascii()
        assert "\\u" not in ran.out and "\\x" not in ran.out, ran.out
    rich = loombook("--db", book.path, "runs", CONCERT, "--kit", "oku-b6").out
    poorer = loombook("--db", book.path, "runs", CONCERT, "--kit", "oku-b6", **poor).out
    assert rich.replace("✗ LEFT", "x LEFT").count("x LEFT") == poorer.count("x LEFT") == 3
    assert rich.count("✓ carried") == poorer.count("ok carried")


@pytest.mark.parametrize("width", ["40", "80", "120"])
def test_frames_stay_frames(book: Book, width: str) -> None:
    rich = loombook("--db", book.path, "face", CONCERT, "A1", COLUMNS=width).out
    poor = loombook("--db", book.path, "face", CONCERT, "A1", COLUMNS=width, **ASCII).out
    assert list(map(len, poor.splitlines())) == list(map(len, rich.splitlines()))
    assert max(map(len, poor.splitlines())) <= int(width)
    assert poor == rich.translate(str.maketrans({k: v for k, v in NARROW.items() if len(v) == 1}))


def test_what_an_encoding_can_show_stays(book: Book) -> None:
    ran = subprocess.run(
        [sys.executable, "-m", "tui", "--db", str(book.path), "plan", "tarn-1187"],
        capture_output=True,
        cwd=ROOT,
        env=environment(PYTHONIOENCODING="latin-1"),
        check=True,
    )
    text = ran.stdout.decode("latin-1")
    assert "mm²" in text and "ohm" in text and "\\u" not in text


def test_json_keeps_every_letter_in_any_encoding(tmp_path: Path) -> None:
    """A stand-in would change a value, and Python's own escape \\xe9 is none of JSON's."""
    car = small_vehicle(make="Östér – ✓ 𝄞")
    file = tmp_path / "car.json"
    file.write_bytes(as_json(car))
    kit = tmp_path / "kit.json"
    kit.write_bytes(as_json(small_kit()))
    path = tmp_path / "book.db"
    assert loombook("--db", path, "add", file, kit).status == 0
    rich = loombook("--db", path, "ask", "vehicles", "--json")
    poor = loombook("--db", path, "ask", "vehicles", "--json", **ASCII)
    assert json.loads(rich.out) == json.loads(poor.out)
    assert json.loads(poor.out)["rows"][0]["make"] == "Östér – ✓ 𝄞"
    assert "\\u2713" in loombook("--db", path, "ask", "vehicles", "--csv", **ASCII).out


def test_spaces_give_way_so_that_columns_stay_under_each_other() -> None:
    head = "ch  load     lowest"
    line = "1   2.02 Ω   2 Ω"
    assert aligned(f"{head}\n{line}", "ascii", 80) == f"{head}\n1   2.02 ohm 2 ohm"
    assert aligned("│  a…  │", "ascii", 80) == "|  a~  |"
    assert aligned("a full line…", "ascii", 12) == "a full line~"
    assert aligned("a short line…", "ascii", 80) == "a short line..."
    assert aligned("nothing – changes …", "utf-8", 10) == "nothing – changes …"
    assert aligned("é stays for the escape", "ascii", 80) == "é stays for the escape"


def test_every_sign_that_the_code_writes_has_a_stand_in() -> None:
    """Signs in texts of the code, docstrings, browser (which needs a full terminal) and sheets
    (which are UTF-8 files) left out."""
    written = {
        (letter, str(path.relative_to(ROOT)))
        for folder in ("tui", "kb", "grammar")
        for path in (ROOT / folder).rglob("*.py")
        if "browser" not in path.parts and not path.name.startswith("sheet")
        for text in _texts(path)
        for letter in text
        if not letter.isascii() and unicodedata.category(letter)[0] not in "CMZ"
    }
    lost = {(letter, path) for letter, path in written if letter not in STAND_INS}
    # The spreadsheet lists fullwidth letters that it looks for, and writes none of them.
    assert {path for _, path in lost} <= {"tui/spreadsheet.py"}, lost
    assert all(value.isascii() for value in STAND_INS.values())


def _texts(path: Path) -> list[str]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    statements = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    return [
        node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant)
        and isinstance(node.value, str)
        and id(node) not in statements
    ]
