"""Documents come in whole: TOML and JSON alike, several at once, every finding with its place."""

import datetime
import subprocess
import sys
from collections.abc import Callable

import pytest

from kb.documents.canonical import canonical_json, content_hash
from kb.documents.reading import Document, Source, read_documents
from tests.small_documents import (
    Content,
    as_json,
    as_toml,
    small_amplifier,
    small_job,
    small_kit,
    small_vehicle,
)

SMALL = [small_vehicle, small_kit, small_amplifier, small_job]


def read_one(data: bytes, name: str = "one.toml") -> Document:
    reading = read_documents([Source(name, data)])
    assert reading.findings == []
    [document] = reading.documents
    return document


@pytest.mark.parametrize("small", SMALL)
def test_toml_and_json_give_one_content_and_one_hash(small: Callable[[], Content]) -> None:
    content = small()
    toml = read_one(as_toml(content))
    json = read_one(as_json(content), "one.json")
    assert toml.content == json.content == content
    canonical = canonical_json(toml.content)
    again = read_one(canonical.encode(), "again.json")
    assert canonical_json(again.content) == canonical
    assert content_hash(canonical_json(json.content)) == content_hash(canonical)
    assert toml.kind == content["kind"]
    assert toml.id == content[toml.kind]["id"]


def test_ways_become_text_and_days_become_iso_text() -> None:
    content = small_vehicle()
    written = as_toml(content).replace(b'at = "3"', b"at = 3")
    written = written.replace(b'on = "2026-03-14"', b"on = 2026-03-14")
    assert b"at = 3," in written
    assert b"on = 2026-03-14" in written
    assert read_one(written).content == content
    kit = as_toml(small_kit()).replace(b'plus = "3"', b"plus = 3")
    assert read_one(kit).content == small_kit()


def test_text_stays_text() -> None:
    content = small_vehicle()
    content["connector"][0]["pins"][0]["at"] = "007"
    content["evidence"] = []
    kit = small_kit()
    kit["part"][0]["id"] = "1E5"
    reading = read_documents([Source("v.toml", as_toml(content)), Source("k.json", as_json(kit))])
    assert reading.errors == []
    assert reading.documents[0].content["connector"][0]["pins"][0]["at"] == "007"
    assert reading.documents[1].content["part"][0]["id"] == "1E5"


def test_what_is_absent_stays_absent_and_colours_stay_as_written() -> None:
    content = small_vehicle()
    content["connector"][0]["pins"][0]["wire"] = "gray/black"
    document = read_one(as_toml(content))
    assert document.content["connector"][0]["pins"][0]["wire"] == "gray/black"
    assert "note" not in document.content["vehicle"]
    assert "colours" not in document.content


def test_german_letters_count_only_where_the_file_says_so() -> None:
    content = small_vehicle()
    content["connector"][0]["pins"][0]["wire"] = "gr/sw"
    [finding] = read_documents([Source("v.toml", as_toml(content))]).findings
    assert "grey (GY) or green (GN)" in finding.what
    assert read_one(as_toml({"kind": "vehicle", "colours": "de", **content})).kind == "vehicle"


def test_all_findings_of_all_files_come_at_once() -> None:
    broken, other = small_vehicle(), small_kit()
    broken["speaker"][0]["role"] = "wofer"
    broken["connector"][0]["pins"][2]["carries"] = "subb.a+"
    broken["vehicle"]["sold_speakers"] = 9
    other["part"][0]["plugs"] = ["HT-21"]
    reading = read_documents(
        [
            Source("v.toml", as_toml(broken)),
            Source("good.toml", as_toml(small_job())),
            Source("k.json", as_json(other)),
            Source("bad.toml", b"kind = vehicle"),
        ]
    )
    assert [document.kind for document in reading.documents] == ["job"]
    assert [(found.source, found.level, found.table) for found in reading.findings] == [
        ("v.toml", "warning", "vehicle"),
        ("v.toml", "error", "speaker door-l"),
        ("v.toml", "error", "connector A1, pin 5"),
        ("v.toml", "warning", "connector A1, pin 15"),
        ("k.json", "error", "part main, lead A"),
        ("bad.toml", "error", "top of the file"),
    ]
    assert all(found.line for found in reading.findings)
    assert len(reading.errors) == 4
    assert len(reading.warnings) == 2


def test_a_finding_is_one_sentence_with_its_place() -> None:
    text = as_toml(small_vehicle()).replace(b"WH/RD", b"BL/RD")
    [finding] = read_documents([Source("v.toml", text)]).findings
    assert finding.sentence == (
        f"v.toml, line {finding.line}: connector A1, pin 3: wire: "
        '"BL" could be blue (BU) or black (BK); write BU or BK'
    )
    line = text.decode().split("\n")[(finding.line or 0) - 1]
    assert line[(finding.column or 0) - 1 :].startswith('wire = "BL/RD"')


