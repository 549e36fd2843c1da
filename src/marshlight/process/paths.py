"""Paths of true gas: drawn curves, what was counted, and the digester's own straying."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from marshlight.process.candidate import Candidate, Evidence, Model
from marshlight.process.noise import Noise, process_covariance, relative_covariance

Floats = NDArray[np.float64]

# How many pairs of noise levels stand for what is known about them.
_GROUPS = 6


@dataclass(frozen=True)
class Paths:
    """Drawn totals and daily gas (draws x days), and the unseen gas so far (draws).

    `deviation` (draws x intervals) is how far each path is from its curve at the end of
    each interval between `edges`; past the last it stays what it was.
    """

    total: Floats
    daily: Floats
    unseen: Floats
    model: Model
    parameters: Floats
    edges: Floats
    deviation: Floats

    def at(self, days: Floats, rows: NDArray[np.intp]) -> Floats:
        """Total gas of some of the paths at any days (rows x days) [m3]."""
        on_curve = self.model.value(days, self.parameters[rows])
        return on_curve + _between(self.deviation[rows], self.edges, days)


def gas_paths(
    fit: Candidate, parameters: Floats, scale: Floats, *, days: Floats, rng: np.random.Generator
) -> Paths:
    """Paths through what was counted and beyond.

    Parameters
    ----------
    fit : Candidate
        The fitted curve with data and noise.
    parameters : ndarray
        Drawn parameters (draws x k), natural units.
    scale : ndarray
        Residual scale of each draw [1].
    days : ndarray
        Days asked for [d], rising.
    rng : numpy.random.Generator
        Source of randomness.

    Returns
    -------
    Paths
        Total gas since the start and gas of the 24 h before each day [m3].

    Notes
    -----
    The gas of an interval is the curve's gas times (1 + e), e the relative
    straying with covariance P; the readings say r = gas x e + reading error
    with covariance C. Past and coming e are drawn together from their
    distribution given the readings: mean P' C^-1 r, covariance P - P' C^-1 P.
    """
    last = fit.observed.last_day
    grid = np.union1d(days, np.maximum(days - 1.0, 0.0))
    edges = np.concatenate([[0.0], fit.observed.end, grid[grid > last]])
    gas = np.diff(fit.model.value(edges[1:], parameters), axis=-1, prepend=0.0)
    # Straying that explains a reading is relative to the fitted curve, as its gain is: relative to
    # a drawn curve twice as steep it would take away twice what was too much.
    base = gas.copy()
    base[:, : fit.observed.end.size] = Evidence(fit.model, fit.observed).increments(fit.parameters)
    stray = np.empty_like(gas)
    picked = _noise_choices(fit.noise, len(parameters), rng)
    for rows, noise in picked:
        stray[rows] = _strays(fit, gas[rows], scale[rows], edges=edges, noise=noise, rng=rng)
    # Gas doesn't flow back: straying can stop a step, not reverse it.
    true = np.maximum(gas + base * stray, 0.0)
    hidden = np.flatnonzero(fit.observed.at_least)
    true[:, hidden] = np.maximum(true[:, hidden], fit.observed.gas[hidden])
    unseen = np.sum(true[:, hidden] - fit.observed.gas[hidden], axis=-1)
    deviation = np.cumsum(true - gas, axis=-1)
    total = _between(deviation, edges, grid) + fit.model.value(grid, parameters)
    now = np.searchsorted(grid, days)
    before = np.searchsorted(grid, np.maximum(days - 1.0, 0.0))
    daily = np.where(days > 0, total[:, now] - total[:, before], 0.0)
    return Paths(
        total=total[:, now], daily=np.maximum(daily, 0.0), unseen=unseen,
        model=fit.model, parameters=parameters, edges=edges, deviation=deviation,
    )  # fmt: skip


def _noise_choices(
    noise: Noise, count: int, rng: np.random.Generator
) -> list[tuple[NDArray[np.intp], Noise]]:
    # One from each part of equal weight, by what matters most ahead: picked at random, so few
    # pairs would make the band's width a matter of luck.
    order = np.lexsort((noise.choices[:, 1], noise.choices[:, 2]))
    groups = min(_GROUPS, len(order), count)
    reached = np.cumsum(noise.choices[order, 0])
    at = np.searchsorted(reached / reached[-1], (np.arange(groups) + 0.5) / groups)
    picked = order[np.minimum(at, len(order) - 1)]
    rows = np.array_split(rng.permutation(count), groups)
    return [
        (r, Noise.fixed(float(noise.choices[i, 1]), float(noise.choices[i, 2])))
        for r, i in zip(rows, picked, strict=True)
    ]


def _strays(
    fit: Candidate,
    gas: Floats,
    scale: Floats,
    *,
    edges: Floats,
    noise: Noise,
    rng: np.random.Generator,
) -> Floats:
    """Relative straying of all intervals, past and coming (draws x intervals)."""
    length = np.maximum(np.diff(edges), 1e-9)
    prior = relative_covariance(
        edges[1:] - 0.5 * length, length, noise=noise, straying_d=fit.observed.straying_d
    )
    mean = np.zeros_like(gas)
    spread = prior
    seen = np.flatnonzero(~fit.observed.at_least)
    if seen.size:
        fitted = Evidence(fit.model, fit.observed).increments(fit.parameters)
        covariance = fit.observed.covariance(process_covariance(fit.observed, fitted, noise))
        to_gas = prior[:, seen] * np.maximum(fitted[seen], 0.0)
        gain = covariance.solve(to_gas.T)
        gap = fit.observed.gas[seen] - gas[:, seen]
        mean = gap @ gain
        spread = prior - to_gas @ gain
    # What is left after many readings can vanish to rounding: a trace keeps the root real.
    trace = 1e-9 * max(float(np.trace(prior)), 1e-12)
    root = np.linalg.cholesky(0.5 * (spread + spread.T) + trace * np.eye(len(spread)))
    return np.asarray(mean + scale[:, None] * (rng.standard_normal(gas.shape) @ root.T))


def _between(at_edges: Floats, edges: Floats, grid: Floats) -> Floats:
    """Interpolate deviations (draws x intervals, at interval ends) to the grid."""
    padded = np.concatenate([np.zeros((len(at_edges), 1)), at_edges], axis=1)
    right = np.clip(np.searchsorted(edges, grid), 1, edges.size - 1)
    span = np.maximum(edges[right] - edges[right - 1], 1e-12)
    part = np.clip((grid - edges[right - 1]) / span, 0.0, 1.0)
    return np.asarray(padded[:, right - 1] * (1 - part) + padded[:, right] * part)
