"""What a plan amounts to, in the one line above it.

It stands alone because this line must never say less than the page below it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content

from tui.browser.text import row

if TYPE_CHECKING:
    from kb.plan.whole import WholePlan


def verdict_of(whole: WholePlan, width: int, lines: int) -> Content:
    """What stands against the choices as they are, the worst first: it changes with every key.

    In at most `lines` of `width`: what has no room there is left out whole, and counted.
    """
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
    head = row((f" {mark} {worst.words.upper()} ", role), (f"{trust}{also}", "caution"))
    how = "flag" if worst.weight == "fault" else "caution"
    channels = f"   channels: {loads}" if loads and worst.weight != "fault" else ""
    made = head
    for many in range(len(worst.details), -1, -1):
        left = len(worst.details) - many
        told = [*worst.details[:many], *([f"{left} more in the plan"] if left else [])]
        made = row(head, (f".  {'; '.join(told)}" if told else "", how))
        if _fits(row(made, channels), width, lines):
            return row(made, channels)
        if _fits(made, width, lines):  # the page has the channels too
            return made
    return made


def _fits(content: Content, width: int, lines: int) -> bool:
    return len(content.wrap(max(1, width))) <= lines
