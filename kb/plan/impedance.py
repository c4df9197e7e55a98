"""The load that a group of speakers puts on a channel.

A speaker with a capacitor in line is its nominal ohms R in series with C = 1 / (2 pi f R). The
lowest |Z| from 20 Hz to 20 kHz needs no search: every such branch's reactance only falls as the
frequency rises. In series |Z|^2 = (sum R)^2 + (sum R f_i / f)^2 falls with it. In parallel |Y|^2 is
a sum over pairs of g_i g_j (1 + ab) / ((1 + a^2)(1 + b^2)) with a = f_i / f, b = f_j / f, and each
term rises with f, for its logarithm's derivative in 1 / f^2 is at most -min(a, b)^2 / (...) < 0.
Any further joining of such groups is still made of resistances and capacitors alone, whose zeros
and poles alternate with a pole first, so |Z|^2 falls there too (network theory).
So the lowest |Z| stands at 20 kHz, exactly.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import pi
from typing import Literal

Wiring = Literal["parallel", "series"]
LOWEST_HZ, HIGHEST_HZ = 20.0, 20_000.0


@dataclass(frozen=True)
class Driver:
    """One coil as a load: nominal ohms, and its in-line capacitor's corner frequency, if any."""

    ohms: float
    blocks_below_hz: float | None = None

    @property
    def farads(self) -> float | None:
        """C = 1 / (2 pi f R); None without a capacitor."""
        if not self.blocks_below_hz:
            return None
        return 1 / (2 * pi * self.blocks_below_hz * self.ohms)

    def impedance(self, hertz: float) -> complex:
        """R - j R f_c / f."""
        return complex(self.ohms, -self.ohms * (self.blocks_below_hz or 0.0) / hertz)


def nominal_ohms(ohms: Sequence[float], wiring: Wiring) -> float:
    """Nominal ohms of a group, as an exact fraction until the last step: 12 and 6 make 4, not
    4.000000000000001, which a rating table would take for another load."""
    return float(_joined([Fraction(str(value)) for value in ohms], wiring))


def _joined(exact: Sequence[Fraction], wiring: Wiring) -> Fraction:
    if wiring == "series":
        return sum(exact, Fraction(0))
    return 1 / sum((1 / value for value in exact), Fraction(0))


def nominal_ohms_of_pairs(pairs: Sequence[Sequence[Driver]], wiring: Wiring) -> float:
    """Nominal ohms of pairs of wires joined in `wiring`; what hangs on one pair is parallel."""
    each = [_joined([Fraction(str(d.ohms)) for d in pair], "parallel") for pair in pairs]
    return float(_joined(each, wiring))


def lowest_ohms_of_pairs(pairs: Sequence[Sequence[Driver]], wiring: Wiring) -> float:
    """The lowest |Z| from 20 Hz to 20 kHz of pairs joined in `wiring`; without capacitors the
    nominal ohms, exactly."""
    if not any(driver.blocks_below_hz for pair in pairs for driver in pair):
        return nominal_ohms_of_pairs(pairs, wiring)
    each = [impedance(pair, "parallel", HIGHEST_HZ) for pair in pairs]
    return abs(sum(each) if wiring == "series" else 1 / sum(1 / part for part in each))


def impedance(drivers: Sequence[Driver], wiring: Wiring, hertz: float) -> complex:
    """The group's impedance at one frequency, in ohms."""
    parts = [driver.impedance(hertz) for driver in drivers]
    return sum(parts) if wiring == "series" else 1 / sum(1 / part for part in parts)


def lowest_ohms(drivers: Sequence[Driver], wiring: Wiring) -> float:
    """The lowest |Z| from 20 Hz to 20 kHz; without capacitors the nominal ohms, exactly."""
    if not any(driver.blocks_below_hz for driver in drivers):
        return nominal_ohms([driver.ohms for driver in drivers], wiring)
    return abs(impedance(drivers, wiring, HIGHEST_HZ))
