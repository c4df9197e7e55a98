"""Makes the README's pictures of the browser from the real app on the shipped book, as SVG.

python -m tests.tui.browser.readme_pictures FOLDER
"""

from __future__ import annotations

import re
import sys
import tempfile
from pathlib import Path

from kb.shipped import shipped_book
from tests.tui.browser.driving import Driver, drive

SIZE = (110, 32)
KEYS = {
    "find": ("t", "a", "r", "n"),
    "vehicle": ("enter", "enter"),
    "speaker": ("enter",),
    "plan": ("f4", "down", "down", "down", "enter"),
}
# The fonts that an export would fetch from elsewhere; the reader's own will do.
FONTS = re.compile(r"@font-face\s*\{.*?\}", re.DOTALL)


async def pictures(driver: Driver) -> dict[str, str]:
    """Each picture by its name."""
    made = {}
    for name, keys in KEYS.items():
        await driver.press(*keys)
        made[name] = FONTS.sub("", driver.app.export_screenshot(title="loombook browse"))
    return made


def main(folder: Path) -> None:
    """Write the pictures."""
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as kept:
        book = Path(kept) / "shop.db"
        shipped_book(book)
        for name, svg in drive(book, pictures, size=SIZE).items():
            (folder / f"browse-{name}.svg").write_text(svg, "utf-8")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
