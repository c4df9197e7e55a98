"""Tab in real shells: what the line is afterwards, and that it does what it says."""

from __future__ import annotations

import shlex
from pathlib import Path

import pytest

from kb.shipped import shipped_book
from tests.command import loombook
from tests.tui.shells import LEFT, SHELLS, TAB, line_after, needed, run_by


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
    """As the command would get them: fish puts a word that it replaced into backslashes.

    A quote that is open at the end is closed first.
    """
    try:
        return shlex.split(line)
    except ValueError:
        return shlex.split(line + "'")


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


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("'speakers of studio9", "'speakers of torvane-sedge-20-studio9"),
        ("'speakers of HALDEN-TARN-24", "'speakers of halden-tarn-24-concert10"),
        ("'speakers where role = TW", "'speakers where role = tweeter"),
        ("'vehicles where audio = conc", "'vehicles where audio = \"concert, 10 speakers\""),
        ("'speakers with oku-b6 where effect = st",
         "'speakers with oku-b6 where effect = \"stays on factory feed\""),
        ("'kits for \"marl 21", "'kits for quessel-marl-21-hall11"),
        ("'speakers where plus-w", "'speakers where plus-wire"),
    ],
)  # fmt: skip
def test_an_answer_need_not_begin_as_the_word_does(
    shell: str, book: Path, tmp_path: Path, typed: str, expected: str
) -> None:
    line = line_after(shell, book, tmp_path, f"loombook ask {typed}{TAB}")
    if shell == "fish" and "marl 21" in typed:
        expected = typed  # fish drops what does not hold the signs that are typed, in their order
    assert words_of(line) == words_of(f"loombook ask {expected}'")


@pytest.mark.parametrize("typed", ["'speakers of tarn 20", "'kits for \"tarn 20"])
def test_what_answers_have_in_common_takes_nothing_away(
    shell: str, book: Path, tmp_path: Path, typed: str
) -> None:
    line = line_after(shell, book, tmp_path, f"loombook ask {typed}{TAB}'")
    assert line == f"loombook ask {typed}'"


@pytest.mark.parametrize("quote", ["'", '"'])
@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("vehicles where audio = conc", "concert, 10 speakers"),
        ("vehicles where audio = 'conc", "concert, 10 speakers"),
        ('vehicles where audio = \\"conc', "concert, 10 speakers"),
        ("speakers with oku-b6 where effect = stays", "stays on factory feed"),
    ],
)
def test_what_is_offered_inside_the_shells_quotes_can_be_asked(
    shell: str, book: Path, tmp_path: Path, quote: str, typed: str, value: str
) -> None:
    if quote == "'":
        typed = typed.replace('\\"', '"').replace("'", r"'\''")
    line = line_after(shell, book, tmp_path, f"loombook ask {quote}{typed}{TAB}")
    if not line.endswith(" "):  # so fish ends a word that it put into its own quotes
        line += quote
    if shell != "fish":  # shlex does not read its `\'` within quotes
        field = typed.partition(" = ")[0]
        assert shlex.split(line)[-1] in (f"{field} = '{value}'", f'{field} = "{value}"')
    ran = run_by(shell, book, tmp_path, line)
    assert (ran.returncode, ran.stderr) == (0, b"")
    assert value in ran.stdout.decode()


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("ask --save late 'speakers wh", "ask --save late 'speakers where"),
        ("--db={book} ask 'speakers of halden-tarn-24",
         "--db={book} ask 'speakers of halden-tarn-24-concert10"),
        ("ask --db {book} --json 'speakers of halden-tarn-24",
         "ask --db {book} --json 'speakers of halden-tarn-24-concert10"),
        ("--db '{book}' runs --kit=oku-b6 halden-tarn-24",
         "--db '{book}' runs --kit=oku-b6 halden-tarn-24-concert10"),
    ],
)  # fmt: skip
def test_options_stand_before_what_is_completed(
    shell: str, book: Path, tmp_path: Path, typed: str, expected: str
) -> None:
    none = tmp_path / "none.db"
    line = line_after(shell, none, tmp_path, f"loombook {typed.format(book=book)}{TAB}")
    assert words_of(line) == words_of(f"loombook {expected.format(book=book)}")


@pytest.mark.parametrize(
    "typed",
    ["add ", "add one.toml ", "intake --vehicle x ", "ask --file ", "readings tarn-1187 --from ",
     "readings tarn-1187 -o ", "backup ", "share out ", "plan ", "--db ", "ask --db=", "add '"],
)  # fmt: skip
def test_the_shell_completes_names_of_files_where_a_file_belongs(
    shell: str, book: Path, tmp_path: Path, typed: str
) -> None:
    (tmp_path / "zz nine.toml").write_text("", "utf-8")
    line = line_after(shell, book, tmp_path, f"loombook {typed}zz{TAB}")
    expected = shlex.split(f"loombook {typed}zz" + ("'" if "'" in typed else ""))
    expected[-1] = expected[-1].removesuffix("zz") + "zz nine.toml"
    assert words_of(line) == expected


@pytest.mark.parametrize("typed", ["ask zz", "ask 'zz", "ask --save zz", "runs zz", "words zz"])
def test_no_file_is_offered_where_none_belongs(
    shell: str, book: Path, tmp_path: Path, typed: str
) -> None:
    (tmp_path / "zz.toml").write_text("", "utf-8")
    assert line_after(shell, book, tmp_path, f"loombook {typed}{TAB}") == f"loombook {typed}"


@pytest.mark.parametrize("typed", ["@la", "'@la", "@"])
def test_a_saved_question_keeps_its_sign(shell: str, tmp_path: Path, typed: str) -> None:
    book = tmp_path / "book.db"
    shipped_book(book)
    assert loombook("--db", book, "ask", "count pins", "--save", "last-count").status == 0
    line = line_after(shell, book, tmp_path, f"loombook ask {typed}{TAB}")
    assert words_of(line) == ["loombook", "ask", "@last-count"]
