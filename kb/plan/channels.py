"""What each channel drives: its load, its watts, its gain target, and what is wrong with it.

Promise: an unknown load stays unknown; a load below the channel's limit is a fault in plain words
and never a smaller number. It knows speakers and channels alone, no vehicle and no kit.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kb.plan.impedance import Driver, Wiring, lowest_ohms, nominal_ohms
from kb.plan.power import RATING_CONDITIONS, allowed_watts, gain_volts, watts_at_load
from kb.plan.why import Why, number
from kb.plan.zones import side_of, zone_of, zone_of_group

LOAD_TOO_LOW = "load too low"


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
    channel may give; None where the load is unknown. `warnings` are sentences."""

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


def plan_channel(drive: Drive, rating: Rating, speakers: Mapping[str, Played]) -> ChannelPlan:
    """Load, watts and gain of one channel; its speakers must all be in `speakers`."""
    played = [speakers[name] for name in drive.speakers]
    zone = zone_of_group(speaker.zone for speaker in played)
    nominal, lowest = load_of(played, drive.wiring)
    if nominal is None or lowest is None:
        return _without_load(drive, rating, played, zone)
    fault = LOAD_TOO_LOW if lowest < rating.min_ohms - 1e-9 else None
    rated = watts_at_load(rating.watts, nominal) if rating.watts else None
    allowance = None
    if rated is not None:
        allowance = allowed_watts(rated, _shares(played), drive.wiring)
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
        warnings=tuple(_warnings(drive, played)),
        whys=(),
    )
    weakest = allowance.weakest if allowance else None
    whys = tuple(_whys(found, rating, played, weakest))
    return ChannelPlan(**{**vars(found), "whys": whys})


def load_of(played: Sequence[Played], wiring: Wiring) -> tuple[float | None, float | None]:
    """Nominal and lowest ohms of a group, all coils joined alike; None where some ohms are
    unknown."""
    drivers = [
        Driver(speaker.ohms, speaker.blocks_below_hz)
        for speaker in played
        for _ in speaker.coils
        if speaker.ohms is not None
    ]
    if not drivers or any(speaker.ohms is None for speaker in played):
        return None, None
    return nominal_ohms([driver.ohms for driver in drivers], wiring), lowest_ohms(drivers, wiring)


def _shares(played: Sequence[Played]) -> list[tuple[str, float, float | None]]:
    """Each coil with its ohms and its part of the speaker's own watts."""
    return [
        (speaker.id, speaker.ohms, None if speaker.watts is None else speaker.watts / len(coils))
        for speaker in played
        if speaker.ohms is not None
        for coils in [speaker.coils]
        for _ in coils
    ]


def _without_load(
    drive: Drive, rating: Rating, played: Sequence[Played], zone: str | None
) -> ChannelPlan:
    unknown = ", ".join(speaker.id for speaker in played if speaker.ohms is None)
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
            *_warnings(drive, played),
        ),
        whys=(),
    )


def _warnings(drive: Drive, played: Sequence[Played]) -> list[str]:
    found = []
    name = f"channel {drive.channel}"
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
