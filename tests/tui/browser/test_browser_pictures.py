"""Every screen at two sizes, dark, light and without colour, against pictures that were approved.

LOOMBOOK_PICTURES=new writes them anew; `cat tests/tui/browser/pictures/…` shows one. What differs
from run to run (hashes, times) is masked; what is compared is every letter, colour and style.
"""

from __future__ import annotations

import json
import os
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from types import SimpleNamespace

import pytest

from kb.review.people import add_person
from kb.store.book import open_book
from kb.store.revisions import add_documents
from tests.tui.browser.driving import LARGE, SMALL, Driver, drive

PICTURES = Path(__file__).parent / "pictures"
NEW = os.environ.get("LOOMBOOK_PICTURES") == "new"
MODES: dict[str, dict[str, object]] = {
    "dark": {"theme": "dark"},
    "light": {"theme": "light"},
    "bare": {"environment": {"NO_COLOR": "1"}},
}
MASKS = (
    (re.compile(r"(?<![0-9a-z])[0-9a-f]{12}(?![0-9a-z])"), "#" * 12),
    (re.compile(r"shop-[0-9a-f]{8}"), "shop-" + "#" * 8),
    (re.compile(r"20[0-9]{2}-[0-9]{2}-[0-9]{2} [0-9]{2}:[0-9]{2}"), "YYYY-MM-DD hh:mm"),
    (re.compile(r"(?<![0-9-])20(?:2[6-9]|[3-9][0-9])-[0-9]{2}-[0-9]{2}"), "YYYY-MM-DD"),
)
TARN = "halden-tarn-19-concert10"


@pytest.fixture
def pictured(book: Path) -> Path:
    """The shipped book with a lead, and a technician's measured revision that waits."""
    with open_book(book).writing() as database:
        add_person(database, "mira", "lead", by="mira")
        (text,) = database.execute("SELECT content FROM revision WHERE id = ?", (TARN,)).fetchone()
        content = json.loads(text)
        content["connector"][0]["pins"][3]["wire"] = "GY/GN"
        content["evidence"] = [
            {"of": ["A1", "A2"], "method": "meter", "on": "2024-03-14", "note": "engine off"}
        ]
        add_documents(
            database, [SimpleNamespace(kind="vehicle", id=TARN, content=content)], author="tom"
        )
    return book


async def tour(driver: Driver) -> dict[str, str]:
    """Every screen once."""
    seen: dict[str, str] = {}

    def keep(name: str) -> None:
        seen[name] = masked(driver.picture())

    keep("find")
    await driver.write("tarn 22")
    keep("find-words")
    await driver.press("enter")
    keep("vehicle-kits")
    await driver.press("enter")
    keep("vehicle")
    await driver.press("p")
    keep("vehicle-parts")
    await driver.press("escape", "enter")
    keep("speaker")
    await driver.press("s", "right")
    keep("speaker-other-side")
    await driver.press("escape", "question_mark")
    keep("help")
    await driver.press("escape", "f2", "escape")
    await driver.write("speakers of halden-tarn-24-concert10 with oku-b6 where not carried")
    keep("find-question")
    await driver.press("escape")
    await driver.write("speakers where fed by ")
    keep("find-unfinished")
    await driver.press("f3")
    keep("queue")
    rows = driver.app.screen.query_one("#waiting")
    key = next(i.key for i in rows.items if i.cells[2].text == "by tom")  # type: ignore[attr-defined]
    rows.mark_key(key)  # type: ignore[attr-defined]
    await driver.press("enter")
    keep("review")
    await driver.press("r")
    keep("review-return")
    await driver.press("escape")
    await tour_of_work(driver, keep)
    return seen


async def tour_of_work(driver: Driver, keep: Callable[[str], None]) -> None:
    """Jobs, their plans and readings, and new entries."""
    await driver.press("f4")
    keep("jobs")
    driver.app.screen.query_one("#jobs").mark_key("tarn-1187")  # type: ignore[attr-defined]
    await driver.press("enter")
    keep("plan")
    await driver.press("enter")
    keep("plan-amplifier")
    await driver.press("escape", "escape", "r", "enter", "enter", "d")
    await driver.write("BU/GN")
    await driver.press("enter")
    keep("readings")
    await driver.press("f5")
    keep("entries")
    await driver.press("enter")
    await driver.write("norrad-pell-20")
    await driver.press("enter")
    keep("grid")
    await driver.press("f2", "escape")
    await driver.write("tarn")
    await driver.press("enter", "e", "f6", "f6", "f6", "f6")
    keep("grid-pins")


def masked(picture: str) -> str:
    for pattern, mask in MASKS:
        picture = pattern.sub(mask, picture)
    return picture


def cases() -> Iterator[tuple[tuple[int, int], str]]:
    for size in (SMALL, LARGE):
        for mode in MODES:
            yield size, mode


@pytest.mark.parametrize(
    ("size", "mode"), cases(), ids=lambda v: v if isinstance(v, str) else f"{v[0]}x{v[1]}"
)
def test_every_screen_looks_as_it_was_approved(
    pictured: Path, size: tuple[int, int], mode: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    if mode == "bare":
        monkeypatch.setenv("NO_COLOR", "1")
    seen = drive(pictured, tour, size=size, **MODES[mode])  # type: ignore[arg-type]
    differ = []
    for name, picture in seen.items():
        path = PICTURES / f"{name}-{size[0]}x{size[1]}-{mode}.ansi"
        if NEW:
            path.parent.mkdir(exist_ok=True)
            path.write_text(picture, "utf-8")
        elif not path.exists() or path.read_text("utf-8") != picture:
            differ.append(name)
    assert not differ, f"look at them, then LOOMBOOK_PICTURES=new keeps them: {differ}"


def test_no_colour_is_sent_where_none_is_wanted() -> None:
    colour = re.compile(r"\x1b\[[0-9;]*(?:3[0-7]|4[0-7]|9[0-7]|10[0-7]|38;|48;)[0-9;]*m")
    bare = sorted(PICTURES.glob("*-bare.ansi"))
    assert bare
    for path in bare:
        assert not colour.search(path.read_text("utf-8")), path.name
