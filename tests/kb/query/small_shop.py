"""Two vehicles, and a kit that plugs into the first alone; and copies that say otherwise."""

from __future__ import annotations

import sqlite3
from pathlib import Path
from typing import Any

from kb.documents.findings import Source
from kb.documents.reading import read_documents
from kb.query.run import Answer
from kb.store.book import Book, open_book
from kb.store.revisions import add_documents

VEHICLE = """
kind = "vehicle"
[vehicle]
id = "{id}"
make = "Halden"
model = "{model}"
years = "2003-2023"
audio = "plain"
{wmi}
[[unit]]
id = "radio"
kind = "radio"
[[unit]]
id = "amp"
kind = "amplifier"
[[speaker]]
id = "door"
role = "midbass"
ohms = 4
duties = ["chime"]
[[speaker]]
id = "sub"
role = "subwoofer"
duties = []
[[speaker]]
id = "centre"
role = "centre"
[[connector]]
id = "A1"
unit = "amp"
plug = "{plug}"
ways = 12
pins = [
  {{ at = 1, carries = "door+", wire = "WH", awg = "2/0" }},
  {{ at = 2, carries = "door-", wire = "BK", awg = "1/0" }},
  {{ at = 3, carries = "sub.a+", wire = "RD", awg = 14 }},
  {{ at = 4, carries = "sub.a-", wire = "GN", mm2 = 2.5 }},
  {{ at = 5, carries = "sub.b+", wire = "TQ" }},
  {{ at = 6, carries = "sub.b-", wire = "YE" }},
  {{ at = 7 }},
]
"""
KIT = """
kind = "kit"
[kit]
id = "oku-one"
maker = "Oku"
name = "One bypass"
takes_out = ["amplifier"]
line_outputs = 2
output_volts = [4.0]
[[part]]
id = "main"
use = "always"
plugs = ["HT-20"]
leads = [ {{ lead = "A", plug = "HT-20", plus = 1, minus = 2, meant_for = "front left" }} ]
[[part]]
id = "extra"
use = "choice"
plugs = ["HT-20"]
leads = [ {{ lead = "B", plug = "HT-20", plus = 3, minus = 4 }} ]
"""


def stored(path: Path, *texts: str) -> Book:
    sources = [Source(f"{n}.toml", text.encode(), "toml") for n, text in enumerate(texts)]
    reading = read_documents(sources)
    assert [f for f in reading.findings if f.level == "error"] == []
    book = open_book(path)
    with book.writing() as database:
        add_documents(database, reading.documents, author="mira")
    return book


def changed(book: Book, path: Path, *statements: str) -> sqlite3.Connection:
    """A copy of the book whose projection says otherwise; the truth is not what is tested here."""
    copy = sqlite3.connect(path)
    with book.reading() as opened:
        opened.backup(copy)
    copy.row_factory = sqlite3.Row
    for statement in statements:
        copy.execute(statement)
    return copy


def column(answer: Answer, key: str) -> list[Any]:
    return [row[key] for row in answer.rows]


def notes(answer: Answer) -> str:
    return " ".join(answer.notes)
