"""Cable against published tables and worked examples; each source is named beside its check."""

import pytest

from kb.plan import conductors
from kb.plan.conductors import (
    AMPACITY,
    ampacity,
    ohms_per_metre,
    thinnest_speaker_wire,
    thinnest_supply_cable,
)
from kb.plan.supply import FUSES, SupplyNeeds, current, main_fuse, plan_supply
from kb.wire_sizes import awg_to_mm2

FEET = 0.3048
MM2_PER_CIRCULAR_MIL = 5.0670747909749e-4

# Ohms per 1000 ft at 20 C of solid annealed copper, AWG 0000 to 20: the four-figure handbook values
# of NBS Handbook 100 / Circular 31 (from memory), and a university's copy of the rounded table.
HANDBOOK = [
    0.04901, 0.06180, 0.07793, 0.09827, 0.1239, 0.1563, 0.1970, 0.2485, 0.3133, 0.3951, 0.4982,
    0.6282, 0.7921, 0.9989, 1.260, 1.588, 2.003, 2.525, 3.184, 4.016, 5.064, 6.385, 8.051, 10.15,
]  # fmt: skip
ROUNDED = [
    0.049, 0.0618, 0.078, 0.0983, 0.124, 0.1563, 0.197, 0.2485, 0.3133, 0.3951, 0.4982, 0.6282,
    0.7921, 0.9989, 1.26, 1.588, 2.003, 2.525, 3.184, 4.016, 5.064, 6.385, 8.051, 10.15,
]  # fmt: skip


def per_kft(awg: int, celsius: float = 20.0) -> float:
    return ohms_per_metre(awg, celsius=celsius) * 1000 * FEET


@pytest.mark.parametrize("awg", range(-3, 21))
def test_handbook_resistance(awg: int) -> None:
    assert per_kft(awg) == pytest.approx(HANDBOOK[awg + 3], rel=5e-4)
    assert per_kft(awg) == pytest.approx(ROUNDED[awg + 3], rel=5e-3)


def test_a_table_that_calls_twenty_degrees_twenty_five_is_wrong() -> None:
    """A supplier prints the 20 C numbers under 25 C; its 65 C column is right for 65 C."""
    for awg, at_25, at_65 in ((-3, 0.04998, 0.0576), (10, 1.0185, 1.175), (12, 1.619, 1.868)):
        assert per_kft(awg, 25) == pytest.approx(at_25, rel=5e-4)
        assert per_kft(awg, 65) == pytest.approx(at_65, rel=2e-3)
        assert per_kft(awg, 25) > HANDBOOK[awg + 3] * 1.015


@pytest.mark.parametrize(
    ("mm2", "class_2", "class_5"),
    [
        (0.5, 36.0, 39.0), (0.75, 24.5, 26.0), (1, 18.1, 19.5), (1.5, 12.1, 13.3),
        (2.5, 7.41, 7.98), (4, 4.61, 4.95), (6, 3.08, 3.30), (10, 1.83, 1.91), (16, 1.15, 1.21),
        (25, 0.727, 0.780), (35, 0.524, 0.554), (50, 0.387, 0.386),
    ],
)  # fmt: skip
def test_iec_60228_allows_what_the_area_gives(mm2: float, class_2: float, class_5: float) -> None:
    """IEC 60228 sets the greatest ohms per km at 20 C; pure copper of the full area stays below."""
    ideal = 1000 / (conductors.IACS * mm2)
    assert ideal < class_2
    assert ideal == pytest.approx(class_2, rel=0.12)
    assert ideal == pytest.approx(class_5, rel=0.14)


def test_copper_clad_aluminium_is_never_better_than_its_standard() -> None:
    """ASTM B566 class 10: at least 62.9 % IACS. A maker's typical 3.91 ohm/kft at 14 AWG is better
    than that minimum, so the planned value must lie above it, by no more than 3 %."""
    for awg, typical in ((14, 3.91), (16, 6.23), (18, 9.90), (20, 15.7)):
        planned = ohms_per_metre(awg, "copper-clad aluminium") * 1000 * FEET
        assert typical < planned < typical * 1.03
        assert planned == pytest.approx(per_kft(awg) / 0.629)


@pytest.mark.parametrize(
    ("awg", "row"),
    [
        (18, "10 10 15 20 20 25 25"), (16, "15 15 20 25 25 30 35"), (14, "20 20 25 30 35 40 45"),
        (12, "25 25 35 40 45 50 55"), (10, "40 40 50 55 60 70 70"), (8, "55 65 70 70 80 90 100"),
        (6, "80 95 100 100 120 125 135"), (4, "105 125 130 135 160 170 180"),
        (2, "140 170 175 180 210 225 240"), (1, "165 195 210 210 245 265 280"),
        (0, "195 230 245 245 285 305 325"), (-1, "225 265 285 285 330 355 370"),
        (-2, "260 310 330 330 385 410 430"), (-3, "300 360 385 385 445 475 510"),
    ],
)  # fmt: skip
def test_ampacity_is_33_cfr_183_425_table_5(awg: int, row: str) -> None:
    """A law for boats: stranded copper, 30 C ambient, insulation for 60 to 200 C."""
    published = [int(amps) for amps in row.split()]
    insulations = (60, 75, 80, 90, 105, 125, 200)
    assert [ampacity(awg, insulation) for insulation in insulations] == published
    assert len(AMPACITY) == 14


