"""Cable as a conductor: its ohms, what it may carry, how thin it may be.

Sources: ASTM B258 (size of an AWG conductor, in `kb.wire_sizes`); the International Annealed Copper
Standard, 58 MS/m at 20 C exactly (IEC 60028); ASTM B566 class 10 for copper-clad aluminium, at
least 62.9 % of that; 33 CFR 183.425 Table 5 for what a conductor may carry. The last is a law for
boats: no published table for cars was found, so a boat's is borrowed and said to be one.
"""

from __future__ import annotations

from typing import Literal

from kb.wire_sizes import awg_to_mm2, write_awg

Material = Literal["copper", "copper-clad aluminium"]

IACS = 58.0
"""Conductivity of annealed copper at 20 C in m / (ohm mm2)."""
CONDUCTIVITY: dict[Material, float] = {"copper": 1.0, "copper-clad aluminium": 0.629}
"""As a share of annealed copper. ASTM B566, classes 10A and 10H: at least 62.9 %."""
TEMPERATURE_COEFFICIENT = 0.00393
"""Rise of copper's resistance per kelvin, of its value at 20 C."""

INSULATIONS = (60, 75, 80, 90, 105, 125, 200)
"""Temperature ratings of insulation in C, the columns of the table below."""
AMPACITY: dict[int, tuple[int, ...]] = {
    18: (10, 10, 15, 20, 20, 25, 25),
    16: (15, 15, 20, 25, 25, 30, 35),
    14: (20, 20, 25, 30, 35, 40, 45),
    12: (25, 25, 35, 40, 45, 50, 55),
    10: (40, 40, 50, 55, 60, 70, 70),
    8: (55, 65, 70, 70, 80, 90, 100),
    6: (80, 95, 100, 100, 120, 125, 135),
    4: (105, 125, 130, 135, 160, 170, 180),
    2: (140, 170, 175, 180, 210, 225, 240),
    1: (165, 195, 210, 210, 245, 265, 280),
    0: (195, 230, 245, 245, 285, 305, 325),
    -1: (225, 265, 285, 285, 330, 355, 370),
    -2: (260, 310, 330, 330, 385, 410, 430),
    -3: (300, 360, 385, 385, 445, 475, 510),
}
"""33 CFR 183.425 Table 5: amps of stranded copper at 30 C ambient, by AWG and insulation."""
ENGINE_SPACE: dict[int, float] = {
    60: 0.58,
    75: 0.75,
    80: 0.78,
    90: 0.82,
    105: 0.85,
    125: 0.89,
    200: 1.00,
}
"""What the table's amps are multiplied with inside an engine space (50 C), by insulation: the note
to 33 CFR 183.425 Table 5. The 0.85 for 105 C was checked against printed results; the others, the
0.78 for 80 C among them, are from memory."""
CHECKED_FACTORS = (105,)
"""Insulations whose engine-space factor was checked and is not from memory."""
AMPACITY_SOURCE = "33 CFR 183.425 Table 5, a law for boats, borrowed for want of one for cars"
SPEAKER_SIZES = (18, 16, 14, 12, 10, 8)
"""Sizes that speaker wire is commonly sold in: common practice, no source."""


def ohms_per_metre(awg: int, material: Material = "copper", celsius: float = 20.0) -> float:
    """Resistance of one metre of one conductor, 1 / (conductivity x area), in ohms."""
    cold = 1 / (IACS * CONDUCTIVITY[material] * awg_to_mm2(awg))
    return cold * (1 + TEMPERATURE_COEFFICIENT * (celsius - 20.0))


def ampacity(
    awg: int,
    insulation: int = 80,
    material: Material = "copper",
    *,
    engine_space: bool = False,
) -> float:
    """Amps that a conductor of that size may carry, less where it passes an engine space.

    Copper-clad aluminium is no part of the table: it is taken down to the current that makes the
    same heat, by the square root of its conductivity (computed, no source). Raises KeyError for
    sizes and insulations that the table has not.
    """
    amps = dict(zip(INSULATIONS, AMPACITY[awg], strict=True))[insulation]
    factor = ENGINE_SPACE[insulation] if engine_space else 1.0
    return amps * factor * float(CONDUCTIVITY[material] ** 0.5)


def thinnest_supply_cable(
    fuse_amps: float,
    amps: float,
    metres: float,
    *,
    material: Material = "copper",
    insulation: int = 80,
    most_drop: float = 0.5,
    engine_space: bool = False,
) -> int | None:
    """The thinnest AWG that may carry the fuse's amps and drops at most `most_drop` volts.

    `metres` is the whole loop, out and back. None where not even the thickest size will do.
    """
    for awg in AMPACITY:
        drop = amps * metres * ohms_per_metre(awg, material)
        carries = ampacity(awg, insulation, material, engine_space=engine_space)
        if carries >= fuse_amps and drop <= most_drop:
            return awg
    return None


def thinnest_speaker_wire(
    metres: float, load_ohms: float, *, share: float = 0.05, material: Material = "copper"
) -> int | None:
    """The thinnest size sold whose ohms, out and back over `metres`, are at most `share` of the
    load; None where not even the thickest will do."""
    for awg in SPEAKER_SIZES:
        if 2 * metres * ohms_per_metre(awg, material) <= share * load_ohms:
            return awg
    return None


def size_in_words(awg: int) -> str:
    """A size as a person reads it: `8 AWG (8.37 mm2)`."""
    return f"{write_awg(awg)} AWG ({awg_to_mm2(awg):.3g} mm²)"
