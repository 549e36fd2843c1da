"""How the gas space fills: composition against gas passed, and when it can explode."""

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from marshlight.decide.safety.flammable import (
    EXPLOSIVE,
    LEAST_OXYGEN,
    UNCERTAIN,
    WIDEST,
    Boundary,
    Mixture,
    words,
)
from marshlight.errors import require
from marshlight.matter.combustion import require_methane_share
from marshlight.matter.gas import OXYGEN_SHARE_OF_AIR

Floats = NDArray[np.float64]
# Between two points of a path no step is longer than this share of the gas space.
_STEP = 0.004
_MOST_STEPS = 20_000
AIR = Mixture(0.0, 0.0)


@dataclass(frozen=True)
class Span:
    """A stretch of a path: gas passed, as multiples of the gas space [-], and days [d]."""

    word: str
    from_turnover: float
    to_turnover: float
    from_day: float
    to_day: float
    over: bool


@dataclass(frozen=True)
class GasPath:
    """The composition of a gas space over time.

    Parameters
    ----------
    day : array, shape (n,)
        Days since the start, rising [d].
    turnover : array, shape (n,)
        Gas made so far over the volume of the gas space [-].
    methane, co2 : array, shape (n,)
        Shares, the rest air [m3/m3].
    """

    day: Floats
    turnover: Floats
    methane: Floats
    co2: Floats

    @property
    def oxygen(self) -> Floats:
        """Share of oxygen [m3/m3]."""
        return OXYGEN_SHARE_OF_AIR * (1.0 - self.methane - self.co2)

    @property
    def words(self) -> NDArray[np.str_]:
        """What the limits say of each point."""
        return words(self.methane, self.co2)

    @property
    def last(self) -> Mixture:
        """The newest point."""
        return Mixture(float(self.methane[-1]), float(self.co2[-1]))

    @property
    def spans(self) -> tuple[Span, ...]:
        """Stretches within the limits or in doubt, in order; ``over`` once the path left them."""
        found = self.words
        spans = []
        for start, stop in _stretches(found):
            if found[start] in (EXPLOSIVE, UNCERTAIN):
                spans.append(
                    Span(
                        str(found[start]),
                        float(self.turnover[start]),
                        float(self.turnover[stop]),
                        float(self.day[start]),
                        float(self.day[stop]),
                        stop < found.size - 1,
                    )
                )
        return tuple(spans)


def gas_space_path(
    day: ArrayLike, turnover: ArrayLike, methane: ArrayLike, *, start: Mixture = AIR
) -> GasPath:
    """Follow a well-mixed gas space from a known start.

    Parameters
    ----------
    day : array_like, shape (n,)
        Days, not falling [d].
    turnover : array_like, shape (n,)
        Gas made since the start over the volume of the gas space, not falling, first 0 [-].
    methane : array_like, shape (n,)
        Methane share of the gas made between the point before and this one; the first is not
        used [m3/m3].
    start : Mixture
        What the space held; air unless it was flushed.

    Returns
    -------
    GasPath
        Composition, at finer steps than asked where needed.

    Raises
    ------
    InputError
        If the rows don't match, fall, or a share is impossible.

    Notes
    -----
    ``x = x0 exp(-tau) + y (1 - exp(-tau))`` from step to step: gas pushed in mixes at once
    and the mixture leaves. Real spaces displace their air sooner in some corners and later
    in others. Oxygen that the slurry takes up, and vapour, are neglected: both make the true
    mixture less ready to burn.

    References
    ----------
    well_mixed_purge.

    Examples
    --------
    >>> path = gas_space_path([0, 1, 2], [0.0, 0.1, 1.0], [0.6, 0.6, 0.6])
    >>> str(path.words[-1]), round(float(path.methane[-1]), 4)
    ('too rich', 0.3793)
    """
    days, passed, shares = (np.asarray(row, dtype=np.float64) for row in (day, turnover, methane))
    same = days.shape == passed.shape == shares.shape and days.ndim == 1 and days.size > 0
    require(
        same
        and bool(np.all(np.diff(days) >= 0.0) and np.all(np.diff(passed) >= 0.0))
        and passed[0] == 0.0
        and bool(np.all((shares >= 0.0) & (shares <= 1.0))),
        field="gas passed",
        value=passed[:5].tolist(),
        allowed="rows of one length, from 0 and not falling, methane 0 to 1",
        remedy="Give the gas made since the start, in order",
    )
    fine, feed = _finer(passed, shares)
    left = np.exp(-np.diff(fine))
    x, z = np.empty(fine.size), np.empty(fine.size)
    x[0], z[0] = start.methane, start.co2
    for i, kept in enumerate(left):
        x[i + 1] = kept * x[i] + (1.0 - kept) * feed[i + 1]
        z[i + 1] = kept * z[i] + (1.0 - kept) * (1.0 - feed[i + 1])
    return GasPath(np.interp(fine, *_rising(passed, days)), fine, x, z)


