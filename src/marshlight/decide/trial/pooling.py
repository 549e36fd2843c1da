"""Results of many trials, drawn toward the published range while they are few."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from marshlight.errors import require
from marshlight.estimate import Estimate

# Between laboratories after validation; within one place trials differ no more than that.
BETWEEN_TRIALS_RELATIVE = 0.08


@dataclass(frozen=True)
class OwnResult:
    """One trial's potential [m3/kg VS] with its standard error, bottles, and when."""

    value: float
    u: float
    bottles: int
    when: str = ""


@dataclass(frozen=True)
class Drawn:
    """The own mean, the value to use, and how much of it is one's own [1]."""

    own: Estimate
    used: Estimate
    own_weight: float
    trials: int
    between_u: float


def drawn_toward(published: Estimate, results: Sequence[OwnResult]) -> Drawn:
    """Combine one's own trials with the published value of a material.

    Parameters
    ----------
    published : Estimate
        Published value [m3/kg VS]; its range read as the spread between lots of the material.
    results : sequence of OwnResult
        One or more trials of one's own.

    Returns
    -------
    Drawn
        The value to plan with [m3/kg VS].

    Raises
    ------
    InputError
        If there is no result, or one has no standard error.

    Notes
    -----
    Each trial's variance is its own plus a between-trial variance: the larger of what the
    trials show (DerSimonian and Laird) and, while there are fewer than five, 8 % of their mean.
    The published value is a normal prior; the result is the precision-weighted mean of both.

    References
    ----------
    dersimonian_laird_1986, hafner_2020_validation

    Examples
    --------
    >>> drawn = drawn_toward(Estimate(0.40, 0.05), [OwnResult(0.46, 0.01, 3)])
    >>> round(drawn.used.value, 3), round(drawn.own_weight, 2)
    (0.438, 0.63)
    """
    require(
        bool(results) and all(r.u > 0.0 for r in results),
        field="results",
        value=len(results),
        allowed="one or more, each with a standard error",
        remedy="Finish a trial of this material first",
    )
    values, errors = np.array([r.value for r in results]), np.array([r.u for r in results])
    weight = 1.0 / errors**2
    fixed = float(np.sum(weight * values) / np.sum(weight))
    seen = 0.0
    if len(results) > 1:
        q = float(np.sum(weight * (values - fixed) ** 2))
        scale = float(np.sum(weight) - np.sum(weight**2) / np.sum(weight))
        seen = max(0.0, (q - (len(results) - 1)) / scale)
    usual = (BETWEEN_TRIALS_RELATIVE * abs(fixed)) ** 2 if len(results) < 5 else 0.0
    between = max(seen, usual)
    weight = 1.0 / (errors**2 + between)
    own = Estimate(
        float(np.sum(weight * values) / np.sum(weight)), float(1.0 / np.sqrt(np.sum(weight)))
    )
    share = published.u**2 / (published.u**2 + own.u**2)
    used = Estimate(
        share * own.value + (1.0 - share) * published.value,
        float(np.sqrt(share * own.u**2)),
    )
    return Drawn(own, used, share, len(results), float(np.sqrt(between)))
