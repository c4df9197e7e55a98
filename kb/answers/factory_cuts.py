"""Where a factory output must be cut off because a lead of the kit leaves it joined to its wire.

A lead takes over one way of each pole. Where its unit stays in the car and the pole is on further
ways, the factory output still comes out there. It stands alone because cautions, the plan's steps
and the drawings of faces must all name the same ways.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kb.answers.grips import Grip
from kb.answers.pole_ways import PoleWay, of_pole, still_joined, ways_in_words

if TYPE_CHECKING:
    from kb.answers.runs import Runs


@dataclass(frozen=True)
class FactoryCut:
    """The ways on which a unit that stays must be cut off a speaker which a lead drives.

    `takes_along` are the other speakers on those ways, which the cut takes off the output too.
    """

    speaker: str
    unit: str | None
    leads: tuple[tuple[str, str], ...]
    ways: tuple[PoleWay, ...]
    takes_along: tuple[str, ...]

    def said(self) -> str:
        """The caution."""
        leads = " and ".join(f"lead {lead} of {part}" for part, lead in self.leads)
        several = len(self.leads) > 1
        along = (
            f", which takes {' and '.join(self.takes_along)} off it too" if self.takes_along else ""
        )
        return (
            f"{self.speaker}: {self.unit}'s output is on {ways_in_words(self.ways)} too, which "
            f"{leads} leave{'' if several else 's'} joined; cut it off there as well{along}: two "
            "outputs on one wire destroy each other"
        )


def joined_besides(
    ways: Sequence[PoleWay], named: Iterable[Grip], held: Iterable[Grip]
) -> tuple[PoleWay, ...]:
    """The ways of a speaker on which its unit stays joined beside those of the `named` leads.

    Other leads that hold it (`held`) open their ways only where that is recorded of their part.
    """
    named = tuple(named)
    opened = {spot for grip in named for spot in grip.spots}
    opened |= {spot for grip in held if grip.intercepts for spot in grip.spots}
    return tuple(
        way
        for coil in dict.fromkeys(grip.coil for grip in named)
        for pole in "+-"
        for way in still_joined(of_pole(ways, coil, pole), opened)
    )


def factory_cuts(answer: Runs, taken_out: Collection[str]) -> tuple[FactoryCut, ...]:
    """One for each speaker that a lead drives while its unit stays joined by a further way."""
    found = []
    for speaker in answer.speakers:
        if speaker.effect != "moves to new amplifier" or speaker.fed_by_kind in taken_out:
            continue
        named = [feed.grip for feed in speaker.feeds if feed.grip]
        ways = joined_besides(speaker.ways, named, speaker.grips)
        if not ways:
            continue
        spots = {way.spot for way in ways}
        found.append(
            FactoryCut(
                speaker=speaker.speaker,
                unit=speaker.fed_by,
                leads=tuple(dict.fromkeys((grip.part, grip.lead) for grip in named)),
                ways=ways,
                takes_along=tuple(
                    other.speaker
                    for other in answer.speakers
                    if other is not speaker and any(way.spot in spots for way in other.ways)
                ),
            )
        )
    return tuple(found)
