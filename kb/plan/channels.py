"""What each channel drives: its load, its watts, its gain target, and what is wrong with it.

Promise: an unknown load stays unknown; a load below the channel's limit is a fault in plain words
and never a smaller number. It knows speakers and channels alone, no vehicle and no kit.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from kb.plan.impedance import Driver, Wiring, lowest_ohms_of_pairs, nominal_ohms_of_pairs
from kb.plan.power import RATING_CONDITIONS, allowed_by_parts, gain_volts, watts_at_load
from kb.plan.why import Why, number
from kb.plan.zones import side_of, zone_of, zone_of_group

LOAD_TOO_LOW = "load too low"
End = tuple[str, str | None]
"""A speaker and one of its coils; None where it has only one."""


@dataclass(frozen=True)
class Played:
    """A speaker that a channel may drive, as it will be: fitted values where something is fitted.

    `coils` are its coils by name, or one None: each coil has the speaker's nominal ohms.
    """

    id: str
    place: str | None
    role: str
    ohms: float | None
    blocks_below_hz: float | None
    watts: float | None
    coils: tuple[str | None, ...] = (None,)
    fitted: bool = False

    @property
    def zone(self) -> str | None:
        """Where it plays; None where that cannot be read."""
        return zone_of(self.id, self.place, self.role)


@dataclass(frozen=True)
class Rating:
    """One channel of the amplifier: continuous watts by load in ohms, and its least load."""

    id: str
    watts: Mapping[float, float]
    min_ohms: float


@dataclass(frozen=True)
class Drive:
    """Which speakers a channel drives, and how they are joined."""

    channel: str
    speakers: tuple[str, ...]
    wiring: Wiring = "parallel"


@dataclass(frozen=True)
class ChannelPlan:
    """A driven channel. `rated_watts` is the amplifier's figure at that load, `watts` what the
    channel may give; None where the load is unknown or a fault. `along` are speakers that the job
    does not drive and that hang on the same pairs: they play and count. `unrated` are those of all
    whose own watts nobody wrote down. `warnings` are sentences."""

    channel: str
    speakers: tuple[str, ...]
    wiring: Wiring
    zone: str | None
    nominal_ohms: float | None
    lowest_ohms: float | None
    min_ohms: float
    fault: str | None
    rated_watts: float | None
    watts: float | None
    limited_by: str | None
    gain_volts: float | None
    warnings: tuple[str, ...]
    whys: tuple[Why, ...]
    along: tuple[str, ...] = ()
    unrated: tuple[str, ...] = ()


def plan_channel(
    drive: Drive,
    rating: Rating,
    speakers: Mapping[str, Played],
    pairs: Sequence[Sequence[End]] = (),
    along: Sequence[End] = (),
) -> ChannelPlan:
    """Load, watts and gain of one channel; its speakers must all be in `speakers`.

    `pairs` say which coils the car joins on one pair of wires, and so in parallel whatever the job
    says; `along` are coils of other speakers on them.
    """
    played = [speakers[name] for name in drive.speakers]
    more = [speakers[name] for name in dict.fromkeys(name for name, _ in along)]
    coils = _coils(played) + [(speakers[name], coil) for name, coil in along]
    hung = _on_pairs(coils, pairs)
    zone = zone_of_group(speaker.zone for speaker in played)
    unrated = tuple(speaker.id for speaker in (*played, *more) if speaker.watts is None)
    nominal, lowest = _load(hung, drive.wiring)
    if nominal is None or lowest is None:
        return _without_load(drive, rating, played, more, zone)
    fault = LOAD_TOO_LOW if lowest < rating.min_ohms - 1e-9 else None
    rated = watts_at_load(rating.watts, nominal) if rating.watts else None
    allowance = None
    if rated is not None and fault is None:
        allowance = allowed_by_parts(rated, _parts(hung, drive.wiring))
    watts = allowance.watts if allowance else None
    gain = None if watts is None else gain_volts(watts, nominal)
    found = ChannelPlan(
        channel=drive.channel,
        speakers=drive.speakers,
        wiring=drive.wiring,
        zone=zone,
        nominal_ohms=nominal,
        lowest_ohms=lowest,
        min_ohms=rating.min_ohms,
        fault=fault,
        rated_watts=rated,
        watts=watts,
        limited_by=allowance.limited_by if allowance else None,
        gain_volts=gain,
        warnings=tuple(_warnings(drive, played, more)),
        whys=(),
        along=tuple(speaker.id for speaker in more),
        unrated=unrated,
    )
    weakest = allowance.weakest if allowance else None
    whys = tuple(_whys(found, rating, [*played, *more], weakest))
    return replace(found, whys=whys)


def load_of(
    played: Sequence[Played], wiring: Wiring, pairs: Sequence[Sequence[End]] = ()
) -> tuple[float | None, float | None]:
    """Nominal and lowest ohms of a group, all coils joined alike but those that `pairs` join in
    parallel; None where some ohms are unknown."""
    return _load(_on_pairs(_coils(played), pairs), wiring)


_Coil = tuple[Played, str | None]


def _coils(played: Sequence[Played]) -> list[_Coil]:
    return [(speaker, coil) for speaker in played for coil in speaker.coils]


def _on_pairs(coils: Sequence[_Coil], pairs: Sequence[Sequence[End]]) -> list[list[Played]]:
    """The coils by the pair of wires that they hang on; one on no shared pair is by itself."""
    found: dict[object, list[Played]] = {}
    for speaker, coil in coils:
        end = (speaker.id, coil)
        shared = next((i for i, pair in enumerate(pairs) if end in pair), None)
        found.setdefault(end if shared is None else shared, []).append(speaker)
    return list(found.values())


def _load(hung: Sequence[Sequence[Played]], wiring: Wiring) -> tuple[float | None, float | None]:
    pairs = [
        [Driver(s.ohms, s.blocks_below_hz) for s in pair if s.ohms is not None] for pair in hung
    ]
    if not pairs or any(speaker.ohms is None for pair in hung for speaker in pair):
        return None, None
    return nominal_ohms_of_pairs(pairs, wiring), lowest_ohms_of_pairs(pairs, wiring)


def _parts(
    hung: Sequence[Sequence[Played]], wiring: Wiring
) -> list[tuple[str, float | None, float]]:
    """Each coil with its part of the speaker's own watts, and how many times that all take."""
    pair_ohms = [1 / sum(1 / (s.ohms or 0) for s in pair) for pair in hung]
    weights = [ohms if wiring == "series" else 1 / ohms for ohms in pair_ohms]
    return [
        (
            speaker.id,
            None if speaker.watts is None else speaker.watts / len(speaker.coils),
            sum(weights) / weight * (speaker.ohms or 0) / ohms,
        )
        for pair, ohms, weight in zip(hung, pair_ohms, weights, strict=True)
        for speaker in pair
    ]


