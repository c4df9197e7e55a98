"""How fast the browser answers: the first screen, and a key to the refreshed list.

LOOMBOOK_BENCH_VEHICLES sets how many vehicles the large book holds (50,000 unless said).
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from pathlib import Path

import pytest

from kb.query.as_typed import vehicles_as_typed
from kb.store.book import open_book
from tests.bench.books import make_book
from tests.tui.browser.driving import Driver, drive

MANY = int(os.environ.get("LOOMBOOK_BENCH_VEHICLES", "50000"))
FEW = 500
FRAMES = 2 / 60  # seconds: two frames of a screen at 60 Hz
MOST_START = 1.5  # times a blank app of the same toolkit
ROUNDS = 7

BLANK = """
import sys
from textual.app import App
from textual.widgets import Input

class Blank(App):
    def compose(self):
        yield Input()

    def on_ready(self):
        self.exit()

Blank().run(headless=True, size=(80, 24))
"""
OURS = """
import sys
from pathlib import Path
from tui.browser.app import Browser
from tui.browser.screens.find import Find
from tui.browser.shelf import Shelf

show = Find._show
def shown(self, found, text=""):
    show(self, found, text)
    self.call_after_refresh(self.app.exit)
Find._show = shown
Browser(Shelf(Path(sys.argv[1]), "mira"), theme="dark", colours="truecolor").run(
    headless=True, size=(80, 24)
)
"""


def large_book(vehicles: int, factory: pytest.TempPathFactory) -> Path:
    """A book of that many vehicles, made once for all tests here."""
    path = factory.getbasetemp() / f"browser-{vehicles}.db"
    if not path.exists():
        make_book(path, vehicles)
    return path


def report(told: str, ratio: float) -> None:
    """A figure for whoever runs the benches with -s."""
    sys.stdout.write(f"\n{told}, ratio {ratio:.2f}\n")


def seconds_of(script: str, *arguments: str) -> float:
    start = time.perf_counter()
    subprocess.run([sys.executable, "-c", script, *arguments], check=True)
    return time.perf_counter() - start


@pytest.mark.bench
@pytest.mark.parametrize("vehicles", [FEW, MANY])
def test_first_usable_screen_against_a_blank_app(
    vehicles: int, tmp_path_factory: pytest.TempPathFactory
) -> None:
    book = large_book(vehicles, tmp_path_factory)
    pairs = [(seconds_of(BLANK), seconds_of(OURS, str(book))) for _ in range(ROUNDS)]
    blank, ours = (min(times) for times in zip(*pairs, strict=True))
    report(f"first screen, {vehicles} vehicles: {ours:.3f} s, blank {blank:.3f} s", ours / blank)
    assert ours / blank <= MOST_START


@pytest.mark.bench
def test_a_key_to_the_refreshed_list(tmp_path_factory: pytest.TempPathFactory) -> None:
    book = large_book(MANY, tmp_path_factory)
    words = ["tarn", "halden tarn 22", "estate concert", "van", "ma"]

    async def script(driver: Driver) -> list[float]:
        from tui.browser.screens.find import Find

        screen = driver.app.screen
        assert isinstance(screen, Find)
        done: list[float] = []
        show = screen._show

        def shown(found: object, text: str = "") -> None:
            show(found, text)  # type: ignore[arg-type]
            screen.call_after_refresh(lambda: done.append(time.perf_counter()))

        screen._show = shown  # type: ignore[method-assign,assignment]
        times = []
        for text in words * 3:
            await driver.press("escape")
            for letter in text:
                done.clear()
                start = time.perf_counter()
                await driver.pilot.press("space" if letter == " " else letter)
                while not done:
                    await driver.pilot.pause(0.001)
                times.append(done[0] - start)
        return times

    ours = statistics.median(drive(book, script, size=(120, 40)))
    bare = []
    with open_book(book).reading() as connection:
        for text in words * 3:
            for end in range(1, len(text) + 1):
                start = time.perf_counter()
                vehicles_as_typed(connection, text[:end])
                bare.append(time.perf_counter() - start)
    query = statistics.median(bare)
    told = f"key to list, {MANY} vehicles: {ours * 1e3:.1f} ms, bare query {query * 1e3:.1f} ms"
    report(told, ours / query)
    assert ours <= FRAMES
