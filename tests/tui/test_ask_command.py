"""`ask`, `words` and `completion` as processes, on a real book."""

from __future__ import annotations

import csv
import io
import json
import subprocess
import sys
from pathlib import Path

import pytest

from kb.shipped import shipped_book
from tests.command import ROOT, Ran, environment, loombook

VEHICLE = "halden-tarn-19-concert10"


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("ask") / "book.db"
    shipped_book(path)
    return path


def ask(book: Path, *arguments: str, **more: object) -> Ran:
    return loombook("--db", book, "ask", *arguments, **more)  # type: ignore[arg-type]


def test_json_is_one_document_of_the_promised_shape(book: Path) -> None:
    ran = ask(book, f"speakers of {VEHICLE} with oku-b6 where left out", "--json")
    assert (ran.status, ran.err) == (0, "")
    document = json.loads(ran.out)
    assert list(document) == ["subject", "columns", "rows", "unknowns", "unverified", "notes"]
    assert document["subject"] == "speakers"
    assert [row["speaker"] for row in document["rows"]] == ["quarter-l", "quarter-r", "centre"]
    assert all(list(row) == document["columns"] for row in document["rows"])
    assert document["rows"][0]["lead"] == ""  # left out: there is none, which is not an unknown
    assert (document["unknowns"], document["unverified"]) == (0, 3)


def test_a_guess_is_labelled_in_every_form(book: Path) -> None:
    query = 'speakers of "yarin dapple"'
    assert "A guess" in json.loads(ask(book, query, "--json").out)["notes"][0]
    assert "A guess" in ask(book, query, "--csv").err
    assert "A guess" in ask(book, query).out


def test_csv_reads_back(book: Path) -> None:
    ran = ask(book, f"pins of {VEHICLE} where unit = radio", "--csv")
    rows = list(csv.DictReader(io.StringIO(ran.out)))
    assert len(rows) == 10
    assert rows[1]["wire"] == "OG/BK"


@pytest.mark.parametrize("columns", [40, 80, 120, 200])
def test_a_table_fits_the_terminal(book: Path, columns: int) -> None:
    for query in (f"speakers of {VEHICLE} with oku-b6", "pins", "vehicles", "entries", "kits"):
        ran = ask(book, query, COLUMNS=str(columns))
        assert ran.status == 0
        assert max(len(line) for line in ran.out.splitlines()) <= columns, query
        assert "\x1b" not in ran.out


def test_the_last_line_says_what_the_book_cannot_tell(book: Path) -> None:
    ran = ask(book, "speakers where ohms < 4")
    assert "For 6 more rows the book cannot tell" in ran.out
    assert "Not verified" in ran.out


def test_no_rows_explain_themselves(book: Path) -> None:
    out = ask(book, "speakers where role = tweeter and ohms > 40").out
    assert "No rows." in out
    assert "`ohms > 40` removed the last rows" in out
    assert "none of 14 speakers that `role = tweeter`" in out
    assert "HT-20" in ask(book, "connectors where plug = HT-2O").out


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("speakers where rol = tweeter", "Try: speakers where role = tweeter"),
        ("speakers where role = twetter", "Try: speakers where role = tweeter"),
        ("speakrs", "Try: speakers"),
        ("speakers where fed by raido", "Try: speakers where fed by radio"),
        ("speakers where left out", "Try: speakers with any kit where left out"),
        ("vehicles where any speakr (role = tweeter)", "any speakers (role = tweeter)"),
        ('vehicles where make like "%hal%"', 'Try: vehicles where make ~ "hal"'),
        ("speakers sorted by ohms desc", "Try: speakers sorted by ohms down"),
        ("select * from speakers where ohms == 4", "Try: speakers where ohms = 4"),
        ("speakers where ohms < 4 of halden-tarn-19-plain6", "Try: speakers of halden-tarn"),
        ("pins where wire = BL", "could be blue (BU) or black (BK)"),
        ("speakers of tarn", "fits 3 vehicles"),
        ("speakers of 1G4AH59H55G118341", "would be 4"),
        ("speakers with oku-b6 + radio-82", "radio-28"),
        ("kits where left out = 0", "depends on a vehicle"),
        ("pins with oku-b6", "says nothing about pins"),
        ("speakers where role < tweeter", "has no order"),
        ("vehicles where text = vent", "searched with `~`"),
        ("speakers where ohms = unknown", "Try: speakers where ohms is unknown"),
        ("pins where size < 16", "awg or mm2"),
        ("", "ask what"),
    ],
)  # fmt: skip
def test_an_error_teaches(book: Path, query: str, said: str) -> None:
    ran = ask(book, *([query] if query else []))
    assert (ran.status, ran.out) == (2, "")
    assert said in ran.err
    assert "Traceback" not in ran.err and "mistake of Loombook's own" not in ran.err
    tried = [line[5:] for line in ran.err.splitlines() if line.startswith("Try: ")]
    for one in tried:
        assert ask(book, one).status == 0, one


