"""Watts at a load, gain target, input setting, and the load resistor for an output left open.

Ratings hold under the conditions of ANSI/CTA-2006 (14.4 V, 4 ohm, at most 1 % distortion, 20 Hz to
20 kHz) where a maker says so; the document does not tell, so results quote the conditions.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Literal

from kb.plan.impedance import Wiring
from kb.plan.why import Why, number

RATING_CONDITIONS = (
    "ANSI/CTA-2006 rates at 14.4 V into 4 Ω, at most 1 % THD+N, 20 Hz to 20 kHz; whether this "
    "maker's figures follow it is not documented"
)


def watts_at_load(watts: Mapping[float, float], ohms: float) -> float:
    """The rating at the smallest tabulated load that is not below `ohms`; above the largest one its
    voltage stays, so P = P0 R0 / R. Raises ValueError for an empty table."""
    if not watts:
        raise ValueError("a channel without a rating has no watts")
    fitting = [load for load in watts if load >= ohms]
    if fitting:
        return watts[min(fitting)]
    largest = max(watts)
    return watts[largest] * largest / ohms


@dataclass(frozen=True)
class Allowance:
    """The watts that a channel may give, and whose limit that is; which speaker sets it."""

    watts: float
    limited_by: Literal["amplifier", "speakers"]
    weakest: str | None = None


def allowed_watts(
    rated: float, drivers: Sequence[tuple[str, float, float | None]], wiring: Wiring
) -> Allowance:
    """`rated` watts, or fewer where a speaker's own watts ask for it.

    `drivers` are (name, ohms, watts or None where unknown). In parallel a speaker takes the share
    of its conductance, in series that of its ohms.
    """
    weights = [ohms if wiring == "series" else 1 / ohms for _, ohms, _ in drivers]
    times = [sum(weights) / weight for weight in weights]
    return allowed_by_parts(
        rated, [(name, own, t) for (name, _, own), t in zip(drivers, times, strict=True)]
    )


def allowed_by_parts(rated: float, drivers: Sequence[tuple[str, float | None, float]]) -> Allowance:
    """`rated` watts, or fewer; `drivers` are (name, own watts, how many times its watts all of them
    take together)."""
    best = Allowance(rated, "amplifier")
    for name, own, times in drivers:
        most = None if own is None else own * times
        if most is not None and most < best.watts:
            best = Allowance(most, "speakers", name)
    return best


def gain_volts(watts: float, ohms: float) -> float:
    """V = sqrt(P R): the sine at the channel's output, speakers disconnected, in volts RMS."""
    return sqrt(watts * ohms)


@dataclass(frozen=True)
class InputLevel:
    """The kit's output setting for the amplifier's input; None with a fault where there is none."""

    output_volts: float | None
    fault: str | None
    why: Why | None = None


def input_level(output_volts: Sequence[float], input_volts: tuple[float, float]) -> InputLevel:
    """The kit's highest output not above the amplifier's greatest input."""
    least, most = input_volts
    if not output_volts:
        return InputLevel(None, "the kit's output volts are not documented")
    fitting = [volts for volts in output_volts if volts <= most]
    if not fitting:
        return InputLevel(
            None,
            f"the kit's lowest output, {min(output_volts):g} V, is above the {most:g} V that the "
            "amplifier's inputs take at most: they would be overdriven",
        )
    chosen = max(fitting)
    why = Why(
        "kit's output setting",
        f"{number(chosen)} V",
        "the kit's highest output not above the amplifier's greatest input",
        f"the kit gives {', '.join(number(volts) for volts in sorted(output_volts))} V, the inputs "
        f"take {number(least)} to {number(most)} V for full output",
        "both as documented by kit and amplifier; choosing the highest is common practice, no "
        "source",
    )
    if chosen < least:
        return InputLevel(
            chosen,
            f"the kit's {chosen:g} V are below the {least:g} V that the amplifier needs for full "
            "output",
            why,
        )
    return InputLevel(chosen, None, why)


E12 = (10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82)
"""IEC 60063, the series of 10 % resistors."""
RESISTOR_WATTS = (5, 10, 25, 50, 75, 100)
"""Usual ratings of metal-clad resistors: from memory."""
BRIDGE_VOLTS = 14.4 / sqrt(2)
"""The most that a bridged output without a voltage converter can give: a sine whose peak is the
supply (computed; that the factory output has no converter is an assumption)."""


def next_preferred(ohms: float) -> float:
    """The next value of IEC 60063's E12 series at or above `ohms`. Raises ValueError unless > 0."""
    if not ohms > 0:
        raise ValueError(f"{ohms} ohm is no resistance; write a value above 0")
    decade = -6
    while True:
        for value in E12:
            preferred = float(f"{value}e{decade}")
            if preferred >= ohms * (1 - 1e-9):
                return preferred
        decade += 1


@dataclass(frozen=True)
class LoadResistor:
    """A resistor in place of a speaker on an output that senses its load."""

    ohms: float
    dissipates: float
    rating: float | None


def load_resistor(ohms: float, volts: float = BRIDGE_VOLTS) -> LoadResistor:
    """The next preferred value at or above the speaker's ohms, P = V^2 / R, and a usual rating at
    or above that; rating None where none is usual."""
    preferred = next_preferred(ohms)
    watts = volts * volts / preferred
    rating = next((float(usual) for usual in RESISTOR_WATTS if usual >= watts), None)
    return LoadResistor(preferred, watts, rating)
