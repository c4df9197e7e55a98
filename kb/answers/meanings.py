"""What each outcome and effect means, in a sentence, and where a book shows one."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass

from kb.answers.outcomes import with_outcomes

OUTCOMES = {
    "carried": "every feed has both poles on one lead of a chosen part, plus on plus",
    "reversed": "as carried, but plus and minus are swapped on some feed",
    "partial": "something of it is on a lead, but not all: one pole, two leads, one coil of two",
    "left out": "its feed is documented, and nothing of it is on a lead of a chosen part",
    "unknown": "a feed lacks a documented pin, or two units claim the speaker",
}
EFFECTS = {
    "moves to new amplifier": "the new amplifier drives it",
    "stays on factory feed": "its unit stays in the car and keeps driving it",
    "goes silent": "its unit is one that the kit takes out",
    "meter first": "nobody can say before it is metered",
}


@dataclass(frozen=True)
class Example:
    """A speaker of the book that has an outcome and an effect with a kit's `always` parts."""

    outcome: str
    effect: str
    vehicle: str
    kit: str
    speaker: str


def examples(connection: sqlite3.Connection) -> list[Example]:
    """One example of each outcome and effect that the book shows, among kits that plug in."""
    rows = connection.execute(
        with_outcomes(
            "SELECT vehicle FROM vehicle WHERE answers = 1",
            "SELECT p.kit, p.kit, p.part FROM part p JOIN kit k USING (kit)"
            " WHERE k.answers = 1 AND p.use = 'always'",
        )
        + """
        SELECT o.outcome, o.effect, v.id, k.id, o.speaker, min(v.id || ' ' || k.id)
        FROM outcome o JOIN vehicle v ON v.vehicle = o.vehicle JOIN kit k ON k.kit = o.kit
        WHERE EXISTS (SELECT 1 FROM grip g WHERE g.vehicle = o.vehicle AND g.path = o.path)
        GROUP BY o.outcome, o.effect
        """
    ).fetchall()
    found = [Example(*row[:5]) for row in rows]
    return sorted(found, key=lambda example: list(OUTCOMES).index(example.outcome))