def test_one_entry_in_two_files_is_refused() -> None:
    reading = read_documents(
        [Source("a.toml", as_toml(small_kit())), Source("b.json", as_json(small_kit()))]
    )
    [finding] = reading.findings
    assert (finding.source, finding.level) == ("b.json", "error")
    assert 'kit "ilex-k2" is also in "a.toml"' in finding.what


def test_the_format_is_told_from_the_name_or_the_text() -> None:
    kit = small_kit()
    for source in (
        Source("-", as_json(kit)),
        Source("-", as_toml(kit)),
        Source("kit.txt", as_json(kit)),
        Source("KIT.JSON", as_json(kit)),
        Source("kit.toml", as_json(kit), "json"),
        Source("kit.toml", b"\xef\xbb\xbf" + as_toml(kit).replace(b"\n", b"\r\n")),
    ):
        reading = read_documents([source])
        assert [document.content for document in reading.documents] == [kit], source.name


def test_columns_count_characters_and_not_bytes() -> None:
    text = 'kind = "kit"\n[kit]\n"ключ" = 1\nid = "k"\n'
    findings = read_documents([Source("k.toml", text.encode())]).findings
    unknown = next(found for found in findings if "unknown" in found.what)
    assert (unknown.line, unknown.column) == (3, 1)
    text = '{"kind": "kit", "kit": {"name": "ключ", "idd": 1}}'
    findings = read_documents([Source("k.json", text.encode())]).findings
    unknown = next(found for found in findings if "`idd`" in found.what)
    assert (unknown.line, unknown.column) == (1, text.index('"idd"') + 1)


@pytest.mark.parametrize(
    ("toml", "line"),
    [
        ("[[part]]\nid = 'a'\n[[part]]\nid = 'b'\nuse = 'x'\n", 5),
        ("part = [{ id = 'a' }, { id = 'b',\nuse = 'x' }]\n", None),
        ("part = [\n  { id = 'a' }, # one\n  # two\n  { id = 'b', use = 'x' },\n]\n", 4),
        ('[[part]]\nid = "a"\n[["part"]]\n"id" = "b"\n"u\\u0073e" = "x"\n', 5),
    ],
)
def test_lines_are_found_however_the_table_is_written(toml: str, line: int | None) -> None:
    head = toml if toml.startswith("part") else ""
    tail = "" if head else toml
    text = f'kind = "kit"\n{head}[kit]\nid = "k"\n{tail}'
    reading = read_documents([Source("k.toml", text.encode())])
    uses = [found for found in reading.findings if found.what.startswith('use: "x"')]
    if line is None:  # a line end inside braces is no TOML 1.0
        assert [found.line for found in reading.findings] == [2]
    else:
        before = 1 if head else 3
        assert [found.line for found in uses] == [line + before]


def test_canonical_text() -> None:
    content = {"b": 4.0, "a": [1.5, True, -0.0], "ö": datetime.date(2026, 3, 14), "c": {"y": "é"}}
    assert canonical_json(content) == '{"a":[1.5,true,0],"b":4,"c":{"y":"é"},"ö":"2026-03-14"}'
    # FIPS 180-4, SHA-256 of the three bytes "abc".
    assert content_hash("abc") == (
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    )
    with pytest.raises(ValueError, match="not JSON compliant"):
        canonical_json({"a": float("nan")})
    with pytest.raises(TypeError, match="cannot hold a set"):
        canonical_json({"a": {1}})


def test_plain_modules_load_no_heavy_library() -> None:
    """A read command reads colours, circuits and hashes without paying for validation."""
    program = (
        "import sys, kb.documents.colours, kb.documents.circuits, kb.documents.positions, "
        "kb.documents.canonical, kb.documents.years, kb.documents.vocabulary, kb.wire_sizes; "
        "print(sorted({name.partition('.')[0] for name in sys.modules} & "
        "{'pydantic', 'rapidfuzz', 'tree_sitter', 'lark', 'sqlite3', 'difflib'}))"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[]"


def test_a_clean_document_loads_no_syntax_tree() -> None:
    program = (
        "import sys; from kb.documents.reading import Source, read_documents; "
        "from tests.small_documents import as_toml, small_kit; "
        "assert not read_documents([Source('k', as_toml(small_kit()))]).findings; "
        "print('tree_sitter' in sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "False"
