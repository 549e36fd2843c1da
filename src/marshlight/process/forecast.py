"""Forecast of daily and cumulative gas with bands, from readings, recipe or both."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from marshlight.errors import require
from marshlight.estimate import Range
from marshlight.process.bands import Band, band, quantile_range
from marshlight.process.candidate import Candidate
from marshlight.process.curves import curve
from marshlight.process.fit import Fit, fit_observed, forecast_members
from marshlight.process.milestones import Milestones, milestones
from marshlight.process.observed import observe
from marshlight.process.paths import gas_paths
from marshlight.process.prior import CurvePrior, Expectation
from marshlight.process.sampling import draw_parameters

Floats = NDArray[np.float64]

DRAWS = 1200
# Curves below this share of the draws would be a handful of lines: noise, not knowledge.
_LEAST_SHARE = 0.01


@dataclass(frozen=True)
class Forecast:
    """What the gas did and will do, with what is not known about it.

    `daily` is the gas of the 24 h before each day. Milestones are read off the same
    paths, what was counted included: days since the start, as 95 % ranges around the
    median. `ultimate_m3` is what was made so far and what is still to come; `peak_day`
    ends the 24 h with the most gas; `spent_day` ends at two years for what would go on
    longer. `unseen_m3` is gas made but never counted.
    """

    day: Floats
    cumulative: Band
    daily: Band
    ultimate_m3: Range
    peak_day: Range
    peak_rate_m3_per_d: Range
    day_80: Range
    spent_day: Range
    unseen_m3: Range
    from_day: float
    basis: str
    curve_shares: dict[str, float]


def forecast(
    fit_or_prior: Fit | CurvePrior,
    days: ArrayLike,
    *,
    rng: np.random.Generator,
    draws: int = DRAWS,
) -> Forecast:
    """Forecast a batch run.

    Parameters
    ----------
    fit_or_prior : Fit or CurvePrior
        A fit; or, before any gas, the recipe's expectation alone.
    days : array_like
        Days since the start at which to give gas [d], rising, 0 or more.
    rng : numpy.random.Generator
        Source of randomness: the same seed gives the same forecast.
    draws : int
        Number of curves drawn, 100 or more.

    Returns
    -------
    Forecast
        Cumulative and daily gas with 50 and 95 % bands, and milestones.

    Raises
    ------
    InputError
        If days don't rise, or draws are too few.
    FitError
        If the expectation can't be turned into curves.

    Notes
    -----
    Curves are drawn from the posterior of each member of the fit in proportion
    to its Akaike weight, so that a choice the readings can't make is not made.
    To each curve come the digestion's own wander and the residual scale. Gas
    already counted enters the total as counted; what was unseen, as the curve
    expects but no less than nothing. A scale error common to all readings is
    not included.

    References
    ----------
    cornuet_2012, burnham_anderson_2002, bmp_requirements_2020, daily_wander

    Examples
    --------
    >>> import numpy as np
    >>> from marshlight.estimate import Estimate
    >>> prior = CurvePrior(Estimate(0.05, 0.01), Estimate(0.15, 0.05), Estimate(2, 1))
    >>> seen = forecast(prior, [5, 10, 20], rng=np.random.default_rng(1))
    >>> bool(seen.cumulative.low95[-1] < seen.cumulative.median[-1] < 0.06)
    True
    """
    t = np.atleast_1d(np.asarray(days, dtype=np.float64))
    _check(t, draws)
    fit = (
        fit_observed(observe([], [], []), prior=fit_or_prior)
        if isinstance(fit_or_prior, CurvePrior)
        else fit_or_prior
    )
    shares = _shares(fit, draws)
    expectation = Expectation.of(fit.prior, seen_m3=fit.observed.total)
    totals, dailies, marks, unseen = [], [], [], []
    for count, member in shares:
        which = curve(member.model.name)
        parameters, scale = draw_parameters(member, expectation.about(which), count, rng=rng)
        paths = gas_paths(member, parameters, scale, days=t, rng=rng)
        totals.append(paths.total)
        dailies.append(paths.daily)
        unseen.append(paths.unseen)
        # What was counted stays; the curve says what is still to come.
        ultimate = parameters[:, 0] + paths.deviation[:, -1]
        marks.append(milestones(paths, ultimate, share=count / draws))
    return Forecast(
        day=t,
        cumulative=band(np.concatenate(totals)),
        daily=band(np.concatenate(dailies)),
        **Milestones.joined(marks).ranges(),
        unseen_m3=quantile_range(np.concatenate(unseen)),
        from_day=fit.observed.last_day,
        basis=_basis(fit),
        curve_shares={m.model.name: n / sum(c for c, _ in shares) for n, m in shares},
    )


def _shares(fit: Fit, draws: int) -> list[tuple[int, Candidate]]:
    kept = [(w, m) for w, m in forecast_members(fit) if w >= _LEAST_SHARE]
    total = sum(w for w, _ in kept)
    return [(max(round(draws * w / total), 1), m) for w, m in kept]


def _basis(fit: Fit) -> str:
    count = fit.observed.count
    if count == 0:
        return "the recipe alone: no gas has been read yet"
    if fit.prior is None:
        return f"{count} readings, no recipe"
    return f"{count} reading{'s' * (count > 1)} and the recipe"


def _check(t: Floats, draws: int) -> None:
    require(
        t.ndim == 1 and t.size > 0 and bool(np.all(np.diff(t) > 0)) and bool(t[0] >= 0),
        field="days",
        value=t[:5].tolist(),
        allowed="rising days from 0 on",
        remedy="Ask for days since the start, in order",
    )
    require(
        draws >= 100,
        field="draws",
        value=draws,
        allowed="100 or more",
        remedy="Draw more curves: a 95 % band rests on the outermost few",
    )
