"""What readings say before they are submitted: how many of each, what differs, what follows.

It stands alone because it is told in the same words wherever readings are about to be stored.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from textual.content import Content

from kb.documents.carried import UNKNOWN
from kb.review.effect import Effect, OutcomeChange
from kb.review.readings import PinReading
from kb.review.touched import Touched, TouchedPin
from tui.browser.lines.left import picked_up
from tui.browser.text import row, shown
from tui.drawing.review_page import told_in_words

NAMED_AT_MOST = 12
PINS_NAMED = 4  # in one line above the footer


def summary(
    touched: Touched,
    readings: Sequence[PinReading],
    method: str,
    effect: Effect,
    anew: Sequence[str] = (),
) -> list[Content]:
    """Line by line, what differs before all.

    `anew`: pins that were read of an older revision, which say nothing of this one.
    """
    pins = {pin.name: pin for pin in touched.pins}
    differs = [reading for reading in readings if reading.result == "differs"]
    same = sum(reading.result == "ok" for reading in readings)
    said = [
        row(
            f"{same} as documented, ",
            (
                f"{len(differs)} differs" if len(differs) == 1 else f"{len(differs)} differ",
                "flag" if differs else "plain",
            ),
            f", {len(pins) - same - len(differs)} not looked at; read by ",
            (method, "bold"),
        ),
        shown(f"of {touched.entry}", "faint"),
    ]
    if differs:
        said += [shown(""), shown("DIFFERS", "bold")]
    for reading in differs:
        pin = pins[reading.name]
        was = " ".join(filter(None, (pin.told, pin.wire))) or "not documented"
        found = " ".join(filter(None, (reading.found_carries, reading.found_wire)))
        if reading.found_carries == UNKNOWN or not (reading.found_carries or pin.carries):
            found += ": a wire of which nobody knows what it carries"
        said.append(row((f"✗ {reading.name}: ", "flag"), f"{was} → ", (found, "bold")))
    if anew:
        said += [
            shown(""),
            shown("READ OF AN OLDER REVISION: NOT STORED, AND THROWN AWAY WITH THIS", "bold"),
            shown(f"! {', '.join(anew)}", "caution"),
        ]
    return [*said, shown(""), *_follows(effect, touched.kit)]


def carried_on(
    looked_at: int, anew: Sequence[str], *, newer: bool, kept_at: float | None = None
) -> str:
    """What to say of readings that are picked up; `newer`: another revision answers since."""
    said = picked_up(f"{looked_at} looked at", kept_at)
    if not newer:
        return said
    if not anew:
        return f"{said} Another revision answers since; these pins are the same in it."
    named = ", ".join(anew[:PINS_NAMED]) + (
        f" and {len(anew) - PINS_NAMED} more" if len(anew) > PINS_NAMED else ""
    )
    return f"{said} Another revision answers since: look anew at {named}."


def _follows(effect: Effect, kit: str) -> Iterator[Content]:
    """What would change, with the job's own kit before all others."""
    yield shown("WHAT WOULD CHANGE", "bold")
    if not effect.changes:
        yield shown(f"no outcome changes, with any of {effect.asked} kits")
        return
    changes = sorted(effect.changes, key=lambda change: change.kit != kit)
    for change in changes[:NAMED_AT_MOST]:
        yield shown(f"! {_words(change)}", "caution")
    more = len(changes) - NAMED_AT_MOST
    if more > 0:
        yield shown(f"and {more} more, with other kits and parts", "caution")


def _words(change: OutcomeChange) -> str:
    with_part = f" + {change.part}" if change.part else ""
    return (
        f"{change.speaker} with {change.kit}{with_part}: {told_in_words(change.before)} → "
        f"{told_in_words(change.after)}"
    )


def wire_if_any(pin: TouchedPin) -> tuple[str, ...]:
    """Its colour as a sentence says it: of a way that is known to be empty there is none."""
    return () if pin.carries == "" else (pin.wire or "colour unknown",)
