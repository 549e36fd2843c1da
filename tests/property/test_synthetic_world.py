"""Invented digesters, which calibration and diagnosis are judged on, are what they say they are."""

import numpy as np
import pytest
from benchmarks.evenness import evenness
from benchmarks.published_watch import crps
from benchmarks.synthetic import FAULTS, KINDS, Case, draw_case, write_log

SEED = 12


def drawn(fault: str, kind: str = "fed drum", severity: float = 0.8) -> Case:
    rng = np.random.default_rng(SEED)
    return draw_case(kind, rng, dense=True, fault=fault, severity=severity)


def gas_per_day(case: Case, start: float, end: float) -> float:
    first, last = np.interp([start, end], case.life.day, case.life.gas_m3)
    return float(last - first) / (end - start)


def test_the_same_seed_gives_the_same_digester_and_log() -> None:
    first, second = (write_log(drawn("leak"), np.random.default_rng(1)) for _ in range(2))
    assert first.gas is not None
    assert second.gas is not None
    assert np.array_equal(first.gas.gas_m3, second.gas.gas_m3)
    assert first.events == second.events


@pytest.mark.parametrize("kind", KINDS)
def test_a_healthy_log_counts_what_came_within_its_doubt(kind: str) -> None:
    case = drawn("", kind)
    log = write_log(case, np.random.default_rng(3))
    assert log.gas is not None
    assert log.ph is not None
    came = case.life.at(case.life.gas_m3, log.gas.end_d) - case.life.at(
        case.life.gas_m3, log.gas.start_d
    )
    off = (log.gas.gas_m3 - case.truth.instruments.gas_scale * came) / log.gas.u_m3
    seen = off[~log.gas.at_least]
    assert 0.6 < float(np.sqrt(np.mean(seen**2))) < 1.4
    ph_off = log.ph.value - case.life.at(case.life.run["pH"], log.ph.day)
    assert abs(float(np.mean(ph_off)) - case.truth.instruments.ph_bias) < 0.1


@pytest.mark.parametrize("fault", ["leak", "tap left open", "cold", "floating layer", "spent"])
def test_a_fault_that_costs_gas_costs_gas(fault: str) -> None:
    case, since = drawn(fault), drawn(fault).truth.since
    assert gas_per_day(case, since + 3.0, since + 10.0) < 0.75 * gas_per_day(
        case, since - 7.0, since
    )


def test_air_drawn_in_thins_the_methane_and_a_sour_digester_loses_its_ph() -> None:
    air, healthy = drawn("air drawn in"), drawn("")
    last = air.life.day.size - 1
    assert air.life.run.share("methane")[last] < 0.8 * healthy.life.run.share("methane")[last]
    assert air.life.run.share("nitrogen")[last] > 0.1
    overfed = drawn("overfed", "batch drum", 1.0)
    assert overfed.life.run["pH"].min() < overfed.life.run["pH"][0] - 0.5


@pytest.mark.parametrize("fault", FAULTS)
def test_every_fault_can_befall_every_kind_and_leaves_a_log(fault: str) -> None:
    for number, kind in enumerate(KINDS):
        rng = np.random.default_rng(number)
        case = draw_case(kind, rng, dense=False, fault=fault)
        log = write_log(case, rng).until(0.9 * case.setup.length_d)
        assert case.truth.fault == fault
        assert 0.0 <= case.truth.since < case.setup.length_d
        assert log.readings > 3


def test_even_ranks_pass_and_uneven_ones_do_not() -> None:
    rng = np.random.default_rng(5)
    good = evenness(rng.random(300))
    assert good.chance_bins > 0.01
    assert good.chance_curve > 0.01
    too_sure = evenness(np.concatenate([0.15 * rng.random(150), 1.0 - 0.15 * rng.random(150)]))
    assert too_sure.chance_bins < 1e-6
    assert too_sure.width > 1.3
    shifted = evenness(rng.random(300) ** 0.6)
    assert shifted.chance_curve < 0.001
    assert shifted.centre > 0.05


def test_the_probability_score_is_the_integral_it_stands_for() -> None:
    draws, truth = np.random.default_rng(6).normal(size=(400, 1)), np.array([0.7])
    grid = np.linspace(-6.0, 6.0, 12001)
    below = np.searchsorted(np.sort(draws[:, 0]), grid, side="right") / len(draws)
    integral = np.trapezoid((below - (grid >= truth[0])) ** 2, grid)
    assert float(crps(draws, truth)[0]) == pytest.approx(float(integral), rel=0.002)
