"""The kits for a vehicle in the lines that the chooser shows.

Promise: how many speakers a kit leaves out, how many of them nobody documented and what all its
parts together would leave are in every line at every width; only the kit's name gives way.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kb.answers.kits import KitFit
from tui.browser.text import shown
from tui.browser.widgets.entries import Cell, Entry, Heading, Item

HEADINGS = ("key", "kit", "speakers", "unknown", "with all parts")
LEAST_NAME = 10


def yields_of(entries: Sequence[Entry]) -> tuple[tuple[int, int], ...]:
    """Each column down to its short form, then the name."""
    items = [entry for entry in entries if isinstance(entry, Item)]

    def least(column: int) -> int:
        return max((item.cells[column].least for item in items), default=0)

    return (*((column, least(column)) for column in (4, 2, 3)), (1, LEAST_NAME))


def kit_entries(kits: Sequence[KitFit], total: int) -> Iterator[Entry]:
    """Kits that plug in first, each with how many speakers it leaves out."""
    fitting = [kit for kit in kits if kit.plugs_in]
    others = [kit for kit in kits if not kit.plugs_in]
    if fitting:
        yield Heading(shown(" KITS THAT PLUG IN ", "bold"))
        for number, kit in enumerate(fitting, 1):
            yield _fitting(kit, total, number)
    elif kits:
        yield Heading(shown(" NO KIT OF THIS BOOK PLUGS IN HERE ", "unknown"))
    else:
        yield Heading(shown(" THIS BOOK HAS NO KITS YET ", "unknown"))
    if others:
        yield Heading(shown(" do not plug in here", "faint"))
        for kit in others:
            yield Item(
                kit.id,
                (Cell(" "), Cell(_name(kit), "faint"), Cell(""), Cell(""), Cell("")),
                sentence=f"{_name(kit)} does not plug in here",
            )


def _name(kit: KitFit) -> str:
    return f"{kit.maker} {kit.name}"


def _fitting(kit: KitFit, total: int, number: int) -> Item:
    need = kit.left_out + kit.partial
    if need:
        what = Cell(f"leaves out {need} of {total}", "flag", short=f"✗ {need} of {total}")
    elif kit.unknown:
        known = f"none of {total} known left out"
        what = Cell(known, "unknown", short=f"✗ 0? of {total}")
    else:
        what = Cell(f"carries all {total}", "fine", short=f"✓ all {total}")
    if kit.reversed:
        what = Cell(
            f"{what.text}, {kit.reversed} reversed", what.role, f"{what.short} ⇄ {kit.reversed}"
        )
    unknown = Cell("")
    if kit.unknown:
        unknown = Cell(f"? {kit.unknown} unknown", "unknown", short=f"?{kit.unknown}")
    best = Cell("")
    if kit.at_best < need:
        left = str(kit.at_best) if kit.at_best else "none"
        best = Cell(f"{left} with all parts", "faint", short=f"all parts ✗ {kit.at_best}")
    said = ", ".join(str(cell.text) for cell in (what, unknown, best) if cell.text)
    return Item(
        kit.id,
        (Cell(str(number) if number < 10 else " ", "key"), Cell(_name(kit), "bold"),
         what, unknown, best),
        sentence=f"{number}: {_name(kit)}: {said.replace('? ', '')}",
    )  # fmt: skip