def test_a_question_from_words_standard_input_or_a_file(book: Path, tmp_path: Path) -> None:
    query = "count speakers where role = tweeter"
    file = tmp_path / "question"
    file.write_text(query + "\n", "utf-8")
    said = ask(book, query).out
    assert ask(book, *query.split()).out == said
    assert ask(book, "-", stdin=query.encode()).out == said
    assert ask(book, "--file", str(file)).out == said
    assert ask(book, "--file", "-", stdin=query.encode()).out == said
    file.write_text("count speakers where any\npin (wire = GN)\n", "utf-8")
    assert ask(book, "--file", str(file)).status == 0  # one question on two lines


@pytest.mark.parametrize("text", ["vehicles\nspeakers\n", "# all of them\nvehicles\n", "@a\n@b"])
def test_a_text_holds_one_question(book: Path, text: str) -> None:
    ran = ask(book, "-", stdin=text.encode())
    assert (ran.status, ran.out) == (2, "")
    assert "one question" in ran.err or "stands alone" in ran.err


def test_saved_questions(tmp_path: Path) -> None:
    book = tmp_path / "book.db"
    shipped_book(book)
    query = "vehicles where any speaker (role = tweeter and fed by radio)"
    first = ask(book, query, "--save", "split-tweeters")
    assert ask(book, "@split-tweeters").out == first.out
    assert "split-tweeters" in ask(book, "--saved").out
    assert "the nearest is @split-tweeters" in ask(book, "@split-tweters").err
    for more in (["@split-tweeters first 2"], ["@split-tweeters", "first", "2"]):
        ran = ask(book, *more)
        assert ran.status == 2 and "a saved question stands alone" in ran.err
    assert ask(book, "@").status == 1
    assert ask(book, "speakers where rol = x", "--save", "bad").status == 2
    assert ask(book, "@bad").status == 1
    for written in ("@split-tweeters\n", " @split-tweeters"):
        assert ask(book, "-", stdin=written.encode()).out == first.out
    assert ask(book, " @split-tweeters").out == first.out
    assert ask(book, "speakers", "--save", "No Name").status == 1
    assert ask(book, "speakers", "--save", "").status == 1
    for option in (["--saved"], ["--forget", "split-tweeters"]):
        ran = ask(book, "vehicles", *option)
        assert ran.status == 2 and "give no question" in ran.err


def test_saved_questions_are_forgotten_all_or_none(tmp_path: Path) -> None:
    book = tmp_path / "book.db"
    shipped_book(book)
    for name in ("one", "two", "three"):
        assert ask(book, "vehicles", "--save", name).status == 0
    assert ask(book, "--forget", "one", "--forget", "zzz").status == 1
    ran = ask(book, "--forget", "one", "--forget", "@two", "--json")
    assert json.loads(ran.out) == {"forgotten": ["one", "two"]}
    assert ask(book, "--forget", "three").out.strip() == "@three is forgotten."
    assert all(ask(book, f"@{name}").status == 1 for name in ("one", "two", "three"))


def test_entries_that_are_not_verified_are_not_said_to_be_unsigned(book: Path) -> None:
    """A superseded revision was signed once; of entries only the state is said."""
    said = ask(book, "entries where kind = kit").out
    assert "6 are not verified." in said and "no lead has signed" not in said
    csv = ask(book, "entries where kind = kit", "--csv")
    assert "6 are not verified." in csv.err and "no lead has signed" not in csv.err


def test_explain_shows_the_reading_and_the_sql(book: Path) -> None:
    out = ask(book, "speakers where role = tweeter or ohms < 4 and not fed by amp", "--explain").out
    assert "role = tweeter or (ohms < 4 and (not fed by amp))" in out
    assert "SELECT" in out and ":p1" in out


