"""Sizes in questions against ASTM B258 (AWG) and the nominal areas of IEC 60228.

AWG areas and circular mils are those of the tables made from ASTM B258's formula; 1 cmil is
pi/4 x (25.4e-3 mm)^2. Lengths: 1 ft = 0.3048 m by international agreement (1959).
"""

from __future__ import annotations

import math

import pytest

from kb.query.catalogue import Field, Kind
from kb.query.values import Unreadable, read_value

SIZE = Field("size", Kind.AREA, "x", "")
GAUGE = Field("awg", Kind.GAUGE, "x", "")
LENGTH = Field("metres", Kind.LENGTH, "x", "")
OHMS = Field("ohms", Kind.OHMS, "x", "")
CIRCULAR_MILS = {
    "4/0": 211600, "3/0": 167810, "2/0": 133080, "1/0": 105530, "1": 83694, "2": 66373,
    "4": 41742, "6": 26250, "8": 16509, "10": 10381, "12": 6529, "14": 4106.8, "16": 2582.9,
    "18": 1624.3, "20": 1021.5,
}  # fmt: skip
IEC_60228 = [0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50]
MM2_PER_CIRCULAR_MIL = math.pi / 4 * 0.0254**2


@pytest.mark.parametrize("gauge", CIRCULAR_MILS)
def test_a_gauge_is_its_area(gauge: str) -> None:
    area = CIRCULAR_MILS[gauge] * MM2_PER_CIRCULAR_MIL
    for written in (f"{gauge} awg", f"{gauge}AWG", f"{gauge}  Awg"):
        assert read_value(SIZE, "=", written) == pytest.approx(area, rel=2e-4)
    assert read_value(GAUGE, "=", gauge) == read_value(SIZE, "=", f"{gauge} awg")


def test_metric_and_american_sizes_stand_in_one_order() -> None:
    """The known neighbours: 16 AWG lies between 1 and 1.5 mm2, 10 AWG between 4 and 6."""
    typed = [f"{size} mm2" for size in IEC_60228] + [f"{gauge} awg" for gauge in CIRCULAR_MILS]
    order = sorted(typed, key=lambda text: float(read_value(SIZE, "=", text)))
    assert order == [
        "0.5 mm2", "20 awg", "0.75 mm2", "18 awg", "1 mm2", "16 awg", "1.5 mm2", "14 awg",
        "2.5 mm2", "12 awg", "4 mm2", "10 awg", "6 mm2", "8 awg", "10 mm2", "6 awg", "16 mm2",
        "4 awg", "25 mm2", "2 awg", "35 mm2", "1 awg", "50 mm2", "1/0 awg", "2/0 awg", "3/0 awg",
        "4/0 awg",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("12 ft", 3.6576),
        ("1 in", 0.0254),
        ("3.5 m", 3.5),
        ("3.5", 3.5),
        ("250cm", 2.5),
        ("1 foot", 0.3048),
    ],
)
def test_lengths(text: str, metres: float) -> None:
    assert read_value(LENGTH, "=", text) == pytest.approx(metres, rel=1e-12)


@pytest.mark.parametrize("text", ["4", "4 ohm", "4ohms", "4 Ω", "4.0 \u2126"])
def test_ohms(text: str) -> None:
    assert read_value(OHMS, "=", text) == 4


@pytest.mark.parametrize(
    ("field", "text"),
    [
        (SIZE, "16"),
        (SIZE, "16 ohm"),
        (SIZE, "41 awg"),
        (SIZE, "5/0 awg"),
        (SIZE, "-1 mm2 awg"),
        (SIZE, "nan mm2"),
        (SIZE, "1e9 mm2"),
        (GAUGE, "1.5 mm2"),
        (LENGTH, "3 miles"),
        (OHMS, "four"),
        (OHMS, ""),
    ],
)
def test_what_is_no_quantity_is_refused(field: Field, text: str) -> None:
    with pytest.raises(Unreadable):
        read_value(field, "=", text)


def test_a_size_without_a_unit_asks_which() -> None:
    with pytest.raises(Unreadable, match="awg or mm2") as caught:
        read_value(SIZE, "=", "16")
    assert caught.value.expected == ("16 awg", "16 mm2")
