"""Newton's step is the solution of its system, for the unknowns that may move."""

import numpy as np
import pytest

from coursecheck.path.banded import BAND, downhill


def system(seed):
    """A positive definite matrix of few diagonals, a gradient, and which unknowns may move."""
    rng = np.random.default_rng(seed)
    size = int(rng.integers(1, 14))
    band = rng.uniform(-1.0, 1.0, (BAND + 1, size))
    band[0] += 2 * BAND + 1
    full = np.zeros((size, size))
    for row in range(size):
        for k in range(min(BAND, row) + 1):
            full[row, row - k] = full[row - k, row] = band[k, row]
    return band, full, rng.uniform(-1.0, 1.0, size), rng.random(size) < 0.7


@pytest.mark.parametrize("seed", range(30))
def test_the_step_solves_the_system_of_the_free_unknowns(seed):
    band, full, gradient, free = system(seed)
    at = np.nonzero(free)[0]
    wanted = np.zeros(len(gradient))
    wanted[at] = np.linalg.solve(full[np.ix_(at, at)], -gradient[at])
    found = downhill(gradient.tolist(), band.tolist(), free.tolist())
    assert found == pytest.approx(wanted, abs=1e-8)


def test_a_saddle_is_left_downhill():
    band = [[-1.0, 2.0], [0.0, 0.0], [0.0, 0.0], [0.0, 0.0]]
    step = downhill([0.3, 0.1], band, [True, True])
    assert step[0] < 0.0
    assert step[0] * 0.3 + step[1] * 0.1 < 0.0
