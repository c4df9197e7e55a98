from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from kb.answers.papers import plan_job
from kb.plan.whole import WholePlan
from kb.shipped import shipped_book
from tests.books import book_of
from tests.kb.plan.small_car import AMPLIFIER, KIT, Planned, car


@pytest.fixture
def planned(tmp_path: Path) -> Planned:
    def plan(the_job: dict[str, Any], vehicle: Any = None, kit: Any = None) -> WholePlan:
        papers = [vehicle or car(), kit or KIT, AMPLIFIER]
        name = f"{len(list(tmp_path.iterdir()))}.db"
        with book_of(tmp_path / name, papers).reading() as connection:
            return plan_job(connection, the_job)

    return plan


@pytest.fixture(scope="module")
def connection(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    """The shipped book, open for reading."""
    book = shipped_book(tmp_path_factory.mktemp("book") / "book.db")
    with book.reading() as opened:
        yield opened
