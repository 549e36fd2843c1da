"""Forecasts: bands, milestones, the blend of recipe and readings, gaps."""

import numpy as np
import pytest

from marshlight.errors import InputError
from marshlight.estimate import Estimate
from marshlight.process.curves import curve
from marshlight.process.fit import fit_curve
from marshlight.process.forecast import Forecast, forecast
from marshlight.process.prior import CurvePrior

PRIOR = CurvePrior(Estimate(300, 60), Estimate(0.12, 0.04), Estimate(2, 1.5))
TRUTH = [350, 25, 2]
DAYS = np.arange(0.0, 61.0)


def after(readings: int, prior: CurvePrior | None = PRIOR, seed: int = 1) -> Forecast:
    t = np.arange(1.0, readings + 1)
    noise = np.random.default_rng(3).normal(0, 4, 60)[:readings]
    fit = fit_curve(t, curve("gompertz").value(t, TRUTH) + noise, 4.0, prior=prior)
    return forecast(fit, DAYS, rng=np.random.default_rng(seed))


def test_the_same_seed_gives_the_same_forecast() -> None:
    once, again = after(10), after(10)
    assert np.array_equal(once.cumulative.median, again.cumulative.median)
    assert once.spent_day == again.spent_day


def test_bands_are_nested() -> None:
    for band in (after(10).cumulative, after(10).daily):
        assert np.all(band.low95 <= band.low50)
        assert np.all(band.low50 <= band.median)
        assert np.all(band.median <= band.high50)
        assert np.all(band.high50 <= band.high95)


def test_before_any_gas_the_recipe_speaks_alone() -> None:
    seen = forecast(PRIOR, DAYS, rng=np.random.default_rng(1))
    assert seen.ultimate_m3.value == pytest.approx(300, rel=0.05)
    # 200 from the recipe's 20 %; the digester's own straying widens that.
    assert 165 < seen.ultimate_m3.low < 200
    assert "recipe alone" in seen.basis
    assert seen.from_day == 0.0


def test_the_band_narrows_as_readings_come_in_without_a_jump_at_the_first() -> None:
    alone = forecast(PRIOR, DAYS, rng=np.random.default_rng(1))
    width = [alone.cumulative.high95[40] - alone.cumulative.low95[40]]
    for count in (1, 5, 10, 20):
        band = after(count).cumulative
        width.append(band.high95[40] - band.low95[40])
    assert width[1] == pytest.approx(width[0], rel=0.25)
    assert width[2] < width[0]
    assert width[3] < 0.8 * width[0]
    assert width[4] < 0.3 * width[0]


def test_readings_overrule_a_wrong_recipe() -> None:
    wrong = CurvePrior(Estimate(600, 90), Estimate(0.12, 0.04), Estimate(2, 1.5))
    assert after(30, wrong).ultimate_m3.low < 380


def test_milestones_of_a_settled_run_are_those_of_its_curve() -> None:
    seen = after(40)
    # The 24 h with the most gas lie about the steepest moment and end half a day after it.
    assert seen.peak_day.value == pytest.approx(2 + 350 / (np.e * 25) + 0.5, abs=1.0)
    assert seen.day_80.value == pytest.approx(14.875, abs=1.0)
    assert seen.spent_day.low <= 25 <= seen.spent_day.high


@pytest.mark.parametrize("prior", [PRIOR, None])
def test_gas_in_the_end_is_never_less_than_what_was_counted(prior: CurvePrior | None) -> None:
    t = np.arange(1.0, 31.0)
    counted = curve("gompertz").value(t, TRUTH)
    # A tail that no sigmoid expects: its own total would lie below what was read.
    counted += 1.5 * np.maximum(t - 15.0, 0.0)
    seen = forecast(fit_curve(t, counted, 2.0, prior=prior), DAYS, rng=np.random.default_rng(1))
    assert seen.ultimate_m3.low > counted[-1] - 3 * 2.0
    assert seen.ultimate_m3.high < 1.2 * counted[-1]
    assert seen.ultimate_m3.low >= seen.cumulative.low95[-1] - 1e-6
    assert seen.day_80.high < 30.0


def test_a_peak_that_was_seen_is_dated_by_what_was_seen() -> None:
    t = np.arange(1.0, 21.0)
    daily = np.where(t < 9, 10.0, np.where(t < 10, 30.0, 10.0 * np.exp(-0.1 * (t - 9))))
    fit = fit_curve(t, np.cumsum(daily), 0.2, prior=PRIOR)
    seen = forecast(fit, DAYS, rng=np.random.default_rng(1))
    assert seen.peak_day.low == pytest.approx(9.0, abs=1e-6)
    assert seen.peak_day.high == pytest.approx(9.0, abs=1e-6)
    assert seen.peak_rate_m3_per_d.value == pytest.approx(30.0, abs=1.0)


def test_without_a_recipe_what_was_seen_sets_the_size_of_what_may_come() -> None:
    t = np.arange(1.0, 7.0)
    fit = fit_curve(t, 10.0 * t, 0.2)
    seen = forecast(fit, np.arange(0.0, 201.0), rng=np.random.default_rng(1))
    assert 1.2 * 60 < seen.ultimate_m3.value < 10 * 60
    assert seen.ultimate_m3.high < 20 * 60


def test_without_recipe_early_readings_leave_the_end_open() -> None:
    seen = after(6, None)
    informed = after(6)
    assert seen.cumulative.high95[40] / seen.cumulative.low95[40] > 2
    assert seen.cumulative.high95[40] > informed.cumulative.high95[40]
    assert np.all(np.isfinite(seen.cumulative.high95))


def test_counted_gas_is_kept_and_the_future_starts_there() -> None:
    seen = after(20)
    reading = float(curve("gompertz").value(20.0, TRUTH))
    assert seen.cumulative.median[20] == pytest.approx(reading, abs=8)
    assert seen.cumulative.high95[20] - seen.cumulative.low95[20] < 25
    assert np.all(np.diff(seen.cumulative.median[20:]) >= -1e-9)


def test_unseen_gas_is_estimated_and_said() -> None:
    t = np.arange(1.0, 25.0)
    total = curve("gompertz").value(t, TRUTH)
    total[9:] -= 15.0
    flags = np.arange(24) == 9
    fit = fit_curve(t, total, 2.0, prior=PRIOR, lower_bound=flags)
    seen = forecast(fit, DAYS, rng=np.random.default_rng(1))
    assert seen.unseen_m3.low <= 15.0 <= seen.unseen_m3.high
    assert seen.cumulative.median[24] > total[-1]
    assert after(20).unseen_m3.high == 0.0


def test_daily_gas_adds_up_to_the_total() -> None:
    seen = forecast(PRIOR, DAYS, rng=np.random.default_rng(1))
    total = np.sum(seen.daily.median)
    assert total == pytest.approx(seen.cumulative.median[-1], rel=0.15)


@pytest.mark.parametrize("days", [[3.0, 2.0], [-1.0, 2.0], []])
def test_days_out_of_order_are_refused(days: list[float]) -> None:
    with pytest.raises(InputError, match="days"):
        forecast(PRIOR, days, rng=np.random.default_rng(1))
