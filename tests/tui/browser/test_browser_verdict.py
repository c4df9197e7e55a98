"""The line above a plan: the worst first, and no fault cut off half-way."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.tui.browser.driving import LARGE, SMALL, Driver, drive


def test_what_weighs_most_is_not_cut_off_by_long_faults(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.press("f4")
        driver.app.screen.query_one("#jobs").mark_key("sedge-1219")  # type: ignore[attr-defined]
        await driver.press("enter")
        above = " ".join(" ".join(driver.screen_lines()[:4]).split())
        assert "! 2 FAULTS" in above and "NOT VERIFIED" in above and "also 1 warning" in above

    drive(book, script, size=SMALL)


@pytest.mark.parametrize(
    ("size", "second"),
    [((60, 24), False), (SMALL, True), ((100, 24), True), (LARGE, True)],
)
def test_a_fault_above_the_plan_is_whole_or_counted(
    book: Path, size: tuple[int, int], second: bool
) -> None:
    async def script(driver: Driver) -> None:
        await driver.press("f4")
        driver.app.screen.query_one("#jobs").mark_key("sedge-1219")  # type: ignore[attr-defined]
        await driver.press("enter")
        lines = driver.screen_lines()
        end = next(n for n, line in enumerate(lines) if "THE JOB" in line)
        above = " ".join(" ".join(lines[1:end]).split())
        assert "with it the warning chimes: give it a channel;" in above
        assert above.endswith("they would be overdriven" if second else "1 more in the plan")

    drive(book, script, size=size)
