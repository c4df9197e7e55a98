"""The kits for a vehicle in the lines that the chooser shows.

Promise: how many speakers a kit leaves out, how many it holds in part, of how many nobody can tell
and what all its parts together would leave are in every line at every width, by the words of the
answers or by their marks; none is said to be without an unknown beside it. Only the name gives way.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kb.answers.kits import KitFit
from tui.browser.text import shown
from tui.browser.widgets.entries import Cell, Entry, Heading, Item
from tui.drawing.runs_page import MARKS

HEADINGS = ("key", "kit", "speakers", "unknown", "with all parts")
LEAST_NAME = 7


def yields_of(entries: Sequence[Entry]) -> tuple[tuple[int, int], ...]:
    """Each column down to its short form, then the name."""
    items = [entry for entry in entries if isinstance(entry, Item)]

    def least(column: int) -> int:
        return max((item.cells[column].least for item in items), default=0)

    return (*((column, least(column)) for column in (4, 3, 2)), (1, LEAST_NAME))


def kit_entries(kits: Sequence[KitFit], total: int) -> Iterator[Entry]:
    """Kits that plug in first, each with how many speakers it leaves without a lead."""
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
    what, best = _what(kit, total), _at_best(kit)
    unknown = Cell("")
    if kit.unknown:
        unknown = Cell(f"? {kit.unknown} unknown", "unknown", short=f"?{kit.unknown}")
    said = ", ".join(str(cell.text) for cell in (what, unknown, best) if cell.text)
    return Item(
        kit.id,
        (Cell(str(number) if number < 10 else " ", "key"), Cell(_name(kit), "bold"),
         what, unknown, best),
        sentence=f"{number}: {_name(kit)}: {said.replace('? ', '')}",
    )  # fmt: skip


def _what(kit: KitFit, total: int) -> Cell:
    """What its `always` parts do, each outcome by its own word or mark."""
    counts = (("left out", kit.left_out), ("partial", kit.partial), ("reversed", kit.reversed))
    words = [f"{count} {outcome}" for outcome, count in counts if count]
    marks = [f"{MARKS[outcome]}{count}" for outcome, count in counts if count]
    text, short = f"{', '.join(words)} of {total}", f"{' '.join(marks)} of {total}"
    role = "flag" if kit.left_out or kit.partial else "partial"
    if not words and kit.unknown:
        text, role = f"none of {total} known to need a way", "unknown"
        short = f"none known of {total}"
    elif not words:
        text, short, role = f"carries all {total}", f"✓ all {total}", "fine"
    return Cell(text, role, short=short)


def _at_best(kit: KitFit) -> Cell:
    """How many need a way with all parts that fit, where that is fewer; as far as is known."""
    if kit.at_best >= kit.left_out + kit.partial:
        return Cell("")
    known = " known" if kit.unknown_at_best else ""
    left = str(kit.at_best or "none")
    return Cell(f"{left}{known} with all parts", "faint", short=f"all parts: {left}{known}")
