"""Sounding the ground around a peak as far out as its bell reaches, where short steps mislead."""

import numpy as np

from marshlight.decide.watch.calibration.climbing import Peak, apart
from marshlight.decide.watch.calibration.log import Floats
from marshlight.decide.watch.calibration.posterior import Posterior

# Each pass is of the bell that the one before found: at least so many, and more, to a most, while
# one gains so much (log-probability). Our choice.
_PASSES, _MOST, _GAIN = 2, 6, 0.5
# The likeliest peaks alone are worth it, those within so much of the highest. Our choice.
_PEAKS, _NEAR = 2, 12.0
# Shares of the step to the peak of the new bell that are tried: the ground may curve on the way.
_SHARES = (0.25, 0.5, 1.0)


def sounded(posterior: Posterior, peaks: list[Peak]) -> list[Peak]:
    """Give the peaks that count with the curvature found a standard deviation out.

    Parameters
    ----------
    posterior : Posterior
        What was climbed.
    peaks : list of Peak
        As climbed to, one or more.

    Returns
    -------
    list of Peak
        The likeliest first; those that met are one.

    Notes
    -----
    A climb takes its slopes by short steps of one parameter at a time. Where parameters make up
    for each other, what is left of them along the ridge is a small difference of large slopes, and
    on curved ground mostly their error: the bell comes out far too thin there. Central differences
    along the bell's own axes, as far out as it reaches, have no such differences to take. In a
    soured drum this mends a spread that was seven times too small. A pass costs two runs for each
    parameter of the course, and a few.

    References
    ----------
    levenberg_1944
    """
    top = max(peak.log_posterior for peak in peaks)
    best = sorted(peaks, key=lambda peak: -peak.log_posterior)[:_PEAKS]
    found = [peak for peak in best if peak.log_posterior > top - _NEAR]
    return apart([_settled(posterior, peak) for peak in found])


def _settled(posterior: Posterior, peak: Peak) -> Peak:
    """Pass over a peak until little is gained: a climb may have ended well below it."""
    for count in range(1, _MOST + 1):
        before, peak = peak, _pass(posterior, peak)
        if count >= _PASSES and peak.log_posterior < before.log_posterior + _GAIN:
            break
    return peak


def _pass(posterior: Posterior, peak: Peak) -> Peak:
    """Take the curvature anew along the bell's axes and step to where it then peaks."""
    size, count = len(posterior.course), len(peak.scores)
    axes = _axes(posterior, np.asarray(np.linalg.inv(peak.curvature)))
    points = np.concatenate([peak.scores[None], peak.scores + axes.T, peak.scores - axes.T])
    # Axes after those of the course leave the life as it is.
    own = np.arange(count) < size
    place = np.concatenate([[0], np.where(own, 1 + np.arange(count), 0)])
    place = np.concatenate([place, np.where(own, 1 + size + np.arange(count), 0)])
    runs = posterior.run(np.concatenate([points[: 1 + size], points[1 + count :][:size]]))
    shown = {name: values[place] for name, values in runs.shown.items()}
    scored = posterior.score(points, shown, runs.fine[place])
    up, down = slice(1, 1 + count), slice(1 + count, None)
    both = runs.fine[place][up] & runs.fine[place][down]
    rows = np.where(both[:, None], 0.5 * (scored.rows[up] - scored.rows[down]), 0.0)
    slope = np.where(both, 0.5 * (scored.log_posterior[up] - scored.log_posterior[down]), 0.0)
    # Where a life cannot be run a standard deviation out, the bell stays as it was.
    curved = rows @ rows.T + axes.T @ axes + np.diag(np.where(both, 0.0, 1.0))
    move = axes @ np.linalg.solve(curved, slope)
    trials = peak.scores + np.array(_SHARES)[:, None] * move
    tried = posterior.run(trials)
    heights = posterior.score(trials, tried.shown, tried.fine).log_posterior
    every = np.concatenate([scored.log_posterior, heights])
    best = int(np.argmax(every))
    back = np.linalg.inv(axes)
    return Peak(np.concatenate([points, trials])[best], float(every[best]), back.T @ curved @ back)


def _axes(posterior: Posterior, spread: Floats) -> Floats:
    """Give a bell's axes, one standard deviation each, as columns: those of the course first.

    The others are of what is left when the course is given, and move nothing of it.
    """
    course, seen = posterior.course, posterior.seen
    inner = spread[np.ix_(course, course)]
    length, turned = np.linalg.eigh(inner)
    first = turned * np.sqrt(length)
    carried = np.linalg.solve(inner, spread[np.ix_(course, seen)]).T
    left = spread[np.ix_(seen, seen)] - carried @ spread[np.ix_(course, seen)]
    axes = np.zeros_like(spread)
    axes[np.ix_(course, range(len(course)))] = first
    axes[np.ix_(seen, range(len(course)))] = carried @ first
    axes[np.ix_(seen, range(len(course), len(spread)))] = np.linalg.cholesky(left)
    return axes