def _rising(passed: Floats, days: Floats) -> tuple[Floats, Floats]:
    """Keep the first day of each amount, so that standing still has one day."""
    kept, first = np.unique(passed, return_index=True)
    return kept, days[first]


def _finer(passed: Floats, shares: Floats) -> tuple[Floats, Floats]:
    steps = max(_STEP, float(passed[-1]) / _MOST_STEPS)
    grid = [passed[:1]]
    feed = [shares[:1]]
    for low, high, share in zip(passed[:-1], passed[1:], shares[1:], strict=True):
        count = max(math.ceil((high - low) / steps), 1)
        grid.append(np.linspace(low, high, count + 1)[1:])
        feed.append(np.full(count, share))
    return np.concatenate(grid), np.concatenate(feed)


def _stretches(found: NDArray[np.str_]) -> list[tuple[int, int]]:
    """List first and last index of each stretch of one word."""
    change = np.flatnonzero(found[1:] != found[:-1]) + 1
    edges = [0, *change.tolist(), found.size]
    return [(a, min(b, found.size - 1)) for a, b in pairwise(edges)]


@dataclass(frozen=True)
class Purge:
    """Gas that must pass a space full of air, as multiples of the space [-].

    ``enters`` and ``leaves`` bound the mixtures that explode or may, None if this gas never
    makes one; ``oxygen`` is where oxygen falls below what methane needs.
    """

    enters: float | None
    leaves: float | None
    oxygen: float


def purge(methane: float, *, boundary: Boundary = WIDEST) -> Purge:
    """Say how much gas of a steady composition must pass a space that starts as air.

    Parameters
    ----------
    methane : float
        Methane share of the gas, 0 to 1 [m3/m3].
    boundary : Boundary
        Whose limits; the widest unless asked otherwise.

    Returns
    -------
    Purge
        Multiples of the gas space.

    Raises
    ------
    InputError
        For a share outside 0 to 1.

    Notes
    -----
    ``tau = -ln(1 - g)`` for a share g of gas in the space.

    References
    ----------
    well_mixed_purge; astm_e2079 for the oxygen.

    Examples
    --------
    >>> from marshlight.decide.safety import TUBE
    >>> done = purge(0.60, boundary=TUBE)
    >>> round(done.enters, 4), round(done.leaves, 4)
    (0.091, 0.226)
    """
    require_methane_share(methane)
    limits = boundary.gas_limits(methane)
    enters, leaves = (None, None) if limits is None else tuple(-math.log(1.0 - g) for g in limits)
    return Purge(enters, leaves, turnover_to_oxygen(LEAST_OXYGEN))


def turnover_to_oxygen(oxygen: float) -> float:
    """Return the gas that must pass a space of air to bring oxygen down to a share.

    Parameters
    ----------
    oxygen : float
        Share wanted, above 0 and no more than air has [m3/m3].

    Returns
    -------
    float
        Multiples of the gas space [-].

    Raises
    ------
    InputError
        If the share lies outside its range.

    References
    ----------
    well_mixed_purge.

    Examples
    --------
    >>> round(turnover_to_oxygen(0.111), 3)
    0.635
    """
    require(
        0.0 < oxygen <= OXYGEN_SHARE_OF_AIR,
        field="oxygen",
        value=oxygen,
        allowed="above 0, no more than air has",
        remedy="Give the share of oxygen",
    )
    return math.log(OXYGEN_SHARE_OF_AIR / oxygen)


def holder_mixture(path: GasPath, *, from_turnover: float = 0.0) -> Mixture:
    """Return what a holder holds that began empty and caught all that left the gas space.

    Parameters
    ----------
    path : GasPath
        Of the gas space.
    from_turnover : float
        Gas already made when the holder was last emptied, 0 to below the path's end [-].

    Returns
    -------
    Mixture
        Mean of what left since.

    Raises
    ------
    InputError
        If nothing left the gas space since.

    References
    ----------
    well_mixed_purge.

    Examples
    --------
    >>> caught = holder_mixture(gas_space_path([0, 1], [0.0, 1.0], [0.6, 0.6]))
    >>> round(caught.methane, 3)
    0.221
    """
    kept = path.turnover >= from_turnover
    require(
        int(np.count_nonzero(kept)) > 1,
        field="holder",
        value=from_turnover,
        allowed="some gas since the holder was emptied",
        remedy="Wait for gas",
    )
    at = path.turnover[kept]
    span = float(at[-1] - at[0])
    mean = (float(np.trapezoid(share[kept], at)) / span for share in (path.methane, path.co2))
    return Mixture(*mean)
