"""Newton's step for a chain: a symmetric system whose unknowns meet only their neighbours.

Such a matrix is kept by its diagonals: `band[k, i]` stands in row i and column i - k.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from coursecheck.path.words import Floats

__all__ = ["BAND", "downhill"]

BAND = 3
"""How far from the diagonal a number may stand: two unknowns for each node, and legs join neighbours only."""

DAMPING = 1e-9
SINGULAR = 1e-30
GREATEST_STEP = 2.0  # metres or radians
ATTEMPTS = 12


def downhill(gradient: Floats, band: Floats, free: NDArray[np.bool_]) -> Floats:
    """The Newton step of the unknowns that may move, damped until it goes downhill.

    Args:
        gradient: by each unknown, shape (n,).
        band: second derivatives, shape (BAND + 1, n).
        free: which of them may move.
    """
    at = np.nonzero(free)[0]
    inside, slope = _of_some(band, at), gradient[at]
    damping = DAMPING
    for _attempt in range(ATTEMPTS):
        step = _solved(inside, damping, -slope)
        if step @ slope < 0.0 and np.abs(step).max() < GREATEST_STEP:
            break
        damping = max(damping * 10.0, 1e-3)
    steps = np.zeros_like(gradient)
    steps[at] = step
    return steps


def _of_some(band: Floats, at: NDArray[np.intp]) -> Floats:
    """The rows and columns of some unknowns, which are no further apart than before."""
    some = np.zeros((len(band), len(at)))
    some[0] = band[0, at]
    for k in range(1, len(band)):
        apart = at[k:] - at[:-k]
        some[k, k:] = np.where(apart <= BAND, band[np.minimum(apart, BAND), at[k:]], 0.0)
    return some


def _solved(band: Floats, damping: float, right: Floats) -> Floats:
    """Solves (matrix + damping I) x = right, at a cost in proportion to the number of unknowns."""
    size = len(right)
    rows = band.tolist()
    pivots, solved = [0.0] * size, right.tolist()
    factors = [[0.0] * (BAND + 1) for _ in range(size)]  # factors[i][k]: how row i takes from row i - k
    for i in range(size):
        here, near = factors[i], range(1, min(BAND, i) + 1)
        for k in reversed(near):
            j = i - k
            value = rows[k][i]
            for m in range(k + 1, len(near) + 1):
                value -= here[m] * factors[j][m - k] * pivots[i - m]
            here[k] = value / pivots[j]
        pivot = rows[0][i] + damping - sum(here[k] ** 2 * pivots[i - k] for k in near)
        pivots[i] = pivot if abs(pivot) > SINGULAR else SINGULAR
        solved[i] -= sum(here[k] * solved[i - k] for k in near)
    answer = [value / pivot for value, pivot in zip(solved, pivots, strict=True)]
    for i in range(size - 1, -1, -1):
        answer[i] -= sum(factors[i + k][k] * answer[i + k] for k in range(1, min(BAND, size - 1 - i) + 1))
    return np.array(answer)
