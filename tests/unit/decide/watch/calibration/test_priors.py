"""Beliefs are what they say, change by name, and learn from earlier runs."""

import numpy as np
import pytest

from marshlight.decide.watch.calibration import (
    Prior,
    Read,
    RunLog,
    lives_from_prior,
    priors_from,
    priors_of,
)
from marshlight.errors import InputError
from marshlight.process.model import Digester, Holder, inoculum

LOG = RunLog(Digester(0.2, Holder("bag", 0.3)), inoculum("digested cattle manure", 0.1), today=3.0)


@pytest.mark.parametrize("name", list(priors_of(LOG)))
def test_ninety_five_in_a_hundred_lie_between_the_ends(name: str) -> None:
    belief = priors_of(LOG)[name]
    drawn = belief.natural(np.random.default_rng(1).standard_normal(20_000))
    assert 0.945 < np.mean((drawn > belief.low) & (drawn < belief.high)) < 0.955
    assert abs(np.mean(drawn < belief.middle) - 0.5) < 0.02


@pytest.mark.parametrize("name", list(priors_of(LOG)))
def test_scores_and_values_turn_into_each_other(name: str) -> None:
    z = np.linspace(-3.0, 3.0, 13)
    belief = priors_of(LOG)[name]
    assert belief.scores(belief.natural(z)) == pytest.approx(z, abs=1e-9)


def test_a_belief_without_spread_stays_put() -> None:
    fixed = Prior(2.0, 2.0, 2.0, "factor", "1", "fixed", "our choice")
    assert np.all(fixed.natural(np.array([-2.0, 0.0, 2.0])) == 2.0)
    assert np.all(fixed.scores(np.array([1.0, 3.0])) == 0.0)


@pytest.mark.parametrize(
    "made",
    [
        lambda: Prior(1.0, 2.0, 3.0, "factor", "1", "", ""),
        lambda: Prior(1.0, 0.0, 3.0, "factor", "1", "", ""),
        lambda: Prior(0.5, 0.1, 1.0, "share", "1", "", ""),
        lambda: Prior(1.0, 0.5, 2.0, "odd", "1", "", ""),
        lambda: priors_of(LOG, {"luck": Prior(1.0, 0.5, 2.0, "factor", "1", "", "")}),
    ],
)
def test_a_belief_that_cannot_be_is_refused(made: object) -> None:
    with pytest.raises(InputError) as refused:
        made()  # type: ignore[operator]
    assert refused.value.field == "prior"


def test_what_is_measured_narrows_the_belief() -> None:
    read = RunLog(
        LOG.digester, LOG.charge, today=3.0,
        slurry_c=Read([1.0], [30.0], [0.5]), ph=Read([1.0], [7.0], [0.1], 0.5),
    )  # fmt: skip
    assert priors_of(read)["warmth_k"].high < priors_of(LOG)["warmth_k"].high
    assert priors_of(read)["ph_bias"].high > priors_of(LOG)["ph_bias"].high


def test_earlier_runs_move_and_narrow_the_belief_but_never_widen_it() -> None:
    usual = priors_of(LOG)["food"]
    poor = {"food": Prior(0.7, 0.65, 0.75, "factor", "1", "", "")}
    before = [
        lives_from_prior(LOG, rng=np.random.default_rng(i), members=200, priors=poor)
        for i in range(3)
    ]
    learnt = priors_from(before, LOG)["food"]
    assert 0.7 < learnt.middle < 0.9
    assert learnt.high / learnt.low < usual.high / usual.low
    plain = lives_from_prior(LOG, rng=np.random.default_rng(9), members=400)
    for name, belief in priors_from([plain], LOG).items():
        scores = priors_of(LOG)[name].scores(np.array([belief.low, belief.middle, belief.high]))
        assert scores[2] - scores[0] <= 2.0 * 1.96 + 1e-9
        assert abs(scores[1]) < 0.2
    assert priors_from([], LOG) == {}
