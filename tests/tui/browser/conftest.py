"""The shipped book, made once and copied for each test that asks for it."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from kb.shipped import shipped_book


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
