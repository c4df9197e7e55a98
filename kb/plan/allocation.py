"""A suggestion which channel drives what, where the job gives none; and why.

Promise: speakers that hang on one pair of wires stay together; left and right get channels together
or not at all; a group that no channel can drive without fault is left out and named, never squeezed
in; nothing is put in series with a speaker behind a capacitor, which would take the bass from both.
Groups and their order are common practice, no source: bass on the strongest channel, then the
fronts, then the rears, the centre last.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kb.plan.channels import Drive, Played, Rating, load_of
from kb.plan.impedance import Wiring

ORDER = (("bass",), ("front-left", "front-right"), ("rear-left", "rear-right"), ("centre",))
"""The zones in the order in which they are given channels; those of one pair go together."""


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
    for pair in ORDER:
        zones = [zone for zone in pair if zone in groups]
        sides = {zone: [speakers[name] for name in groups[zone]] for zone in zones}
        chosen = _channels_for(sides, free, together)
        if chosen is None:
            without += [name for zone in zones for name in groups[zone]]
            reasons.append(_why_not(sides, free, together))
            continue
        for (zone, played), (rating, wiring) in zip(sides.items(), chosen, strict=True):
            free.remove(rating)
            drives.append(Drive(rating.id, tuple(groups[zone]), wiring))
            reasons.append(_why(zone, drives[-1], played, rating))
    order = {rating.id: i for i, rating in enumerate(ratings)}
    return Allocation(
        tuple(sorted(drives, key=lambda drive: order[drive.channel])),
        tuple(reasons),
        tuple(without),
    )


def _channels_for(
    sides: Mapping[str, Sequence[Played]],
    free: Sequence[Rating],
    together: Sequence[frozenset[str]],
) -> list[tuple[Rating, Wiring]] | None:
    """A channel for each side, all joined alike; None where one side would go without."""
    for wiring in _wirings(sides, together):
        left, found = list(free), []
        for zone, played in sides.items():
            rating = _channel_for(zone, played, wiring, left)
            if rating is None:
                break
            left.remove(rating)
            found.append((rating, wiring))
        else:
            return found
    return None


def _wirings(
    sides: Mapping[str, Sequence[Played]], together: Sequence[frozenset[str]]
) -> tuple[Wiring, ...]:
    """What may be tried: parallel alone where the car joins speakers, or a capacitor would be in
    series with another speaker."""
    for played in sides.values():
        names = {speaker.id for speaker in played}
        if any(len(names & tie) > 1 for tie in together) or _through_a_capacitor(played):
            return ("parallel",)
    return ("parallel", "series")


def _through_a_capacitor(played: Sequence[Played]) -> list[str]:
    """The speakers that would hold back the bass of the others, were they joined in series."""
    return [s.id for s in played if s.blocks_below_hz] if len(played) > 1 else []


def _channel_for(
    zone: str, played: Sequence[Played], wiring: Wiring, free: Sequence[Rating]
) -> Rating | None:
    # Bass asks the strongest channel; all else the weakest, of equals the amplifier's first.
    sign = -1 if zone == "bass" else 1
    nominal, lowest = load_of(played, wiring)
    for rating in sorted(free, key=lambda r: sign * max(r.watts.values(), default=0)):
        if lowest is None or nominal is None or lowest >= rating.min_ohms - 1e-9:
            return rating
    return None


def _why(zone: str, drive: Drive, played: Sequence[Played], rating: Rating) -> str:
    nominal, lowest = load_of(played, drive.wiring)
    load = "load unknown" if nominal is None or lowest is None else f"{nominal:.3g} Ω"
    several = len(drive.speakers) > 1 or len(played[0].coils) > 1
    how = f" in {drive.wiring}" if several else ""
    return (
        f"channel {drive.channel} plays {zone}: {', '.join(drive.speakers)}{how}, {load} "
        f"(allowed from {rating.min_ohms:g} Ω)"
    )


def _why_not(
    sides: Mapping[str, Sequence[Played]],
    free: Sequence[Rating],
    together: Sequence[frozenset[str]],
) -> str:
    zones = " and ".join(sides)
    who = ", ".join(speaker.id for played in sides.values() for speaker in played)
    if not free:
        return f"no channel is left for {zones}: {who}; leave it silent or add a channel"
    if len(free) < len(sides):
        return (
            f"one channel is left, and {zones} go together or not at all: {who}; leave both silent "
            "or add a channel"
        )
    held = [name for played in sides.values() for name in _through_a_capacitor(played)]
    tied = "series" not in _wirings(sides, together)
    why = f"; in series the capacitor of {' and '.join(held)} would take the bass" if held else ""
    how = " in parallel" if tied else ""
    return f"{zones}: {who} would be too low a load{how} for the channels that are left{why}"
