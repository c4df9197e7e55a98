from pathlib import Path
from typing import Any

import pytest

from kb.answers.papers import plan_job
from kb.plan.whole import WholePlan
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
