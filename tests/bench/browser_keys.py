"""Medians of two times, as JSON: from a key to the drawn list, and of the bare query of its text.

python -m tests.bench.browser_keys BOOK
"""

from __future__ import annotations

import json
import statistics
import sys
import time
from pathlib import Path

from kb.query.as_typed import vehicles_as_typed
from kb.store.book import open_book
from tests.tui.browser.driving import LARGE, Driver, drive

TEXTS = ("tarn", "halden tarn 22", "estate concert", "van", "ma") * 3


async def typed(driver: Driver) -> list[float]:
    """Seconds from each letter of the texts until its list is drawn."""
    from tui.browser.screens.find import Find

    screen = driver.app.screen
    assert isinstance(screen, Find)
    drawn: list[float] = []
    show = screen._show

    def shown(found: object, text: str = "") -> None:
        show(found, text)  # type: ignore[arg-type]  # handed on as it came
        screen.call_after_refresh(lambda: drawn.append(time.perf_counter()))

    screen._show = shown  # type: ignore[method-assign,assignment]  # watched
    times = []
    for text in TEXTS:
        await driver.press("escape")
        for letter in text:
            drawn.clear()
            start = time.perf_counter()
            await driver.pilot.press("space" if letter == " " else letter)
            while not drawn:
                await driver.pilot.pause(0.001)
            times.append(drawn[0] - start)
    return times


def bare(book: Path) -> list[float]:
    """Seconds of the query alone, for the same beginnings."""
    times = []
    with open_book(book).reading() as connection:
        for text in TEXTS:
            for end in range(1, len(text) + 1):
                start = time.perf_counter()
                vehicles_as_typed(connection, text[:end])
                times.append(time.perf_counter() - start)
    return times


if __name__ == "__main__":
    book = Path(sys.argv[1])
    medians = [statistics.median(drive(book, typed, size=LARGE)), statistics.median(bare(book))]
    sys.stdout.write(json.dumps(medians))
