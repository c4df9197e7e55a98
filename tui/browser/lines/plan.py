"""What a plan amounts to, in the one line above it.

It stands alone because this line must never say less than the page below it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content

from tui.browser.text import row

if TYPE_CHECKING:
    from kb.plan.whole import WholePlan


def verdict_of(whole: WholePlan) -> Content:
    """What stands against the choices as they are, the worst first: it changes with every key."""
    from kb.plan.verdict import objections_to

    plan = whole.plan
    state = plan.papers.state
    less = "; ".join(plan.papers.signed_less)
    trust = f"  on entries {state}, NOT VERIFIED" if state != "verified" else f"  {less}".rstrip()
    loads = ", ".join(
        f"{c.channel}: {'?' if c.nominal_ohms is None else f'{c.nominal_ohms:.3g}'} Ω"
        for c in plan.channels
    )
    found = objections_to(plan)
    if not found:
        return row((" ✓ no fault ", "fine"), (trust, "caution"), f"   channels: {loads}")
    worst, *others = found
    mark = "?" if worst.weight == "unknown" else "!"
    role = {"fault": "shout", "flag": "shout", "unknown": "unknown"}[worst.weight]
    also = f"; also {', '.join(other.words for other in others)}" if others else ""
    # What must not be cut off where the line is too long comes first; the page has all of it.
    return row(
        (f" {mark} {worst.words.upper()} ", role),
        (f"{trust}{also}", "caution"),
        (f".  {'; '.join(worst.details)}" if worst.details else "",
         "flag" if worst.weight == "fault" else "caution"),
        f"   channels: {loads}" if loads and worst.weight != "fault" else "",
    )  # fmt: skip
