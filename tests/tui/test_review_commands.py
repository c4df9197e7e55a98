"""The whole circle as processes: technician, lead and second shop, by what they type and read."""

import json
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from seed_data import documents
from tests.command import Ran, assert_refused, loombook
from tests.kb.review.cases import ALL_PINS, CAR, KIT, car, measured_car, meter

TARN = "halden-tarn-19-concert10"
Shop = Callable[..., Ran]


def shop_at(path: Path) -> Shop:
    """A shop's command: `shop("tom", "queue")` runs it as tom."""

    def run(who: str, *arguments: str | Path, **more: Any) -> Ran:
        return loombook("--db", path, "--as", who, *arguments, **more)

    return run


def done(ran: Ran) -> str:
    assert ran.status == 0, ran
    assert all(len(line) <= 80 for line in ran.out.splitlines() if " " in line.strip()[:60]), (
        ran.out
    )
    return ran.out


def shown(ran: Ran) -> Any:
    assert ran.status == 0, ran
    assert ran.err == ""
    return json.loads(ran.out)


def file(folder: Path, content: dict[str, Any]) -> Path:
    path = folder / f"{content[content['kind']]['id']}.json"
    path.write_text(json.dumps(content))
    return path


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    """Lead lena, technician tom, the car and the kit, brought in by tom."""
    run = shop_at(tmp_path / "shop.db")
    done(run("lena", "people", "add", "lena", "--role", "lead"))
    done(run("lena", "people", "add", "tom", "--role", "tech"))
    done(run("tom", "add", file(tmp_path, measured_car()), file(tmp_path, KIT)))
    return run


def says_how_it_was_signed(north: Callable[..., Ran], entry: str) -> None:
    """Who verified it and why on less; its author is another person."""
    title = done(north("tom", "review", entry))
    assert "✓ verified by lena, " in title and "the centre stays on the radio" in title
    assert "  submitted by tom, " in title
    face = done(north("tom", "face", TARN, "A1"))
    assert "verified, on less than a measurement of every feed" in " ".join(face.split())


def test_the_circle(tmp_path: Path) -> None:
    """On the shipped data: a job's readings, a lead's signature, another shop, and back."""
    north = shop_at(tmp_path / "north.db")
    files = []
    for document in documents():
        path = tmp_path / document.name
        path.write_bytes(document.read_bytes())
        files.append(path)
    done(north("nina", "people", "add", "lena", "--role", "lead"))
    assert north("nina", "add", *files).status == 0

    sheet = tmp_path / "sheet.csv"
    assert "20 pins" in done(north("tom", "readings", "tarn-1187", "-o", sheet))
    sheet.write_text(sheet.read_text().replace(",,,,,halden", ",ok,,,,halden"))
    text = sheet.read_text().replace("A1,8,(not documented),,ok,", "A1,8,(not documented),,,")
    for way in ("9", "18", "19"):
        text = text.replace(
            f"A1,{way},(not documented),,ok,", f"A1,{way},(not documented),,differs,nothing"
        )
    sheet.write_text(text)
    brought = done(
        north("tom", "readings", "tarn-1187", "--from", sheet, "--method", "meter",
              "--note", "engine off")
    )  # fmt: skip
    assert "is submitted with the readings" in brought

    (mine,) = shown(north("lena", "queue", "--where", "author = tom", "--json"))["queue"]
    assert (mine["id"], mine["disputes"]) == (TARN, 0)
    review = done(north("lena", "review", f"{TARN}@{mine['revision'][:12]}"))
    assert "not measured: centre+, centre-" in review
    assert "A1.9 added: carries nothing [meter]" in review

    refused = north("lena", "verify", f"{TARN}@{mine['revision'][:12]}")
    assert_refused(refused, "Not measured", "centre+, centre-", "--reason")
    signed = done(
        north("lena", "verify", f"{TARN}@{mine['revision'][:12]}", "--reason",
              "the centre stays on the radio")
    )  # fmt: skip
    assert signed.startswith(f"✓ vehicle {TARN}@{mine['revision'][:12]} by tom is verified.")
    answer = shown(north("tom", "runs", TARN, "--kit", "oku-b6", "--json"))
    assert answer["vehicle"] == TARN
    says_how_it_was_signed(north, f"{TARN}@{mine['revision'][:12]}")

    shared = tmp_path / "shared"
    done(north("lena", "shop", "Northside Audio"))
    done(north("lena", "share", "out", shared))
    south = shop_at(tmp_path / "south.db")
    assert "Nothing was stored" in done(south("kai", "share", "in", shared, "--dry-run"))
    assert not (tmp_path / "south.db").exists()
    done(south("kai", "share", "in", shared))
    history = done(south("kai", "history", TARN))
    assert "verified by lena at Northside Audio (shop-" in history
    assert "informs and changes nothing here" in history
    (there,) = [
        one
        for one in shown(south("kai", "queue", "--json"))["queue"]
        if one["revision"] == mine["revision"]
    ]
    assert there["state"] == "submitted"

    content = tomllib.loads((tmp_path / f"{TARN}.toml").read_text())
    content["connector"][1]["pins"][0]["wire"] = "BU/RD"
    done(south("kai", "add", file(tmp_path, content)))
    done(south("kai", "share", "out", shared))
    done(north("lena", "share", "in", shared))
    foreign = [
        one for one in shown(north("lena", "queue", "--json"))["queue"] if one["author"] == "kai"
    ]
    assert {risk["risk"] for risk in foreign[0]["risks"]} >= {"disputed", "other shop"}
    assert "A1.3" in done(north("lena", "review", f"{TARN}@{foreign[0]['revision'][:12]}"))
    for run in (north, south):
        assert done(run("lena", "audit")).startswith("✓")
        assert done(run("lena", "doctor")).count("✓") == 3


