"""How fast each bottle went: curves tried, lag, peak, days to half and to four fifths."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from marshlight.errors import FitError
from marshlight.estimate import Estimate
from marshlight.process import CURVES, Fit, fit_curve

Floats = NDArray[np.float64]
_FEWEST_READINGS = 5


@dataclass(frozen=True)
class BottleKinetics:
    """One bottle's net curve: what fits, and what the readings say without a fit.

    ``fits`` are all curves that could be fitted, by name, ``curve`` the best of them by AICc;
    ``ultimate`` [m3/kg VS] is its end and ``rate`` [1/d] its rate, None for a curve without one.
    ``half_d``, ``four_fifths_d`` are days by straight lines between readings to 50 and 80 % of
    the last value; ``peak_per_d`` [m3/kg VS/d] is the steepest interval, ``peak_d`` its middle,
    ``lag_d`` where the best curve's steepest tangent meets zero.
    """

    label: str
    group: str
    curve: str
    ultimate: Estimate | None
    rate: Estimate | None
    lag_d: float
    half_d: float
    four_fifths_d: float
    peak_d: float
    peak_per_d: float
    doubts: tuple[str, ...]
    fits: Mapping[str, Fit]


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
    All curves of `marshlight.process` are tried and ranked by AICc.  A curve whose rate or total
    ran to its bound describes nothing and is left out.  Straight lines between sparse readings
    put the day of 80 % late on a bending curve.

    References
    ----------
    kinetic_review_2020, hurvich_tsai_1989
    """
    t, net = np.asarray(day, dtype=np.float64), np.asarray(net_per_vs, dtype=np.float64)
    rates = np.diff(np.r_[0.0, net]) / np.diff(np.r_[0.0, t])
    steepest = int(np.argmax(rates)) if rates.size else 0
    middle = (np.r_[0.0, t][:-1] + t) / 2.0
    fits, doubts = _fitted(t, net, u)
    best = min(fits.values(), key=lambda f: f.aicc) if fits else None
    found = dict(best.estimates) if best is not None else {}
    return BottleKinetics(
        label,
        group,
        "" if best is None else best.curve,
        found.get("ultimate"),
        found.get("rate"),
        0.0 if best is None else max(float(CURVES[best.curve].tangent_lag(best.parameters)), 0.0),
        _reached(t, net, 0.5),
        _reached(t, net, 0.8),
        float(middle[steepest]) if rates.size else float("nan"),
        float(rates[steepest]) if rates.size else float("nan"),
        doubts if best is None else (*doubts, *best.warnings),
        fits,
    )


def _fitted(
    day: Floats, net: Floats, u: ArrayLike | None
) -> tuple[dict[str, Fit], tuple[str, ...]]:
    """Fit every curve that the readings can carry, or say why none."""
    if day.size < _FEWEST_READINGS or net[-1] <= 0.0:
        return {}, ("Too few readings, or no net methane, to fit a curve.",)
    errors = None if u is None else np.asarray(u, dtype=np.float64)
    rising = np.maximum.accumulate(np.maximum(net, 0.0))
    fits, failures = {}, []
    for name in CURVES:
        try:
            fit = fit_curve(day, rising, errors, curve=name)
        except FitError as error:
            failures.append(str(error))
            continue
        if not any(_stuck(fit)):
            fits[name] = fit
    return fits, () if fits else (failures[0] if failures else "No curve describes it.",)


def _stuck(fit: Fit) -> list[bool]:
    """Tell which parameters ended on their bounds; a lag of zero is an answer, not a bound."""
    return [
        stuck and name != "lag"
        for name, stuck in zip(fit.names, fit.best.solution.at_bound, strict=True)
    ]


def _reached(day: Floats, net: Floats, share: float) -> float:
    """Day at which a share of the last value was first reached, by straight lines."""
    if not net.size or net[-1] <= 0.0:
        return float("nan")
    rising = np.maximum.accumulate(np.r_[0.0, net])
    return float(np.interp(share * net[-1], rising, np.r_[0.0, day]))
