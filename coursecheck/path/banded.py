"""Newton's step for a chain: a symmetric system whose unknowns meet only their neighbours.

Such a matrix is kept by its diagonals: `band[k][i]` stands in row i and column i - k.
"""

from __future__ import annotations

from collections.abc import Sequence

__all__ = ["BAND", "downhill", "solved"]

BAND = 3
"""How far from the diagonal a number may stand: two unknowns for each node, and legs join neighbours only."""

DAMPING = 1e-9
SINGULAR = 1e-30
GREATEST_STEP = 2.0  # metres or radians
ATTEMPTS = 12


def downhill(gradient: Sequence[float], band: Sequence[Sequence[float]], free: Sequence[bool]) -> list[float]:
    """The Newton step of the unknowns that may move, damped until it goes downhill; 0 for the others.

    Args:
        gradient: by each of n unknowns.
        band: second derivatives, BAND + 1 diagonals of n numbers.
        free: which of them may move.
    """
    damping = DAMPING
    for _attempt in range(ATTEMPTS):
        step = solved(gradient, band, free, damping)
        ahead = sum(along * slope for along, slope in zip(step, gradient, strict=True))
        if ahead < 0.0 and max(map(abs, step)) < GREATEST_STEP:
            break
        damping = max(damping * 10.0, 1e-3)
    return step


def solved(
    gradient: Sequence[float], band: Sequence[Sequence[float]], free: Sequence[bool], damping: float = DAMPING
) -> list[float]:
    """Solves (matrix + damping I) x = -gradient for the free unknowns, at a cost in proportion to their number.

    By L D L': row i of L has the factors f1, f2 and f3 to the left of its diagonal.
    """
    diagonal, near, next_near, far = band
    p1 = p2 = p3 = 1.0  # the pivots of the three rows before
    x1 = x2 = x3 = 0.0  # what is solved of them
    f11 = f12 = f21 = 0.0  # f1 and f2 of the row before, f1 of the one before that
    free1 = free2 = free3 = False
    rows: list[tuple[float, float, float, float]] = []
    for i, moves in enumerate(free):
        if moves:
            f3 = far[i] / p3 if free3 else 0.0
            f2 = ((next_near[i] if free2 else 0.0) - f3 * p3 * f21) / p2
            f1 = ((near[i] if free1 else 0.0) - f3 * p3 * f12 - f2 * p2 * f11) / p1
            pivot = diagonal[i] + damping - f3 * f3 * p3 - f2 * f2 * p2 - f1 * f1 * p1
            pivot = pivot if abs(pivot) > SINGULAR else SINGULAR
            x = -gradient[i] - f3 * x3 - f2 * x2 - f1 * x1
        else:
            f1 = f2 = f3 = x = 0.0
            pivot = 1.0
        rows.append((x / pivot, f1, f2, f3))
        p1, p2, p3 = pivot, p1, p2
        x1, x2, x3 = x, x1, x2
        f11, f12, f21 = f1, f2, f11
        free1, free2, free3 = moves, free1, free2
    step = [0.0] * len(rows)
    y1 = y2 = y3 = 0.0  # what later rows take off the three before them
    for i in range(len(rows) - 1, -1, -1):
        x, f1, f2, f3 = rows[i]
        x -= y1
        step[i] = x
        y1, y2, y3 = y2 + f1 * x, y3 + f2 * x, f3 * x
    return step
