"""Counted gas weighed by a filter agrees with the plain formula it stands for."""

import numpy as np
import pytest
from scipy.stats import multivariate_t

from marshlight.decide.watch.calibration import Counted, Read
from marshlight.decide.watch.diagnosis.likelihood import (
    FREEDOM,
    GAS_FREEDOM,
    GasDoubt,
    flame_log,
    gas_log,
    read_log,
)

MEMORY_D, STRAY, SINCE = 6.0, 0.2, 10.0


def _gas(*, linked: bool) -> Counted:
    start = np.array([10.0, 11.0, 12.5, 14.0])
    end = np.array([11.0, 12.5, 14.0, 15.0])
    gas, u = np.array([1.0, 1.4, 0.6, 0.9]), np.array([0.05, 0.07, 0.07, 0.05])
    return Counted(start, end, gas, u, np.zeros(4, bool), np.array([False, *([linked] * 3)]))


def _plain(gas: Counted, foreseen: np.ndarray, slip: np.ndarray) -> float:
    """The covariance written out: an Ornstein-Uhlenbeck stray from a known start, and readings."""
    middle = 0.5 * (gas.start_d + gas.end_d)
    apart, since = np.abs(middle[:, None] - middle), middle - SINCE
    both = np.minimum(since[:, None], since)
    stray = STRAY**2 * np.exp(-apart / MEMORY_D) * (1.0 - np.exp(-2.0 * both / MEMORY_D))
    covariance = foreseen[:, None] * foreseen * stray
    half = 0.5 * gas.u_m3**2
    covariance += np.diag(2.0 * half + slip**2)
    assert gas.linked is not None
    for i in range(1, len(gas)):
        if gas.linked[i]:
            end = half[i - 1] + slip[i - 1] ** 2
            covariance[i, i] += end - half[i]
            covariance[i, i - 1] -= end
            covariance[i - 1, i] -= end
    return float(multivariate_t.logpdf(gas.gas_m3, foreseen, covariance, df=GAS_FREEDOM))


@pytest.mark.parametrize("linked", [False, True])
@pytest.mark.parametrize("slipped", [False, True])
def test_the_filter_gives_the_density_of_the_whole_covariance(linked: bool, slipped: bool) -> None:
    gas, foreseen = _gas(linked=linked), np.array([[1.1, 1.5, 1.3, 0.8]])
    slip = np.array([0.0, 0.4, 0.0, 0.0]) if slipped else np.zeros(4)
    doubt = GasDoubt(np.array([STRAY]), np.zeros(1), SINCE, MEMORY_D, slip, np.zeros(4))
    assert gas_log(gas, foreseen, doubt)[0] == pytest.approx(_plain(gas, foreseen[0], slip))


def test_a_stray_known_at_the_start_moves_what_is_foreseen() -> None:
    gas, foreseen = _gas(linked=False), np.array([[0.8, 1.1, 0.5, 0.7]])
    none = np.zeros(4)
    for at_first, better in ((0.25, True), (-0.25, False)):
        moved = GasDoubt(np.array([STRAY]), np.array([at_first]), SINCE, MEMORY_D, none, none)
        still = GasDoubt(np.array([STRAY]), np.zeros(1), SINCE, MEMORY_D, none, none)
        assert (gas_log(gas, foreseen, moved) > gas_log(gas, foreseen, still))[0] == better


def test_gas_that_went_unseen_speaks_only_against_too_little_foreseen() -> None:
    whole = _gas(linked=False)
    partly = Counted(
        whole.start_d, whole.end_d, whole.gas_m3, whole.u_m3, np.array([False, True, False, False])
    )
    none = np.zeros(4)
    doubt = GasDoubt(np.array([STRAY]), np.zeros(1), SINCE, MEMORY_D, none, none)
    as_read, more, less = (
        gas_log(partly, np.array([[1.0, second, 0.6, 0.9]]), doubt)[0] for second in (1.4, 3.0, 0.3)
    )
    assert more > as_read > less
    assert more - as_read < 1.0


def test_readings_share_one_offset_of_the_model() -> None:
    read = Read(np.array([1.0, 2.0]), np.array([7.0, 7.1]), np.array([0.1, 0.1]))
    foreseen, misfit = np.array([[7.2, 7.2]]), 0.15
    covariance = np.diag([0.01, 0.01]) + misfit**2
    plain = multivariate_t.logpdf(read.value, foreseen[0], covariance, df=FREEDOM)
    assert read_log(read, foreseen, misfit)[0] == pytest.approx(float(plain))


def test_a_flame_that_holds_speaks_for_methane() -> None:
    log = flame_log(("holds",), np.array([[0.2], [0.45], [0.65]]))
    assert log[0] < log[1] < log[2]
