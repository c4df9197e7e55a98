"""A suggestion which channel drives what, where the job gives none; and why.

Promise: speakers that hang on one pair of wires stay together; a group that no channel can drive
without fault is left out and named, never squeezed in. Groups and their order are common practice,
no source: bass on the strongest channel, then the fronts, then the rears, the centre last.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kb.plan.channels import Drive, Played, Rating, load_of
from kb.plan.impedance import Wiring

ORDER = ("bass", "front-left", "front-right", "rear-left", "rear-right", "centre")


@dataclass(frozen=True)
class Allocation:
    """Suggested drives in the amplifier's order, a sentence for each, and who is left without."""

    drives: tuple[Drive, ...]
    reasons: tuple[str, ...]
    without: tuple[str, ...]


def suggest(
    ratings: Sequence[Rating],
    speakers: Mapping[str, Played],
    together: Sequence[frozenset[str]],
) -> Allocation:
    """Channels for `speakers`; `together` are sets that share a pair of wires (joined parallel)."""
    groups: dict[str, list[str]] = {}
    reasons, without = [], []
    for speaker in speakers.values():
        if speaker.zone is None:
            without.append(speaker.id)
            reasons.append(f"{speaker.id}: its place does not say where it plays; give it a drive")
        else:
            groups.setdefault(speaker.zone, []).append(speaker.id)
    free = list(ratings)
    drives: list[Drive] = []
    for zone in [zone for zone in ORDER if zone in groups]:
        names = tuple(groups[zone])
        played = [speakers[name] for name in names]
        rating, wiring = _channel_for(zone, played, free, together)
        if rating is None:
            without += names
            reasons.append(_why_not(zone, names, free))
            continue
        free.remove(rating)
        drives.append(Drive(rating.id, names, wiring))
        reasons.append(_why(zone, drives[-1], played, rating))
    order = {rating.id: i for i, rating in enumerate(ratings)}
    return Allocation(
        tuple(sorted(drives, key=lambda drive: order[drive.channel])),
        tuple(reasons),
        tuple(without),
    )


def _channel_for(
    zone: str,
    played: Sequence[Played],
    free: Sequence[Rating],
    together: Sequence[frozenset[str]],
) -> tuple[Rating | None, Wiring]:
    names = {speaker.id for speaker in played}
    tied = any(len(names & tie) > 1 for tie in together)
    wirings: tuple[Wiring, ...] = ("parallel",) if tied else ("parallel", "series")
    # Bass asks the strongest channel; all else the weakest, of equals the amplifier's first.
    sign = -1 if zone == "bass" else 1
    order = sorted(free, key=lambda r: sign * max(r.watts.values(), default=0))
    for wiring in wirings:
        nominal, lowest = load_of(played, wiring)
        for rating in order:
            if lowest is None or nominal is None or lowest >= rating.min_ohms - 1e-9:
                return rating, wiring
    return None, "parallel"


def _why(zone: str, drive: Drive, played: Sequence[Played], rating: Rating) -> str:
    nominal, lowest = load_of(played, drive.wiring)
    load = "load unknown" if nominal is None or lowest is None else f"{nominal:.3g} Ω"
    several = len(drive.speakers) > 1 or len(played[0].coils) > 1
    how = f" in {drive.wiring}" if several else ""
    return (
        f"channel {drive.channel} plays {zone}: {', '.join(drive.speakers)}{how}, {load} "
        f"(allowed from {rating.min_ohms:g} Ω)"
    )


def _why_not(zone: str, names: Sequence[str], free: Sequence[Rating]) -> str:
    who = ", ".join(names)
    if not free:
        return f"no channel is left for {zone}: {who}; leave it silent or add a channel"
    return f"{zone}: {who} would be too low a load for every channel that is left"
