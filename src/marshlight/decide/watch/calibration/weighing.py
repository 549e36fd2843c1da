"""Drawing lives around the likeliest ones and weighing them, with a check of the weights."""

from dataclasses import dataclass

import numpy as np
from scipy.special import gammaln, logsumexp, ndtri

from marshlight.decide.watch.calibration.log import Floats

# Tails of the draws: heavy, so that no life that fits is hardly ever drawn. Our choice.
FREEDOM = 5.0
# Share of the draws that come from the belief itself, so that no weight is without bound.
FROM_BELIEF = 0.1
_PRIMES = (2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37)


@dataclass(frozen=True)
class Part:
    """One bell of a mixture: centre, spread (covariance), share."""

    centre: Floats
    spread: Floats
    share: float


@dataclass(frozen=True)
class Mixture:
    """Bells with heavy tails, and the belief itself with the share ``belief``."""

    parts: tuple[Part, ...]
    belief: float

    def draw(
        self, rng: np.random.Generator, count: int, *, fixed: list[int], variants: int
    ) -> Floats:
        """Draw scores, shape (count * variants, parameter).

        Variants of one draw share its ``fixed`` parameters and differ in the others, drawn given
        these; each by itself is a draw of the mixture.
        """
        shares = np.array([*(p.share for p in self.parts), self.belief])
        which = rng.choice(len(shares), size=count, p=shares / shares.sum())
        size = len(self.parts[0].centre) if self.parts else len(fixed)
        free = [i for i in range(size) if i not in fixed]
        order = [*fixed, *free]
        whole = np.empty((count, variants, size))
        for k in range(len(shares)):
            rows = np.flatnonzero(which == k)
            noise = rng.standard_normal((len(rows), variants, size))
            noise[:, :, : len(fixed)] = noise[:, :1, : len(fixed)]
            if k == len(self.parts):
                placed = noise
            else:
                part = self.parts[k]
                # With the fixed first, a lower triangle leaves them alone when the rest changes.
                lower = np.linalg.cholesky(part.spread[np.ix_(order, order)])
                tail = np.sqrt(FREEDOM / rng.chisquare(FREEDOM, len(rows)))
                placed = part.centre[order] + tail[:, None, None] * (noise @ lower.T)
            for place, column in enumerate(order):
                whole[rows, :, column] = placed[:, :, place]
        return whole.reshape(count * variants, size)

    def log_density(self, scores: Floats) -> Floats:
        """Give the log of the density at scores, shape (member,)."""
        shares = np.array([*(p.share for p in self.parts), self.belief])
        logs = [_bell(part, scores) for part in self.parts]
        logs.append(log_belief(scores))
        with np.errstate(divide="ignore"):
            weights = np.log(shares / shares.sum())
        return np.asarray(logsumexp(np.array(logs) + weights[:, None], axis=0))


def evenly_spread(rng: np.random.Generator, count: int, size: int) -> Floats:
    """Draw standard normal scores that cover the belief more evenly than chance, (count, size).

    Notes
    -----
    Halton's points in the first primes, shifted at random round the unit cube.

    References
    ----------
    halton_1960.
    """
    points = np.empty((count, size))
    for column, prime in enumerate(_PRIMES[:size]):
        # The first points of large primes lie on a line: begin a little later.
        left, place = np.arange(1, count + 1) + 2 * _PRIMES[size - 1], 1.0
        found = np.zeros(count)
        while left.any():
            place /= prime
            found += place * (left % prime)
            left //= prime
        points[:, column] = found
    shifted = (points + rng.random(size)) % 1.0
    return np.asarray(ndtri(np.clip(shifted, 1e-6, 1.0 - 1e-6)))


def log_belief(scores: Floats) -> Floats:
    """Give the log-density of the belief: standard normal scores."""
    size = scores.shape[1]
    return np.asarray(-0.5 * np.sum(scores**2, axis=1) - 0.5 * size * np.log(2.0 * np.pi))


