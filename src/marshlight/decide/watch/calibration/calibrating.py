"""From a log to equally likely lives of its digester."""

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from marshlight.decide.watch.calibration.climbing import Peak, apart, climb
from marshlight.decide.watch.calibration.lives import Lives, Mode, Quality, lives_from_prior
from marshlight.decide.watch.calibration.log import Floats, RunLog
from marshlight.decide.watch.calibration.posterior import IMPOSSIBLE, Posterior, Runs, Scored
from marshlight.decide.watch.calibration.priors import Prior, priors_of
from marshlight.decide.watch.calibration.weighing import (
    FROM_BELIEF,
    Mixture,
    Part,
    Weights,
    evenly_spread,
    pick,
    weigh,
)
from marshlight.errors import FitError, require

# Draws of the belief looked at first, to find every way the log can be read; fewer when an
# earlier calibration says where to look.
_SCAN, _GLANCE = 64, 16
# Draws around the likeliest lives in a round, and how each run is seen (leak, gauge, strip).
_ROUND, _VARIANTS = 96, 4
# Lives kept, and how many independent ones they must be worth.
KEPT, _ENOUGH = 200, 60.0
# Steps of the integration in two seconds, at the 1.1 us that were measured; of a life, and of each
# day on which something is done. Runs are never fewer or more than these.
_STEPS, _STEPS_A_LIFE, _STEPS_A_DAY, _FEWEST_AND_MOST = 1.75e6, 500.0, 27.5, (600, 1600)
# What is left to an answer that is not to be relied on: rough, but not a handful of lives.
_SOME, _ROUGH_TAIL = 25.0, 1.0
_ROUGH = "The lives drawn carry the answer only roughly: take its spread with caution."
_WIDE = (
    "Few of the lives drawn fit the readings: they were given less say, so that the spread shown is"
    " wider than it need be."
)
# Above this the weights cannot be relied on (source `vehtari_psis`).
_TAIL = 0.7
# A way of reading the log less likely than this is left to the belief's own draws (log).
_FAINT = 12.0
# A peak is often narrower than the lives around it. Our choice.
_WIDER = 1.3
# A draw higher than every peak by this (log) is climbed from.
_WELL_ABOVE = 1.0
# Starts of the climb beside the belief's middle, from each branch.
_STARTS = 1


@dataclass
class _Drawn:
    """All lives drawn so far, with what they were drawn from."""

    scores: list[Floats] = field(default_factory=list)
    scored: list[Scored] = field(default_factory=list)
    runs: list[Runs] = field(default_factory=list)
    source: list[Mixture] = field(default_factory=list)

    def log_weights(self) -> Floats:
        """Weigh every life by all that it could have been drawn from."""
        scores = np.concatenate(self.scores)
        counts = np.array([len(s) for s in self.scores], dtype=np.float64)
        logs = np.array([mixture.log_density(scores) for mixture in self.source])
        share = np.log(counts / counts.sum())
        whole = np.logaddexp.reduce(logs + share[:, None], axis=0)
        posterior = np.concatenate([s.log_posterior for s in self.scored])
        return np.asarray(np.maximum(posterior - whole, IMPOSSIBLE))

    def above(self, peaks: list[Peak]) -> Floats | None:
        """Give the best life if it lies well above every peak: a climb had ended too early."""
        posterior = np.concatenate([s.log_posterior for s in self.scored])
        best = int(np.argmax(posterior))
        top = max((peak.log_posterior for peak in peaks), default=-np.inf)
        if posterior[best] < top + _WELL_ABOVE:
            return None
        return np.concatenate(self.scores)[best : best + 1]

    def log_likelihood(self) -> Floats:
        """Give the likelihood of every life."""
        return np.concatenate([s.log_likelihood for s in self.scored])


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
        one core. A calibration that needs more says that it is not to be relied on.

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
    was drawn, with Pareto-smoothed weights. Where the weights are poor, the bells are moulded to
    what was found and drawn from again. Where they stay poor, the readings are given less say
    until enough lives carry the answer: it is then wider than need be, and says so.

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
    budget = affordable(log) if budget is None else budget
    require(
        budget >= 300, field="budget", value=budget, allowed="300 or more", remedy="Allow more runs"
    )
    if not log.readings:
        return lives_from_prior(log, rng=rng, members=KEPT, priors=priors)
    beliefs = priors_of(log, priors)
    posterior = Posterior(log, beliefs)
    drawn = _Drawn()
    known = earlier is not None and earlier.names == posterior.names and bool(earlier.modes)
    _look_around(posterior, drawn, _GLANCE if known else _SCAN, rng)
    peaks = climb(posterior, _starts(posterior, drawn, earlier if known else None))
    parts = _bells(peaks)
    weights = _draw_around(posterior, drawn, Mixture(parts, FROM_BELIEF), rng)
    while not _good(weights) and posterior.runs + _ROUND <= budget:
        higher = drawn.above(peaks)
        if higher is not None and posterior.runs + 2 * _ROUND <= budget:
            peaks = [*climb(posterior, higher, rounds=6), *peaks]
            parts = _bells(apart(peaks))
        else:
            parts = _moulded(drawn, weights, parts)
        weights = _draw_around(posterior, drawn, Mixture(parts, FROM_BELIEF), rng)
    return _lives(posterior, drawn, weights, parts, rng)


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


def _good(weights: Weights) -> bool:
    return weights.pareto_k < _TAIL and weights.effective(_VARIANTS) >= _ENOUGH


