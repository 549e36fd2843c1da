"""How fast each bottle went, and each material: lag, peak, days to half and to four fifths."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from marshlight.errors import FitError
from marshlight.estimate import Estimate
from marshlight.process import fit_curve

Floats = NDArray[np.float64]
CURVE = "first_order_lag"
_FEWEST_READINGS = 5


@dataclass(frozen=True)
class BottleKinetics:
    """One bottle's net curve: what fits, and what the readings say without a fit.

    ``ultimate`` [m3/kg VS], ``rate`` [1/d] and ``lag_d`` [d] are of the fitted curve;
    ``half_d``, ``four_fifths_d`` are days by straight lines between readings to 50 and 80 % of
    the last value; ``peak_per_d`` [m3/kg VS/d] is the steepest interval, ``peak_d`` its middle.
    """

    label: str
    group: str
    ultimate: Estimate | None
    rate: Estimate | None
    lag_d: float
    half_d: float
    four_fifths_d: float
    peak_d: float
    peak_per_d: float
    doubts: tuple[str, ...]


@dataclass(frozen=True)
class GroupKinetics:
    """A material's rate [1/d] over its bottles, with the spread between them.

    ``between`` is the standard deviation of ln(rate) between bottles.
    """

    group: str
    rate: Estimate
    between: float
    half_d: float
    four_fifths_d: float
    bottles: int


def bottle_kinetics(
    label: str, group: str, day: ArrayLike, net_per_vs: ArrayLike, *, u: ArrayLike | None = None
) -> BottleKinetics:
    """Describe one bottle's net curve.

    Parameters
    ----------
    label, group : str
        The bottle and its material.
    day : array_like
        Days of the readings [d], shape n.
    net_per_vs : array_like
        Cumulative methane, the blanks' taken off [m3/kg VS], shape n.
    u : array_like, optional
        Standard uncertainty of each [m3/kg VS].

    Returns
    -------
    BottleKinetics
        With None for what could not be fitted, and the reason among the doubts.

    Notes
    -----
    The curve is first order after a lag.  Straight lines between sparse readings put the day of
    80 % late on a bending curve.

    References
    ----------
    kinetic_review_2020
    """
    t, net = np.asarray(day, dtype=np.float64), np.asarray(net_per_vs, dtype=np.float64)
    rates = np.diff(np.r_[0.0, net]) / np.diff(np.r_[0.0, t])
    steepest = int(np.argmax(rates)) if rates.size else 0
    middle = (np.r_[0.0, t][:-1] + t) / 2.0
    ultimate, rate, lag, doubts = _fitted(t, net, u)
    return BottleKinetics(
        label,
        group,
        ultimate,
        rate,
        lag,
        _reached(t, net, 0.5),
        _reached(t, net, 0.8),
        float(middle[steepest]) if rates.size else float("nan"),
        float(rates[steepest]) if rates.size else float("nan"),
        doubts,
    )


def _fitted(
    day: Floats, net: Floats, u: ArrayLike | None
) -> tuple[Estimate | None, Estimate | None, float, tuple[str, ...]]:
    """Fit the curve, or say why not."""
    if day.size < _FEWEST_READINGS or net[-1] <= 0.0:
        return None, None, 0.0, ("Too few readings, or no net methane, to fit a curve.",)
    errors = None if u is None else np.asarray(u, dtype=np.float64)
    try:
        fit = fit_curve(day, np.maximum.accumulate(np.maximum(net, 0.0)), errors, curve=CURVE)
    except FitError as error:
        return None, None, 0.0, (str(error),)
    found = fit.estimates
    return found["ultimate"], found["rate"], found["lag"].value, fit.warnings


def _reached(day: Floats, net: Floats, share: float) -> float:
    """Day at which a share of the last value was first reached, by straight lines."""
    if not net.size or net[-1] <= 0.0:
        return float("nan")
    rising = np.maximum.accumulate(np.r_[0.0, net])
    return float(np.interp(share * net[-1], rising, np.r_[0.0, day]))


def group_kinetics(bottles: Sequence[BottleKinetics]) -> GroupKinetics | None:
    """Pool the rates of one material's bottles.

    Parameters
    ----------
    bottles : sequence of BottleKinetics
        Of one material.

    Returns
    -------
    GroupKinetics or None
        None where fewer than two bottles could be fitted.

    Notes
    -----
    Two levels: each ln(rate) has its own error and a spread between bottles, estimated by
    moments; bottles are weighted by both.

    References
    ----------
    dersimonian_laird_1986
    """
    fitted = [(b.rate.value, b.rate.u) for b in bottles if b.rate is not None and b.rate.value > 0]
    if len(fitted) < 2:
        return None
    value = np.array([v for v, _ in fitted])
    error = np.maximum(np.array([u for _, u in fitted]) / value, 1e-3)
    log, weight = np.log(value), 1.0 / error**2
    fixed = np.sum(weight * log) / np.sum(weight)
    scale = np.sum(weight) - np.sum(weight**2) / np.sum(weight)
    between = max(0.0, (float(np.sum(weight * (log - fixed) ** 2)) - (len(fitted) - 1)) / scale)
    weight = 1.0 / (error**2 + between)
    rate = float(np.exp(np.sum(weight * log) / np.sum(weight)))
    return GroupKinetics(
        bottles[0].group,
        Estimate(rate, rate / float(np.sqrt(np.sum(weight)))),
        float(np.sqrt(between)),
        float(np.mean([b.half_d for b in bottles])),
        float(np.mean([b.four_fifths_d for b in bottles])),
        len(fitted),
    )
