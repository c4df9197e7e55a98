"""The queue is there at once: the jobs in it are planned afterwards, and nobody waits for that."""

from __future__ import annotations

import threading
from pathlib import Path
from typing import Any

import pytest

from kb.answers import papers
from tests.tui.browser.driving import LARGE, Driver, drive, looks
from tui.browser.screens.review import Review


def test_the_queue_is_there_before_its_jobs_are_planned(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    planned, may_plan = threading.Event(), threading.Event()
    plan_job = papers.plan_job

    def slow(*given: Any, **more: Any) -> Any:
        planned.set()
        assert may_plan.wait(20)
        return plan_job(*given, **more)

    monkeypatch.setattr(papers, "plan_job", slow)

    async def script(driver: Driver) -> None:
        await driver.pilot.press("f3")
        while not planned.is_set():
            await driver.pilot.pause(0.02)
        looks(driver, "waiting for a lead", "halden-tarn-19-concert10@")
        assert "its plan has a fault" not in driver.text()
        await driver.pilot.press("down")
        marked = next(line for line in driver.screen_lines() if "▸" in line)
        may_plan.set()
        await driver.settle()
        looks(driver, "its plan has a fault")
        assert "its plan is not made" not in driver.text()
        assert marked in driver.screen_lines()  # the mark stays where it was put
        await driver.press("enter")
        assert isinstance(driver.app.screen, Review)
        await driver.press("escape")
        looks(driver, "its plan has a fault")

    drive(book, script, size=LARGE)
