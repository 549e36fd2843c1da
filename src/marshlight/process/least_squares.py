"""The one least-squares engine: bounds, scaling, several starts, covariance.

Every fit in marshlight goes through `solve`, so the certified sets that check
it here check the gas curves, the fed runs and the trials at once.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from marshlight.errors import FitError
from marshlight.process.scales import natural_slope, to_internal, to_natural

Floats = NDArray[np.float64]
Residuals = Callable[[Floats], Floats]
Slopes = Callable[[Floats], Floats]

# Two minima count as the same if their sums of squares agree to this share.
_SAME_MINIMUM = 1e-4
_ROUGH, _FINE = 1e-5, 1e-12
# Searches that must agree before further starts are left alone.
_ENOUGH = 2


@dataclass(frozen=True)
class Solution:
    """A minimum: parameters, residuals, and what is needed to trust it.

    `inverse_curvature` is (J'J)^-1 in natural parameters: the covariance when
    the residuals are already divided by their standard uncertainty.
    """

    parameters: Floats
    inverse_curvature: Floats
    internal: Floats
    internal_covariance: Floats
    residuals: Floats
    rss: float
    at_bound: tuple[bool, ...]
    starts_tried: int
    starts_agreeing: int

    def standard_deviations(self, degrees_of_freedom: int) -> Floats:
        """Standard deviations with the scale taken from the residuals."""
        variance = self.rss / max(degrees_of_freedom, 1)
        return np.sqrt(np.maximum(np.diag(self.inverse_curvature) * variance, 0.0))


def solve(
    residuals: Residuals,
    slopes: Slopes,
    starts: Sequence[Floats],
    *,
    scales: Sequence[str],
    low: Floats,
    high: Floats,
    exact: bool = True,
) -> Solution:
    """Minimise a sum of squares from several starts and keep the best.

    Parameters
    ----------
    residuals : callable
        Natural parameters (k) to residuals (n), each over its uncertainty [1].
    slopes : callable
        Natural parameters (k) to the exact Jacobian (n x k).
    starts : sequence of ndarray
        Natural starting points; those outside the bounds are moved inside.
    scales : sequence of str
        "log", "share" or "linear" for each parameter.
    low, high : ndarray
        Bounds in natural units.
    exact : bool
        Search to the last digits; False where the answer is itself only a start.

    Returns
    -------
    Solution
        The lowest minimum found, polished to the last digits.

    Raises
    ------
    FitError
        If no start led to a minimum.

    Notes
    -----
    A trust-region search (scipy `least_squares`, "trf") in scaled coordinates,
    then Gauss-Newton steps while they lower the sum. One start is not enough:
    from (1, 1) a plain search on the certified BoxBOD set stops at a wrong
    answer that looks converged. The most promising starts are searched first; where
    the first two end in the same place, the others are left alone.

    References
    ----------
    nist_strd
    """
    low_q, high_q = to_internal(low, scales), to_internal(high, scales)
    inside = [_inside(start, scales, low_q=low_q, high_q=high_q) for start in starts]
    sums = [float(np.sum(residuals(to_natural(q, scales)) ** 2)) for q in inside]
    order = [i for i in np.argsort(sums) if np.isfinite(sums[i])]
    found: list[tuple[float, Floats]] = []
    rough = _ROUGH if len(starts) > 1 or not exact else _FINE
    for count, i in enumerate(order):
        if count >= _ENOUGH and _agreeing(found) == len(found):
            break
        end = _search(
            residuals, slopes, inside[i], scales=scales, low_q=low_q, high_q=high_q, tolerance=rough
        )
        if end is not None:
            found.append(end)
    if not found:
        raise FitError(
            "The curve could not be fitted: no starting point led to a finite answer. "
            "Check the days and volumes for a slip of unit or a repeated day."
        )
    best = min(found, key=lambda end: end[0])
    agreeing = _agreeing(found)
    if exact and rough != _FINE:
        last = _search(
            residuals, slopes, best[1], scales=scales, low_q=low_q, high_q=high_q, tolerance=_FINE
        )
        best = last if last is not None and last[0] <= best[0] else best
    return _finish(
        residuals, slopes, best[1], scales=scales, low_q=low_q, high_q=high_q,
        tried=len(found), agreeing=agreeing,
    )  # fmt: skip


def _inside(start: Floats, scales: Sequence[str], *, low_q: Floats, high_q: Floats) -> Floats:
    margin = 1e-9 * np.maximum(1.0, high_q - low_q)
    q = to_internal(np.asarray(start, float), scales)
    return np.asarray(np.clip(q, low_q + margin, high_q - margin))


def _agreeing(found: Sequence[tuple[float, Floats]]) -> int:
    """How many searches ended at the lowest sum of squares."""
    best = min((end[0] for end in found), default=0.0)
    return sum(abs(end[0] - best) <= _SAME_MINIMUM * max(best, 1e-12) for end in found)


def _search(
    residuals: Residuals,
    slopes: Slopes,
    q0: Floats,
    *,
    scales: Sequence[str],
    low_q: Floats,
    high_q: Floats,
    tolerance: float,
) -> tuple[float, Floats] | None:
    from scipy.optimize import least_squares  # 0.3 s to import: only when a fit is asked for

    def f(q: Floats) -> Floats:
        return residuals(to_natural(q, scales))

    def j(q: Floats) -> Floats:
        p = to_natural(q, scales)
        return slopes(p) * natural_slope(p, scales)

    found = least_squares(
        f, q0, jac=j, bounds=(low_q, high_q), method="trf", x_scale="jac",
        ftol=tolerance, xtol=tolerance, gtol=tolerance, max_nfev=200,
    )  # fmt: skip
    if not np.all(np.isfinite(found.fun)):
        return None
    return 2.0 * float(found.cost), np.asarray(found.x)


def _finish(
    residuals: Residuals,
    slopes: Slopes,
    q: Floats,
    *,
    scales: Sequence[str],
    low_q: Floats,
    high_q: Floats,
    tried: int,
    agreeing: int,
) -> Solution:
    near = 1e-6 * np.maximum(1.0, np.abs(high_q - low_q))
    at_bound = (q - low_q <= near) | (high_q - q <= near)
    free = ~at_bound
    rss = float(np.sum(residuals(to_natural(q, scales)) ** 2))
    for _ in range(8):
        p = to_natural(q, scales)
        jac = (slopes(p) * natural_slope(p, scales))[:, free]
        step = np.zeros_like(q)
        step[free] = -np.linalg.lstsq(jac, residuals(p), rcond=None)[0]
        trial = np.clip(q + step, low_q, high_q)
        trial_rss = float(np.sum(residuals(to_natural(trial, scales)) ** 2))
        if not trial_rss <= rss:
            break
        q, rss = trial, trial_rss
    p = to_natural(q, scales)
    slope = natural_slope(p, scales)
    jac = slopes(p) * slope
    curvature = np.zeros((q.size, q.size))
    inside = np.ix_(free, free)
    curvature[inside] = _inverse(jac[:, free])
    return Solution(
        parameters=p,
        inverse_curvature=curvature * np.outer(slope, slope),
        internal=q,
        internal_covariance=curvature,
        residuals=residuals(p),
        rss=rss,
        at_bound=tuple(bool(b) for b in at_bound),
        starts_tried=tried,
        starts_agreeing=agreeing,
    )


def _inverse(jac: Floats) -> Floats:
    """(J'J)^-1 through the singular values; a direction the data don't see is left wide."""
    _, singular, rotation = np.linalg.svd(jac, full_matrices=False)
    floor = max(float(singular.max(initial=0.0)), 1e-300) * 1e-10
    return np.asarray((rotation.T / np.maximum(singular, floor) ** 2) @ rotation)
