"""From a log to equally likely lives of its digester."""

from collections.abc import Mapping

import numpy as np

from marshlight.decide.watch.calibration.climbing import Peak, apart, climb
from marshlight.decide.watch.calibration.drawing import ENOUGH, TAIL, VARIANTS, Drawn, good
from marshlight.decide.watch.calibration.lives import Lives, Mode, Quality, lives_from_prior
from marshlight.decide.watch.calibration.log import Floats, RunLog
from marshlight.decide.watch.calibration.posterior import Posterior
from marshlight.decide.watch.calibration.priors import Prior, priors_of
from marshlight.decide.watch.calibration.sounding import sounded
from marshlight.decide.watch.calibration.warmth import swings_told
from marshlight.decide.watch.calibration.weighing import Part, Weights, pick
from marshlight.errors import FitError, require

# Draws of the belief looked at first, to find every way the log can be read; fewer when an
# earlier calibration says where to look.
_SCAN, _GLANCE = 64, 16
# Draws around the likeliest lives in a round.
_ROUND = 96
# Runs that sounding the ground and a round after it may take.
_SOUNDING = 3 * _ROUND + 24
# Lives kept.
KEPT = 200
# Steps of the integration in two seconds, at the 1.1 us that were measured; of a life, and of each
# day on which something is done. Runs are never fewer or more than these.
_STEPS, _STEPS_A_LIFE, _STEPS_A_DAY, _FEWEST_AND_MOST = 1.75e6, 500.0, 27.5, (600, 1600)
# Where they can't be relied on by then, as many more are allowed as make it this much. Our choice.
_FURTHER = 1.5
_ROUGH = "The lives drawn carry the answer only roughly: take its spread with caution."
_WIDE = (
    "Few of the lives drawn fit the readings: they were given less say, so that the spread shown is"
    " wider than it need be."
)
# A way of reading the log less likely than this is left to the belief's own draws (log).
_FAINT = 12.0
# A peak is often narrower than the lives around it. Our choice.
_WIDER = 1.3
# An earlier centre that today's belief holds for next to impossible begins no further out.
_FAR = 4.0
# Starts of the climb beside the belief's middle, from each branch.
_STARTS = 1


def calibrate(
    log: RunLog,
    *,
    rng: np.random.Generator,
    earlier: Lives | None = None,
    priors: Mapping[str, Prior] | None = None,
    budget: int | None = None,
) -> Lives:
    """Find the lives of a digester that its log allows.

    Parameters
    ----------
    log : RunLog
        What happened and what was read.
    rng : numpy.random.Generator
        The state to draw from.
    earlier : Lives, optional
        Of the same digester from a shorter log: the search starts where they lie. Readings may
        have been corrected since.
    priors : mapping, optional
        Beliefs that take the place of the usual ones, by name.
    budget : int, optional
        Runs of the model to stay below, 300 or more; left out: what takes about two seconds on
        one core, and half as many again where they can't be relied on by then. A calibration that
        needs more says so.

    Returns
    -------
    Lives
        Some 200 equally likely lives, with how far they can be relied on.

    Raises
    ------
    InputError
        When log or priors cannot be used.
    FitError
        When the model cannot be run through this log.

    Notes
    -----
    Draws of the belief show in which branches the log can be read (healthy, sour); from the best
    of each a damped Gauss-Newton climb finds the likeliest life. Bells with heavy tails around
    these, and the belief itself, give draws; each counts by how likely it is over how often it
    was drawn, with Pareto-smoothed weights. Where the tail of the weights is bad, the ground is
    sounded as far out as the bells reach, since the climb's short steps misjudge ridges; where
    lives are too few, the bells are moulded to what was found and drawn from again. Where the
    weights stay poor, the readings are given less say until enough lives carry the answer: it is
    then wider than need be, and says so.

    References
    ----------
    vehtari_psis; owen_zhou_2000; levenberg_1944.

    Examples
    --------
    >>> from marshlight.decide.watch.calibration.log import Read
    >>> from marshlight.process.model import Digester, Holder, inoculum, water
    >>> log = RunLog(Digester(0.01, Holder("bag", 0.1)),
    ...              inoculum("digested cattle manure", 0.004) + water(0.002), today=5.0,
    ...              ph=Read([1.0, 4.0], [7.4, 7.5], [0.1, 0.1]))
    >>> lives = calibrate(log, rng=np.random.default_rng(1))
    >>> len(lives), lives.quality.trusted
    (200, True)
    """
    usual = affordable(log) if budget is None else budget
    most = int(_FURTHER * usual) if budget is None else budget
    require(
        usual >= 300, field="budget", value=budget, allowed="300 or more", remedy="Allow more runs"
    )
    if not log.readings:
        return lives_from_prior(log, rng=rng, members=KEPT, priors=priors)
    posterior = Posterior(log, priors_of(log, priors))
    drawn = Drawn(posterior, rng)
    known = earlier is not None and earlier.names == posterior.names and bool(earlier.modes)
    drawn.look_around(_GLANCE if known else _SCAN)
    peaks = climb(posterior, _starts(posterior, drawn, earlier if known else None))
    parts = _bells(peaks)
    weights = drawn.draw_around(parts, _ROUND)
    hard = False
    while _wanting(weights, posterior.runs + _ROUND, usual, most):
        room = posterior.runs + 2 * _ROUND <= usual
        higher = drawn.above(peaks) if room else None
        found = [] if higher is None else climb(posterior, higher, rounds=6)
        ample = posterior.runs + _SOUNDING <= most
        if ample and hard and found:
            found = sounded(posterior, found)
        peaks = [*found, *peaks]
        if ample and not hard and peaks and weights.pareto_k >= TAIL:
            peaks, hard = sounded(posterior, peaks), True
            parts = _bells(peaks)
        elif found:
            parts = _bells(apart(peaks))
        else:
            parts = drawn.moulded(weights, parts)
        weights = drawn.draw_around(parts, _ROUND)
    return _lives(drawn, weights, parts)