def test_who_acts_may_be_said_anywhere(shop: Shop, tmp_path: Path) -> None:
    done(shop("tom", "people", "add", "ann", "--role", "tech", "--as", "lena"))
    other = tmp_path / "other.db"
    done(shop("tom", "people", "add", "zoe", "--role", "lead", "--db", other))
    assert shown(shop_at(other)("zoe", "people", "--json"))["people"][0]["name"] == "zoe"
    done(shop("tom", "share", "out", tmp_path / "f", "--as", "lena"))


def test_verify_return_and_withdraw_say_what_they_did(shop: Shop, tmp_path: Path) -> None:
    signed = shown(shop("lena", "verify", CAR, "--json"))
    assert (signed["state"], signed["alone"], signed["unmeasured"]) == ("verified", False, [])
    later = car({"1": {"wire": "BU"}}, [meter(ALL_PINS, "tone")])
    done(shop("tom", "add", file(tmp_path, later)))
    back = shown(shop("lena", "return", CAR, "--why", "check A1.1", "--json"))
    assert (back["state"], back["why"]) == ("returned", "check A1.1")
    assert shown(shop("tom", "withdraw", "oku-z", "--json"))["withdrawn"][0]["id"] == "oku-z"
    history = shown(shop("tom", "history", CAR, "--json"))
    assert [(one["state"], one["answers"]) for one in history["revisions"]] == [
        ("verified", True),
        ("returned", False),
    ]
    assert [act["act"] for act in history["revisions"][1]["acts"]] == ["submit", "return"]


@pytest.mark.parametrize(
    ("who", "arguments", "words"),
    [
        ("tom", ("verify", CAR), ("only a lead verifies: lena",)),
        ("tom", ("return", CAR, "--why", "x"), ("only a lead returns",)),
        ("tom", ("people", "add", "ann", "--role", "lead"), ("only a lead lists people",)),
        ("lena", ("withdraw", CAR), ("is by tom, and only its author",)),
        ("lena", ("verify", "vant-oro-21"), ("nearest is vant-oro-20",)),
        ("lena", ("people", "add", "tom", "--role", "tech"), ("already",)),
        ("lena", ("share", "in", "/nowhere/at/all"), ("There is no folder",)),
        ("tom", ("readings", "oro-1"), ("no job 'oro-1'",)),
        ("tom", ("shop", "Ours"), ("only a lead names the shop",)),
    ],
)
def test_refusals(shop: Shop, who: str, arguments: tuple[str, ...], words: tuple[str, ...]) -> None:
    before = shown(shop("lena", "queue", "--json"))
    assert_refused(shop(who, *arguments), *words)
    assert shown(shop("lena", "queue", "--json")) == before


