"""How long a curve fit takes, beside the general library's own in the same run."""

from collections.abc import Iterable

import numpy as np
from benchmarks.harness import BenchRow, against, seconds

from marshlight.estimate import Estimate
from marshlight.process import CurvePrior, curve, fit_curve, forecast


def rows() -> Iterable[BenchRow]:
    """Fit one curve, choose among six, digest 50,000 readings, forecast."""
    from scipy.optimize import curve_fit

    truth = [0.35, 0.025, 2.0]
    which = curve("gompertz")
    rng = np.random.default_rng(1)
    few = np.arange(1.0, 41.0)
    gas = which.value(few, truth) + rng.normal(0, 0.003, few.size)
    many = np.linspace(0.01, 40.0, 50_000)
    much = which.value(many, truth) + rng.normal(0, 0.003, many.size)

    def plain(t: np.ndarray, y: np.ndarray) -> object:
        return curve_fit(lambda x, *p: which.value(x, p), t, y, p0=truth)

    yield against(
        "fit of one curve, 40 readings",
        lambda: fit_curve(few, gas, 0.003, curve="gompertz"),
        lambda: plain(few, gas),
        target="under 50 ms; baseline: scipy curve_fit started at the truth, no noise model",
    )
    yield against(
        "fit of one curve, 50,000 readings",
        lambda: fit_curve(many, much, 0.003, curve="gompertz"),
        lambda: plain(many, much),
        target="under 50 ms; baseline: scipy curve_fit of all readings, started at the truth",
    )
    yield against(
        "choice among six curves, 40 readings",
        lambda: fit_curve(few, gas, 0.003),
        lambda: plain(few, gas),
        target="under 300 ms; baseline fits one curve",
    )
    prior = CurvePrior(Estimate(0.3, 0.06), Estimate(0.12, 0.04), Estimate(2.0, 1.5))
    fit = fit_curve(few[:15], gas[:15], 0.003, prior=prior)
    days = np.arange(0.0, 61.0)
    took = seconds(lambda: forecast(fit, days, rng=np.random.default_rng(1)))
    yield BenchRow("forecast of 60 days from a fit", 1e3 * took, "ms", target="under 300 ms")
