"""A mixed-integer programme under names, for HiGHS through SciPy.

Promise: the one place that imports the solver. Columns and rows have names of the trade outside and
numbers inside; nothing here knows what they stand for.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

Terms = list[tuple[int, float]]


@dataclass(frozen=True)
class Relaxed:
    """A relaxed optimum: its value, the columns' values, and how it rises when a column leaves a
    bound (`rise` from its lower one, at least 0; `fall` from its upper one, at most 0)."""

    value: float
    x: Any
    rise: Any
    fall: Any


class Programme:
    """Columns and rows under names; the solver sees only numbers."""

    def __init__(self) -> None:
        self.columns: dict[tuple[str, str], int] = {}
        self.whole: list[int] = []
        self.lower: list[float] = []
        self.upper: list[float] = []
        self.rows: list[tuple[Terms, float, float]] = []

    def column(self, kind: str, name: str, *, upper: float = 1.0) -> int:
        """The column of that name, made on first sight; lengths are continuous, all else 0 or 1."""
        if (kind, name) not in self.columns:
            self.columns[kind, name] = len(self.columns)
            self.whole.append(int(kind != "length"))
            self.lower.append(0.0)
            self.upper.append(upper)
        return self.columns[kind, name]

    def named(self, kind: str) -> dict[str, int]:
        """All columns of one kind, by name."""
        return {name[1]: column for name, column in self.columns.items() if name[0] == kind}

    def row(self, terms: Terms, least: float, most: float) -> None:
        """`least <= sum of terms <= most`."""
        self.rows.append((terms, least, most))

    def minimise(self, terms: Terms, seconds: float) -> Any:
        """SciPy's result for the least sum of `terms`; its `x` is None where none was found."""
        import numpy as np
        from scipy.optimize import Bounds, LinearConstraint, milp

        matrix, least, most = self._matrix()
        return milp(
            self._aim(terms),
            integrality=np.array(self.whole),
            bounds=Bounds(np.array(self.lower), np.array(self.upper)),
            constraints=LinearConstraint(matrix, least, most),
            options={"mip_rel_gap": 0.0, "time_limit": max(seconds, 0.05)},
        )

    def relax(self, terms: Terms) -> Relaxed | None:
        """The same without whole numbers; None where the solver finds no optimum."""
        import numpy as np
        from scipy.optimize import linprog
        from scipy.sparse import vstack

        matrix, least, most = self._matrix()
        floor, ceiling = np.isfinite(least), np.isfinite(most)
        result = linprog(
            self._aim(terms),
            A_ub=vstack([matrix[ceiling], -matrix[floor]]).tocsr(),
            b_ub=np.concatenate([most[ceiling], -least[floor]]),
            bounds=np.column_stack([self.lower, self.upper]),
            method="highs",
        )
        if result.status != 0:
            return None
        return Relaxed(result.fun, result.x, result.lower.marginals, result.upper.marginals)

    def rule_out(self, relaxed: Relaxed, limit: float) -> None:
        """Fix every whole column whose other value would push the relaxed sum above `limit`."""
        for column, whole in enumerate(self.whole[: len(relaxed.rise)]):
            if whole and relaxed.value + relaxed.rise[column] > limit:
                self.upper[column] = self.lower[column]
            elif whole and relaxed.value - relaxed.fall[column] > limit:
                self.lower[column] = self.upper[column]

    def _aim(self, terms: Terms) -> Any:
        import numpy as np

        aim = np.zeros(len(self.columns))
        for column, factor in terms:
            aim[column] += factor
        return aim

    def _matrix(self) -> tuple[Any, Any, Any]:
        import numpy as np
        from scipy.sparse import coo_array

        at = [(i, j, v) for i, (row, _, _) in enumerate(self.rows) for j, v in row]
        rows, columns, factors = zip(*at, strict=True)
        shape = (len(self.rows), len(self.columns))
        matrix = coo_array((factors, (rows, columns)), shape=shape).tocsr()
        least = np.array([row[1] for row in self.rows])
        most = np.array([row[2] for row in self.rows])
        return matrix, least, most
