"""The shipped book, made once and copied for each test that asks for it."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from types import SimpleNamespace

import pytest

from kb.review.people import add_person
from kb.shipped import shipped_book
from kb.store.book import open_book
from kb.store.revisions import add_documents
from tests.tui.browser.reviewing import POLES, TARN


@pytest.fixture(scope="session")
def shipped(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("shipped") / "book.db"
    shipped_book(path)
    return path


@pytest.fixture(autouse=True)
def state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """What is not stored yet is kept here, and a person's own settings are left out."""
    folder = tmp_path / "state"
    monkeypatch.setenv("LOOMBOOK_STATE", str(folder))
    monkeypatch.setenv("LOOMBOOK_BROWSE", str(tmp_path / "no-settings.toml"))
    return folder


@pytest.fixture
def book(shipped: Path, tmp_path: Path) -> Path:
    path = tmp_path / "book.db"
    shutil.copy(shipped, path)
    return path


@pytest.fixture
def reviewed(book: Path) -> Path:
    """A book with a lead, and a fully measured revision of the Tarn by a technician."""
    with open_book(book).writing() as database:
        add_person(database, "mira", "lead", by="mira")
        (text,) = database.execute("SELECT content FROM revision WHERE id = ?", (TARN,)).fetchone()
        content = json.loads(text)
        content["connector"][0]["pins"][3]["wire"] = "GY/GN"
        content["evidence"] = [{"of": POLES, "method": "meter", "on": "2026-03-14"}]
        document = SimpleNamespace(kind="vehicle", id=TARN, content=content)
        add_documents(database, [document], author="tom")
    return book