def test_words_lists_every_field() -> None:
    from kb.query.subjects import SUBJECTS

    out = loombook("words").out
    for subject in SUBJECTS:
        assert subject.name in out
        for field in subject.fields:
            assert field.name in out
            assert field.help.split()[-1] in out
    assert "…" not in out.replace("front-left … rear-right", "")  # nothing is cut off
    assert max(len(line) for line in out.splitlines()) <= 80
    document = json.loads(loombook("words", "pins", "--json").out)
    assert [field["key"] for field in document[0]["fields"]][:3] == ["vehicle", "unit", "connector"]
    assert loombook("words", "pinz").status == 2
    for typed, meant in (("tweeter", "speakers"), ("car", "vehicles"), ("amplifier", "entries")):
        error = loombook("words", typed).err
        assert f"Try: loombook words {meant}" in error.splitlines()
        assert loombook("words", meant).status == 0


@pytest.mark.parametrize(
    ("word", "told"),
    [
        ("colour", "speakers (plus wire, minus wire); pins (wire, base, stripe); leads (wire)"),
        ("radio", "speakers (fed by); pins (unit); connectors (unit)"),
        ("ohms", "speakers (ohms)"),
    ],
)
def test_words_says_where_a_field_or_a_value_is(word: str, told: str) -> None:
    error = loombook("words", word).err
    assert f"It is a field, or a value of one: {told}." in " ".join(error.split())


def test_words_tells_of_a_word_of_the_language_what_it_does() -> None:
    from tui.commands.words import GRAMMAR

    for word in ("where", "every", "not", "with", "first", "sorted by", "+", "unknown", "WITH"):
        ran = loombook("words", word)
        told = [said for said, _ in GRAMMAR if ran.out.find(said) >= 0]
        assert ran.status == 0 and 0 < len(told) < len(GRAMMAR), word
    assert list(json.loads(loombook("words", "between", "--json").out)) == ["in (A, B)"]
    assert loombook("words", "").status == 2 and "name a subject" in loombook("words", "").err


def test_words_lists_what_a_when_can_speak_of() -> None:
    from kb.plan.fact_names import FACTS

    out = loombook("words", "when").out
    for fact, help in FACTS.items():
        assert fact.replace("_", " ") in out
        assert help.split()[-1] in out
    assert json.loads(loombook("words", "when", "--json").out) == FACTS


def following(book: Path, *words: str, quoted: bool = False) -> list[str]:
    how = "next-quoted" if quoted else "next"
    ran = loombook("--db", book, "completion", how, "--", *words)
    assert (ran.status, ran.err) == (0, "")
    return [line.split("\t")[0] for line in ran.out.splitlines()]


def test_what_the_shell_is_told(book: Path) -> None:
    assert "ask" in following(book, "")
    assert following(book, "ask", "spea") == ["speakers"]
    assert following(book, "ask", "speakers of halden-tarn-24", quoted=True) == [
        "speakers of halden-tarn-24-concert10"
    ]
    assert following(book, "ask", "speakers", "where", "role", "=", "tw") == ["tweeter"]
    assert following(book, "runs", "halden-tarn-24") == ["halden-tarn-24-concert10"]
    assert following(book, "runs", "x", "--kit", "oku-b") == ["oku-b4", "oku-b6"]
    assert "--explain" in following(book, "ask", "--e")
    assert following(Path("/nowhere/book.db"), "ask", "vehicles where mak") == [
        "vehicles where make"
    ]
    assert following(Path("/nowhere/book.db"), "ask", "vehi") == ["vehicles"]


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_a_script_is_installed_by_one_command(shell: str, tmp_path: Path) -> None:
    ran = loombook("completion", "--install", SHELL=f"/bin/{shell}", HOME=str(tmp_path),
                   XDG_DATA_HOME="", XDG_CONFIG_HOME="")  # fmt: skip
    assert ran.status == 0
    (written,) = (path for path in tmp_path.rglob("*loombook*") if path.is_file())
    assert "loombook completion" in written.read_text()
    assert str(written) in ran.out


