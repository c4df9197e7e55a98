"""Wire sizes: American wire gauge as a number, as text, and as copper area.

Gauge m/0 is the number 1 - m, as in the formula of ASTM B258: 1/0 is 0, 2/0 is -1, 4/0 is -3. SAE
sizes carry the same numbers but have 3 to 12 % less copper; nothing here speaks of them.

It stands alone because documents, queries and plans all compare sizes.
"""

import math
import re

THICKEST_AWG = -3
THINNEST_AWG = 40
_SMALLEST_INCH = 0.005
_MM_PER_INCH = 25.4


def read_awg(value: int | str) -> int:
    """Read `10`, `"10"`, `"1/0"`, `"2/0"` or `"00"`; 0 for 1/0, -1 for 2/0, down to -3 for 4/0.

    Raises ValueError with a sentence for anything else, and for sizes outside 4/0 to 40.
    """
    gauge = _gauge(value)
    if gauge is None or not THICKEST_AWG <= gauge <= THINNEST_AWG:
        shown = str(value)[:20] if isinstance(value, str) or abs(value) < 10**9 else "a huge number"
        raise ValueError(
            f"{shown} is no AWG size; write 0 to {THINNEST_AWG}, or 1/0 to 4/0 as text"
        )
    return gauge


def _gauge(value: int | str) -> int | None:
    if isinstance(value, bool):
        return None
    if isinstance(value, int):
        return value if value >= 0 else None
    text = value.strip()
    if match := re.fullmatch(r"([1-4])/0", text):
        return 1 - int(match[1])
    if re.fullmatch(r"0{1,4}", text):
        return 1 - len(text)
    return int(text) if re.fullmatch(r"[1-9][0-9]?", text) else None


def write_awg(gauge: int) -> str:
    """The size as the trade writes it: `10`, `1/0`, `4/0`."""
    return str(gauge) if gauge > 0 else f"{1 - gauge}/0"


def awg_to_mm2(gauge: int) -> float:
    """Copper area in mm2 of a solid round wire of that gauge.

    ASTM B258: diameter in inches = 0.005 x 92^((36 - n) / 39).
    """
    diameter_mm: float = _SMALLEST_INCH * _MM_PER_INCH * 92.0 ** ((36 - gauge) / 39)
    return math.pi * diameter_mm * diameter_mm / 4


def mm2_to_nearest_awg(mm2: float) -> int:
    """The gauge from 4/0 to 40 whose area is nearest by ratio. Raises ValueError unless mm2 > 0."""
    if not (mm2 > 0 and math.isfinite(mm2)):
        raise ValueError(f"{mm2} mm2 is no wire size; write an area above 0")
    diameter_mm = math.sqrt(4 * mm2 / math.pi)
    exact = 36 - 39 * math.log(diameter_mm / (_SMALLEST_INCH * _MM_PER_INCH)) / math.log(92)
    return max(THICKEST_AWG, min(THINNEST_AWG, round(exact)))
