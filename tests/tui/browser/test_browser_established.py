"""How a speaker's pins were established: where a part of them was measured, which part was not."""

from __future__ import annotations

import json
from pathlib import Path
from types import SimpleNamespace

import pytest

from kb.store.book import open_book
from kb.store.revisions import add_documents
from tests.tui.browser.driving import SIZES, Driver, drive

TARN = "halden-tarn-19-concert10"


def measured(book: Path, *pins: str) -> None:
    """Somebody submits a revision of the Tarn of which just these pins were measured."""
    with open_book(book).writing() as database:
        (text,) = database.execute("SELECT content FROM revision WHERE id = ?", (TARN,)).fetchone()
        content = json.loads(text)
        content["evidence"] = [{"of": list(pins), "method": "meter", "on": "2026-03-14"}]
        document = SimpleNamespace(kind="vehicle", id=TARN, content=content)
        add_documents(database, [document], author="nell")


@pytest.mark.parametrize("size", SIZES)
def test_the_pole_that_nobody_measured_is_named(book: Path, size: tuple[int, int]) -> None:
    measured(book, "R1.4", "A2.2", "A2.7")

    async def script(driver: Driver) -> list[str]:
        await driver.write(TARN)
        await driver.press("enter", "1")
        seen = []
        for speaker in ("quarter-l", "quarter-r", "sub"):
            driver.app.screen.query_one("#speakers").mark_key(speaker)  # type: ignore[attr-defined]
            await driver.press("enter")
            seen.append(" ".join(driver.text().split()))
            await driver.press("escape")
        return seen

    one_pole, none, one_coil = drive(book, script, size=size)
    assert "established measured in part, not measured: quarter-l-;" in one_pole
    assert "established not measured: take it as a claim" in none
    assert "not measured: sub.b+, sub.b-;" in one_coil
