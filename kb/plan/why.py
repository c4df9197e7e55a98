"""How a figure of the plan came about, in one line: formula, inputs, source.

It stands alone because every figure carries one, and a person who doubts a figure reads it.
"""

from __future__ import annotations

from dataclasses import dataclass

COMMON_PRACTICE = "common practice, no source"


@dataclass(frozen=True)
class Why:
    """One figure: what it is, its value with its unit, the formula, the inputs, the source."""

    figure: str
    value: str
    formula: str
    inputs: str
    source: str

    def line(self) -> str:
        """All of it in one line."""
        inputs = f"; {self.inputs}" if self.inputs else ""
        return f"{self.figure} {self.value}: {self.formula}{inputs} ({self.source})"


def number(value: float, places: int = 2) -> str:
    """A figure for people: at most `places` decimals, and no trailing zeros."""
    text = f"{value:.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
