"""One material's speed from all its bottles: one curve, two levels, what it says in days."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import stdtrit

from marshlight.decide.trial.hierarchy import Hierarchy, pool_bottles
from marshlight.decide.trial.kinetics import BottleKinetics
from marshlight.errors import FitError
from marshlight.estimate import Range
from marshlight.process import CURVES, Curve, Fit
from marshlight.process.scales import natural_slope, to_internal, to_natural

Floats = NDArray[np.float64]
# Least relative doubt of a bottle's parameter: a perfect fit of few readings claims too much.
_LEAST_U = 1e-3


@dataclass(frozen=True)
class GroupKinetics:
    """A material's curve over its bottles.

    ``parameters`` by their names, ``lag_d``, ``half_d``, ``four_fifths_d`` [d], ``peak_per_d``
    [m3/kg VS/d] and ``peak_d`` [d] each with the interval of the mean bottle; ``between`` is the
    relative spread of each parameter between bottles (of a lag in days); ``drawn`` gives each
    bottle's ultimate [m3/kg VS] and days to four fifths, drawn toward the material's.
    """

    group: str
    curve: str
    plain_name: str
    bottles: int
    parameters: Mapping[str, Range]
    between: Mapping[str, float]
    lag_d: Range
    half_d: Range
    four_fifths_d: Range
    peak_d: Range
    peak_per_d: Range
    drawn: Mapping[str, tuple[float, float]]


def group_kinetics(
    bottles: Sequence[BottleKinetics], *, level: float = 0.95
) -> GroupKinetics | None:
    """Pool the curves of one material's bottles.

    Parameters
    ----------
    bottles : sequence of BottleKinetics
        Of one material.
    level : float
        Of the intervals [1].

    Returns
    -------
    GroupKinetics or None
        None where fewer than two bottles could be fitted by one and the same curve.

    Notes
    -----
    All bottles get the same curve, or their parameters could not be compared: the one with the
    least sum of AICc.  Its parameters (ultimate and rates as logarithms, shares as logits, a lag
    as it is) are pooled by `pool_bottles`; days and peak follow from the mean parameters, with
    intervals by linearising, Student's quantile at one degree of freedom less than bottles.

    References
    ----------
    kinetic_review_2020, patterson_thompson_1971
    """
    fitted = [b for b in bottles if b.fits]
    names = [n for n in CURVES if all(n in b.fits for b in fitted)]
    if len(fitted) < 2 or not names:
        return None
    ranked = sorted(names, key=lambda n: sum(b.fits[n].aicc for b in fitted))
    for name in ranked:
        try:
            pooled = _pooled(CURVES[name], [b.fits[name] for b in fitted])
        except FitError:
            continue
        return _said(CURVES[name], fitted, pooled, level)
    return None


def _pooled(curve: Curve, fits: Sequence[Fit]) -> Hierarchy:
    values, covariances = [], []
    for fit in fits:
        slope = natural_slope(fit.parameters, _scales(curve))
        own = fit.covariance / np.outer(slope, slope)
        values.append(to_internal(fit.parameters, _scales(curve)))
        covariances.append(own + np.diag(np.full(len(slope), _LEAST_U**2)))
    return pool_bottles(np.array(values), np.array(covariances))


def _scales(curve: Curve) -> tuple[str, ...]:
    return tuple(p.scale for p in curve.parameters)


def _said(
    curve: Curve, bottles: Sequence[BottleKinetics], pooled: Hierarchy, level: float
) -> GroupKinetics:
    quantile = float(stdtrit(pooled.df, 0.5 + level / 2.0))

    def of(says: Callable[[Floats], float], on: str = "log") -> Range:
        return _range(says, pooled, curve, (quantile, level), on=on)

    parameters = {
        p.name: of(lambda x, i=i: float(x[i]), p.scale)  # type: ignore[misc]
        for i, p in enumerate(curve.parameters)
    }
    spread = np.sqrt(np.diag(pooled.between))
    drawn = {
        b.label: (float(x[0]), float(curve.time_to_fraction(0.8, x)))
        for b, x in zip(bottles, to_natural(pooled.each, _scales(curve)), strict=True)
    }
    return GroupKinetics(
        bottles[0].group,
        curve.name,
        curve.plain_name,
        len(bottles),
        parameters,
        dict(zip(curve.names, map(float, spread), strict=True)),
        of(lambda x: max(float(curve.tangent_lag(x)), 0.0), "day"),
        of(lambda x: float(curve.time_to_fraction(0.5, x))),
        of(lambda x: float(curve.time_to_fraction(0.8, x))),
        of(lambda x: float(curve.peak(x)[0]), "day"),
        of(lambda x: float(curve.peak(x)[1])),
        drawn,
    )


def _range(
    says: Callable[[Floats], float],
    pooled: Hierarchy,
    curve: Curve,
    kept: tuple[float, float],
    *,
    on: str,
) -> Range:
    """Linearise what a curve says about its mean parameters; a day is no less than 0."""
    quantile, level = kept

    def value(internal: Floats) -> float:
        return says(to_natural(internal, _scales(curve)))

    middle, step = value(pooled.mean), 1e-4
    slope = np.array(
        [
            (value(pooled.mean + step * e) - value(pooled.mean - step * e)) / (2.0 * step)
            for e in np.eye(pooled.mean.size)
        ]
    )
    half = quantile * float(np.sqrt(max(slope @ pooled.covariance @ slope, 0.0)))
    if on == "log" and middle > 0.0:
        factor = float(np.exp(half / middle))
        return Range(middle / factor, middle, middle * factor, level)
    low = middle - half
    return Range(max(low, 0.0) if on == "day" else low, middle, middle + half, level)
