"""Where a factory output must be cut off because a lead of the kit leaves it joined to its wire.

A lead takes over one way of each pole, but only where its part opens the wire there: beside one
that only listens the output of a unit that stays in the car goes on. Where the pole is on further
ways, it comes out on those too. It stands alone because cautions, the plan's steps and the drawings
of faces must all name the same ways.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from kb.answers.grips import Grip
from kb.answers.pole_ways import PoleWay, of_pole, still_joined, ways_in_words

if TYPE_CHECKING:
    from kb.answers.runs import Runs, SpeakerAnswer


Reason = Literal["listens", "may listen", "further ways"]
"""Why an output stays joined: the lead's part only listens, nobody recorded whether it does, or the
pole is on ways beside the lead's own."""


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
    reason: Reason = "further ways"

    @property
    def part(self) -> str:
        """The part of its leads, the first of several."""
        return self.leads[0][0]

    def said(self) -> str:
        """The caution."""
        leads = " and ".join(f"lead {lead} of {part}" for part, lead in self.leads)
        several = len(self.leads) > 1
        along = (
            f", which takes {' and '.join(self.takes_along)} off it too" if self.takes_along else ""
        )
        ways = ways_in_words(self.ways)
        if self.reason == "listens":
            return (
                f"{self.speaker}: part {self.part} only listens, and {self.unit} keeps driving "
                f"this wire; cut its output off {ways} first{along}: two outputs on one wire "
                "destroy each other"
            )
        if self.reason == "may listen":
            return (
                f"{self.speaker}: nobody recorded whether part {self.part} opens the factory wire; "
                f"if it does not, cut off {self.unit}'s output on {ways} first{along}: two outputs "
                "on one wire destroy each other"
            )
        return (
            f"{self.speaker}: {self.unit}'s output is on {ways} too, which "
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
    """Every cut at each speaker that a lead drives while its unit stays joined to the wire."""
    return tuple(
        cut
        for speaker in answer.speakers
        if speaker.effect == "moves to new amplifier" and speaker.fed_by_kind not in taken_out
        for cut in _cuts_of(answer, speaker)
    )


def _cuts_of(answer: Runs, speaker: SpeakerAnswer) -> Iterator[FactoryCut]:
    """Its leads' own ways, part by part, where the part does not open them; then all others."""
    named = [feed.grip for feed in speaker.feeds if feed.grip]
    closed: dict[str, list[Grip]] = {}
    for grip in named:
        if not grip.intercepts:
            closed.setdefault(grip.part, []).append(grip)
    for held in closed.values():
        spots = {spot for grip in held for spot in grip.spots}
        own = tuple(way for way in speaker.ways if way.spot in spots)
        listens = held[0].intercepts is False
        yield _cut(answer, speaker, held, own, "listens" if listens else "may listen")
    besides = joined_besides(speaker.ways, named, speaker.grips)
    if besides:
        yield _cut(answer, speaker, named, besides, "further ways")


def _cut(
    answer: Runs,
    speaker: SpeakerAnswer,
    held: Iterable[Grip],
    ways: tuple[PoleWay, ...],
    reason: Reason,
) -> FactoryCut:
    spots = {way.spot for way in ways}
    return FactoryCut(
        speaker=speaker.speaker,
        unit=speaker.fed_by,
        leads=tuple(dict.fromkeys((grip.part, grip.lead) for grip in held)),
        ways=ways,
        takes_along=tuple(
            other.speaker
            for other in answer.speakers
            if other is not speaker and any(way.spot in spots for way in other.ways)
        ),
        reason=reason,
    )
