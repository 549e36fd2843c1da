"""The methane share, from whatever evidence there is."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from marshlight.errors import require
from marshlight.estimate import Estimate, Range
from marshlight.measure.evidence import Evidence, FloatArray, Mixture
from marshlight.measure.flame import FlameTest

RICHEST_USUAL, RICHEST_SPREAD = 0.75, 0.05
# Usually a little air; one gas in ten has a leak's or a fresh head-space's worth.
MEAN_AIR, MEAN_AIR_LEAKY, LEAKY = 0.03, 0.25, 0.1
_CONFLICT_CHANCE = 0.05
_WIDENINGS = tuple(float(f) for f in np.geomspace(1.0, 16.0, 25))
_SURE = 1e-9


@dataclass(frozen=True)
class MethaneShare:
    """What the evidence says of a gas, dry.

    Parameters
    ----------
    methane : Range
        Methane share of the gas as it is, air included [-].
    air_free : Range
        Methane share of the biogas without the air [-].
    air : Range
        Share of air [-].
    estimate : Estimate
        Mean and standard deviation of the methane share [-].
    widened : float
        Factor by which every doubt was widened because evidence disagreed [-].
    reason : str
        Why, in plain sentences.
    sources : tuple of str
        Keys of the sources it rests on.
    """

    methane: Range
    air_free: Range
    air: Range
    estimate: Estimate
    widened: float
    reason: str
    sources: tuple[str, ...]

    @property
    def conflict(self) -> bool:
        """Whether pieces of evidence disagreed."""
        return self.widened > 1.0


def methane_share(evidence: Sequence[Evidence], *, level: float = 0.95) -> MethaneShare:
    """Combine evidence of any kind into one methane share.

    Parameters
    ----------
    evidence : sequence of Evidence
        Flame tests, absorptions, analysers, densities; none gives the prior alone.
    level : float
        Probability of the intervals, between 0 and 1 [-].

    Returns
    -------
    MethaneShare
        Intervals, and the reason for them.

    Raises
    ------
    InputError
        If the level is no probability.

    Notes
    -----
    Likelihoods are multiplied on a grid of methane share (air-free) and air share,
    over the stated prior. Evidence disagrees if no gas at all suits it: if the best
    joint likelihood falls below the product of each piece's own best by more than
    chance would (likelihood ratio, one in twenty). Then the doubt of every piece is
    widened until a gas suits all. Poor flame with little carbon dioxide is no
    disagreement but points to air. Flame tests of one outcome share a burner and an
    eye and count once.

    References
    ----------
    share_prior.

    Examples
    --------
    >>> from marshlight.measure import Co2Absorption, FlameTest
    >>> found = methane_share([FlameTest("holds"), Co2Absorption(Estimate(0.39, 0.015))])
    >>> round(found.methane.value, 2), found.conflict
    (0.59, False)
    """
    require(
        0.0 < level < 1.0,
        field="level",
        value=level,
        allowed="between 0 and 1",
        remedy="Use 0.95 for a 95 % interval",
    )
    pieces = _independent(evidence)
    grid, air_free, prior = _grid()
    for widened in _WIDENINGS:
        parts = [piece.log_likelihood(grid, widened) for piece in pieces]
        if _agree(parts):
            break
    weight = _normalised(prior + sum(parts, np.zeros_like(prior)))
    mean = float(np.sum(weight * grid.methane))
    spread = float(np.sqrt(np.sum(weight * (grid.methane - mean) ** 2)))
    methane = _quantiles(grid.methane, weight, level)
    air = _quantiles(grid.air, weight, level)
    return MethaneShare(
        methane=methane,
        air_free=_quantiles(air_free, weight, level),
        air=air,
        estimate=Estimate(mean, spread),
        widened=widened,
        reason=_reason(pieces, methane, air, widened),
        sources=tuple(dict.fromkeys(["share_prior", *(k for p in pieces for k in p.SOURCES)])),
    )


def _independent(evidence: Sequence[Evidence]) -> list[Evidence]:
    pieces: list[Evidence] = []
    for piece in evidence:
        if not (isinstance(piece, FlameTest) and piece in pieces):
            pieces.append(piece)
    return pieces


@cache
def _grid() -> tuple[Mixture, FloatArray, FloatArray]:
    """Return possible gases, their air-free methane share and the log prior of each."""
    free = (np.arange(500) + 0.5) / 500.0
    # Air shares lie dense near zero, where most of the prior is.
    edges = np.linspace(0.0, 1.0, 61) ** 2
    middle, width = (edges[1:] + edges[:-1]) / 2.0, np.diff(edges)
    share, air = (part.ravel() for part in np.meshgrid(free, middle, indexing="ij"))
    cell = np.tile(width, free.size)
    excess = np.maximum(share - RICHEST_USUAL, 0.0) / RICHEST_SPREAD
    tight = (1.0 - LEAKY) / MEAN_AIR * np.exp(-air / MEAN_AIR)
    leaky = LEAKY / MEAN_AIR_LEAKY * np.exp(-air / MEAN_AIR_LEAKY)
    prior = -0.5 * excess**2 + np.log((tight + leaky) * cell)
    gas = Mixture(share * (1.0 - air), (1.0 - share) * (1.0 - air), air)
    return gas, share, prior


def _normalised(log_weight: FloatArray) -> FloatArray:
    weight = np.exp(log_weight - np.max(log_weight))
    return np.asarray(weight / np.sum(weight))


def _agree(parts: Sequence[FloatArray]) -> bool:
    """Say whether some gas suits all pieces about as well as each could be suited."""
    from scipy.special import chdtri

    if len(parts) < 2:
        return True
    best = float(np.max(np.sum(parts, axis=0)))
    apart = sum(float(np.max(part)) for part in parts)
    return 2.0 * (apart - best) <= float(chdtri(len(parts) - 1, _CONFLICT_CHANCE))


def _quantiles(values: FloatArray, weight: FloatArray, level: float) -> Range:
    order = np.argsort(values, kind="stable")
    summed = np.cumsum(weight[order])
    tail = (1.0 - level) / 2.0
    low, middle, high = np.interp((tail, 0.5, 1.0 - tail), summed, values[order])
    return Range(float(low), float(middle), float(high), level)


def _reason(evidence: Sequence[Evidence], methane: Range, air: Range, widened: float) -> str:
    span = f"Methane {100 * methane.low:.0f} to {100 * methane.high:.0f} %"
    if not evidence:
        return f"{span}: nothing was tested yet, this is what biogas may be."
    said = [piece.says for piece in evidence[-4:]]
    listed = said[0] if len(said) == 1 else f"{', '.join(said[:-1])} and {said[-1]}"
    text = f"{span}: {listed}."
    if widened > 1.0 + _SURE:
        text += f" These disagree: every doubt was widened {widened:.1f} times."
    if air.value > 0.1:
        text += (
            " There is probably air or nitrogen in it: do not light it, air in the gas can carry"
            " a flame back into the holder; look for a leak."
        )
    return text
