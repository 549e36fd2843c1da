"""Fit and forecast of fed runs: shared rate, feeds as given, draw-offs respected."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from marshlight.errors import require
from marshlight.estimate import Estimate
from marshlight.process.bands import band, quantile_range
from marshlight.process.candidate import Candidate, fit_candidate
from marshlight.process.curves import Curve, curve
from marshlight.process.doubts import doubts
from marshlight.process.fed_curve import KERNELS, DrawOff, FedCurve, Feed, check_feeds
from marshlight.process.forecast import DRAWS, Forecast
from marshlight.process.milestones import HORIZON_D, milestones
from marshlight.process.observed import MOST_WITH_WANDER, observe
from marshlight.process.paths import gas_paths
from marshlight.process.prior import CurvePrior, Expectation, from_descriptors
from marshlight.process.sampling import draw_parameters

Floats = NDArray[np.float64]

_TAIL_D = 180


@dataclass(frozen=True)
class FedFit:
    """A fitted fed run: the kernel's parameters, shared by all feeds.

    `scale` among the parameters compares the feeds' gas with what was expected.
    """

    model: FedCurve
    best: Candidate
    expectation: Expectation
    warnings: tuple[str, ...]

    @property
    def parameters(self) -> Floats:
        """Best parameters."""
        return self.best.parameters

    @property
    def estimates(self) -> Mapping[str, Estimate]:
        """Each parameter with its standard uncertainty."""
        sd = np.sqrt(np.maximum(np.diag(self.best.covariance), 0.0))
        names = [p.name for p in self.model.parameters]
        return {
            n: Estimate(float(v), float(u))
            for n, v, u in zip(names, self.parameters, sd, strict=True)
        }


def fit_fed(
    feeds: Sequence[Feed],
    day: ArrayLike,
    volume_m3: ArrayLike,
    u_m3: ArrayLike | None,
    *,
    rate_per_d: Estimate,
    lag_d: Estimate | None = None,
    kernel: str = "first_order",
    draw_offs: Sequence[DrawOff] = (),
    lower_bound: ArrayLike | None = None,
    interval_u_m3: ArrayLike | None = None,
    wander: float | None = None,
) -> FedFit:
    """Fit a fed run.

    Parameters
    ----------
    feeds : sequence of Feed
        All feeds so far in order of time, the first charge on day 0.
    day, volume_m3, u_m3 : array_like
        Cumulative dry normal gas [m3] on days [d], as for `fit_curve`; may be empty.
    rate_per_d : Estimate
        Expected first-order rate [1/d].
    lag_d : Estimate, optional
        Expected lag of a feed [d]; none if left out.
    kernel : str
        "first_order", "first_order_lag", "two_pool" or "cone".
    draw_offs : sequence of DrawOff
        Shares of the contents taken out.
    lower_bound, interval_u_m3, wander
        As for `fit_curve`.

    Returns
    -------
    FedFit
        Shared kernel parameters and the scale of the feeds' gas.

    Raises
    ------
    InputError
        If feeds or readings are malformed, or the kernel is not one of the four.
    FitError
        If no start led to a minimum.

    Notes
    -----
    The doubt in the feeds' gas is taken as common to all of them (one material,
    one estimate): the cautious reading.

    Examples
    --------
    >>> feeds = [Feed(0.0, Estimate(1.0, 0.3)), Feed(7.0, Estimate(0.5, 0.15))]
    >>> kernel = FedCurve(curve("first_order"), tuple(feeds), ())
    >>> t = np.arange(1.0, 15.0)
    >>> fit = fit_fed(feeds, t, kernel.value(t, [0.8, 0.2]), 0.002,
    ...               rate_per_d=Estimate(0.15, 0.05))
    >>> round(fit.estimates["scale"].value, 1), round(fit.estimates["rate"].value, 1)
    (0.8, 0.2)
    """
    check_feeds(feeds)
    require(
        kernel in KERNELS,
        field="kernel",
        value=kernel,
        allowed=", ".join(KERNELS),
        remedy="Choose a curve without a start of its own",
    )
    which = curve(kernel)
    model = FedCurve(which, tuple(feeds), tuple(draw_offs))
    expectation = _expectation(feeds, rate_per_d, lag_d)
    observed = observe(
        day,
        volume_m3,
        u_m3,
        lower_bound=lower_bound,
        interval_u_m3=interval_u_m3,
        most=MOST_WITH_WANDER,
    )
    observed = replace(observed, straying_d=1.0 / rate_per_d.value)
    best = fit_candidate(
        model,
        observed,
        _starts(which, expectation),
        low=np.array([p.low for p in model.parameters]),
        high=np.array([p.high for p in model.parameters]),
        belief=expectation.about(which),
        wander=wander,
    )
    return FedFit(model, best, expectation, doubts(best))


def forecast_fed(
    fit: FedFit,
    days: ArrayLike,
    *,
    rng: np.random.Generator,
    planned: Sequence[Feed] = (),
    planned_draw_offs: Sequence[DrawOff] = (),
    draws: int = DRAWS,
) -> Forecast:
    """Forecast a fed run, with the feeds still planned.

    Parameters
    ----------
    fit : FedFit
        The fitted run.
    days : array_like
        Days since the start [d], rising, 0 or more.
    rng : numpy.random.Generator
        Source of randomness.
    planned, planned_draw_offs : sequence
        Feeds and draw-offs to come, in order of time.
    draws : int
        Number of curves drawn.

    Returns
    -------
    Forecast
        As for a batch. The ultimate is the gas of all feeds, what was drawn off
        included in it as lost; `spent_day` follows the last feed.

    Raises
    ------
    InputError
        If planned feeds come before feeds already given.
    """
    feeds = (*fit.model.feeds, *planned)
    check_feeds(feeds)
    model = replace(fit.model, feeds=feeds, draw_offs=(*fit.model.draw_offs, *planned_draw_offs))
    best = replace(fit.best, model=model)
    t = np.atleast_1d(np.asarray(days, dtype=np.float64))
    belief = fit.expectation.about(fit.model.kernel)
    parameters, scale = draw_parameters(fit.best, belief, draws, rng=rng)
    paths = gas_paths(best, parameters, scale, days=t, rng=rng)
    last = max(f.day for f in feeds)
    end = float(min(np.ceil(max(last, t[-1])) + _TAIL_D, HORIZON_D))
    # Nearly all of the last feed's gas has come by then.
    ultimate = paths.at(np.array([end]), np.arange(draws))[:, 0]
    marks = milestones(paths, ultimate, last_day=end, not_before=last)
    count = fit.best.observed.count
    return Forecast(
        day=t,
        cumulative=band(paths.total),
        daily=band(paths.daily),
        unseen_m3=quantile_range(paths.unseen),
        from_day=fit.best.observed.last_day,
        basis=f"{count} readings, {len(feeds)} feeds and what was expected of them",
        curve_shares={model.name: 1.0},
        **marks.ranges(),
    )


def _expectation(
    feeds: Sequence[Feed], rate_per_d: Estimate, lag_d: Estimate | None
) -> Expectation:
    total = sum(f.ultimate_m3.value for f in feeds)
    doubt = max(sum(f.ultimate_m3.u for f in feeds) / total, 0.02)
    lag = Estimate(0.0, 0.5) if lag_d is None else lag_d
    return Expectation.of(CurvePrior(Estimate(1.0, doubt), rate_per_d, lag))


def _starts(which: Curve, expectation: Expectation) -> list[Floats]:
    shape = np.array([[1.3, 1.0]]) if which.name == "cone" else np.array([[0.5, 9.0]])
    faster = expectation.middle + np.array([0.0, 0.7, 0.0])
    return [
        from_descriptors(which, middle[None, :], shape=shape)[0]
        for middle in (expectation.middle, faster)
    ]