def _without_load(
    drive: Drive,
    rating: Rating,
    played: Sequence[Played],
    more: Sequence[Played],
    zone: str | None,
) -> ChannelPlan:
    unknown = ", ".join(speaker.id for speaker in (*played, *more) if speaker.ohms is None)
    return ChannelPlan(
        channel=drive.channel,
        speakers=drive.speakers,
        wiring=drive.wiring,
        zone=zone,
        nominal_ohms=None,
        lowest_ohms=None,
        min_ohms=rating.min_ohms,
        fault=None,
        rated_watts=None,
        watts=None,
        limited_by=None,
        gain_volts=None,
        warnings=(
            f"channel {drive.channel}: the ohms of {unknown} are unknown, so its load is too: "
            "meter before switching on",
            *_warnings(drive, played, more),
        ),
        whys=(),
        along=tuple(speaker.id for speaker in more),
    )


def _warnings(drive: Drive, played: Sequence[Played], more: Sequence[Played]) -> list[str]:
    name = f"channel {drive.channel}"
    found = [
        f"{name}: {speaker.id} hangs on the same wires as {' and '.join(drive.speakers)}, so it "
        "plays with them and counts in the load, though the job gives it no channel"
        for speaker in more
    ]
    sides = {side_of(speaker.id, speaker.place) for speaker in played} - {None}
    if len(sides) > 1:
        found.append(f"{name} mixes left and right: the sides can no longer be told apart")
    subs = [speaker.id for speaker in played if speaker.role == "subwoofer"]
    if subs and len(subs) < len(played):
        found.append(
            f"{name} drives the subwoofer {' and '.join(subs)} with full-range speakers: the one "
            "needs a low-pass, which takes the others' sound away"
        )
    held = [s for s in played if s.blocks_below_hz]
    if drive.wiring == "series" and held and len(played) > 1:
        others = " and ".join(s.id for s in played if s is not held[0])
        found.append(
            f"{name} puts {others} in series with {held[0].id}, whose capacitor lets nothing below "
            f"{number(held[0].blocks_below_hz or 0, 0)} Hz pass: {others} would lose the bass"
        )
    ends = {speaker.zone for speaker in played if speaker.role != "subwoofer"} - {None}
    if len(sides) <= 1 and len(ends) > 1:
        found.append(f"{name} mixes {' and '.join(sorted(e for e in ends if e))}: no fader can")
    return found


def _whys(
    plan: ChannelPlan, rating: Rating, played: Sequence[Played], weakest: str | None
) -> list[Why]:
    if plan.nominal_ohms is None or plan.lowest_ohms is None:
        return []
    parts = ", ".join(
        f"{s.id} {number(s.ohms or 0)} Ω"
        + (f" × {len(s.coils)} coils" if len(s.coils) > 1 else "")
        + (f" behind {number(s.blocks_below_hz)} Hz" if s.blocks_below_hz else "")
        for s in played
    )
    formula = "R = ΣR" if plan.wiring == "series" else "1/R = Σ 1/R"
    whys = [
        Why(
            f"channel {plan.channel} load",
            f"{number(plan.nominal_ohms)} Ω, lowest {number(plan.lowest_ohms)} Ω",
            f"{plan.wiring}, {formula}; lowest |Z| from 20 Hz to 20 kHz with C = 1/(2πfR)",
            f"{parts}; least allowed {number(plan.min_ohms)} Ω",
            "circuit theory; nominal ohms as documented",
        )
    ]
    if plan.watts is None or plan.gain_volts is None:
        return whys
    table = ", ".join(f"{number(w)} W at {number(o)} Ω" for o, w in sorted(rating.watts.items()))
    limit = f"; held to {number(plan.watts)} W by {weakest}" if weakest else ""
    return [
        *whys,
        Why(
            f"channel {plan.channel} watts",
            f"{number(plan.watts)} W",
            "the rating at the smallest tabulated load not below the actual one; above the "
            "largest P = P0 R0 / R",
            f"{table}{limit}",
            RATING_CONDITIONS,
        ),
        Why(
            f"channel {plan.channel} gain target",
            f"{number(plan.gain_volts)} V",
            "V = √(P × R), a sine, speakers disconnected",
            f"P = {number(plan.watts)} W, R = {number(plan.nominal_ohms)} Ω",
            "definition of power in a resistance; setting gain so is common practice, no source",
        ),
    ]
