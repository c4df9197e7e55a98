"""What comes from elsewhere is hostile: one bad file, named with why, and nothing is taken."""

import hashlib
import json
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from kb.documents.canonical import canonical_json
from kb.errors import Refused
from kb.exchange.incoming import read_batch
from kb.review.history import shop_names
from kb.review.queue import queue
from kb.store.book import Book
from tests.kb.exchange.shops import answers_of, bring, bytes_of, out, shop, take
from tests.kb.review.cases import CAR, KIT, measured_car

THERE = "shop-bbbbbbbb"
AT = "2026-01-01T00:00:00.000000+00:00"
REVISION = {
    "form": "revision-1",
    "kind": "kit",
    "id": "oku-z",
    "content": KIT,
    "author": "kai",
    "origin": THERE,
}
RECORD = {"form": "record-1", "act": "submit", "by": "kai", "origin": THERE, "at": AT}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with one sound entry in it."""
    north = shop(tmp_path / "north.db")
    bring(north, "tom", measured_car())
    return out(north, tmp_path / "shared")


@pytest.fixture
def book(tmp_path: Path) -> Book:
    south = shop(tmp_path / "south.db")
    bring(south, "ann", KIT)
    return south


def put(folder: Path, kind: str, data: bytes, name: str | None = None) -> str:
    """A file under the name of its own hash, unless told otherwise."""
    hash = hashlib.sha256(data).hexdigest()
    path = folder / kind / hash[:2] / f"{name or hash}.json"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)
    return hash


def form(folder: Path, kind: str, content: Any) -> str:
    return put(folder, kind, canonical_json(content).encode())


def refused(book: Book, folder: Path, why: str) -> str:
    """The whole folder is refused with this reason, and the book is as it was."""
    before = answers_of(book)
    data = book.path.read_bytes()
    with pytest.raises(Refused, match=why) as caught:
        take(book, folder)
    assert answers_of(book) == before
    assert book.path.read_bytes() == data
    return str(caught.value)


def test_the_sound_folder_is_taken(book: Book, folder: Path) -> None:
    take(book, folder)


def test_the_forged_forms_below_are_sound_but_for_their_one_fault(book: Book, folder: Path) -> None:
    hash = form(folder, "revisions", REVISION)
    form(folder, "records", RECORD | {"revision": hash})
    take(book, folder)


def test_bytes_that_are_not_what_the_name_says(book: Book, folder: Path) -> None:
    victim = next((folder / "revisions").rglob("*.json"))
    victim.write_bytes(victim.read_bytes().replace(b"door-l+", b"door-r+"))
    said = refused(book, folder, "not what its name says")
    assert victim.name in said


def test_a_file_cut_short(book: Book, folder: Path) -> None:
    victim = next((folder / "records").rglob("*.json"))
    victim.write_bytes(victim.read_bytes()[:-5])
    refused(book, folder, "not what its name says")


@pytest.mark.parametrize("name", ["notes", "A" * 64, "a" * 63, "a" * 64 + ".exe"])
def test_a_name_that_is_no_hash(book: Book, folder: Path, name: str) -> None:
    put(folder, "revisions", b"{}", name)
    refused(book, folder, "its name is not a hash")


def test_a_copy_by_a_sync_program_is_refused_and_its_own_files_are_passed_over(
    book: Book, folder: Path
) -> None:
    (folder / ".sync").mkdir()
    (folder / "revisions" / ".partial").write_bytes(b"half")
    (folder / "README.txt").write_text("how we share")
    take(book, folder)
    victim = next((folder / "records").rglob("*.json"))
    victim.with_name(f"{victim.stem} (conflicted copy).json").write_bytes(victim.read_bytes())
    refused(book, folder, "a copy by a sync program")


def test_a_file_in_another_ones_folder(book: Book, folder: Path) -> None:
    victim = next((folder / "records").rglob("*.json"))
    other = folder / "records" / ("00" if victim.parent.name != "00" else "01")
    other.mkdir(exist_ok=True)
    victim.rename(other / victim.name)
    refused(book, folder, f"belongs into records/{victim.stem[:2]}")


def test_links_are_not_followed(book: Book, folder: Path, tmp_path: Path) -> None:
    victim = next((folder / "records").rglob("*.json"))
    elsewhere = tmp_path / "elsewhere.json"
    victim.rename(elsewhere)
    victim.symlink_to(elsewhere)
    refused(book, folder, "links are not followed")


def test_nor_are_links_to_folders(book: Book, folder: Path, tmp_path: Path) -> None:
    (folder / "records").rename(tmp_path / "moved")
    (folder / "records").symlink_to(tmp_path / "moved")
    refused(book, folder, "links are not followed")


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_a_pipe_does_not_hang(book: Book, folder: Path) -> None:
    victim = next((folder / "records").rglob("*.json"))
    victim.unlink()
    os.mkfifo(victim)
    refused(book, folder, "no plain file")


def test_huge_files(book: Book, folder: Path) -> None:
    put(folder, "records", b" " * 20_000)
    refused(book, folder, "larger than 16,384 bytes")


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"\xff\xfe",
        b"[" * 10_000,
        b'{"form":' + b"[" * 200 + b"]" * 200 + b"}",
        b'{"form":1,"form":"record-1"}',
        b'{"form":NaN}',
        b'{"form":"\\ud800"}',
        b"9" * 5_000,
        b'{ "form": "record-1" }',
        b"null",
    ],
    ids=lambda data: data[:20].decode("latin-1"),
)
def test_what_is_no_canonical_json(book: Book, folder: Path, data: bytes) -> None:
    put(folder, "records", data)
    refused(book, folder, "JSON|canonical|too deeply|no record")


Change = Callable[[dict[str, Any]], dict[str, Any]]


def with_content(**head: Any) -> dict[str, Any]:
    return REVISION | {"content": KIT | {"kit": KIT["kit"] | head}}


@pytest.mark.parametrize(
    ("revision", "why"),
    [
        (REVISION | {"form": "revision-2"}, "newer Loombook"),
        (REVISION | {"id": "oku-y"}, "its content is kit oku-z"),
        (REVISION | {"kind": "vehicle"}, "its content is kit oku-z"),
        (REVISION | {"origin": "north"}, "`origin` is 'north'"),
        (REVISION | {"author": " kai"}, "`author`"),
        (REVISION | {"author": "k\u202eai"}, "`author`"),
        (REVISION | {"author": 7}, "`author`"),
        (REVISION | {"parent": "../../etc/passwd"}, "`parent`"),
        (REVISION | {"path": "/etc/passwd"}, "the key 'path' is not known"),
        ({k: v for k, v in REVISION.items() if k != "author"}, "`author` is missing"),
        (REVISION | {"content": []}, "no document"),
        (REVISION | {"content": KIT | {"part": 3}}, "part"),
        (with_content(makr="Oku"), "makr"),
        (with_content(name="\x1b[2Jgone"), "invisible|control|U\\+001B"),
        (with_content(line_outputs=-1), "line_outputs"),
    ],
)
def test_a_revision_with_one_fault(
    book: Book, folder: Path, revision: dict[str, Any], why: str
) -> None:
    hash = form(folder, "revisions", revision)
    form(folder, "records", RECORD | {"revision": hash})
    said = refused(book, folder, why)
    assert hash in said and "\x1b" not in said


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"act": "draft"}, "no act that travels"),
        ({"act": "role", "person": "kai", "value": "lead"}, "no act that travels|not known"),
        ({"at": "2026-01-01"}, "`at`"),
        ({"at": "2026-13-01T00:00:00.000000+00:00"}, "no moment"),
        ({"at": "9999-01-01T00:00:00.000000+00:00"}, "still to come"),
        ({"by": "kim"}, "only the author may"),
        ({"act": "withdraw", "by": "kim"}, "only the author may"),
        ({"origin": "shop-cccccccc"}, "only the author may"),
        ({"alone": True}, "`alone`"),
        ({"act": "verify", "alone": 1}, "`alone`"),
        ({"reason": ""}, "`reason`"),
        ({"act": "return", "reason": "x\u0000y"}, "`reason`"),
        ({"batch": "batch-../x"}, "`batch`"),
        ({"revision": "a" * 64}, "not there yet"),
        ({"value": "North"}, "do not fit"),
    ],
)
def test_a_record_with_one_fault(
    book: Book, folder: Path, change: dict[str, Any], why: str
) -> None:
    hash = form(folder, "revisions", REVISION)
    form(folder, "records", RECORD | {"revision": hash})
    bad = form(folder, "records", RECORD | {"revision": hash} | change)
    assert bad in refused(book, folder, why)


def test_a_revision_without_its_submission_is_not_there_yet(book: Book, folder: Path) -> None:
    form(folder, "revisions", REVISION)
    refused(book, folder, "submission is not in the folder yet")


def test_a_missing_folder_and_an_empty_one(book: Book, tmp_path: Path) -> None:
    refused(book, tmp_path / "nowhere", "There is no folder")
    (tmp_path / "empty").mkdir()
    refused(book, tmp_path / "empty", "holds nothing shared")


def test_reading_alone_changes_nothing(book: Book, folder: Path) -> None:
    before = book.path.read_bytes()
    with book.reading() as connection:
        batch = read_batch(connection, folder)
    assert [(new.kind, new.id) for new in batch.revisions] == [("vehicle", CAR)]
    assert book.path.read_bytes() == before


def test_what_bears_our_own_origin_is_told(book: Book, folder: Path) -> None:
    with book.reading() as connection:
        here = connection.execute("SELECT value FROM book").fetchone()[0]
    hash = form(folder, "revisions", REVISION | {"origin": here})
    form(folder, "records", RECORD | {"origin": here, "revision": hash})
    forged = RECORD | {"origin": here, "revision": hash, "act": "verify", "by": "lena"}
    form(folder, "records", forged)
    name = {"form": "record-1", "act": "name", "by": "lena", "origin": here, "at": AT}
    form(folder, "records", name | {"value": "Somebody Else"})
    with book.reading() as connection:
        assert read_batch(connection, folder).in_our_name == 4
    take(book, folder)
    with book.reading() as connection:
        state = connection.execute("SELECT state FROM entry WHERE hash = ?", (hash,)).fetchone()[0]
        (waiting,) = queue(connection, only={hash})
        names = shop_names(connection)
    assert state == "submitted"
    assert ("in our name", 4) in [(risk.risk, risk.points) for risk in waiting.risks]
    assert names == {}


def test_share_out_writes_through_no_link(book: Book, tmp_path: Path) -> None:
    target = tmp_path / "target"
    target.mkdir()
    (tmp_path / "f").mkdir()
    (tmp_path / "f" / "revisions").symlink_to(target)
    with pytest.raises(Refused, match="is a link"):
        out(book, tmp_path / "f")
    assert list(target.iterdir()) == []


def test_share_out_mends_what_is_damaged(book: Book, tmp_path: Path) -> None:
    folder = out(book, tmp_path / "f")
    before = bytes_of(folder)
    victim = next((folder / "revisions").rglob("*.json"))
    victim.write_bytes(b"")
    assert bytes_of(out(book, folder)) == before


def test_every_file_is_the_canonical_text_that_its_name_is_the_hash_of(folder: Path) -> None:
    for name, data in bytes_of(folder).items():
        assert hashlib.sha256(data).hexdigest() == Path(name).stem
        plain = json.dumps(
            json.loads(data), ensure_ascii=False, sort_keys=True, separators=(",", ":")
        )
        assert plain.encode() == data
