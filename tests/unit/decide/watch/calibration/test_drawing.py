"""Lives drawn in rounds: weighed by all they came from, and never picked when impossible."""

import numpy as np
import pytest

from marshlight.decide.watch.calibration import Read, RunLog, drawing, priors_of
from marshlight.decide.watch.calibration.drawing import VARIANTS, Drawn
from marshlight.decide.watch.calibration.posterior import IMPOSSIBLE, Posterior, Scored
from marshlight.decide.watch.calibration.weighing import Part
from marshlight.process.model import Digester, Holder, inoculum, water

LOG = RunLog(
    Digester(0.012, Holder("bag", 0.1)),
    inoculum("digested cattle manure", 0.006) + water(0.001),
    today=4.0,
    ph=Read([3.0], [7.6], [0.05]),
)


def drawn() -> Drawn:
    return Drawn(Posterior(LOG, priors_of(LOG)), np.random.default_rng(1))


def test_rounds_from_different_bells_agree_on_the_evidence() -> None:
    many = drawn()
    size = len(many.posterior.names)
    alone = many.look_around(400).log_mean
    aside = (Part(np.full(size, 0.3), 0.8 * np.eye(size), 1.0),)
    assert many.draw_around(aside, 200).log_mean == pytest.approx(alone, abs=0.1)


def test_bells_move_to_where_the_lives_are() -> None:
    many = drawn()
    size = len(many.posterior.names)
    weights = many.look_around(300)
    wanted = weights.share @ np.concatenate(many.scores)
    far = (Part(np.full(size, 1.0), np.eye(size), 1.0),)
    (bell,) = many.moulded(weights, far)
    assert np.abs(bell.centre - wanted).mean() < 0.25
    assert np.linalg.eigvalsh(bell.spread).min() > 0.0


def test_impossible_lives_get_no_weight_however_little_the_readings_say(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    many = drawn()
    many.look_around(50)
    scored = many.scored[0]
    bad = np.arange(50 * VARIANTS) < 40
    many.scored[0] = Scored(
        np.where(bad, IMPOSSIBLE, scored.log_posterior),
        np.where(bad, IMPOSSIBLE, scored.log_likelihood),
        scored.rows,
        scored.stray,
        scored.u_stray,
    )
    monkeypatch.setattr(drawing, "SOME", 1e9)
    share, say = many.widened()
    assert say == 0.0
    assert share[bad].max() < 1e-12
    assert share.sum() == pytest.approx(1.0)
