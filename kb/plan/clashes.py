"""What cannot go together in a plan: parts for one plug, and a wire fed before it is opened.

A part in line may open wires at its plug; what feeds such a wire before that plug, a tap or another
lead, feeds an end in the air, and the speaker plays nothing. And a plug takes one part. It stands
alone because the joint choice must know it, and a fix that is costed by itself must not.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence

from kb.answers.runs import Runs, SpeakerAnswer
from kb.plan.reach import Fix

Clash = tuple[Fix, Fix, str]
"""Two fixes that cannot both be, and what would be wrong."""


def is_opened(speaker: SpeakerAnswer, part: str) -> bool:
    """Whether a part opens some pole of a speaker at an in-line plug; one of which nobody wrote
    whether it opens the wire counts as opening it.
    """
    return any(
        grip.part == part and grip.in_line and grip.intercepts is not False
        for grip in speaker.grips
    )


def opened_in_line(
    with_part: Mapping[str, Runs], playing: Collection[str]
) -> dict[str, frozenset[str]]:
    """For each part that may still be chosen, those that shall play and whose wire it opens."""
    return {
        part: frozenset(
            speaker.speaker
            for speaker in answer.speakers
            if speaker.speaker in playing and is_opened(speaker, part)
        )
        for part, answer in with_part.items()
    }


def barred_parts(
    opened: Mapping[str, frozenset[str]],
    carried: Collection[str],
    mates: Mapping[str, frozenset[str]],
    chosen: Collection[str],
) -> dict[str, str]:
    """The parts that are no choice beside those chosen already, each with why. `mates` are the
    connectors that each part plugs into.
    """
    taken = {connector: part for part in chosen for connector in mates[part]}
    found: dict[str, str] = {}
    for part, names in opened.items():
        lost = sorted(names & set(carried))
        if lost:
            found[part] = f"it opens the wire of {' and '.join(lost)}, which a lead before it feeds"
        elif mates[part] and mates[part] <= taken.keys():
            where = min(mates[part])
            found[part] = f"part {taken[where]} is in its plug, {where}"
    return found


def clashes(
    fixes: Sequence[Fix],
    opened: Mapping[str, frozenset[str]],
    mates: Mapping[str, frozenset[str]],
) -> Iterator[Clash]:
    """The pairs of fixes of two speakers that cannot both be."""
    buying = [fix for fix in fixes if fix.parts]
    for one in buying:
        parts = " and ".join(one.parts)
        opens = frozenset[str]().union(*(opened.get(part, frozenset()) for part in one.parts))
        for other in fixes:
            past = other.way == "run" or not set(one.parts).isdisjoint(other.parts)
            if other.speaker in opens - {one.speaker} and not past:
                why = (
                    f"part {parts} opens the wire of {other.speaker}, which the plan feeds before "
                    f"that plug: {other.speaker} would play nothing"
                )
                yield one, other, why
        for other in buying:
            shared = _shared_plugs(one, other, mates)
            if other.speaker != one.speaker and shared:
                names = " and ".join((*one.parts, *other.parts))
                yield one, other, f"parts {names} both go into {shared[0]}, which takes one plug"


def _shared_plugs(one: Fix, other: Fix, mates: Mapping[str, frozenset[str]]) -> list[str]:
    """Connectors that a part of each wants, where the parts differ."""
    return sorted(
        connector
        for mine in one.parts
        for theirs in other.parts
        if mine != theirs
        for connector in mates[mine] & mates[theirs]
    )
