"""`plan` as a process: what shouts first, its JSON, its refusals; jobs stored and in files."""

import json
import re
from pathlib import Path

import pytest

from kb.shipped import shipped_book
from kb.store.book import Book
from tests.command import ROOT, assert_refused, loombook

OPEN = ROOT / "tests/kb/plan/tarn-open.toml"


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Book:
    return shipped_book(tmp_path_factory.mktemp("book") / "book.db")


def test_page_of_the_example(book: Book) -> None:
    ran = loombook("--db", book.path, "plan", OPEN)
    assert ran.status == 0, ran
    assert all(len(line) <= 80 for line in ran.out.splitlines())
    order = [
        "1 FAULT: PUT RIGHT FIRST",
        "centre would go silent and with it the warning chimes",
        "quarter-l: part radio-28, lead J",
        "centre: a tap at R1: + 11 BU/YE blue/yellow, - 25 BU blue",
        "► chosen",
        "all direct",
        "dash-facia, 22 min",
        "door-fl + sail-l, parallel",
        "2.4 m of 6 AWG",
        "lead E of main",
        "NOT VERIFIED",
    ]
    places = [ran.out.index(words) for words in order]
    assert places == sorted(places)
    assert "Order of work" not in ran.out and "Battery negative off, and held" not in ran.out


def test_a_fault_is_still_seen_where_the_page_ends(book: Book) -> None:
    """The page is longer than a screen of 24 lines: what shouts first has gone by."""
    ran = loombook("--db", book.path, "plan", "sedge-1219")
    end = " ".join(" ".join(ran.out.splitlines()[-8:]).split())
    assert "✗ 2 faults to put right first: centre would go silent" in end
    assert "they would be overdriven" in end
    assert "to put right" not in loombook("--db", book.path, "plan", "tarn-1187").out


def test_steps_and_whys_on_request(book: Book) -> None:
    ran = loombook("--db", book.path, "plan", "tarn-1187", "--steps", "--why")
    assert "31 MIN OF PANELS, 2.8 M OF WIRE, NO TAP, NO NEW RUN" in ran.out
    assert "Battery negative off, and held away from its post" in ran.out
    assert "Not on the new amplifier" in ran.out and "centre: stays on its factory" in ran.out
    assert "The job's note" in ran.out
    assert re.search(r"V = √\(P × R\)", ran.out)
    assert "33 CFR 183.425" in ran.out


def test_json(book: Book) -> None:
    ran = loombook("--db", book.path, "plan", OPEN, "--json")
    found = json.loads(ran.out)
    assert (found["reach"]["minutes"], found["reach"]["metres"]) == (31, 4.2)
    assert found["supply"]["metres"] == 2.4
    direct = loombook("--db", book.path, "plan", OPEN, "--json", "--prefer", "run")
    assert json.loads(direct.out)["reach"]["minutes"] == 72
    pinned = loombook("--db", book.path, "plan", OPEN, "--json", "--pin", "centre=run")
    assert json.loads(pinned.out)["reach"]["runs"] == 1
    wide = loombook("--db", book.path, "plan", "tarn-1187", "--json", "--material", "cca")
    assert json.loads(wide.out)["supply"]["material"] == "copper-clad aluminium"


def test_refusals(book: Book, tmp_path: Path) -> None:
    run = ("--db", book.path, "plan")
    assert_refused(loombook(*run, "tarn-1178"), "There is no job", "tarn-1187")
    assert_refused(loombook(*run, OPEN, "--without", "radio-82"), "radio-28")
    assert_refused(loombook(*run, OPEN, "--pin", "centre=walk"), "SPEAKER=WAY")
    two = ("--pin", "centre=run", "--pin", "centre=tap")
    assert_refused(loombook(*run, OPEN, *two), "centre", "two ways, run and tap")
    assert_refused(loombook(*run, OPEN, "--drop", "0"), "volts", status=2)
    assert_refused(loombook(*run, tmp_path / "none.toml"), "cannot be read")
    broken = tmp_path / "broken.toml"
    broken.write_text('kind = "job"\n[job]\nid = "x"\nvehicel = "y"\n')
    assert_refused(loombook(*run, broken), "broken.toml, line 4", "vehicle")
    kit = ROOT / "seed_data/kits/oku-b6.toml"
    assert_refused(loombook(*run, kit), "holds a kit, not a job")


def test_runs_tells_costs_from_a_place(book: Book) -> None:
    run = ("--db", book.path, "runs", "halden-tarn-19-concert10", "--kit", "oku-b6", "--from")
    ran = loombook(*run, "seat-front-left", "--json")
    speakers = {s["speaker"]: s for s in json.loads(ran.out)["speakers"]}
    tap = next(fix for fix in speakers["centre"]["fixes"] if fix["way"] == "tap")
    assert tap["panels"] == ["console-side-left", "dash-facia"]
    assert (tap["minutes"], tap["metres"]) == (28, 1.4)
    assert_refused(loombook(*run, "seat-front-middle"), "seat-front-left")


@pytest.mark.parametrize("width", range(40, 100, 5))
def test_a_headline_breaks_between_its_phrases(width: int) -> None:
    from tui.drawing.plan_page import _by_phrase

    said = "44 MIN OF PANELS, 30.3 M OF WIRE, ONE TAP, NO NEW RUN, AND 3 SPEAKERS TO METER FIRST"
    lines = _by_phrase(said, width)
    assert " ".join(lines) == said
    assert all(line.endswith(",") for line in lines[:-1])
    assert max(len(line) for line in lines) <= width
