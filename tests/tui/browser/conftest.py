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


@pytest.fixture
def book(shipped: Path, tmp_path: Path) -> Path:
    path = tmp_path / "book.db"
    shutil.copy(shipped, path)
    return path