def test_the_bash_script_reads() -> None:
    script = loombook("completion", "bash").out
    done = subprocess.run(["bash", "-n"], input=script.encode(), capture_output=True, check=False)
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize(
    "command", [["ask", "vehicles"], ["completion", "next", "--", "ask", "sp"]]
)
def test_a_read_command_imports_neither_textual_nor_pydantic(
    book: Path, command: list[str]
) -> None:
    code = (
        "import sys; from tui.main import main; status = main(sys.argv[1:]);"
        "heavy = {'textual', 'pydantic', 'sqlite_utils', 'rapidfuzz', 'scipy'} & set(sys.modules);"
        "sys.exit(f'imported {heavy}' if heavy else status)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, "--db", str(book), *command],
        capture_output=True,
        env=environment(PYTHONPATH=str(ROOT)),
        check=False,
    )
    assert done.returncode == 0, done.stderr.decode()


def test_an_unknown_and_a_nothing_are_told_apart(book: Path) -> None:
    query = "pins show awg"
    table = ask(book, query).out
    rows = [row["awg"] for row in json.loads(ask(book, query, "--json").out)["rows"]]
    cells = [
        line[0] if line else "" for line in csv.reader(io.StringIO(ask(book, query, "--csv").out))
    ]
    assert rows.count("") == cells.count("none") == table.count("–") > 0
    assert (
        rows.count(None)
        == cells.count("")
        == sum(line.strip() == "?" for line in table.splitlines())
    )
    none = json.loads(ask(book, "count pins where awg = none", "--json").out)
    assert none["rows"] == [{"count": rows.count("")}]


def test_an_error_fits_a_narrow_terminal_and_the_caret_its_word(book: Path) -> None:
    query = f"speakers of {VEHICLE} with oku-b6 where rolle = tweeter and ohms = 4"
    for width in (30, 40, 60, 80):
        lines = loombook("--db", book, "ask", query, COLUMNS=str(width)).err.splitlines()
        assert all(len(line) <= width for line in lines if not line.startswith("Try: ")), width
        caret = next(number for number, line in enumerate(lines) if "^" in line)
        at = lines[caret].index("^")
        assert lines[caret - 1][at : at + lines[caret].count("^")] == "rolle"


def test_a_file_that_is_not_there_is_said_in_words(book: Path) -> None:
    ran = ask(book, "--file", "nofile.q")
    assert ran.status == 1
    assert (
        ran.err == "loombook: nofile.q cannot be read as a question: no such file or directory.\n"
    )


def test_all_that_is_written_shows_what_was_looked_for(book: Path) -> None:
    ran = ask(book, "vehicles where text ~ trim show id, text")
    lines = [line for line in ran.out.splitlines() if line.startswith(("halden", "torvane"))]
    assert lines and all("trim" in line for line in lines)
    assert "\ufffd" not in ran.out


def test_a_count_of_times_is_split_by_days(book: Path) -> None:
    entries = json.loads(ask(book, "entries", "--json").out)["rows"]
    days = json.loads(ask(book, "count entries by submitted", "--json").out)["rows"]
    assert sum(row["count"] for row in days) == len(entries)
    assert {row["submitted"] for row in days} == {row["submitted"][:10] for row in entries}


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("pins where wire = GNYE", "GN/YE, green with a yellow stripe, is here"),
        ("pins of quessel-marl-18-iso4 where wire = RD/TQ", ""),
        ("pins of quessel-marl-18-iso4 where wire = BK/GN", "base and stripe the other way round"),
    ],
)
def test_colours_that_people_write_for_one_another(book: Path, query: str, said: str) -> None:
    out = " ".join(ask(book, query).out.split())
    assert out.startswith("No rows.")
    assert said in out
    assert said or "other way round" not in out


def test_rows_of_a_verified_vehicle_name_the_kit_that_nobody_signed(tmp_path: Path) -> None:
    book = tmp_path / "book.db"
    shipped_book(book)
    query = f"speakers of {VEHICLE} with oku-b6 where left out"
    by_none = "all of it rests on revisions that no lead has signed."
    assert by_none in " ".join(ask(book, query).out.split())
    lena = ("--db", str(book), "--as", "lena")
    assert loombook(*lena, "people", "add", "lena", "--role", "lead").status == 0
    reason = ("--reason", "wiring diagram")
    assert loombook(*lena, "verify", f"vehicle/{VEHICLE}", *reason).status == 0
    said = " ".join(ask(book, query).out.split())
    assert "all of it rests on kit oku-b6, which no lead has signed." in said
    hidden = " ".join(ask(book, f"{query} show speaker").out.split())
    assert by_none in hidden  # no column tells the vehicle's own state
