"""Strings that a stranger may have written, in every field that takes text, on every screen."""

from __future__ import annotations

import json
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from textual.content import Content

from kb.review.people import add_person
from kb.store.book import open_book
from kb.store.revisions import add_documents
from tests.tui.browser.driving import Driver, drive

HOSTILE = {
    "markup": "[/oops] [bold red]x[/] [@click=app.quit]y[/]",
    "escape": "\x1b[2J\x1b[31mred\x1b]0;title\x07",
    "clipboard": "\x1b]52;c;aGVsbG8=\x07",
    "c1": "\x9b31m\x9d52;c;eA==\x9c",
    "bidirectional": "\u202egnirts\u202c \u2067x\u2069",
    "long": "ab " * 3334,
    "combining": "Z" + "\u0301\u0302\u0303" * 200,
    "wide": "双倍宽度的字" * 20 + "👩‍🔧",
    "newline": "one\ntwo\r\nthree\tfour",
    "zero width": "a\u200bb\u2060c\ufeffd",
}
UNFIT = {chr(c) for c in (*range(0x20), *range(0x7F, 0xA0))} | set("\u202a\u202b\u202c\u202d\u202e")
TARN, KIT = "halden-tarn-19-concert10", "oku-b6"


def hostile_book(book: Path, text: str) -> None:
    """Every free text of the Tarn and of its kit becomes `text`, stored past all checks."""
    with open_book(book).writing() as database:
        add_person(database, "mira", "lead", by="mira")
        documents = []
        for id in (TARN, KIT):
            (content,) = database.execute(
                "SELECT content FROM revision WHERE id = ?", (id,)
            ).fetchone()
            documents.append(poison(json.loads(content), id, text))
        add_documents(database, documents, author="tom")


def poison(content: dict[str, Any], id: str, text: str) -> SimpleNamespace:
    head = content[content["kind"]]
    for field in ("make", "model", "body", "audio", "maker", "name"):
        if field in head:
            head[field] = text
    for speaker in content.get("speaker", ()):
        speaker |= {"place": text + speaker["place"], "keep": text}
    for part in content.get("part", ()):
        for lead in part["leads"]:
            lead["meant_for"] = text
    for connector in content.get("connector", ()):
        connector["plug"] = connector["plug"] if connector["id"] != "R1" else text
    for route in content.get("route", ()):
        route["note"] = text
    if content["kind"] == "vehicle":
        content["evidence"] = [{"of": ["R1.4"], "method": "meter", "note": text}]
    return SimpleNamespace(kind=content["kind"], id=id, content=content)


def seen_clean(driver: Driver) -> None:
    """Nothing on the screen that a terminal would obey, and every line as wide as the screen."""
    width = driver.app.size.width
    for strip in driver.app.screen._compositor.render_strips():
        text = "".join(segment.text for segment in strip)
        assert not UNFIT & set(text), repr(text)
        assert strip.cell_length == width


@pytest.mark.parametrize("name", HOSTILE)
def test_no_screen_obeys_what_a_stranger_wrote(
    book: Path, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    hostile_book(book, HOSTILE[name])
    parse = Content.from_markup

    def refuse(markup: object, **variables: object) -> Content:
        assert not isinstance(markup, str) or not {"oops", "Z\u0301"} & set(markup.split()), markup
        return parse(markup, **variables)  # type: ignore[arg-type]

    monkeypatch.setattr(Content, "from_markup", refuse)

    async def script(driver: Driver) -> None:
        seen_clean(driver)
        await driver.write("concert10")
        seen_clean(driver)
        await driver.press("enter")
        for _ in range(4):
            seen_clean(driver)
            await driver.press("enter")
        await driver.press("right", "s", "y", "c", "Y")
        seen_clean(driver)
        await driver.press("escape", "question_mark")
        seen_clean(driver)
        await driver.press("escape", "f3")
        seen_clean(driver)
        await driver.press("enter")
        seen_clean(driver)
        await driver.press("right")
        seen_clean(driver)
        await driver.press("f4", "enter")
        seen_clean(driver)
        await driver.press("escape", "end", "enter")
        seen_clean(driver)
        await driver.press("enter")
        seen_clean(driver)
        await driver.press("escape", "escape", "r")
        seen_clean(driver)
        await driver.press("d")
        seen_clean(driver)
        await driver.press("escape", "f2", "escape", "escape")
        await driver.write(f"speakers of {TARN}")
        seen_clean(driver)
        await driver.press("escape")
        await driver.write("concert10")
        await driver.press("enter", "e")
        for _ in range(8):
            seen_clean(driver)
            await driver.press("f6")
        await driver.press("escape", "f5")
        seen_clean(driver)

    drive(book, script)


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_text_typed_into_the_field(book: Path, name: str) -> None:
    async def script(driver: Driver) -> None:
        field = driver.app.screen.query_one("#field")
        for text in (HOSTILE[name], "speakers where place = " + HOSTILE[name]):
            field.value = text  # type: ignore[attr-defined]
            await driver.settle()
            seen_clean(driver)

    drive(book, script)
