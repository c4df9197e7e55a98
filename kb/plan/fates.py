"""What becomes of each speaker in a plan: who plays, who keeps the factory feed, who falls silent.

Promise: a speaker counts as playing only where a driven pair really reaches it, and as lost as soon
as anything in the plan takes it off its output. It stands alone because duties (a chime, an
emergency call) hang on it, and every caution, fact and fault must tell the same story.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from typing import Literal

from kb.answers.factory_cuts import FactoryCut
from kb.answers.papers import Papers
from kb.answers.pole_ways import of_pole, still_joined
from kb.answers.runs import Runs, SpeakerAnswer
from kb.plan.pairs import Pair
from kb.plan.reach import Reach
from kb.plan.wiring import Wiring

Fate = Literal["driven", "along", "lost", "factory", "unknown"]
"""`driven` by a channel that its wire comes to; `along` with a driven speaker on the same pair;
`lost`: off its factory output and on nothing; `factory`: as it was; `unknown`: meter first."""
PLAYING = ("driven", "along")


def fates_of(
    papers: Papers,
    runs: Runs,
    reach: Reach,
    pairs: Iterable[Pair],
    driven: Collection[str],
    along: Collection[str],
    cuts: Iterable[FactoryCut] = (),
) -> Mapping[str, Fate]:
    """The fate of every speaker, by name. `driven` and `along` are those of the channels, `cuts`
    what must be cut off speakers that a lead drives."""
    pairs = tuple(pairs)
    silent = set(papers.job["job"].get("silent", ()))
    reached = {name for pair in pairs for name in pair.names} - silent
    taken_along = {
        name
        for cut in cuts
        if cut.speaker in reached and cut.speaker in driven
        for name in cut.takes_along
    }
    found: dict[str, Fate] = {}
    for speaker in runs.speakers:
        name = speaker.speaker
        if name in reached and name in driven:
            found[name] = "driven"
        elif name in along:
            found[name] = "along"
        elif name in taken_along or loses_output(papers, speaker, reach, pairs):
            found[name] = "lost"
        else:
            found[name] = "unknown" if speaker.outcome == "unknown" else "factory"
    return found


def loses_output(
    papers: Papers, speaker: SpeakerAnswer, reach: Reach, pairs: Iterable[Pair]
) -> bool:
    """Whether this plan takes a speaker off its factory output: with its unit, by a fix of its own,
    or by a cut that was made for another. A part of which nobody recorded whether it opens the
    wire counts as opening it: a duty must not hang on a guess."""
    return (
        _cut_with_another(speaker.speaker, pairs)
        or any(fix.speaker == speaker.speaker for fix in reach.fixes)
        or speaker.effect == "goes silent"
        or (
            speaker.effect == "moves to new amplifier"
            and speaker.fed_by_kind in papers.kit["kit"].get("takes_out", ())
        )
        or any(grip.intercepts is not False for grip in speaker.grips)
    )


def keeps_feed_if_silent(
    papers: Papers,
    runs: Runs,
    reach: Reach,
    wiring: Wiring,
    pairs: Iterable[Pair],
    cuts: Iterable[FactoryCut],
    name: str,
) -> bool:
    """Whether a speaker that shall be silent would surely play on from its factory feed.

    Not where its unit is taken out or unknown, where a part that stays in the plan opens its wire
    or may, or where a cut that is made for another speaker takes it along.
    """
    speaker = next(s for s in runs.speakers if s.speaker == name)
    others = {part for fix in reach.fixes if fix.speaker != name for part in fix.parts}
    parts = {*papers.runs.path.chosen, *others}
    return (
        speaker.fed_by is not None
        and speaker.fed_by_kind not in papers.kit["kit"].get("takes_out", ())
        and all(grip.intercepts is False for grip in speaker.grips if grip.part in parts)
        and not any(name in cut.takes_along for cut in cuts)
        and not any(
            pair.kind == "tap" and name in (*pair.names, *pair.half)
            for pair in pairs
            if {asked for asked, _ in wiring.on_wire.get(pair.wire, ())} != {name}
        )
    )


def _cut_with_another(name: str, pairs: Iterable[Pair]) -> bool:
    return any(pair.kind == "tap" and name in (*pair.names, *pair.half) for pair in pairs)


def opens_output(
    papers: Papers, speaker: SpeakerAnswer, reach: Reach, pairs: Iterable[Pair]
) -> bool:
    """Whether the output of a unit that stays loses this speaker: only what is recorded to open it,
    and what the work itself cuts off, so that no load is fitted beside a speaker."""
    playing = speaker.speaker not in papers.job["job"].get("silent", ())
    return (
        _cut_with_another(speaker.speaker, pairs)
        or any(fix.speaker == speaker.speaker for fix in reach.fixes)
        or _opened_by_parts(speaker)
        or (bool(speaker.grips) and playing and speaker.effect == "moves to new amplifier")
    )


def _opened_by_parts(speaker: SpeakerAnswer) -> bool:
    """Whether parts that are recorded to open the wire open every way of some pole; a pole with a
    way left still loads its output."""
    opened = {spot for grip in speaker.grips if grip.intercepts for spot in grip.spots}
    poles = {(way.coil, way.pole) for way in speaker.ways if way.spot in opened}
    return any(not still_joined(of_pole(speaker.ways, coil, pole), opened) for coil, pole in poles)