def _wanting(weights: Weights, runs: int, usual: int, most: int) -> bool:
    """Tell whether to draw on: until well served, or on hard ground until just relied on."""
    return (not good(weights, ENOUGH) and runs <= usual) or (not good(weights) and runs <= most)


def affordable(log: RunLog) -> int:
    """Give the runs of a log that take about two seconds: every day on which something happens
    starts the integration anew.

    Examples
    --------
    >>> from marshlight.process.model import Digester, DrawOff, Holder, inoculum
    >>> log = RunLog(Digester(0.01, Holder("bag", 0.1)),
    ...              inoculum("digested cattle manure", 0.004), today=61.0)
    >>> daily = RunLog(log.digester, log.charge, 61.0,
    ...                tuple(DrawOff(float(day), 1e-6) for day in range(1, 61)))
    >>> affordable(log), affordable(daily)
    (1600, 813)
    """
    days = len({event.day for event in log.events})
    return int(np.clip(_STEPS / (_STEPS_A_LIFE + _STEPS_A_DAY * days), *_FEWEST_AND_MOST))


def _starts(posterior: Posterior, drawn: Drawn, earlier: Lives | None) -> Floats:
    """Choose where to climb from: the best of each branch, and where earlier lives lie."""
    scores, scored, runs = drawn.scores[0], drawn.scored[0], drawn.runs[0]
    sour = np.repeat(runs.sour, VARIANTS)
    fine = np.repeat(runs.fine, VARIANTS)
    if not fine.any():
        raise FitError(
            "No life of this digester could be run through its log. Check volumes, draw-offs and "
            "feeds."
        )
    found = [] if earlier is None else [_now(mode, earlier, posterior) for mode in earlier.modes]
    best = float(scored.log_posterior.max())
    for branch in (fine & ~sour, fine & sour):
        order = np.argsort(np.where(branch, -scored.log_posterior, np.inf))
        # With earlier lives at hand, only what is better than all of them is worth a climb.
        found.extend(
            scores[place]
            for place in order[: min(_STARTS, int(branch.sum()))]
            if earlier is None or scored.log_posterior[place] >= best
        )
    return np.array(found)


def _now(mode: Mode, earlier: Lives, posterior: Posterior) -> Floats:
    """Give an earlier centre in today's scores: what is believed may have changed since."""
    both = zip(mode.centre, earlier.priors.values(), posterior.beliefs.values(), strict=True)
    scores = [float(now.scores(then.natural(np.array(z)))) for z, then, now in both]
    return np.clip(scores, -_FAR, _FAR)


def _bells(peaks: list[Peak]) -> tuple[Part, ...]:
    """Put a bell on every peak that counts."""
    found = []
    for peak in peaks:
        spread = np.asarray(np.linalg.inv(peak.curvature), dtype=np.float64)
        height = peak.log_posterior + 0.5 * float(np.linalg.slogdet(spread)[1])
        found.append((height, peak, spread))
    if not found:
        return ()
    best = max(height for height, _, _ in found)
    # The root evens the shares out: a bell's height is only a guess at what it holds.
    return tuple(
        Part(peak.scores, _WIDER * spread, float(np.exp(0.5 * (height - best))))
        for height, peak, spread in found
        if height > best - _FAINT
    )


def _lives(drawn: Drawn, weights: Weights, parts: tuple[Part, ...]) -> Lives:
    """Keep equally likely lives of all that were drawn."""
    posterior, share = drawn.posterior, weights.share
    words: tuple[str, ...] = ()
    trusted = good(weights)
    if not trusted:
        share, say = drawn.widened()
        words = (_ROUGH if say == 1.0 else _WIDE,)
    kept = pick(drawn.rng, share, KEPT)
    scores = np.concatenate(drawn.scores)[kept]
    run = kept // VARIANTS
    settings = np.concatenate([runs.settings for runs in drawn.runs])[run]
    states = np.concatenate([runs.end for runs in drawn.runs])[run]
    stray = np.concatenate([s.stray for s in drawn.scored])[kept]
    u_stray = np.concatenate([s.u_stray for s in drawn.scored])[kept]
    named = posterior.draws(scores)
    return Lives(
        names=posterior.names,
        draws=np.stack([named[name] for name in posterior.names], axis=1),
        settings=settings,
        states=states,
        day=posterior.log.today,
        log_evidence=weights.log_mean,
        quality=Quality(
            effective=weights.effective(VARIANTS),
            pareto_k=weights.pareto_k,
            modes=len(parts),
            runs=posterior.runs,
            trusted=trusted,
            words=words,
        ),
        stray_now=stray + u_stray * drawn.rng.standard_normal(len(kept)),
        priors=posterior.beliefs,
        modes=tuple(Mode(part.centre, part.spread, part.share) for part in parts),
        warmth_told=swings_told(posterior.log),
    )
