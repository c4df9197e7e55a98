"""The supply of the new amplifier: its current, its main fuse, its cable.

Promise: a choice above a limit is a fault in plain words, never a silent clamp. It stands alone
because the supply is the part of the job that can burn the car.
"""

from __future__ import annotations

from dataclasses import dataclass

from kb.plan.conductors import (
    AMPACITY_SOURCE,
    CHECKED_FACTORS,
    ENGINE_SPACE,
    Material,
    ampacity,
    ohms_per_metre,
    size_in_words,
    thinnest_supply_cable,
)
from kb.plan.why import COMMON_PRACTICE, Why, number
from kb.wire_sizes import awg_to_mm2

SUPPLY_VOLTS = 14.4
"""The supply voltage at which amplifiers are rated: ANSI/CTA-2006."""
EFFICIENCY = {"D": 0.80, "AB": 0.60}
"""Power out for power in, by class: common practice, no source."""
FUSES = (
    1,
    2,
    3,
    4,
    5,
    7.5,
    10,
    15,
    20,
    25,
    30,
    35,
    40,
    50,
    60,
    70,
    80,
    100,
    125,
    150,
    200,
    250,
    300,
)
"""Standard fuse ratings in amps: blade fuses to 40 and large blades to 80 as their makers' charts
have them, 100 and above from memory (ISO 8820-3 ends at 100, strip fuses of ISO 8820-5 go on)."""


@dataclass(frozen=True)
class Supply:
    """The supply as chosen; None where something that it needs is unknown.

    `metres` is the power cable's way, `ground_metres` the ground lead's; `assumed_ground` says
    that nobody gave the latter, `engine_space` that the cable passes the engine bay.
    `faults` and `notes` are sentences.
    """

    amps: float | None
    fuse_amps: float | None
    awg: int | None
    mm2: float | None
    material: Material
    insulation: int
    metres: float | None
    ground_metres: float
    assumed_ground: bool
    drop_volts: float | None
    most_drop: float
    engine_space: bool
    faults: tuple[str, ...]
    notes: tuple[str, ...]
    whys: tuple[Why, ...]


def current(watts: float, efficiency: float) -> float:
    """Amps at full rated power: watts / (efficiency x 14.4 V)."""
    return watts / (efficiency * SUPPLY_VOLTS)


def main_fuse(amps: float) -> float | None:
    """The next standard rating at or above `amps`; None above the largest."""
    return next((float(rating) for rating in FUSES if rating >= amps), None)


@dataclass(frozen=True)
class SupplyNeeds:
    """What the supply is worked out from. `watts` None: some channel's is unknown."""

    watts: float | None
    amplifier_class: str
    efficiency: float | None
    fuse_amps: float
    metres: float | None
    ground_metres: float | None
    material: Material = "copper"
    insulation: int = 80
    most_drop: float = 0.5
    engine_space: bool = False


ASSUMED_GROUND_METRES = 0.5
"""A short ground lead, where the job gives none: common practice, no source."""


def plan_supply(needs: SupplyNeeds) -> Supply:
    """Current, main fuse and cable by section 4 of the design, each with its why."""
    efficiency = needs.efficiency or EFFICIENCY[needs.amplifier_class]
    amps = None if needs.watts is None else current(needs.watts, efficiency)
    fuse = main_fuse(needs.fuse_amps)
    ground = ASSUMED_GROUND_METRES if needs.ground_metres is None else needs.ground_metres
    loop = None if needs.metres is None else needs.metres + ground
    awg = None
    if amps is not None and fuse is not None and loop is not None:
        awg = thinnest_supply_cable(
            fuse,
            amps,
            loop,
            material=needs.material,
            insulation=needs.insulation,
            most_drop=needs.most_drop,
            engine_space=needs.engine_space,
        )
    drop = None
    if awg is not None and amps is not None and loop is not None:
        drop = amps * loop * ohms_per_metre(awg, needs.material)
    found = Supply(
        amps=amps,
        fuse_amps=fuse,
        awg=awg,
        mm2=None if awg is None else awg_to_mm2(awg),
        material=needs.material,
        insulation=needs.insulation,
        metres=needs.metres,
        ground_metres=ground,
        assumed_ground=needs.ground_metres is None,
        drop_volts=drop,
        most_drop=needs.most_drop,
        engine_space=needs.engine_space,
        faults=(),
        notes=(),
        whys=(),
    )
    return Supply(
        **{
            **vars(found),
            "faults": tuple(_faults(needs, found)),
            "notes": tuple(_notes(found)),
            "whys": tuple(_whys(needs, found, efficiency)),
        }
    )


