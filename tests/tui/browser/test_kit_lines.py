"""The kits in the chooser, in the words that the definitions give to left out, partial, unknown."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kb.answers.kits import KitFit
from tui.browser.lines.kits import kit_entries
from tui.browser.widgets.entries import Item

NONE = KitFit(
    "k", "Maker", "Kit", "verified", True,
    carried=0, left_out=0, partial=0, reversed=0, unknown=0, at_best=0, unknown_at_best=0,
)  # fmt: skip

CASES = {
    "all carried": (replace(NONE, carried=9), "carries all 9", "✓ all 9", "", ""),
    "partial is not left out": (
        replace(NONE, carried=5, left_out=1, partial=3, at_best=4),
        "1 left out, 3 partial of 9", "✗1 ◐3 of 9", "", "",
    ),
    "partial alone": (
        replace(NONE, carried=8, partial=1, at_best=1), "1 partial of 9", "◐1 of 9", "", "",
    ),
    "nobody can tell": (
        replace(NONE, unknown=9), "none of 9 known to need a way", "none known of 9", "", "",
    ),
    "none with all parts": (
        replace(NONE, carried=7, left_out=2),
        "2 left out of 9", "✗2 of 9", "none with all parts", "all parts: none",
    ),
    "none known with all parts": (
        replace(NONE, carried=6, left_out=2, unknown=1, unknown_at_best=1),
        "2 left out of 9", "✗2 of 9", "none known with all parts", "all parts: none known",
    ),
    "fewer known with all parts": (
        replace(NONE, carried=5, left_out=3, unknown=1, at_best=2, unknown_at_best=1),
        "3 left out of 9", "✗3 of 9", "2 known with all parts", "all parts: 2 known",
    ),
    "reversed": (
        replace(NONE, carried=7, reversed=2),
        "2 reversed of 9", "⇄2 of 9", "", "",
    ),
    "all of it": (
        replace(NONE, carried=4, left_out=1, partial=3, reversed=1, at_best=4),
        "1 left out, 3 partial, 1 reversed of 9", "✗1 ◐3 ⇄1 of 9", "", "",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_a_kit_is_told_in_defined_words_whole_and_short(name: str) -> None:
    fit, what, short, best, short_best = CASES[name]
    item = next(entry for entry in kit_entries([fit], 9) if isinstance(entry, Item))
    cell, unknown, all_parts = item.cells[2:]
    assert (cell.text, cell.short) == (what, short)
    assert (all_parts.text, all_parts.short) == (best, short_best)
    assert unknown.text == (f"? {fit.unknown} unknown" if fit.unknown else "")
    told = [what, f"{fit.unknown} unknown" if fit.unknown else "", best]
    assert item.spoken == f"1: Maker Kit: {', '.join(filter(None, told))}"
