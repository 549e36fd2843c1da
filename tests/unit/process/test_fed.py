"""Fed runs: superposition, draw-offs, fit and forecast."""

import numpy as np
import pytest

from marshlight.errors import InputError
from marshlight.estimate import Estimate
from marshlight.process.curves import curve
from marshlight.process.fed import fit_fed, forecast_fed
from marshlight.process.fed_curve import DrawOff, FedCurve, Feed

DAYS = np.arange(0.0, 60.0, 0.5)
RATE = Estimate(0.15, 0.05)


def feed(day: float, gas: float) -> Feed:
    return Feed(day, Estimate(gas, 0.2 * gas))


def fed(*feeds: Feed, draws: tuple[DrawOff, ...] = ()) -> FedCurve:
    return FedCurve(curve("first_order"), feeds, draws)


def test_one_feed_on_day_zero_is_a_batch() -> None:
    assert fed(feed(0, 2.0)).value(DAYS, [0.9, 0.1]) == pytest.approx(
        curve("first_order").value(DAYS, [1.8, 0.1])
    )


def test_feeds_add_up_each_from_its_own_day() -> None:
    together = fed(feed(0, 2.0), feed(10, 1.0)).value(DAYS, [1.0, 0.1])
    second = curve("first_order").value(DAYS - 10, [1.0, 0.1])
    assert together == pytest.approx(curve("first_order").value(DAYS, [2.0, 0.1]) + second)


def test_a_draw_off_takes_its_share_of_the_undigested_rest_and_no_gas_already_given() -> None:
    k, share = 0.1, 0.25
    model = fed(feed(0, 2.0), draws=(DrawOff(10.0, share),))
    left = 2.0 * np.exp(-k * 10.0)
    expected = 2.0 - left + (1 - share) * left * (1 - np.exp(-k * 20.0))
    assert float(model.value([10.0], [1.0, k])[0]) == pytest.approx(2.0 - left)
    assert float(model.value([30.0], [1.0, k])[0]) == pytest.approx(expected)


def test_a_draw_off_spares_what_is_fed_later() -> None:
    late = fed(feed(0, 0.0), feed(20, 1.0), draws=(DrawOff(10.0, 0.9),))
    assert float(late.value([400.0], [1.0, 0.1])[0]) == pytest.approx(1.0)


@pytest.mark.parametrize("kernel", ["first_order", "first_order_lag", "two_pool", "cone"])
def test_slopes_agree_with_differences(kernel: str) -> None:
    p = {
        "first_order": [0.9, 0.1],
        "first_order_lag": [0.9, 0.1, 1.3],
        "two_pool": [0.9, 0.5, 0.4, 0.05],
        "cone": [0.9, 0.12, 1.8],
    }[kernel]
    model = FedCurve(curve(kernel), (feed(0, 2), feed(9.3, 1)), (DrawOff(9.3, 0.1),))
    exact = model.slopes(DAYS, p)
    for i, value in enumerate(p):
        step = np.zeros(len(p))
        step[i] = 1e-6 * value
        rough = (model.value(DAYS, p + step) - model.value(DAYS, p - step)) / (2 * step[i])
        assert exact[:, i] == pytest.approx(rough, rel=1e-5, abs=1e-6)


def test_many_parameter_sets_at_once_equal_one_by_one() -> None:
    model = fed(feed(0, 2), feed(9.3, 1), draws=(DrawOff(9.3, 0.1),))
    p = np.array([[0.9, 0.1], [1.1, 0.2]])
    together = model.value(DAYS, p)
    assert together[1] == pytest.approx(model.value(DAYS, p[1]))


def year() -> tuple[list[Feed], list[DrawOff]]:
    days = np.cumsum(np.tile([3.0, 4.0], 12))
    return [feed(0, 2.0), *(feed(float(d), 0.3) for d in days)], [
        DrawOff(float(d), 0.03) for d in days
    ]