def _faults(needs: SupplyNeeds, supply: Supply) -> list[str]:
    faults = []
    if supply.fuse_amps is None:
        faults.append(f"no standard fuse is as large as {number(needs.fuse_amps)} A")
    elif supply.awg is None and supply.amps is not None and supply.metres is not None:
        faults.append(
            f"no {supply.material} cable of the table carries {number(supply.fuse_amps)} A over "
            f"{number(supply.metres + supply.ground_metres)} m out and back with at most "
            f"{number(needs.most_drop)} V lost: shorten the way or split the supply"
        )
    if supply.amps is not None and supply.fuse_amps is not None and supply.amps > supply.fuse_amps:
        faults.append(
            f"at full rated power the amplifier draws {number(supply.amps, 1)} A, more than its "
            f"fuse of {number(supply.fuse_amps)} A: check its watts and its fuse"
        )
    return faults


def _notes(supply: Supply) -> list[str]:
    notes = []
    if supply.metres is None:
        notes.append(
            "no documented way from the battery: measure it before the cable is bought; its size "
            "is unknown"
        )
    if supply.amps is None:
        notes.append("the watts of some channel are unknown, and with them the current")
    if supply.assumed_ground:
        notes.append(f"ground lead taken as {number(supply.ground_metres)} m: the job gives none")
    return notes


def _whys(needs: SupplyNeeds, supply: Supply, efficiency: float) -> list[Why]:
    told = needs.efficiency is not None
    whys = []
    if supply.amps is not None and needs.watts is not None:
        whys.append(
            Why(
                "supply current",
                f"{number(supply.amps, 1)} A",
                "I = P / (efficiency × 14.4 V)",
                f"P = {number(needs.watts)} W at the loads in use, "
                f"efficiency {number(efficiency)} "
                + ("as documented" if told else f"for class {needs.amplifier_class}"),
                "14.4 V as in ANSI/CTA-2006"
                + ("" if told else f"; the efficiency is {COMMON_PRACTICE}"),
            )
        )
    if supply.fuse_amps is not None:
        whys.append(
            Why(
                "main fuse",
                f"{number(supply.fuse_amps)} A",
                "the next standard rating at or above the amplifier's own",
                f"fuse_amps = {number(needs.fuse_amps)}; at the battery, within 18 in (46 cm)",
                "ratings of fuse makers' charts, 100 A and more from memory; the distance is "
                f"{COMMON_PRACTICE}",
            )
        )
    if supply.awg is not None and supply.drop_volts is not None and supply.metres is not None:
        whys += _cable_whys(supply)
    return whys


def _ampacity_words(supply: Supply) -> str:
    """The column of the table, the factor, and what they make for the size that was chosen."""
    assert supply.awg is not None
    table = number(ampacity(supply.awg, supply.insulation), 0)
    factor = ENGINE_SPACE[supply.insulation]
    column = f"{table} A in the column for insulation of {supply.insulation} °C, 30 °C ambient"
    if not supply.engine_space:
        return f"{column}; no engine space on the way"
    memory = "" if supply.insulation in CHECKED_FACTORS else ", a factor from memory"
    carries = ampacity(supply.awg, supply.insulation, supply.material, engine_space=True)
    return (
        f"{column}, × {number(factor)} for the engine bay at the battery{memory}: it may carry "
        f"{number(carries, 1)} A"
    )


def _cable_whys(supply: Supply) -> list[Why]:
    assert supply.awg is not None and supply.metres is not None and supply.drop_volts is not None
    derated = (
        ""
        if supply.material == "copper"
        else "; taken down by √0.629 for copper-clad aluminium (computed, no source)"
    )
    loop = supply.metres + supply.ground_metres
    return [
        Why(
            "supply cable",
            size_in_words(supply.awg),
            "the thinnest whose ampacity is not below the fuse and whose drop stays within "
            f"{number(supply.most_drop)} V",
            f"{_ampacity_words(supply)}{derated}",
            f"{AMPACITY_SOURCE}; the limit of {number(supply.most_drop)} V is {COMMON_PRACTICE}",
        ),
        Why(
            "voltage drop",
            f"{number(supply.drop_volts)} V",
            "V = I × ρ × (out + back) / A",
            f"I = {number(supply.amps or 0, 1)} A, {number(supply.metres)} m out and "
            f"{number(supply.ground_metres)} m ground = {number(loop)} m, "
            f"{number(1000 * ohms_per_metre(supply.awg, supply.material), 3)} mΩ/m at 20 °C",
            "ASTM B258 for the area; "
            + (
                "IEC 60028 copper, 58 MS/m"
                if supply.material == "copper"
                else "ASTM B566 class 10, at least 62.9 % IACS"
            ),
        ),
    ]