@pytest.mark.parametrize(
    "arguments",
    [
        ("return", CAR),
        ("people", "add", "ann"),
        ("people", "add", "ann", "--role", "boss"),
        ("share", "sideways", "x"),
        ("verify",),
        ("readings", "x", "--from", "a", "--ask"),
        ("queue", "--where", "colour = x"),
    ],
)
def test_usage(shop: Shop, arguments: tuple[str, ...]) -> None:
    ran = shop("lena", *arguments)
    assert ran.status == 2 and ran.out == "" and "Traceback" not in ran.err


def test_a_shop_of_one_and_every_answer_says_so(tmp_path: Path) -> None:
    one = shop_at(tmp_path / "one.db")
    done(one("lena", "people", "add", "lena", "--role", "lead"))
    done(one("lena", "add", file(tmp_path, measured_car()), file(tmp_path, KIT)))
    assert_refused(one("lena", "verify", CAR), "never verifies their own", "--alone does it")
    assert "every answer says so" in done(one("lena", "verify", CAR, "--alone"))
    assert "alone" in done(one("lena", "runs", CAR, "--kit", "oku-z"))
    assert "verified, alone by lena" in done(one("lena", "history", CAR))


def test_backup_is_a_book_and_never_overwrites(shop: Shop, tmp_path: Path) -> None:
    copy = tmp_path / "copy.db"
    head = shown(shop("tom", "backup", copy, "--json"))["head"]
    assert shown(shop("tom", "audit", "--json"))["head"] == head
    assert shown(shop_at(copy)("tom", "queue", "--json")) == shown(shop("tom", "queue", "--json"))
    before = copy.read_bytes()
    assert_refused(shop("tom", "backup", copy), "is there already")
    assert copy.read_bytes() == before
    assert not [path for path in tmp_path.iterdir() if path.name.endswith(".part")]


def test_doctor_and_audit_fail_loudly(shop: Shop, tmp_path: Path) -> None:
    import sqlite3

    connection = sqlite3.connect(tmp_path / "shop.db")
    connection.execute("UPDATE pin SET wire = 'BK' WHERE at = '1'")
    connection.commit()
    ran = shop("lena", "doctor")
    assert_refused(ran, "projection: pin lacks 1 rows and has 1 too many", "--rebuild")
    assert done(shop("lena", "doctor", "--rebuild")).count("✓") == 3
    connection.execute("DROP TRIGGER a_lead_reviews")
    connection.commit()
    connection.close()
    assert_refused(shop("lena", "audit"), "the rule 'a_lead_reviews' of the file is missing")
    assert shown_with_status(shop("lena", "audit", "--json"), 1)["ok"] is False
    assert shown_with_status(shop("lena", "doctor", "--json"), 1)["ok"] is False


def shown_with_status(ran: Ran, status: int) -> Any:
    assert ran.status == status, ran
    return json.loads(ran.out)


def test_a_table_comes_in_dry_unless_told(shop: Shop, tmp_path: Path) -> None:
    table = tmp_path / "a1.csv"
    table.write_text("cavity,function,color\n6,ground,BN\n1,door-l+,white/red\n")
    arguments = ("intake", table, "--vehicle", CAR, "--connector", "A1")
    dry = done(shop("tom", *arguments))
    assert "A1.6 added: carries ground" in dry and "Nothing was stored" in dry
    assert len(shown(shop("tom", "history", CAR, "--json"))["revisions"]) == 1
    batch = shown(shop("tom", *arguments, "--store", "--json"))["batch"]
    assert len(shown(shop("tom", "history", CAR, "--json"))["revisions"]) == 2
    assert "is withdrawn" in done(shop("tom", "withdraw", batch))
    table.write_text("cavity,function,color\n6,ground,BL\n")
    ran = shop("tom", *arguments, "--json")
    assert_refused(ran, "1 row to mend", "row 2", "could be blue")


