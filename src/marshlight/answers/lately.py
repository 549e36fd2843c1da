"""Gas over the last day that was read, beside what was expected of it."""

from dataclasses import dataclass

import numpy as np

from marshlight.answers.analysis import Analysis
from marshlight.estimate import Estimate
from marshlight.process import Forecast
from marshlight.units import show, show_range

_A_DAY_D = 0.9
# Less than a millilitre a day is nothing to anyone with a holder.
_NOTHING_M3 = 1e-6
_K95 = 1.96


@dataclass(frozen=True)
class Lately:
    """Gas a day, as a mean over the last stretch of about a day.

    ``rate_m3_per_d`` is None where nothing can be said; ``at_least`` marks gas that went unseen.
    """

    rate_m3_per_d: Estimate | None
    from_day: float
    to_day: float
    at_least: bool
    expected_low: float | None
    expected_high: float | None

    def words(self, system: str) -> str:
        """Write the figure with its unit: "3.1 L a day", or that there is none."""
        if self.rate_m3_per_d is None:
            return "–"
        text = per_day(max(self.rate_m3_per_d.value, 0.0), system)
        return f"at least {text}" if self.at_least else text

    def expected_words(self, system: str) -> str:
        """Write what was expected: "expected 2.6 to 3.4 L a day"."""
        if self.expected_low is None or self.expected_high is None:
            return ""
        if self.expected_high < _NOTHING_M3:
            return "none expected yet"
        low, high = max(self.expected_low, 0.0), self.expected_high
        return f"expected {show_range(low, high, 'flow', system=system)}".replace("/d", " a day")


def per_day(rate_m3_per_d: float, system: str) -> str:
    """Write a gas rate in everyday words: "1.2 L a day"."""
    return show(rate_m3_per_d, "flow", system=system, digits=2).replace("/d", " a day")


def gas_lately(analysis: Analysis) -> Lately:
    """Work out the gas of the last day that was read.

    Parameters
    ----------
    analysis : Analysis
        The run's analysis.
    """
    ledger = analysis.ledger
    if ledger is None or ledger.day.size < 2:
        return Lately(None, 0.0, 0.0, False, None, None)
    end = float(ledger.day[-1])
    before = np.flatnonzero(ledger.day <= end - _A_DAY_D)
    first = int(before[-1]) if before.size else 0
    start = float(ledger.day[first])
    span = max(end - start, 1e-6)
    gas = float(ledger.cumulative_m3[-1] - ledger.cumulative_m3[first])
    u = float(np.sqrt(np.sum(np.square(ledger.interval_u_m3[first + 1 :]))))
    least = bool(np.any(ledger.interval_lower_bound[first + 1 :]))
    low, high = _expected(analysis.forecast, start, end)
    return Lately(Estimate(gas / span, u / span), start, end, least, low, high)


def _expected(seen: Forecast | None, start: float, end: float) -> tuple[float | None, float | None]:
    """Average the daily band over the stretch."""
    if seen is None:
        return None, None
    inside = (seen.day >= start) & (seen.day <= end)
    if not np.any(inside):
        inside = np.zeros(seen.day.size, dtype=np.bool_)
        inside[int(np.argmin(np.abs(seen.day - end)))] = True
    return float(np.mean(seen.daily.low95[inside])), float(np.mean(seen.daily.high95[inside]))