def circular_mils(drop: float, amps: float, loop_feet: float) -> float:
    """The area that just drops `drop` volts by our own resistance, in circular mils."""
    ohm_metres_per_mm2 = 1 / conductors.IACS
    return amps * loop_feet * FEET * ohm_metres_per_mm2 / drop / MM2_PER_CIRCULAR_MIL


@pytest.mark.parametrize(
    ("amps", "loop_feet", "drop", "published_mils"),
    [
        (10, 21, 0.36, 6271),  # marine text: CM = 10.75 I L / E, 3 % of 12 V, out and back
        (10, 21, 1.2, 1881),  # the same at 10 %
        (45, 40, 1.2, 16125),  # 1800 ft A, answer 8 AWG
        (100, 10, 0.72, 14931),  # 24 V, 3 %: 8 AWG by area alone
    ],
)
def test_published_voltage_drop_examples(
    amps: float, loop_feet: float, drop: float, published_mils: float
) -> None:
    """The texts' K of 10.75 is copper at about 29 C; ours is 10.371 at 20 C."""
    ours = circular_mils(drop, amps, loop_feet)
    assert ours * 10.75 / 10.371 == pytest.approx(published_mils, rel=1e-3)


def test_published_sizes_for_the_examples() -> None:
    """45 A over 40 ft out and back, 10 % of 12 V: 8 AWG. 100 A over 10 ft, 3 % of 24 V: by area
    8 AWG would do; the ampacity asks for 6 (105 C insulation: 8 carries 80, 6 carries 120)."""
    assert thinnest_supply_cable(45, 45, 40 * FEET, insulation=105, most_drop=1.2) == 8
    assert thinnest_supply_cable(100, 100, 10 * FEET, insulation=105, most_drop=0.72) == 6
    # The trap: 10 A over 21 ft at 3 %: 12 AWG by area. A chart that means SAE sizes, with 5833
    # circular mils in a 12, says 10.
    assert thinnest_supply_cable(10, 10, 21 * FEET, insulation=105, most_drop=0.36) == 12
    assert awg_to_mm2(12) / MM2_PER_CIRCULAR_MIL > circular_mils(0.36, 10, 21) > 5833


def test_the_drop_counts_out_and_back() -> None:
    """A cable chart drops 0.265 V with 4.17 A over 5 m at 0.0127 ohm/m: one way only."""
    one_way = 4.17 * 5 * 0.0127
    assert one_way == pytest.approx(0.265, abs=5e-4)
    supply = plan_supply(SupplyNeeds(400, "D", None, 40, 5.0, 5.0))
    assert supply.awg is not None
    amps = 400 / (0.8 * 14.4)
    assert supply.drop_volts == pytest.approx(amps * 10.0 * ohms_per_metre(supply.awg))


def test_supply_of_the_example() -> None:
    """Four channels of 90 W and one of 150 W, class D, 60 A, 2.4 m and 0.5 m: 8 AWG copper."""
    supply = plan_supply(SupplyNeeds(510, "D", None, 60, 2.4, 0.5))
    assert supply.amps == pytest.approx(510 / 11.52)
    assert (supply.fuse_amps, supply.awg, supply.faults) == (60, 8, ())
    assert supply.drop_volts == pytest.approx(510 / 11.52 * 2.9 / 58 / 8.366, rel=1e-3)
    clad = plan_supply(SupplyNeeds(510, "D", None, 60, 2.4, 0.5, "copper-clad aluminium"))
    assert clad.awg is not None
    assert clad.awg < 8
    assert {"copper-clad aluminium"} == {clad.material}
    assert all(why.source for why in (*supply.whys, *clad.whys))


def test_limits_are_faults_and_unknowns_stay_unknown() -> None:
    far = plan_supply(SupplyNeeds(3000, "AB", None, 300, 40.0, 1.0))
    assert far.awg is None
    assert any("shorten the way" in fault for fault in far.faults)
    greedy = plan_supply(SupplyNeeds(1000, "AB", None, 40, 1.0, 0.5))
    assert any("more than its fuse" in fault for fault in greedy.faults)
    lost = plan_supply(SupplyNeeds(500, "D", None, 60, None, None))
    assert (lost.metres, lost.awg, lost.drop_volts) == (None, None, None)
    assert lost.assumed_ground
    assert len(lost.notes) == 2
    assert plan_supply(SupplyNeeds(500, "D", None, 400, 1.0, 0.5)).fuse_amps is None


def test_fuse_ratings() -> None:
    """Blade fuses as fuse makers' charts have them: regular to 40 A, large ones 20 to 80 A.
    65 A is no rating: a sum of 20 + 20 + 25 A goes up to 70, never down to 60."""
    regular = {1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 35, 40}
    large = {20, 30, 40, 50, 60, 70, 80}
    assert regular | large == {rating for rating in FUSES if rating <= 80}
    assert list(FUSES) == sorted(set(FUSES))
    assert main_fuse(65) == 70
    assert [main_fuse(amps) for amps in FUSES] == list(FUSES)
    assert main_fuse(7) == 7.5
    assert main_fuse(301) is None
    assert current(0, 0.8) == 0


def test_speaker_wire_share() -> None:
    """At most 5 % of the load, out and back: checked with the handbook's ohms."""
    for metres in (0.5, 1.9, 3.8, 8.0, 15.0):
        for load in (1.0, 2.0, 4.0, 8.0):
            awg = thinnest_speaker_wire(metres, load)
            fits = [
                size
                for size in (18, 16, 14, 12, 10, 8)
                if 2 * metres / FEET / 1000 * HANDBOOK[size + 3] <= 0.05 * load
            ]
            assert awg == (fits[0] if fits else None)