def test_a_size_out_of_a_table_is_not_metered(shop: Shop, tmp_path: Path) -> None:
    """The car was metered before anybody wrote how thick the wires are."""
    assert "was written after" not in done(shop("tom", "face", CAR, "A1"))
    table = tmp_path / "a1.csv"
    table.write_text("pin,circuit,size\n1,door-l+,1.5 mm2\n2,door-l-,1.5 mm2\n")
    told = done(shop("tom", "intake", table, "--vehicle", CAR, "--connector", "A1", "--store"))
    assert told.count("size (not written) → 1.5 mm2 [no evidence]") == 2
    face = " ".join(done(shop("tom", "face", CAR, "A1", "--newest")).split())
    assert "! colour or size of ways 1-2 was written after the circuit was established" in face
    pins = shown(shop("tom", "face", CAR, "A1", "--newest", "--json"))["pins"]
    assert [(pin["at"], pin["established_by"]) for pin in pins if pin["wire_written_later"]] == [
        ("1", ["meter"]),
        ("2", ["meter"]),
    ]


def test_readings_asked_in_the_terminal(shop: Shop, tmp_path: Path) -> None:
    job = {
        "kind": "job",
        "job": {
            "id": "oro-1",
            "vehicle": CAR,
            "kit": "oku-z",
            "amplifier": "vant-1",
            "amplifier_place": "boot",
            "battery_place": "bay",
        },
    }
    done(shop("tom", "add", file(tmp_path, job)))
    typed = b"ok\nBL\nGY\nback\nBU/RD\n\n"
    ran = shop("tom", "readings", "oro-1", "--ask", "--method", "tone", stdin=typed)
    assert ran.status == 0, ran
    assert "could be blue (BU) or black (BK)" in ran.out
    review = shown(shop("lena", "review", CAR, "--json"))
    assert [(one["id"], one["fields"][0]["after"]) for one in review["changed"]] == [
        ("A1.2", "BU/RD")
    ]
    assert [(line["method"], line["of"], line["fallen"]) for line in review["evidence"]] == [
        ("meter", ["A1.1", "A1.2", "A1.3", "A1.4"], ["A1.2"]),
        ("tone", ["A1.1", "A1.2"], []),
    ]


def test_hostile_text_never_reaches_the_terminal(shop: Shop, tmp_path: Path) -> None:
    ran = shop("lena", "return", CAR, "--why", "look\x1b[2J\x9b1mhere\u202e")
    assert ran.status == 0
    for out in (ran.out, shop("lena", "history", CAR).out, shop("lena", "queue").out):
        assert not {"\x1b", "\x9b", "\u202e"} & set(out)


def test_a_table_that_is_safe_to_open_in_a_spreadsheet(shop: Shop, tmp_path: Path) -> None:
    kit = KIT | {"kit": KIT["kit"] | {"id": "oku-y", "name": "=1+1"}}
    done(shop("tom", "add", file(tmp_path, kit)))
    question = ("ask", "kits where name ~ 1", "--csv")
    assert ",=1+1," in done(shop("tom", *question))
    assert ",'=1+1," in done(shop("tom", *question, "--spreadsheet-safe"))


@pytest.mark.parametrize(
    ("condition", "words"),
    [
        ("author = to", ("None of", "that wait", "Some hold it as a part: `author ~ to`")),
        ("verified", ("None of",)),
    ],
)
def test_a_queue_of_which_nothing_is_asked_for_is_not_empty(
    shop: Shop, condition: str, words: tuple[str, ...]
) -> None:
    assert shown(shop("lena", "queue", "--json"))["queue"]
    ran = shop("lena", "queue", "--where", condition)
    assert ran.status == 0 and all(word in " ".join(ran.out.split()) for word in words)
    assert "Nothing waits" not in ran.out
    assert shown(shop("lena", "queue", "--where", condition, "--json"))["queue"] == []


@pytest.mark.parametrize(
    ("condition", "words"),
    [
        ("athor = tom", ("Entries have no field `athor`.", "\n  athor = tom\n  ^^^^^\n")),
        ("author == tom", ("Try: author = tom\n",)),
        ("author = 'tom", ("Try: author = 'tom'\n",)),
        (" ", ("The condition is empty.",)),
        ("author = tom show id", ("Only a condition narrows the queue.",)),
    ],
)
def test_a_mistake_is_shown_in_the_condition_as_it_was_given(
    shop: Shop, condition: str, words: tuple[str, ...]
) -> None:
    ran = shop("lena", "queue", "--where", condition)
    assert ran.status == 2 and ran.out == ""
    assert all(word in ran.err for word in words), ran.err
    assert "entries where" not in ran.err
