"""Loads, watts, gain and resistors against textbooks, standards, and a circuit solver."""

import itertools
import random
import shutil
import subprocess
from math import pi, sqrt
from pathlib import Path

import pytest
from eseries import E12 as SERIES_E12
from eseries import find_greater_than_or_equal

from kb.plan.impedance import Driver, Wiring, impedance, lowest_ohms, nominal_ohms
from kb.plan.power import (
    E12,
    allowed_watts,
    gain_volts,
    input_level,
    load_resistor,
    next_preferred,
    watts_at_load,
)

NGSPICE = shutil.which("ngspice")


def group(ohms: list[float], wiring: Wiring) -> float:
    return lowest_ohms([Driver(value) for value in ohms], wiring)


def test_textbook_groups() -> None:
    """16, 8 and 4 ohm in parallel: 2.286 (a physics textbook's problem); and the usual pairs."""
    assert group([16, 8, 4], "parallel") == pytest.approx(2.286, abs=5e-4)
    assert group([8, 8], "parallel") == 4
    assert group([8, 8], "series") == 16
    assert group([12, 6], "parallel") == 4  # exactly: a table of ratings is looked up with it


@pytest.mark.parametrize(
    ("count", "published"),
    [
        (2, [0.5, 1, 1.5, 2, 3, 4]),
        (3, [0.333, 0.667, 1, 1.33, 2, 2.66]),  # the table cuts 2.667 to 2.66
        (4, [0.25, 0.5, 0.75, 1, 1.5, 2]),
    ],
)
def test_published_table_of_equal_coils(count: int, published: list[float]) -> None:
    """N equal coils of 1, 2, 3, 4, 6, 8 ohm in parallel."""
    for ohms, expected in zip([1, 2, 3, 4, 6, 8], published, strict=True):
        assert group([ohms] * count, "parallel") == pytest.approx(expected, abs=0.0067)


def test_two_dual_coil_speakers() -> None:
    """Two dual 4 ohm coils: 1 all in parallel, 16 all in series. (A reference page that says 1 and
    4 are all there is forgets the 16.)"""
    assert group([4] * 4, "parallel") == 1
    assert group([4] * 4, "series") == 16


@pytest.mark.parametrize(
    ("hertz", "ohms", "microfarads"),
    [
        (1000, 4, 39.75), (100, 4, 397.50), (80, 8, 248.44), (5000, 4, 7.95), (3000, 4, 13.3),
    ],
)  # fmt: skip
def test_published_capacitors(hertz: float, ohms: float, microfarads: float) -> None:
    """A published table of first-order capacitors, made with 0.159 for 1 / 2 pi; one row of a
    second table with three figures."""
    farads = Driver(ohms, hertz).farads
    assert farads is not None
    assert farads * 1e6 == pytest.approx(microfarads, rel=3e-3)


def test_published_corner_frequencies() -> None:
    """10 uF into 8, 4 and 2 ohm: 1988, 3975 and 7950 Hz in the same table."""
    for ohms, hertz in ((8, 1988), (4, 3975), (2, 7950)):
        farads = Driver(ohms, hertz).farads
        assert farads is not None
        assert farads * 1e6 == pytest.approx(10, rel=2e-3)


def generated_group(seed: int) -> tuple[list[Driver], Wiring]:
    dice = random.Random(seed)
    drivers = [
        Driver(
            dice.choice([1.5, 2, 3, 4, 6, 8]),
            dice.choice([None, 80, 300, 1200, 3500, 5000, 12_000]),
        )
        for _ in range(dice.randint(1, 5))
    ]
    return drivers, dice.choice(["parallel", "series"])


@pytest.mark.skipif(NGSPICE is None, reason="ngspice is not installed")
@pytest.mark.parametrize("seed", range(12))
def test_groups_against_ngspice(seed: int, tmp_path: Path) -> None:
    """ngspice, an independent circuit solver, sweeps 20 Hz to 20 kHz: its lowest |Z| is ours."""
    drivers, wiring = generated_group(seed)
    lines, node = ["* group", "I1 0 top DC 0 AC 1"], "top"
    for number, driver in enumerate(drivers):
        last = number == len(drivers) - 1
        end = "0" if wiring == "parallel" or last else f"n{number}"
        start = "top" if wiring == "parallel" else node
        if driver.farads:
            lines += [
                f"R{number} {start} m{number} {driver.ohms}",
                f"C{number} m{number} {end} {driver.farads:.15g}",
                f"RB{number} m{number} {end} 1e12",
            ]
        else:
            lines.append(f"R{number} {start} {end} {driver.ohms}")
        node = end
    lines += [
        ".control",
        "ac dec 200 20 20k",
        "wrdata out.txt vm(top)",
        "meas ac lowest MIN vm(top)",
        "quit",
        ".endc",
        ".end",
    ]
    (tmp_path / "group.cir").write_text("\n".join(lines) + "\n")
    assert NGSPICE is not None
    subprocess.run(
        [NGSPICE, "-b", "group.cir"], cwd=tmp_path, check=True, capture_output=True, timeout=60
    )
    rows = [line.split() for line in (tmp_path / "out.txt").read_text().splitlines()]
    sweep = {float(row[0]): float(row[1]) for row in rows}
    assert min(sweep.values()) == pytest.approx(lowest_ohms(drivers, wiring), rel=1e-4)
    for hertz, volts in itertools.islice(sweep.items(), 0, None, 60):
        assert volts == pytest.approx(abs(impedance(drivers, wiring, hertz)), rel=1e-5)


