"""The parts of a kit, those that a job chooses among ticked on and off."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Static

from kb.answers.kits import PartFit
from tui.browser.dialog import Dialog
from tui.browser.text import row
from tui.browser.widgets.entries import Cell, Item
from tui.browser.widgets.rows import Rows


class Parts(Dialog[tuple[str, ...]]):
    """Answers with the parts that were ticked, or with nothing where Esc closed it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space", "tick", show=False),
        Binding("enter", "take", show=False, priority=True),
    ]

    def __init__(self, kit: str, parts: Sequence[PartFit], taken: Sequence[str]) -> None:
        super().__init__()
        self._kit = kit
        self._parts = parts
        self._taken = set(taken)

    def compose(self) -> ComposeResult:
        with Vertical(id="parts"):
            yield Static(row(("Parts of ", "bold"), (self._kit, "bold")))
            yield Rows(
                "part-rows",
                headings=("taken", "part", "fits", "use", "plugs"),
                yields=((4, 0), (3, 0)),
            )
        yield self.foot(("Enter", "uses these"), ("Esc", "leaves it"), ("Space", "ticks"))

    def on_mount(self) -> None:
        self._show()
        self.query_one(Rows).focus()

    def _show(self) -> None:
        self.query_one(Rows).show([self._line(part) for part in self._parts])

    def _line(self, part: PartFit) -> Item:
        taken = part.part in self._taken
        fits = "plugs in here" if part.fits else "does not plug in here"
        use = "in every job" if part.always else "if chosen"
        return Item(
            part.part,
            (
                Cell("[x]" if taken else "[ ]", "key"),
                Cell(part.part, "bold"),
                Cell(fits, "fine" if part.fits else "caution"),
                Cell(use, "faint"),
                Cell(part.plugs or "", "faint"),
            ),
            sentence=f"{part.part}, {'taken' if taken else 'not taken'}, {fits}, {use}",
        )

    @on(Rows.Chosen)
    def _clicked(self) -> None:
        self.action_tick()

    def action_tick(self) -> None:
        """Take the marked part, or leave it."""
        item = self.query_one(Rows).item
        if item is None:
            return
        part = next(part for part in self._parts if part.part == item.key)
        if not part.always:
            self._taken ^= {part.part}
        self._show()

    def action_take(self) -> None:
        """Take over what is ticked."""
        chosen = [part for part in self._parts if part.part in self._taken and not part.always]
        self.dismiss(tuple(part.part for part in chosen))
