"""Starting points from the data: a coarse net over shapes, the amount solved exactly."""

import numpy as np
from numpy.typing import NDArray

from marshlight.process.curves import Curve
from marshlight.process.observed import Observed
from marshlight.process.prior import descriptors, from_descriptors

Floats = NDArray[np.float64]

_EXPONENTS = (0.8, 1.3, 2.0, 4.0)
_POOLS = tuple((share, ratio) for share in (0.3, 0.6, 0.85) for ratio in (4.0, 20.0))


def data_starts(curve: Curve, observed: Observed, *, count: int = 2) -> list[Floats]:
    """Best few shapes of a net, each with the ultimate gas that suits the data best.

    Parameters
    ----------
    curve : Curve
        Which curve.
    observed : Observed
        Intervals.
    count : int
        How many starts, 1 or more; they differ in rate or lag.

    Returns
    -------
    list of ndarray
        Natural parameters, best first.

    Notes
    -----
    Each curve is proportional to its ultimate gas once the rate is written
    relative to it, so that number follows by linear least squares.
    """
    net = _net(curve, observed.last_day)
    unit = np.diff(curve.value(observed.end, net), axis=-1, prepend=0.0)
    seen = ~observed.at_least
    # Cumulated within the seen intervals: readings err, not differences of readings.
    shape, gas = np.cumsum(unit[:, seen], axis=-1), np.cumsum(observed.gas[seen])
    square = np.maximum(np.sum(shape**2, axis=-1), 1e-300)
    amount = np.sum(shape * gas, axis=-1) / square
    rest = np.sum((gas - amount[:, None] * shape) ** 2, axis=-1)
    usable = (amount > 0) & np.isfinite(rest)
    order = [int(i) for i in np.argsort(np.where(usable, rest, np.inf)) if usable[i]]
    chosen: list[int] = []
    common = descriptors(curve, net)
    for i in order:
        apart = [np.abs(common[i, 1:] - common[j, 1:]) for j in chosen]
        if all(a[0] > 0.6 or a[1] > 0.15 * max(observed.last_day, 1.0) for a in apart):
            chosen.append(i)
        if len(chosen) == count:
            break
    return [_scaled(curve, net[i], float(amount[i])) for i in chosen]


def _net(curve: Curve, last_day: float) -> Floats:
    rates = np.log(np.geomspace(0.2, 30.0, 12) / max(last_day, 1e-6))
    lags = np.array([0.0])
    if "lag" in curve.names:
        lags = np.array([0.0, 0.08, 0.2, 0.4, 0.65]) * last_day
    shapes: tuple[tuple[float, float], ...] = ((1.0, 1.0),)
    if curve.name == "cone":
        shapes = tuple((n, 1.0) for n in _EXPONENTS)
    elif curve.name == "two_pool":
        shapes = _POOLS
    rate, lag, which = (
        x.ravel() for x in np.meshgrid(rates, lags, np.arange(len(shapes)), indexing="ij")
    )
    common = np.column_stack([np.zeros_like(rate), rate, lag])
    return from_descriptors(curve, common, shape=np.asarray(shapes)[which.astype(int)])


def _scaled(curve: Curve, unit: Floats, amount: float) -> Floats:
    """Multiply the amount (and a steepest rate, which goes with it)."""
    scaled = unit.copy()
    for i, name in enumerate(curve.names):
        if name in ("ultimate", "max_rate"):
            scaled[i] *= amount
    return scaled
