"""The posterior as draws that keep their causes: each draw of prior and measurement moves its own draw of the result.

Randomised maximum likelihood (Oliver, 1996; Kitanidis, 1995) with the model linear about the peak of the posterior: for
a linear model with normal errors it draws from the exact posterior. Unlike importance sampling no draw hangs on
another, so that a meter's error moves what was inferred from its readings just as far as it moves the readings.
"""

from dataclasses import dataclass

import numpy as np

from partingline.calc.numbers import Array
from partingline.calc.powerstage.peak import Peak


@dataclass(frozen=True)
class Update:
    """Draws of the parameters' logarithms (k, draws), the estimate first, and how far the estimate misses.

    `spread` (k, k) is their covariance as the weights have it. `misfit` is the squared distance of the measured values
    from the prediction in units of their uncertainty, to be compared with their number.
    """

    logs: Array
    spread: Array
    misfit: float


def update(peak: Peak, *, prior: Array, measured: Array, sigma: Array, covariance: Array) -> Update:
    """Prior draws (k, draws) of the logarithms moved towards drawn measured values (m, draws), model error included.

    `sigma` (k,) and `covariance` (m, m) weigh the two: wrong ones cost sharpness, never honesty, since the draws
    themselves carry the uncertainty.
    """
    spread = np.diag(sigma**2)
    seen = peak.slopes @ spread @ peak.slopes.T + covariance
    gain = np.linalg.solve(seen, peak.slopes @ spread).T
    # Small matrices on many draws: einsum does without the threads of a linear algebra library, which cost more here.
    moved = np.einsum("mk,kd->md", peak.slopes, prior - peak.at[:, np.newaxis])
    missed = measured - peak.predicted[:, np.newaxis] - moved
    logs = np.asarray(prior + np.einsum("km,md->kd", gain, missed), dtype=float)
    gap = measured[:, 0] - peak.predicted - peak.slopes @ (logs[:, 0] - peak.at)
    left = np.asarray(spread - gain @ peak.slopes @ spread, dtype=float)
    return Update(logs, left, float(gap @ np.linalg.solve(covariance, gap)))
