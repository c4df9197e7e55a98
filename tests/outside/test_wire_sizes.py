"""American wire gauge against the published tables."""

import math

import pytest

from kb.wire_sizes import awg_to_mm2, mm2_to_nearest_awg, read_awg, write_awg

CIRCULAR_MIL_MM2 = math.pi / 4 * 0.0254**2

# A university's copper wire table (ASTM B258 sizes): gauge, diameter in inches, circular mils.
PUBLISHED = [
    ("4/0", 0.46, 211600), ("3/0", 0.40965, 167810), ("2/0", 0.3648, 133080),
    ("1/0", 0.32485, 105530), ("1", 0.2893, 83694), ("2", 0.25763, 66373), ("3", 0.22942, 52634),
    ("4", 0.20431, 41742), ("5", 0.18194, 33102), ("6", 0.16202, 26250), ("7", 0.14428, 20816),
    ("8", 0.12849, 16509), ("9", 0.11443, 13094), ("10", 0.10189, 10381), ("11", 0.09074, 8234),
    ("12", 0.0808, 6529), ("13", 0.07196, 5178.4), ("14", 0.06408, 4106.8), ("15", 0.05707, 3256.7),
    ("16", 0.05082, 2582.9), ("17", 0.04526, 2048.2), ("18", 0.0403, 1624.3),
    ("19", 0.03589, 1288.1), ("20", 0.03196, 1021.5),
]  # fmt: skip

# NBS Handbook 100 / Circular 31, ohm per 1000 ft at 20 C, solid annealed copper (from memory).
HANDBOOK_OHMS = {
    "4/0": 0.04901, "3/0": 0.06180, "2/0": 0.07793, "1/0": 0.09827, "1": 0.1239, "2": 0.1563,
    "3": 0.1970, "4": 0.2485, "5": 0.3133, "6": 0.3951, "7": 0.4982, "8": 0.6282, "9": 0.7921,
    "10": 0.9989, "11": 1.260, "12": 1.588, "13": 2.003, "14": 2.525, "15": 3.184, "16": 4.016,
    "17": 5.064, "18": 6.385, "19": 8.051, "20": 10.15,
}  # fmt: skip

# SAE sizes in circular mils: a marine supplier's appendix. The same numbers, less copper.
SAE = {
    "18": 1537, "16": 2336, "14": 3702, "12": 5833, "10": 9343, "8": 14810, "6": 24538, "4": 37360,
    "2": 62450, "1/0": 98980, "2/0": 125100, "4/0": 205500,
}  # fmt: skip


@pytest.mark.parametrize(("size", "inches", "circular_mils"), PUBLISHED)
def test_area_agrees_with_the_published_table(
    size: str, inches: float, circular_mils: float
) -> None:
    area = awg_to_mm2(read_awg(size))
    assert area == pytest.approx(circular_mils * CIRCULAR_MIL_MM2, rel=5e-4)
    assert area == pytest.approx(math.pi / 4 * (inches * 25.4) ** 2, rel=1e-3)


def test_resistance_from_the_area_agrees_with_the_handbook() -> None:
    """IACS copper, 1/58 ohm mm2/m at 20 C, over our areas: every row within 0.05 %."""
    for size, ohms in HANDBOOK_OHMS.items():
        computed = 304.8 / 58 / awg_to_mm2(read_awg(size))
        assert computed == pytest.approx(ohms, rel=5e-4), size


def test_astm_b258_fixed_points() -> None:
    """ASTM B258: 4/0 is 0.4600 in, 36 is 0.0050 in, the ratio the 39th root of 92."""
    assert awg_to_mm2(read_awg("4/0")) == pytest.approx(math.pi / 4 * (0.46 * 25.4) ** 2)
    assert awg_to_mm2(36) == pytest.approx(math.pi / 4 * (0.005 * 25.4) ** 2)
    assert math.sqrt(awg_to_mm2(10) / awg_to_mm2(11)) == pytest.approx(1.1229322, rel=1e-7)


@pytest.mark.parametrize("size", SAE)
def test_sae_sizes_are_not_awg(size: str) -> None:
    """A published trap: SAE sizes carry the same number with 2.5 to 13 % less copper."""
    area = awg_to_mm2(read_awg(size))
    assert 0.025 < 1 - SAE[size] * CIRCULAR_MIL_MM2 / area < 0.13


def test_every_size_is_read_back() -> None:
    for gauge in range(-3, 41):
        assert read_awg(write_awg(gauge)) == gauge
        assert mm2_to_nearest_awg(awg_to_mm2(gauge)) == gauge


@pytest.mark.parametrize(
    ("mm2", "nearest"),
    # IEC 60228 sizes beside the nearest AWG areas of the published table, by ratio.
    [
        (0.5, 20),
        (0.75, 18),
        (1.5, 15),
        (2.5, 13),
        (4, 11),
        (6, 9),
        (10, 7),
        (16, 5),
        (25, 3),
        (50, 0),
    ],
)
def test_nearest_gauge(mm2: float, nearest: int) -> None:
    assert mm2_to_nearest_awg(mm2) == nearest


@pytest.mark.parametrize(
    ("written", "gauge"),
    [
        (0, 0),
        ("0", 0),
        ("1/0", 0),
        ("2/0", -1),
        ("00", -1),
        ("4/0", -3),
        ("0000", -3),
        (10, 10),
        (" 8 ", 8),
    ],
)
def test_reads_every_way_of_writing(written: int | str, gauge: int) -> None:
    assert read_awg(written) == gauge


@pytest.mark.parametrize(
    "written", [-1, 41, "5/0", "1/1", "ten", "", "010", "1.5", "٣", True, 10**50, "9" * 5000]
)
def test_refuses_what_is_no_size(written: int | str) -> None:
    with pytest.raises(ValueError, match="is no AWG size; write 0 to 40"):
        read_awg(written)


@pytest.mark.parametrize("mm2", [0, -1, math.nan, math.inf])
def test_refuses_what_is_no_area(mm2: float) -> None:
    with pytest.raises(ValueError, match="is no wire size"):
        mm2_to_nearest_awg(mm2)