def _bell(part: Part, scores: Floats) -> Floats:
    size = len(part.centre)
    lower = np.linalg.cholesky(part.spread)
    off = np.linalg.solve(lower, (scores - part.centre).T)
    constant = gammaln(0.5 * (FREEDOM + size)) - gammaln(0.5 * FREEDOM)
    constant -= 0.5 * size * np.log(FREEDOM * np.pi) + float(np.log(np.diag(lower)).sum())
    squares = np.sum(off**2, axis=0)
    return np.asarray(constant - 0.5 * (FREEDOM + size) * np.log1p(squares / FREEDOM))


@dataclass(frozen=True)
class Weights:
    """Smoothed weights that sum to 1, the mean of the raw ones (log), and the tail's shape."""

    share: Floats
    log_mean: float
    pareto_k: float

    def effective(self, variants: int) -> float:
        """Give how many independent runs they are worth; variants of one run count together."""
        whole = self.share.reshape(-1, variants).sum(axis=1)
        return float(1.0 / np.sum(whole**2))


def weigh(log_weights: Floats) -> Weights:
    """Smooth importance weights by their generalised Pareto tail.

    Parameters
    ----------
    log_weights : array
        Logs of the raw weights; impossible ones very low.

    Returns
    -------
    Weights
        ``pareto_k`` above 0.7 says that the weights cannot be relied on.

    References
    ----------
    vehtari_psis; zhang_stephens_2009.

    Examples
    --------
    >>> found = weigh(np.zeros(200))
    >>> round(found.effective(1)), round(found.log_mean, 6)
    (200, 0.0)
    """
    count = len(log_weights)
    top = float(np.max(log_weights))
    raw = np.exp(log_weights - top)
    tail = int(min(0.2 * count, 3.0 * np.sqrt(count)))
    order = np.argsort(raw)
    shape = 0.0
    smooth = raw.copy()
    if tail >= 5:
        cut = raw[order[-tail - 1]]
        over = raw[order[-tail:]] - cut
        if over[0] > 0.0 and over[-1] > over[0] * (1.0 + 1e-9):
            shape, scale = _pareto(over)
            ranks = (np.arange(tail) + 0.5) / tail
            smooth[order[-tail:]] = np.minimum(cut + _pareto_quantile(ranks, shape, scale), 1.0)
    total = float(smooth.sum())
    return Weights(smooth / total, top + float(np.log(total / count)), shape)


def _pareto(over: Floats) -> tuple[float, float]:
    """Fit a generalised Pareto law to sorted excesses; shape drawn a little toward 0.5."""
    count = len(over)
    grid = 30 + int(np.sqrt(count))
    steps = 1.0 - np.sqrt(grid / (np.arange(1, grid + 1) - 0.5))
    theta = steps / (3.0 * over[int(count / 4 + 0.5) - 1]) + 1.0 / over[-1]
    k = np.mean(np.log1p(-theta[:, None] * over), axis=1)
    fit = count * (np.log(-theta / k) - k - 1.0)
    weight = np.exp(fit - logsumexp(fit))
    best = float(np.sum(theta * weight))
    shape = float(np.mean(np.log1p(-best * over)))
    scale = -shape / best
    return (count * shape + 10.0 * 0.5) / (count + 10.0), scale


def _pareto_quantile(p: Floats, shape: float, scale: float) -> Floats:
    if abs(shape) < 1e-6:
        return np.asarray(-scale * np.log1p(-p))
    return np.asarray(scale * np.expm1(-shape * np.log1p(-p)) / shape)


def pick(rng: np.random.Generator, share: Floats, count: int) -> Floats:
    """Pick places evenly along the shares, so that each comes about as often as it weighs."""
    at = (np.arange(count) + rng.random()) / count
    return np.searchsorted(np.cumsum(share), at).clip(max=len(share) - 1)
