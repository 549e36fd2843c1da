"""Whole trials worked out a second time from what was written down, by pandas and SciPy alone."""

from collections.abc import Callable

import numpy as np
import pandas as pd
import pytest
from scipy import stats

from marshlight.answers.trial_result import trial_result
from marshlight.notebook.models import Person, Trial
from trial_racks import (
    AIR_KPA,
    BATH_C,
    COUNTED,
    CRUCIBLES,
    ROOM_C,
    SEALED,
    SPACE_ML,
    WEIGHED,
    counts,
    make_bench,
    normal,
    pressures,
    rack,
    vapour_kpa,
    weights,
)

pytestmark = pytest.mark.django_db
# Dry normal densities of the gravimetric document's gases by the reference equations of state.
RHO = {"CH4": 0.71746, "CO2": 1.9768, "N2": 1.2504}


@pytest.fixture
def keeper() -> Person:
    return make_bench()


def methane_by_pressure(bottle: pd.DataFrame, way: str) -> float:
    """Last cumulative methane of a sealed bottle [NmL]."""
    before = np.array([normal(SPACE_ML, BATH_C, AIR_KPA + p) for p in bottle.shown])
    after = normal(SPACE_ML, BATH_C, AIR_KPA)
    if way == "by_content":
        x_before = np.r_[0.0, bottle.x.to_numpy()[:-1]]
        return float(np.sum(bottle.x * before - x_before * after))
    return by_mean_share(bottle, before - after)


def by_mean_share(bottle: pd.DataFrame, gas: np.ndarray) -> float:
    made = (bottle.x / (bottle.x + bottle.y)).to_numpy()
    return float(np.sum(gas * (made + np.r_[made[:1], made[:-1]]) / 2.0))


def methane_by_counter(bottle: pd.DataFrame, way: str) -> float:
    gas = np.diff(bottle.shown, prepend=0.0) * normal(1.0, ROOM_C, AIR_KPA)
    return by_mean_share(bottle, gas)


def methane_by_weight(bottle: pd.DataFrame, way: str) -> float:
    made = bottle.x / (bottle.x + bottle.y)
    lost = -np.diff(bottle.shown, prepend=1000.0)
    pressure = vapour_kpa(BATH_C)
    vapour = 18.015268 * pressure / (AIR_KPA - pressure) / 22.413969
    density = made * RHO["CH4"] + (1.0 - made) * RHO["CO2"]
    return by_mean_share(bottle, lost * 1e3 / (density + vapour * 1.0))


def worked_out(paper: pd.DataFrame, methane: Callable[..., float], way: str) -> pd.DataFrame:
    """Potentials with their errors, by the published equations."""
    rows = paper.groupby("label", sort=False).first()
    rows["gas"] = [methane(b, way) for _, b in paper.groupby("label", sort=False)]
    blank = rows[rows.role == "blank"]
    each = blank.gas / blank.inoculum
    rest = rows[rows.role != "blank"].copy()
    vs = {k: np.array(ts) * np.array(vs) for k, (ts, vs) in CRUCIBLES.items()}
    rest["vs"] = rest.fresh * rest.group.map(lambda g: vs[g].mean())
    rest["b"] = (rest.gas - each.mean() * rest.inoculum) / rest.vs
    rest["s2"] = each.sem() * rest.inoculum / rest.vs
    found = rest.groupby("group").agg(mean=("b", "mean"), s1=("b", "sem"), n=("b", "size"))
    found["s2"] = rest.groupby("group").s2.apply(lambda s: np.sqrt((s**2).mean()))
    rs = {k: stats.sem(v) / v.mean() for k, v in vs.items()}
    found["s3"] = [
        rs[g] * float(np.sqrt((rest[rest.group == g].b ** 2).mean())) for g in found.index
    ]
    found["u"] = np.sqrt(found.s1**2 + found.s2**2 + found.s3**2)
    below = found.s1**4 / (found.n - 1) + found.s2**4 / (len(blank) - 1) + found.s3**4 / 2.0
    found["half"] = stats.t.ppf(0.975, found.u**4 / below) * found.u
    return found


@pytest.mark.parametrize("way", ["as_made", "by_content"])
def test_a_trial_read_by_pressure(keeper: Person, way: str) -> None:
    trial, paper = rack(keeper, SEALED, pressures)
    trial.methane_way = way
    trial.save(by=keeper, why="way")
    _agrees(trial, worked_out(paper, methane_by_pressure, way))
    other = "as_made" if way == "by_content" else "by_content"
    theirs = worked_out(paper, methane_by_pressure, other)
    second = trial_result(trial).other_way
    assert second is not None
    for p in second.potentials:
        assert p.mean * 1e3 == pytest.approx(theirs.loc[p.group, "mean"], rel=1e-9)


def test_a_trial_read_by_counter(keeper: Person) -> None:
    trial, paper = rack(keeper, COUNTED, counts)
    _agrees(trial, worked_out(paper, methane_by_counter, "as_made"))


def test_a_trial_read_by_weight_agrees_as_closely_as_the_printed_densities(keeper: Person) -> None:
    trial, paper = rack(keeper, WEIGHED, weights)
    _agrees(trial, worked_out(paper, methane_by_weight, "as_made"), rel=3e-4)


def _agrees(trial: Trial, theirs: pd.DataFrame, *, rel: float = 1e-9) -> None:
    assessed = trial_result(trial)
    assert assessed.result is not None, (assessed.why_not, [b.why_not for b in assessed.bottles])
    assert len(assessed.result.result.potentials) == 2
    for p in assessed.result.result.potentials:
        row = theirs.loc[p.group]
        ours = np.array([p.mean, p.s1, p.s2, p.s3, p.standard_error, p.high - p.mean]) * 1e3
        assert ours == pytest.approx(
            row[["mean", "s1", "s2", "s3", "u", "half"]].to_numpy(dtype=float), rel=rel
        ), p.group