def _look_around(posterior: Posterior, drawn: _Drawn, count: int, rng: np.random.Generator) -> None:
    """Draw from the belief, evenly spread."""
    size = len(posterior.names)
    belief = Mixture((), 1.0)
    even = evenly_spread(rng, count, len(posterior.course))
    scores = rng.standard_normal((count, _VARIANTS, size))
    scores[:, :, posterior.course] = even[:, None, :]
    _run(posterior, drawn, scores.reshape(-1, size), belief)


def _run(posterior: Posterior, drawn: _Drawn, scores: Floats, source: Mixture) -> None:
    runs = posterior.run(scores[::_VARIANTS])
    fine = np.repeat(runs.fine, _VARIANTS)
    drawn.scored.append(posterior.score(scores, runs.repeated(_VARIANTS), fine))
    drawn.scores.append(scores)
    drawn.runs.append(runs)
    drawn.source.append(source)


def _starts(posterior: Posterior, drawn: _Drawn, earlier: Lives | None) -> Floats:
    """Choose where to climb from: the best of each branch, and where earlier lives lie."""
    scores, scored, runs = drawn.scores[0], drawn.scored[0], drawn.runs[0]
    sour = np.repeat(runs.sour, _VARIANTS)
    fine = np.repeat(runs.fine, _VARIANTS)
    if not fine.any():
        raise FitError(
            "No life of this digester could be run through its log. Check volumes, draw-offs and "
            "feeds."
        )
    found = [mode.centre for mode in earlier.modes] if earlier is not None else []
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


def _draw_around(
    posterior: Posterior, drawn: _Drawn, mixture: Mixture, rng: np.random.Generator
) -> Weights:
    total = sum(part.share for part in mixture.parts)
    share = total * FROM_BELIEF / (1.0 - FROM_BELIEF) if mixture.parts else 1.0
    mixture = Mixture(mixture.parts, share)
    if mixture.parts:
        scores = mixture.draw(rng, _ROUND, fixed=posterior.course, variants=_VARIANTS)
        _run(posterior, drawn, scores, mixture)
    else:
        _look_around(posterior, drawn, _ROUND, rng)
    return weigh(drawn.log_weights())


def _moulded(drawn: _Drawn, weights: Weights, parts: tuple[Part, ...]) -> tuple[Part, ...]:
    """Fit the bells to what was found, each to the lives that are rather its own."""
    scores = np.concatenate(drawn.scores)
    share = weights.share if weights.effective(_VARIANTS) >= _ENOUGH else _evened(drawn)
    if not parts:
        size = scores.shape[1]
        parts = (Part(np.zeros(size), np.eye(size), 1.0),)
    logs = np.array(
        [Mixture((part,), 0.0).log_density(scores) + np.log(part.share) for part in parts]
    )
    own = np.exp(logs - np.logaddexp.reduce(logs, axis=0)) * share
    found = []
    for part, weight in zip(parts, own, strict=True):
        mass = float(weight.sum())
        worth = mass**2 / max(float(np.sum(weight**2)), 1e-300) if mass > 0.0 else 0.0
        if mass < 1e-6:
            found.append(Part(part.centre, part.spread, 0.02))
            continue
        # What few lives say is mixed with what the bell was: as many as ten lives' worth.
        trust = worth / (worth + 10.0)
        centre = trust * (weight @ scores / mass) + (1.0 - trust) * part.centre
        off = scores - centre
        spread = trust * ((weight[:, None] * off).T @ off / mass) + (1.0 - trust) * part.spread
        found.append(Part(centre, 1.1 * spread, max(mass, 0.02)))
    return tuple(found)


def _evened(drawn: _Drawn) -> Floats:
    """Even weights out by a power of them, as far as it takes for enough lives to count."""
    raw = drawn.log_weights()
    for power in np.geomspace(1.0, 0.05, 12):
        found = weigh(np.maximum(power * raw, IMPOSSIBLE))
        if found.effective(_VARIANTS) >= _ENOUGH:
            break
    return found.share


def _lives(
    posterior: Posterior,
    drawn: _Drawn,
    weights: Weights,
    parts: tuple[Part, ...],
    rng: np.random.Generator,
) -> Lives:
    """Keep equally likely lives of all that were drawn."""
    evidence, words = weights.log_mean, []
    trusted = _good(weights)
    share = weights.share
    if not trusted:
        share, say = _widened(drawn)
        words.append(_ROUGH if say == 1.0 else _WIDE)
    kept = pick(rng, share, KEPT)
    scores = np.concatenate(drawn.scores)[kept]
    run = kept // _VARIANTS
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
        log_evidence=evidence,
        quality=Quality(
            effective=weights.effective(_VARIANTS),
            pareto_k=weights.pareto_k,
            modes=len(parts),
            runs=posterior.runs,
            trusted=trusted,
            words=tuple(words),
        ),
        stray_now=stray + u_stray * rng.standard_normal(len(kept)),
        priors=posterior.beliefs,
        modes=tuple(Mode(part.centre, part.spread, part.share) for part in parts),
    )


def _widened(drawn: _Drawn) -> tuple[Floats, float]:
    """Give the readings as much say as leaves some lives to carry the answer; tell how much."""
    likelihood, raw = drawn.log_likelihood(), drawn.log_weights()
    low, high = 0.0, 2.0
    best = weigh(np.maximum(raw - likelihood, IMPOSSIBLE))
    for _ in range(12):
        say = min(0.5 * (low + high), 1.0)
        found = weigh(np.maximum(raw - (1.0 - say) * likelihood, IMPOSSIBLE))
        if found.effective(_VARIANTS) >= _SOME and found.pareto_k < _ROUGH_TAIL:
            low, best = say, found
            if say == 1.0:
                break
        else:
            high = say
    return best.share, low
