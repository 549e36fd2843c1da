"""The likelihood of counted gas against a plain multivariate normal, and what slips do to it."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import multivariate_normal, norm

from marshlight.decide.watch.calibration import STRAY_D, Counted, counting
from marshlight.decide.watch.calibration.counting import (
    MOST_INTERVALS,
    judge_gas,
    stray_today,
    taken,
)

SIZE = np.array([0.1, 0.2, 0.4])


def counted(count: int = 8, *, linked: bool = False, seed: int = 1) -> Counted:
    rng = np.random.default_rng(seed)
    ends = np.cumsum(rng.uniform(0.5, 2.0, count))
    starts = np.concatenate([[0.0], ends[:-1]])
    gas = 0.01 * (ends - starts) * np.exp(0.1 * rng.standard_normal(count))
    links = np.arange(count) > 0 if linked else None
    return Counted(starts, ends, gas, np.full(count, 4e-4), np.zeros(count) > 1.0, links)


def shown(gas: Counted) -> np.ndarray:
    return np.outer([0.9, 1.0, 1.2], 0.01 * (gas.end_d - gas.start_d))


@pytest.fixture
def no_slips(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(counting, "SLIPS", 1e-300)


def plain(gas: Counted, expected: np.ndarray, size: float) -> float:
    """The same law written as one covariance: strays at middles, timing and reading errors."""
    span = gas.end_d - gas.start_d
    middle = 0.5 * (gas.start_d + gas.end_d)
    ratio = span / STRAY_D
    averaged = np.sqrt(2.0 * (ratio - 1.0 + np.exp(-ratio))) / ratio
    usual = float(np.median(gas.gas_m3 / span)) * span
    answer = averaged * np.hypot(expected, 0.05 * usual)
    lasting = np.exp(-np.abs(middle[:, None] - middle[None, :]) / STRAY_D)
    whole = size**2 * np.outer(answer, answer) * lasting
    timing = (0.05 / span * answer) ** 2
    # An error of timing at a look shortens one interval and lengthens the next.
    whole[0, 0] += timing[0]
    for i in range(len(span)):
        whole[i, i] += timing[i]
        if i + 1 < len(span):
            whole[i + 1, i + 1] += timing[i]
            whole[i, i + 1] -= timing[i]
            whole[i + 1, i] -= timing[i]
    half = 0.5 * gas.u_m3[0] ** 2
    for i in range(len(span)):
        if gas.linked is not None and bool(gas.linked.any()):
            whole[i, i] += 2.0 * half
            if i + 1 < len(span):
                whole[i, i + 1] -= half
                whole[i + 1, i] -= half
        else:
            whole[i, i] += gas.u_m3[i] ** 2
    return float(multivariate_normal(expected, whole).logpdf(gas.gas_m3))


@pytest.mark.usefixtures("no_slips")
@pytest.mark.parametrize("linked", [False, True])
def test_the_filter_gives_what_one_covariance_gives(linked: bool) -> None:
    gas = counted(linked=linked)
    expected = shown(gas)
    found = judge_gas(taken(gas), expected, SIZE).log_likelihood
    wanted = [plain(gas, row, size) for row, size in zip(expected, SIZE, strict=True)]
    assert found == pytest.approx(wanted, abs=1e-6)


def test_the_order_of_readings_does_not_matter() -> None:
    gas = counted(linked=True)
    order = np.random.default_rng(3).permutation(len(gas))
    mixed = Counted(
        gas.start_d[order], gas.end_d[order], gas.gas_m3[order], gas.u_m3[order],
        gas.at_least[order], np.asarray(gas.linked)[order],
    )  # fmt: skip
    one, other = (judge_gas(taken(g), shown(gas), SIZE).log_likelihood for g in (gas, mixed))
    assert one == pytest.approx(other, abs=1e-12)


def test_a_gross_slip_costs_little_and_leaves_the_stray_alone() -> None:
    gas = counted()
    wrong = gas.gas_m3.copy()
    wrong[4] += 0.05
    slipped = replace(gas, gas_m3=wrong)
    sound = judge_gas(taken(gas), shown(gas), SIZE)
    off = judge_gas(taken(slipped), shown(gas), SIZE)
    assert (off.log_likelihood > sound.log_likelihood - 12.0).all()
    assert np.abs(off.stray - sound.stray).max() < 0.05


def test_one_level_read_wrong_spoils_two_intervals_but_not_their_sum() -> None:
    gas = counted(linked=True)
    wrong = gas.gas_m3.copy()
    wrong[3] += 0.03
    wrong[4] -= 0.03
    slipped = replace(gas, gas_m3=wrong)
    sound = judge_gas(taken(gas), shown(gas), SIZE)
    off = judge_gas(taken(slipped), shown(gas), SIZE)
    # One slip, not two.
    assert (off.log_likelihood > sound.log_likelihood - 12.0).all()


def test_of_gas_partly_unseen_only_the_least_counts() -> None:
    gas = replace(counted(1), at_least=np.array([True]))
    span = float(gas.end_d[0])
    rates = np.array([0.2, 1.0, 1.0, 5.0, 50.0]) * float(gas.gas_m3[0])
    found = judge_gas(taken(gas), rates[:, None], np.full(5, 0.1))
    assert found.log_likelihood[0] < -2.5
    assert found.log_likelihood[1] == pytest.approx(np.log(0.97 * 0.5 + 0.03), abs=0.02)
    assert found.log_likelihood[3:] == pytest.approx(0.0, abs=1e-3)
    assert found.stray == pytest.approx(0.0)
    assert span > 0.0


def test_a_stray_seen_now_is_forgotten_with_time() -> None:
    gas = counted()
    more = replace(gas, gas_m3=1.3 * gas.gas_m3)
    judged = judge_gas(taken(more), shown(gas)[1:2], np.array([0.3]))
    now, u_now = stray_today(judged, np.array([0.3]), float(gas.end_d[-1]))
    later, u_later = stray_today(judged, np.array([0.3]), float(gas.end_d[-1]) + 30.0)
    assert now[0] == pytest.approx(0.3, abs=0.12)
    assert u_now[0] < 0.15
    assert abs(later[0]) < 0.01
    assert u_later[0] == pytest.approx(0.3, rel=0.01)


def test_many_intervals_are_joined_without_changing_what_they_say() -> None:
    rng = np.random.default_rng(1)
    count = 1440
    ends = np.arange(1, count + 1) / 24.0
    register = 0.01 * ends + 1e-4 * rng.standard_normal(count)
    gas = Counted(
        np.concatenate([[0.0], ends[:-1]]), ends, np.diff(register, prepend=0.0),
        np.full(count, 1.4e-4), np.zeros(count) > 1.0, np.arange(count) > 0,
    )  # fmt: skip
    joined = taken(gas).counted
    assert len(joined) <= MOST_INTERVALS
    assert joined.gas_m3.sum() == pytest.approx(gas.gas_m3.sum())
    # What lies between the ends of a sum drops out of its doubt.
    assert joined.u_m3.max() < 2.0 * 1.4e-4
    assert joined.start_d[0] == 0.0
    assert joined.end_d[-1] == 60.0


def test_an_error_in_one_reading_is_normal_where_nothing_slips(no_slips: None) -> None:
    gas = Counted([0.0], [1.0], [0.011], [0.0005], [False])
    expected = np.array([[0.010]])
    found = float(judge_gas(taken(gas), expected, np.array([1e-6])).log_likelihood[0])
    timing = 0.05 * 0.010 * np.hypot(1.0, 0.05 * 1.1)
    spread = np.sqrt(0.0005**2 + 2.0 * timing**2)
    assert found == pytest.approx(float(norm(0.010, spread).logpdf(0.011)), abs=0.05)


def test_a_swing_of_the_slurrys_gas_shortens_one_interval_and_lengthens_the_next() -> None:
    gas = counted()
    swung = replace(gas, gas_m3=gas.gas_m3 + 0.002 * np.array([1.0, -1.0] * len(gas))[: len(gas)])
    steady, free = taken(swung), taken(swung, swing_m3=0.0015)
    expected = shown(gas)[1:2]
    size = np.array([0.05])
    assert (
        judge_gas(free, expected, size).log_likelihood
        > judge_gas(steady, expected, size).log_likelihood + 1.0
    )
    # It does not pay for gas that is missing day after day.
    short = replace(gas, gas_m3=0.8 * gas.gas_m3)
    lost = [
        judge_gas(taken(g, swing_m3=0.0015), expected, size).log_likelihood[0] for g in (gas, short)
    ]
    assert lost[0] > lost[1]
