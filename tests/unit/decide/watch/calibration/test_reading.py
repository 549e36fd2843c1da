"""Readings other than gas: strips, meters, shares, flames and samples."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import norm

from marshlight.decide.watch.calibration import Read, RunLog, lives_from_prior, past
from marshlight.decide.watch.calibration.course import Course
from marshlight.decide.watch.calibration.posterior import Posterior
from marshlight.decide.watch.calibration.priors import priors_of
from marshlight.decide.watch.calibration.reading import QUANTITIES, Sight, _judge
from marshlight.measure import FlameTest
from marshlight.measure.evidence import Mixture
from marshlight.process.model import Digester, Holder, inoculum, water

LOG = RunLog(
    Digester(0.012, Holder("bag", 0.1)),
    inoculum("digested cattle manure", 0.006) + water(0.001),
    today=10.0,
)
OFFSETS = ("ph_bias", "ph_model", "methane_model", "methane_bias")
SEEN = {
    "leak": np.zeros(3), "gas_scale": np.ones(3), "stray": np.full(3, 0.1),
    **{name: np.zeros(3) for name in OFFSETS},
}  # fmt: skip


def sight(log: RunLog) -> tuple[Sight, dict[str, np.ndarray], Course]:
    """See three lives of a log."""
    posterior = Posterior(log, priors_of(log))
    scores = np.random.default_rng(1).standard_normal((3, len(posterior.names)))
    runs = posterior.run(scores)
    return posterior.sight, dict(runs.shown), runs  # type: ignore[return-value]


def test_a_strip_says_only_between_which_marks_the_ph_lies() -> None:
    read = Read([5.0], [7.0], [0.05], 0.5)
    shown = np.array([[6.2], [6.9], [7.0], [7.1], [7.8]])
    part, _ = _judge(read, shown, QUANTITIES["ph"])
    u = np.hypot(0.05, 0.05)
    wanted = 0.97 * (norm.cdf((7.25 - shown) / u) - norm.cdf((6.75 - shown) / u)) + 0.03 * 0.1
    assert part == pytest.approx(np.log(wanted), abs=1e-9)
    # Between the marks it hardly matters where.
    assert part[1, 0] == pytest.approx(part[2, 0], abs=0.1)


def test_a_reading_far_from_anything_is_a_slip_of_bounded_cost() -> None:
    for step in (0.0, 0.5):
        part, rows = _judge(
            Read([5.0], [7.0], [0.1], step), np.array([[7.0], [12.0]]), QUANTITIES["ph"]
        )
        assert part[1, 0] > part[0, 0] - 7.0
        assert np.isfinite(part).all()
        assert np.isfinite(rows).all()


def test_rows_square_to_what_the_likelihood_lacks_of_its_best() -> None:
    for step in (0.0, 0.25):
        shown = np.linspace(6.0, 8.0, 9)[:, None]
        part, rows = _judge(Read([5.0], [7.0], [0.1], step), shown, QUANTITIES["ph"])
        assert 0.5 * rows**2 == pytest.approx(part[4] - part, abs=1e-9)
        assert (np.diff(rows[:, 0]) > 0.0).all()


def test_readings_close_together_share_the_models_own_error() -> None:
    many = Read(np.full(25, 5.0), np.full(25, 7.0), np.full(25, 0.01))
    off = np.full((1, 25), 7.1)
    lost = _judge(many, off, QUANTITIES["ph"])[0] - _judge(many, off - 0.1, QUANTITIES["ph"])[0]
    # Twenty-five at once tell little more than the model's 0.05 allows: half of two squared.
    assert -2.4 < lost.sum() < -1.6


def test_a_flame_speaks_as_the_flame_test_does() -> None:
    log = replace(LOG, flame=((3.0, "none"), (6.0, "dies"), (9.0, "holds")))
    seen, shown, _ = sight(log)
    found = seen.judge(shown, SEEN).log_likelihood
    wanted = np.zeros(3)
    for i, outcome in enumerate(("will_not_light", "lights_and_dies", "holds")):
        share = shown["flame"][:, i]
        wanted += FlameTest(outcome).log_likelihood(Mixture(share, share, share), 1.0)
    assert found == pytest.approx(wanted)


def test_every_quantity_is_seen_as_the_run_shows_it() -> None:
    day, one = np.array([4.0, 8.0]), np.ones(2)
    names = ("ph", "methane", "carbon_dioxide", "oxygen", "acids", "alkalinity", "ammonia")
    log = replace(LOG, **{name: Read(day, one, one) for name in names})
    lives = lives_from_prior(log, rng=np.random.default_rng(2), members=3)
    exact = np.isin(lives.names, OFFSETS)
    lives = replace(lives, draws=np.where(exact, 0.0, lives.draws))
    posterior = Posterior(log, priors_of(log))
    scores = np.stack([posterior.beliefs[n].scores(lives.of(n)) for n in posterior.names], axis=1)
    shown = posterior.run(scores).shown
    run = past(
        lives, log, days=day,
        watch=(*posterior.sight.watch, "p_sulfide_bar"),
    )  # fmt: skip
    assert shown["ph"] == pytest.approx(run["pH"], abs=1e-3)
    for gas in ("methane", "carbon_dioxide", "oxygen"):
        assert shown[gas] == pytest.approx(run.share(gas), abs=1e-4)
    assert shown["acids"] == pytest.approx(run.acids_kg_m3, rel=2e-3)
    assert shown["ammonia"] == pytest.approx(run.ammonia_nitrogen_kg_m3, rel=1e-3)
    assert (shown["alkalinity"] > run.bicarbonate_alkalinity_kg_m3).all()


def test_a_ph_bias_shifts_what_the_strip_shows() -> None:
    log = replace(LOG, ph=Read([5.0], [7.9], [0.05]))
    seen, shown, _ = sight(log)
    plain = seen.judge(shown, SEEN).log_likelihood
    toward = {**SEEN, "ph_bias": 7.9 - shown["ph"][:, 0]}
    assert (seen.judge(shown, toward).log_likelihood >= plain).all()


def test_what_the_model_is_off_by_moves_methane_up_and_carbon_dioxide_down_in_the_biogas() -> None:
    one = np.array([0.5])
    log = replace(LOG, methane=Read([8.0], one, 0.01 * one), carbon_dioxide=Read([8.0], one, one))
    seen, shown, _ = sight(log)
    biogas = shown["methane"] + shown["carbon_dioxide"]
    moved = {**SEEN, "methane_model": np.full(3, 0.04)}
    by_hand = {
        **shown,
        "methane": shown["methane"] + 0.04 * biogas,
        "carbon_dioxide": shown["carbon_dioxide"] - 0.04 * biogas,
    }
    found = seen.judge(shown, moved).log_likelihood
    assert found == pytest.approx(seen.judge(by_hand, SEEN).log_likelihood)
    # An analyser that shows too much says nothing of the carbon dioxide.
    biased = {**SEEN, "methane_bias": np.full(3, 0.02)}
    by_hand = {**shown, "methane": shown["methane"] + 0.02}
    found = seen.judge(shown, biased).log_likelihood
    assert found == pytest.approx(seen.judge(by_hand, SEEN).log_likelihood)