def test_fit_finds_the_rate_and_scale_behind_a_fed_run() -> None:
    feeds, draws = year()
    truth = FedCurve(curve("first_order"), tuple(feeds), tuple(draws)).value(DAYS[1:], [0.8, 0.22])
    noisy = truth + np.random.default_rng(2).normal(0, 0.01, truth.size)
    fit = fit_fed(feeds, DAYS[1:], noisy, 0.01, rate_per_d=RATE, draw_offs=draws)
    scale, rate = fit.estimates["scale"], fit.estimates["rate"]
    assert abs(scale.value - 0.8) < 2.5 * scale.u
    assert abs(rate.value - 0.22) < 2.5 * rate.u
    assert scale.u < 0.15


def test_forecast_holds_the_rest_of_the_run_with_its_planned_feeds() -> None:
    feeds, draws = year()
    truth = FedCurve(curve("first_order"), tuple(feeds), tuple(draws)).value(DAYS[1:], [0.8, 0.22])
    known = DAYS[1:] <= 30
    noisy = truth + np.random.default_rng(2).normal(0, 0.01, truth.size)
    fit = fit_fed(
        [f for f in feeds if f.day <= 30], DAYS[1:][known], noisy[known], 0.01, rate_per_d=RATE,
        draw_offs=[d for d in draws if d.day <= 30],
    )  # fmt: skip
    seen = forecast_fed(
        fit, DAYS[1:], rng=np.random.default_rng(1), planned=[f for f in feeds if f.day > 30],
        planned_draw_offs=[d for d in draws if d.day > 30], draws=400,
    )  # fmt: skip
    later = ~known
    inside = (truth >= seen.cumulative.low95) & (truth <= seen.cumulative.high95)
    assert inside[later].all()
    width = seen.cumulative.high95[-1] - seen.cumulative.low95[-1]
    assert width < 0.5 * truth[-1]
    assert seen.spent_day.low > max(f.day for f in feeds)


def test_before_any_reading_the_feeds_speak_alone() -> None:
    fit = fit_fed([feed(0, 2.0)], [], [], None, rate_per_d=RATE)
    seen = forecast_fed(fit, [5.0, 300.0], rng=np.random.default_rng(1), draws=400)
    assert seen.cumulative.median[1] == pytest.approx(2.0, rel=0.1)


@pytest.mark.parametrize("feeds", [[], [feed(0, 0.0)], [feed(5, 1.0), feed(2, 1.0)]])
def test_unusable_feeds_are_refused(feeds: list[Feed]) -> None:
    with pytest.raises(InputError, match="feeds"):
        fit_fed(feeds, [], [], None, rate_per_d=RATE)


def test_a_share_above_one_can_not_be_drawn_off() -> None:
    with pytest.raises(InputError, match="share"):
        DrawOff(1.0, 1.2)


def test_a_sigmoid_is_no_kernel_for_feeds() -> None:
    with pytest.raises(InputError, match="kernel"):
        fit_fed([feed(0, 1)], [], [], None, rate_per_d=RATE, kernel="gompertz")


def test_a_lasting_surplus_moves_the_scale_and_does_not_fade_from_the_forecast() -> None:
    feeds = [Feed(float(d), Estimate(1.0, 0.2)) for d in range(120)]
    known = np.arange(1.0, 61.0)
    model = FedCurve(curve("first_order"), tuple(feeds), ())
    days = np.concatenate([[0.0], np.arange(1.0, 120.0)])
    made = np.diff(model.value(days, [1.3, 0.25]))
    made *= 1 + np.random.default_rng(4).normal(0, 0.1, made.size)
    fit = fit_fed(feeds[:61], known, np.cumsum(made[:60]), 0.01, rate_per_d=Estimate(0.25, 0.08))
    assert fit.estimates["scale"].value == pytest.approx(1.3, abs=0.08)
    seen = forecast_fed(
        fit, np.arange(61.0, 119.0), rng=np.random.default_rng(1), planned=feeds[61:119]
    )
    assert np.mean(seen.daily.median) == pytest.approx(1.3, rel=0.06)
