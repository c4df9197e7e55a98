"""`add` as a process: bad input of every kind gets a clear error and stores nothing."""

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from kb.store.book import open_book
from tests.command import ROOT, assert_refused, environment, let_others_in, loombook
from tests.small_documents import as_json, as_toml, small_amplifier, small_kit, small_vehicle


def write(path: Path, data: bytes | str) -> Path:
    path.write_bytes(data.encode() if isinstance(data, str) else data)
    return path


def test_add_stores_and_says_so(tmp_path: Path) -> None:
    book = tmp_path / "new" / "book.db"
    car = write(tmp_path / "car.toml", as_toml(small_vehicle()))
    ran = loombook("--db", book, "add", car)
    assert ran.status == 0, ran
    assert ran.out.startswith("vehicle oster-fell-20: stored as submitted (")
    again = loombook("--db", book, "add", car, "--json")
    (stored,) = json.loads(again.out)["stored"]
    assert stored["new"] is False and stored["state"] == "submitted"


def test_a_file_that_takes_back_what_another_wrote_says_so(tmp_path: Path) -> None:
    """Two work on copies of one file: the second knows nothing of what the first one changed."""
    book = tmp_path / "book.db"
    for author, years, audio in (
        ("tom", "2020-2022", "hall"), ("lena", "2020-2023", "hall"), ("tess", "2020-2022", "plain"),
    ):  # fmt: skip
        car = write(tmp_path / f"{author}.toml", as_toml(small_vehicle(years=years, audio=audio)))
        ran = loombook("--db", book, "--as", author, "add", car)
        assert ran.status == 0, ran
        said = " ".join(ran.err.split())
        assert ("takes back what" in said) == (author == "tess"), ran
    assert "by lena, submitted, says of vehicle years" in said
    review = loombook("--db", book, "review", "oster-fell-20")
    assert "WOULD TAKE BACK" in review.out and "years 2020-2023 → 2020-2022" in review.out


def test_standard_input_and_json(tmp_path: Path) -> None:
    data = as_json(small_kit())
    ran = loombook("--db", tmp_path / "b.db", "add", "-", "--json", stdin=data)
    assert ran.status == 0, ran
    assert [entry["id"] for entry in json.loads(ran.out)["stored"]] == ["ilex-k2"]


def test_all_or_none_and_all_findings_at_once(tmp_path: Path) -> None:
    good = write(tmp_path / "good.toml", as_toml(small_vehicle()))
    one = small_kit()
    one["kit"]["colour"] = "red"
    two = small_amplifier()
    two["amplifier"]["class"] = "Z"
    bad_kit = write(tmp_path / "one.toml", as_toml(one))
    bad_amplifier = write(tmp_path / "two.json", as_json(two))
    ran = loombook("--db", tmp_path / "b.db", "add", good, bad_kit, bad_amplifier)
    assert_refused(ran, "nothing was stored", "2 mistakes", "one.toml", "two.json", "line")
    assert not (tmp_path / "b.db").exists()


HOSTILE = {
    "empty": b"",
    "not-utf-8": b'kind = "vehicle"\nname = "caf\xe9"\n',
    "syntax": b'kind = "vehicle\n',
    "unknown-kind": b'kind = "vehicel"\n',
    "no-kind": b'[vehicle]\nid = "x"\n',
    "nesting-toml": b"x = " + b"[" * 50_000 + b"]" * 50_000,
    "nesting-json": b"[" * 100_000,
    "control": as_toml(small_vehicle(make="Hal\x1b[2Jden")),
    "bidirectional": as_toml(small_vehicle(make="Hal\u202eden")),
    "nul": b"\x00" * 4096,
}


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_files_are_refused(tmp_path: Path, name: str) -> None:
    file = write(tmp_path / f"{name}.toml", HOSTILE[name])
    ran = loombook("--db", tmp_path / "b.db", "add", file, timeout=60)
    assert_refused(ran, "nothing was stored", f"{name}.toml")
    assert len(ran.err) < 20_000
    assert not (tmp_path / "b.db").exists()


def test_markup_is_ordinary_text(tmp_path: Path) -> None:
    car = write(tmp_path / "car.json", as_json(small_vehicle(note="[/oops] [red]x[/red]")))
    assert loombook("--db", tmp_path / "b.db", "add", car).status == 0


def test_a_file_of_200_megabytes_is_refused_without_reading_it(tmp_path: Path) -> None:
    big = tmp_path / "big.toml"
    with big.open("wb") as file:
        file.truncate(200_000_000)
    ran = loombook("--db", tmp_path / "b.db", "add", big, timeout=20)
    assert_refused(ran, "big.toml: the file is larger than 8 MB")