@pytest.mark.parametrize("seed", range(200))
def test_lowest_stands_at_the_upper_end(seed: int) -> None:
    """The proof in the module, tried: no frequency gives less than the value at 20 kHz."""
    drivers, wiring = generated_group(seed)
    least = lowest_ohms(drivers, wiring)
    for step in range(301):
        hertz = 20 * 1000 ** (step / 300)
        assert abs(impedance(drivers, wiring, hertz)) >= least * (1 - 1e-12)


def test_doors_and_blocked_tweeter_of_the_example() -> None:
    """4 ohm beside 4 ohm behind 3500 Hz: nominal 2, lowest 2.02 at 20 kHz (by hand)."""
    pair = [Driver(4), Driver(4, 3500)]
    assert nominal_ohms([4, 4], "parallel") == 2
    a = 3500 / 20_000
    admittance = complex(0.25 + 0.25 / (1 + a * a), 0.25 * a / (1 + a * a))
    assert lowest_ohms(pair, "parallel") == pytest.approx(1 / abs(admittance))
    assert lowest_ohms(pair, "parallel") == pytest.approx(2.0227, abs=1e-4)


@pytest.mark.parametrize(
    ("watts", "ohms", "volts"),
    [
        (50, 4, 14.142), (600, 2, 34.64), (100, 1, 10.0), (100, 2, 14.1), (100, 4, 20.0),
        (100, 8, 28.3), (250, 1, 15.8), (250, 8, 44.7), (500, 2, 31.6), (1000, 4, 63.2),
        (1500, 8, 109.5), (2000, 8, 126.5),
    ],
)  # fmt: skip
def test_gain_target(watts: float, ohms: float, volts: float) -> None:
    """E = sqrt(P R), the form that MIL-PRF-39005 gives for a resistor's rated voltage; the first
    row is a published worked example. CTA-2006's own power is (volts at clipping)^2 / load."""
    assert gain_volts(watts, ohms) == pytest.approx(volts, rel=4e-3)
    assert gain_volts(watts, ohms) ** 2 / ohms == pytest.approx(watts)


def test_the_ohmmeter_is_the_wrong_input() -> None:
    """DC ohms are not nominal ohms: 3.2 instead of 4 gives 12.65 V for 50 W, a decibel too low.
    (IEC 60268-5 lets the lowest |Z| be 80 % of the rated one.)"""
    assert gain_volts(50, 3.2) == pytest.approx(12.65, abs=5e-3)
    assert gain_volts(50, 4) / gain_volts(50, 3.2) == pytest.approx(sqrt(1 / 0.8))


def test_watts_by_the_rating_table() -> None:
    table = {4.0: 60.0, 2.0: 90.0}
    assert [watts_at_load(table, ohms) for ohms in (2, 2.4, 3, 4)] == [90, 60, 60, 60]
    assert watts_at_load(table, 8) == 30  # its voltage stays: sqrt(60 * 4) V into 8 ohm
    assert gain_volts(watts_at_load(table, 6), 6) == pytest.approx(gain_volts(60, 4))
    assert watts_at_load(table, 1.5) == 90


def test_speakers_limit_by_their_share() -> None:
    """4 and 8 ohm in parallel take two thirds and one third; in series the other way round."""
    parallel = allowed_watts(90, [("a", 4, 40), ("b", 8, 40)], "parallel")
    assert (parallel.limited_by, parallel.weakest) == ("speakers", "a")
    assert parallel.watts == pytest.approx(60)
    series = allowed_watts(90, [("a", 4, 40), ("b", 8, 40)], "series")
    assert (series.weakest, series.watts) == ("b", pytest.approx(60))
    assert allowed_watts(90, [("a", 4, None), ("b", 4, 80)], "parallel").limited_by == "amplifier"


def test_input_level() -> None:
    assert input_level([5.0, 4.0], (0.2, 4.5)).output_volts == 4.0
    assert input_level([5.0], (0.2, 4.5)).fault is not None
    assert input_level([5.0], (0.2, 4.5)).output_volts is None
    assert "full output" in (input_level([0.1], (0.2, 4.5)).fault or "")
    assert input_level([], (0.2, 4.5)).output_volts is None


@pytest.mark.parametrize("ohms", [0.013, 1, 2.01, 3.3, 4, 4.7, 6, 8, 13.26, 47.5, 82, 83, 100, 991])
def test_preferred_values_against_eseries(ohms: float) -> None:
    """IEC 60063's E12 in the package eseries."""
    assert next_preferred(ohms) == pytest.approx(find_greater_than_or_equal(SERIES_E12, ohms))


def test_e12_is_a_table_and_not_a_formula() -> None:
    """Rounding 10^(k/12) gives 26, 32, 46 and 83 where the standard has 27, 33, 47 and 82."""
    formula = [round(10 * 10 ** (k / 12)) for k in range(12)]
    assert {a for a, b in zip(formula, E12, strict=True) if a != b} >= {26, 32, 46, 83}


def test_load_resistor() -> None:
    """P = V^2 / R with a bridged output's 10.18 V at most: 4 ohm becomes 4.7 ohm, 22 W, so 25."""
    resistor = load_resistor(4)
    assert resistor.ohms == 4.7
    assert resistor.dissipates == pytest.approx((14.4 / sqrt(2)) ** 2 / 4.7)
    assert resistor.rating == 25
    assert load_resistor(0.5).rating is None
    with pytest.raises(ValueError, match="above 0"):
        next_preferred(0)


def test_reactance_identity() -> None:
    driver = Driver(4, 3500)
    assert driver.farads is not None
    assert driver.impedance(1000).imag == pytest.approx(-1 / (2 * pi * 1000 * driver.farads))
