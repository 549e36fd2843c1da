"""All lives drawn in a calibration, weighed together, and where to draw from next."""

import numpy as np

from marshlight.decide.watch.calibration.climbing import Peak
from marshlight.decide.watch.calibration.log import Floats
from marshlight.decide.watch.calibration.posterior import IMPOSSIBLE, Posterior, Runs, Scored
from marshlight.decide.watch.calibration.weighing import (
    FROM_BELIEF,
    Mixture,
    Part,
    Weights,
    evenly_spread,
    weigh,
)

# How each run is seen: variants of leak, gauge, strip and the like. Our choice.
VARIANTS = 4
# How many independent lives the draws are to be worth, how many they must be worth to be relied on,
# and the tail above which their weights cannot be (source `vehtari_psis`).
ENOUGH, LEAST, TAIL = 100.0, 50.0, 0.7
# What is left to an answer that is not to be relied on: rough, but not a handful of lives.
SOME, ROUGH_TAIL = 25.0, 1.0
# A draw higher than every peak by this (log) is climbed from.
_WELL_ABOVE = 1.0
# Of a bell with few lives of its own, so many lives' worth stay as they were; a bell that has lost
# its lives keeps a little of the draws; bells are made a little wider than found. Our choice.
_HELD, _LITTLE, _WIDER = 10.0, 0.02, 1.1


class Drawn:
    """Lives drawn from one belief or mixture after another, each weighed by all of these.

    Parameters
    ----------
    posterior : Posterior
        What is known of the digester.
    rng : numpy.random.Generator
        The state to draw from.
    """

    def __init__(self, posterior: Posterior, rng: np.random.Generator) -> None:
        self.posterior, self.rng = posterior, rng
        self.scores: list[Floats] = []
        self.scored: list[Scored] = []
        self.runs: list[Runs] = []
        self._sources: list[Mixture] = []

    def look_around(self, count: int) -> Weights:
        """Draw from the belief, evenly spread."""
        size, course = len(self.posterior.names), self.posterior.course
        even = evenly_spread(self.rng, count, len(course))
        scores = self.rng.standard_normal((count, VARIANTS, size))
        scores[:, :, course] = even[:, None, :]
        return self._run(scores.reshape(-1, size), Mixture((), 1.0))

    def draw_around(self, parts: tuple[Part, ...], count: int) -> Weights:
        """Draw from bells, and a share from the belief."""
        if not parts:
            return self.look_around(count)
        total = sum(part.share for part in parts)
        mixture = Mixture(parts, total * FROM_BELIEF / (1.0 - FROM_BELIEF))
        course = self.posterior.course
        scores = mixture.draw(self.rng, count, fixed=course, variants=VARIANTS)
        return self._run(scores, mixture)

    def _run(self, scores: Floats, source: Mixture) -> Weights:
        runs = self.posterior.run(scores[::VARIANTS])
        fine = np.repeat(runs.fine, VARIANTS)
        self.scored.append(self.posterior.score(scores, runs.repeated(VARIANTS), fine))
        self.scores.append(scores)
        self.runs.append(runs)
        self._sources.append(source)
        return weigh(self._log_weights())

    def _log_weights(self) -> Floats:
        """Weigh every life by all that it could have been drawn from."""
        scores = np.concatenate(self.scores)
        counts = np.array([len(s) for s in self.scores], dtype=np.float64)
        logs = np.array([mixture.log_density(scores) for mixture in self._sources])
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

    def moulded(self, weights: Weights, parts: tuple[Part, ...]) -> tuple[Part, ...]:
        """Fit the bells to what was found, each to the lives that are rather its own."""
        scores = np.concatenate(self.scores)
        share = weights.share if weights.effective(VARIANTS) >= ENOUGH else self._evened()
        if not parts:
            size = scores.shape[1]
            parts = (Part(np.zeros(size), np.eye(size), 1.0),)
        logs = np.array(
            [Mixture((part,), 0.0).log_density(scores) + np.log(part.share) for part in parts]
        )
        own = np.exp(logs - np.logaddexp.reduce(logs, axis=0)) * share
        return tuple(_mould(part, weight, scores) for part, weight in zip(parts, own, strict=True))

    def _evened(self) -> Floats:
        """Even weights out by a power of them, as far as it takes for enough lives to count."""
        raw = self._log_weights()
        for power in np.geomspace(1.0, 0.05, 12):
            found = weigh(np.maximum(power * raw, IMPOSSIBLE))
            if found.effective(VARIANTS) >= ENOUGH:
                break
        return found.share

    def widened(self) -> tuple[Floats, float]:
        """Give the readings as much say as leaves some lives to carry the answer; tell how much."""
        likelihood = np.concatenate([s.log_likelihood for s in self.scored])
        raw = self._log_weights()
        possible = likelihood > 0.5 * IMPOSSIBLE

        def with_say(say: float) -> Weights:
            lessened = raw - (1.0 - say) * np.where(possible, likelihood, 0.0)
            return weigh(np.where(possible, lessened, IMPOSSIBLE))

        low, high, best = 0.0, 2.0, with_say(0.0)
        for _ in range(12):
            say = min(0.5 * (low + high), 1.0)
            found = with_say(say)
            if found.effective(VARIANTS) >= SOME and found.pareto_k < ROUGH_TAIL:
                low, best = say, found
                if say == 1.0:
                    break
            else:
                high = say
        return best.share, low


def good(weights: Weights, enough: float = LEAST) -> bool:
    """Tell whether weights can be relied on, or are worth so many lives."""
    return weights.pareto_k < TAIL and weights.effective(VARIANTS) >= enough


def _mould(part: Part, weight: Floats, scores: Floats) -> Part:
    mass = float(weight.sum())
    if mass < 1e-6:
        return Part(part.centre, part.spread, _LITTLE)
    worth = mass**2 / float(np.sum(weight**2))
    trust = worth / (worth + _HELD)
    centre = trust * (weight @ scores / mass) + (1.0 - trust) * part.centre
    off = scores - centre
    spread = trust * ((weight[:, None] * off).T @ off / mass) + (1.0 - trust) * part.spread
    return Part(centre, _WIDER * spread, max(mass, _LITTLE))