def test_100_000_pins_are_refused(tmp_path: Path) -> None:
    car = small_vehicle()
    car["connector"][0]["pins"] = [{"at": str(n), "wire": "WH"} for n in range(100_000)]
    big = write(tmp_path / "pins.json", as_json(car))
    assert_refused(loombook("--db", tmp_path / "b.db", "add", big, timeout=60), "pins.json")


def test_files_that_cannot_be_read_are_findings_among_the_others(tmp_path: Path) -> None:
    bad = small_kit()
    bad["kit"]["colour"] = "red"
    pipe = tmp_path / "pipe.toml"
    os.mkfifo(pipe)  # with nobody at its other end: opening it would wait for ever
    good = write(tmp_path / "good.toml", as_toml(small_vehicle()))
    wrong = write(tmp_path / "wrong.toml", as_toml(bad))
    missing = tmp_path / "missing.toml"
    ran = loombook(
        "--db", tmp_path / "b.db", "add", missing, good, pipe, tmp_path, wrong, timeout=20
    )
    assert_refused(
        ran,
        "nothing was stored: 4 mistakes to mend",
        f"{missing}: cannot be read: No such file or directory; name a file",
        f"{pipe}: cannot be read: it is no ordinary file",
        f"{tmp_path}: cannot be read: it is a folder",
        "wrong.toml, line",
    )
    assert not (tmp_path / "b.db").exists()


def test_how_many_documents_are_sound(tmp_path: Path) -> None:
    car = write(tmp_path / "car.toml", as_toml(small_vehicle()))
    kit = write(tmp_path / "kit.toml", as_toml(small_kit()))
    book = tmp_path / "b.db"
    one = loombook("--db", book, "add", "--check", car)
    assert one.out == "The document is sound; it was not stored, as asked.\n"
    two = loombook("--db", book, "add", "--check", car, kit)
    assert two.out == "2 documents are sound; none was stored, as asked.\n"
    assert not book.exists()


@pytest.mark.parametrize("name", ["missing.toml", "."])
def test_a_file_that_cannot_be_read(tmp_path: Path, name: str) -> None:
    ran = loombook("--db", tmp_path / "b.db", "add", tmp_path / name)
    assert_refused(ran, "cannot be read")


def test_a_read_only_book(tmp_path: Path) -> None:
    """In a child without the powers of root, who may write to a read-only file."""
    car = write(tmp_path / "car.toml", as_toml(small_vehicle()))
    kit = write(tmp_path / "kit.toml", as_toml(small_kit()))
    book = tmp_path / "b.db"
    assert loombook("--db", book, "add", car).status == 0
    let_others_in(tmp_path)
    book.chmod(0o444)
    # One add of the same kind first: nobody else may read the interpreter's own modules.
    first = ["--db", str(tmp_path / "other.db"), "--as", "tess", "add", str(kit)]
    code = (
        "import os, sys, tui.main\n"
        f"assert tui.main.main({first!r}) == 0\n"
        "os.getuid() or os.setuid(65534)\n"
        f"sys.exit(tui.main.main({['--db', str(book), *first[2:]]!r}))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, env=environment(), cwd=ROOT, check=False
    )
    assert done.returncode == 1, done
    assert b"is read-only here; nothing was changed" in done.stderr, done


KILLED_AT = [0.02 * step for step in range(1, 16)]


def test_a_kill_at_any_moment_leaves_the_old_book_or_the_new(tmp_path: Path) -> None:
    """Real processes, killed with SIGKILL at moments spread over the whole of an `add`."""
    book = tmp_path / "book.db"
    first = write(tmp_path / "first.json", as_json(small_vehicle()))
    assert loombook("--db", book, "add", first).status == 0
    kits = [write(tmp_path / f"kit-{n}.json", as_json(small_kit(id=f"kit-{n}"))) for n in range(60)]
    held = 1
    ends = set()
    for round_, after in enumerate(KILLED_AT):
        for n, file in enumerate(kits):
            write(file, as_json(small_kit(id=f"kit-{round_}-{n}")))
        process = subprocess.Popen(
            [sys.executable, "-m", "tui", "--db", str(book), "add", *map(str, kits)],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            cwd=ROOT,
            env=environment(),
        )
        time.sleep(after * 2)
        process.send_signal(signal.SIGKILL)
        process.wait()
        with open_book(book).reading() as connection:
            assert connection.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
            assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
            (now,) = connection.execute("SELECT count(*) FROM revision").fetchone()
            (records,) = connection.execute(
                "SELECT count(DISTINCT revision) FROM record WHERE revision IS NOT NULL"
            ).fetchone()
            (entries,) = connection.execute("SELECT count(*) FROM entry").fetchone()
        assert now in (held, held + len(kits)), "a part of the batch was stored"
        assert now == records == entries
        ends.add(now == held)
        held = now
    assert True in ends, "no kill came before the end: the moments prove nothing"
