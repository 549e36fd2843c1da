"""Calibrated lives: against brute force, against the truth, and what they do with poor logs."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from marshlight.decide.watch.calibration import (
    Counted,
    Lives,
    Prior,
    Read,
    RunLog,
    calibrate,
    drawing,
    lives_from_prior,
    priors_of,
)
from marshlight.decide.watch.calibration.posterior import Posterior
from marshlight.errors import FitError, InputError
from marshlight.matter import find
from marshlight.process.model import (
    Digester,
    DrawOff,
    Holder,
    inoculum,
    liquid_from_feedstock,
    water,
)
from marshlight.process.model.kernel import layout
from marshlight.process.model.liquid import MODEL

Keep = Callable[..., Any]


def held_but(log: RunLog, *free: str) -> dict[str, Prior]:
    """Hold every belief at its middle but those named."""
    return {
        name: replace(prior, low=prior.middle, high=prior.middle)
        for name, prior in priors_of(log).items()
        if name not in free
    }


def grid_of(log: RunLog, priors: Mapping[str, Prior], *free: str) -> tuple[np.ndarray, float]:
    """Work out means and spreads of free scores, and the evidence, on a grid.

    Scores of held parameters change nothing, so that they count for one.
    """
    posterior = Posterior(log, priors_of(log, priors))
    places = [posterior.names.index(name) for name in free]
    axis = np.linspace(-4.0, 4.0, 49)
    mesh = np.stack(np.meshgrid(*[axis] * len(free), indexing="ij"), axis=-1).reshape(-1, len(free))
    scores = np.zeros((len(mesh), len(posterior.names)))
    scores[:, places] = mesh
    runs = posterior.run(scores)
    log_likelihood = posterior.score(scores, runs.shown, runs.fine).log_likelihood
    log_belief = -0.5 * np.sum(mesh**2, axis=1) - 0.5 * len(free) * np.log(2.0 * np.pi)
    logs = log_likelihood + log_belief + len(free) * np.log(axis[1] - axis[0])
    top = logs.max()
    weight = np.exp(logs - top)
    evidence = float(top + np.log(weight.sum()))
    weight /= weight.sum()
    mean = weight @ mesh
    return np.stack([mean, np.sqrt(weight @ (mesh - mean) ** 2)]), evidence


def scores_of(lives: Lives, name: str) -> np.ndarray:
    return lives.priors[name].scores(lives.of(name))


def test_two_parameters_come_out_as_on_a_grid(keep: Keep) -> None:
    log = keep(gas_every=2.0, days=14.0, ph_every=5.0, food=1.2, cells=0.6).log
    priors = held_but(log, "food", "cells")
    lives = calibrate(log, rng=np.random.default_rng(1), priors=priors)
    (mean, spread), evidence = grid_of(log, priors, "food", "cells")
    for i, name in enumerate(("food", "cells")):
        found = scores_of(lives, name)
        assert found.mean() == pytest.approx(mean[i], abs=0.3 * spread[i])
        assert found.std() == pytest.approx(spread[i], rel=0.25)
    assert lives.log_evidence == pytest.approx(evidence, abs=0.15)
    assert lives.quality.trusted


def walked(posterior: Posterior, free: list[int], steps: int) -> np.ndarray:
    """Walk through the scores at random (Metropolis), many walkers side by side."""
    rng, walkers = np.random.default_rng(7), 64
    at = np.zeros((walkers, len(posterior.names)))
    at[:, free] = 0.3 * rng.standard_normal((walkers, len(free)))

    def height(scores: np.ndarray) -> np.ndarray:
        runs = posterior.run(scores)
        return posterior.score(scores, runs.shown, runs.fine).log_posterior

    now, kept = height(at), []
    for step in range(steps):
        # Two others tell how far and which way to go (ter Braak's differential moves).
        a, b = rng.permutation(walkers), rng.permutation(walkers)
        move = np.zeros_like(at)
        reach = 2.38 / np.sqrt(2.0 * len(free)) if step % 8 else 1.0
        move[:, free] = reach * (at[a] - at[b])[:, free]
        move[:, free] += 0.01 * rng.standard_normal((walkers, len(free)))
        there = height(at + move)
        taken = np.log(rng.random(walkers)) < there - now
        at = np.where(taken[:, None], at + move, at)
        now = np.where(taken, there, now)
        if step >= steps // 3:
            kept.append(at[:, free].copy())
    return np.concatenate(kept)


@pytest.mark.slow
def test_three_parameters_come_out_as_by_a_long_random_walk(keep: Keep) -> None:
    log = keep(gas_every=3.0, days=18.0, food=0.85, rate=1.5, buffer=0.8, ph_every=4.0).log
    free = ("food", "rate", "buffer")
    priors = held_but(log, *free)
    lives = [calibrate(log, rng=np.random.default_rng(i), priors=priors) for i in range(4)]
    posterior = Posterior(log, priors_of(log, priors))
    drawn = walked(posterior, [posterior.names.index(n) for n in free], 150)
    for i, name in enumerate(free):
        found, wanted = np.concatenate([scores_of(one, name) for one in lives]), drawn[:, i]
        assert found.mean() == pytest.approx(wanted.mean(), abs=0.2 * wanted.std())
        assert found.std() == pytest.approx(wanted.std(), rel=0.15)
        for level in (0.1, 0.9):
            off = np.quantile(found, level) - np.quantile(wanted, level)
            assert abs(off) < 0.35 * wanted.std()


def test_a_dense_log_tells_the_truth_and_a_sparse_one_says_less(keep: Keep) -> None:
    truth = {"food": 1.25, "rate": 0.7, "cells": 1.3}
    dense = keep(days=30.0, gas_every=1.0, ph_every=2.0, **truth)
    sparse = keep(days=30.0, gas_every=30.0, **truth)
    many = calibrate(dense.log, rng=np.random.default_rng(1))
    few = calibrate(sparse.log, rng=np.random.default_rng(1))
    for name, value in truth.items():
        for lives in (many, few):
            low, high = np.quantile(lives.of(name), [0.005, 0.995])
            assert low < value < high
    for name in ("food", "rate"):
        assert scores_of(many, name).std() < 0.7 * scores_of(few, name).std()
    assert many.quality.trusted
    assert few.quality.trusted


def test_without_readings_lives_are_the_belief() -> None:
    log = RunLog(
        Digester(0.012, Holder("bag", 0.1)),
        inoculum("digested cattle manure", 0.006), today=4.0,
    )  # fmt: skip
    lives = calibrate(log, rng=np.random.default_rng(1))
    assert np.abs(scores_of(lives, "food").mean()) < 0.25
    assert lives.quality.words == ("No reading was used.",)
    assert lives.log_evidence == 0.0


def test_a_later_calibration_agrees_with_a_fresh_one(keep: Keep) -> None:
    log = keep(days=20.0, gas_every=1.0, ph_every=4.0, food=1.15, cells=0.7).log
    earlier = calibrate(log.until(17.0), rng=np.random.default_rng(1))
    later = calibrate(log, rng=np.random.default_rng(2), earlier=earlier)
    fresh = calibrate(log, rng=np.random.default_rng(3))
    assert later.quality.runs < fresh.quality.runs
    assert later.day == fresh.day == 20.0
    assert later.log_evidence == pytest.approx(fresh.log_evidence, abs=0.4)
    for name in later.names:
        one, other = scores_of(later, name), scores_of(fresh, name)
        # Worth some sixty draws each: means agree within three of their standard errors.
        assert abs(one.mean() - other.mean()) < 3.0 * np.sqrt(2.0 / 60.0) * other.std()


def test_an_earlier_calibration_serves_although_beliefs_have_changed(keep: Keep) -> None:
    log = keep(days=16.0, gas_every=1.0, food=1.15).log
    earlier = calibrate(log.until(14.0), rng=np.random.default_rng(1))
    # The first thermometer reading makes the belief in the warmth three times as narrow.
    read = replace(log, slurry_c=Read([15.0], [35.0], [0.5]), food=(0.8, 1.3))
    later = calibrate(read, rng=np.random.default_rng(2), earlier=earlier)
    fresh = calibrate(read, rng=np.random.default_rng(3))
    assert later.log_evidence == pytest.approx(fresh.log_evidence, abs=0.4)
    for name in ("food", "rate", "warmth_k"):
        one, other = scores_of(later, name), scores_of(fresh, name)
        assert abs(one.mean() - other.mean()) < 3.0 * np.sqrt(2.0 / 60.0) * other.std()


def test_the_order_of_readings_changes_nothing(keep: Keep) -> None:
    log = keep(days=10.0, ph_every=2.0, flames=(2.0, 8.0)).log
    turn = slice(None, None, -1)
    gas = Counted(
        log.gas.start_d[turn], log.gas.end_d[turn], log.gas.gas_m3[turn], log.gas.u_m3[turn],
        log.gas.at_least[turn],
    )  # fmt: skip
    ph = Read(log.ph.day[turn], log.ph.value[turn], log.ph.u[turn], log.ph.step)
    turned = replace(log, gas=gas, ph=ph, flame=log.flame[turn])
    one, other = (calibrate(each, rng=np.random.default_rng(5)) for each in (log, turned))
    assert one.log_evidence == pytest.approx(other.log_evidence, abs=1e-6)
    assert one.draws == pytest.approx(other.draws, rel=1e-6)


def test_a_gross_slip_does_not_drag_the_answer(keep: Keep) -> None:
    log = keep(days=20.0, gas_every=2.0, food=1.1).log
    wrong = log.gas.gas_m3.copy()
    wrong[4] *= 6.0
    slipped = replace(log, gas=replace(log.gas, gas_m3=wrong))
    sound, off = (calibrate(each, rng=np.random.default_rng(1)) for each in (log, slipped))
    for name in ("food", "rate", "cells", "stray"):
        change = scores_of(off, name).mean() - scores_of(sound, name).mean()
        assert abs(change) < 0.6 * max(float(scores_of(sound, name).std()), 0.3)


def overfed() -> RunLog:
    """So much bread for so little inoculum, and so much gas, that it may have gone either way."""
    live = inoculum("digested cattle manure", 0.004) + water(0.003)
    return RunLog(
        Digester(0.012, Holder("floating", 0.5, gauge_kpa=0.2), temperature_c=35.0),
        live + liquid_from_feedstock(find("stale bread"), 0.15),
        today=8.0,
        gas=Counted([0.0], [8.0], [0.046], [0.008], [False]),
    )


def test_where_it_may_be_sour_or_well_both_are_kept_until_the_ph_is_read() -> None:
    log = overfed()
    sour = np.mean(end_ph(calibrate(log, rng=np.random.default_rng(1))) < 6.0)
    # Of the belief's own lives with such gas (by their weights alone, no climb), as many are sour.
    belief = Posterior(log, priors_of(log))
    scores = np.random.default_rng(2).standard_normal((1200, len(belief.names)))
    runs = belief.run(scores)
    weight = np.exp(belief.score(scores, runs.shown, runs.fine).log_likelihood)
    wanted = float(weight @ runs.sour / weight.sum())
    assert 0.1 < wanted < 0.9
    assert sour == pytest.approx(wanted, abs=0.15)
    for value, share in ((7.3, 0.0), (4.9, 1.0)):
        read = replace(log, ph=Read([7.5], [value], [0.1]))
        lives = calibrate(read, rng=np.random.default_rng(1))
        assert np.mean(end_ph(lives) < 6.0) == pytest.approx(share, abs=0.03)


def end_ph(lives: Lives) -> np.ndarray:
    return -lives.states[:, layout(MODEL).state_at["ln_proton"]] / np.log(10.0)


def test_an_answer_that_too_few_lives_carry_is_widened_and_says_so(
    keep: Keep, monkeypatch: pytest.MonkeyPatch
) -> None:
    log = keep(days=20.0, gas_every=1.0, ph_every=2.0, food=1.2).log
    sure = calibrate(log, rng=np.random.default_rng(1))
    monkeypatch.setattr(drawing, "ENOUGH", 1e9)
    rough = calibrate(log, rng=np.random.default_rng(1), budget=300)
    assert not rough.quality.trusted
    assert "only roughly" in rough.quality.words[0]
    monkeypatch.setattr(drawing, "SOME", 150.0)
    poor = calibrate(log, rng=np.random.default_rng(1), budget=300)
    assert not poor.quality.trusted
    assert "less say" in poor.quality.words[0]
    for name in ("food", "rate", "cells"):
        assert scores_of(poor, name).std() > 1.2 * scores_of(sure, name).std()


def test_readings_that_no_life_explains_do_not_break_the_answer(keep: Keep) -> None:
    log = keep(days=12.0, gas_every=1.0).log
    day = np.arange(2.0, 12.0)
    odd = replace(
        log,
        methane=Read(day, np.full(10, 0.99), np.full(10, 0.002)),
        acids=Read(day, np.full(10, 19.0), np.full(10, 0.01)),
        ph=Read(day, np.full(10, 8.9), np.full(10, 0.01)),
    )
    lives = calibrate(odd, rng=np.random.default_rng(1), budget=300)
    assert len(lives) == 200
    assert np.isfinite(lives.draws).all()
    assert np.isfinite(lives.states).all()
    # Slips are what explains them, at a price.
    assert lives.log_evidence < calibrate(log, rng=np.random.default_rng(1)).log_evidence - 50.0


def test_what_cannot_be_calibrated_is_refused() -> None:
    vessel = Digester(0.012, Holder("bag", 0.1))
    log = RunLog(
        vessel, inoculum("digested cattle manure", 0.006), today=4.0,
        events=(DrawOff(1.0, 0.5),), ph=Read([3.0], [7.0], [0.1]),
    )  # fmt: skip
    with pytest.raises(FitError, match="draw-offs"):
        calibrate(log, rng=np.random.default_rng(1))
    fine = replace(log, events=())
    with pytest.raises(InputError) as budget:
        calibrate(fine, rng=np.random.default_rng(1), budget=10)
    assert budget.value.field == "budget"
    with pytest.raises(InputError) as unknown:
        calibrate(
            fine, rng=np.random.default_rng(1),
            priors={"luck": Prior(1.0, 0.5, 2.0, "factor", "1", "", "")},
        )  # fmt: skip
    assert unknown.value.field == "prior"
    assert len(lives_from_prior(fine, rng=np.random.default_rng(1), members=8)) == 8
