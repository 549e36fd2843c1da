"""Gas of a vessel fed again and again: each feed's curve, laid over the others."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
from numpy.typing import ArrayLike, NDArray

from marshlight.errors import require
from marshlight.estimate import Estimate
from marshlight.process.curves import Curve, CurveParameter
from marshlight.process.fed_pool import Pool, first_order_pool

Floats = NDArray[np.float64]

# Sigmoids are left out: a feed into a working digester has no start of its own.
KERNELS = ("first_order", "first_order_lag", "two_pool", "cone")
_CHUNK = 2_000_000


@dataclass(frozen=True)
class Feed:
    """What went in on a day [d] and the gas it could give [m3 dry normal].

    Raises
    ------
    InputError
        If the gas is negative.
    """

    day: float
    ultimate_m3: Estimate

    def __post_init__(self) -> None:
        require(
            self.ultimate_m3.value >= 0,
            field="gas of a feed",
            value=self.ultimate_m3.value,
            allowed="0 or more",
            remedy="Give the gas this feed could give in the end",
        )


@dataclass(frozen=True)
class DrawOff:
    """A share (0 to 1) of the mixed contents taken out on a day [d].

    Raises
    ------
    InputError
        If the share is not from 0 to 1.
    """

    day: float
    share: float

    def __post_init__(self) -> None:
        require(
            0.0 <= self.share <= 1.0,
            field="share drawn off",
            value=self.share,
            allowed="0 to 1",
            remedy="Give the share of the contents that was taken out",
        )


@dataclass(frozen=True)
class FedCurve:
    """Superposition of feeds with one kernel; parameters as the kernel's.

    The kernel's ultimate becomes `scale`: how the feeds really give compared
    with what was expected of them (1 = as expected).
    """

    kernel: Curve
    feeds: tuple[Feed, ...]
    draw_offs: tuple[DrawOff, ...]

    @property
    def name(self) -> str:
        """Name for tables."""
        return f"fed_{self.kernel.name}"

    @property
    def parameters(self) -> tuple[CurveParameter, ...]:
        """The kernel's parameters, its ultimate renamed."""
        first, *rest = self.kernel.parameters
        return (replace(first, name="scale", unit="1", low=1e-3, high=1e3), *rest)

    def value(self, day: ArrayLike, parameters: ArrayLike) -> Floats:
        """Cumulative gas [m3] at days (m) for parameters (k or n x k).

        Notes
        -----
        V(t) = sum over feeds j of A_j times the integral of g'(s - t_j) R_j(s),
        where R_j is the share of feed j left in by the draw-offs since. A draw-off
        takes digested and undigested alike: the contents are taken as mixed.
        """
        t, p = np.atleast_1d(np.asarray(day, float)), np.asarray(parameters, float)
        if self.kernel.name == "first_order":
            return self._pool(t, p).gas
        if p.ndim == 1:
            return self._sum(t, lambda shifted: self.kernel.value(shifted, p))
        step = max(_CHUNK // max(len(self.feeds) * (t.size + len(self.draw_offs)), 1), 1)
        parts = [self._sum(t, partial(self._many, p[i : i + step])) for i in range(0, len(p), step)]
        return np.concatenate(parts)

    def slopes(self, day: ArrayLike, parameters: ArrayLike) -> Floats:
        """Exact derivatives by each parameter (k), shape m x k."""
        t, p = np.atleast_1d(np.asarray(day, float)), np.asarray(parameters, float)
        if self.kernel.name == "first_order":
            pool = self._pool(t, p)
            return np.stack([pool.by_scale, pool.by_rate], axis=-1)
        columns = [self._sum(t, partial(self._slope, p, i)) for i in range(p.size)]
        return np.stack(columns, axis=-1)

    def _pool(self, t: Floats, p: Floats) -> Pool:
        return first_order_pool(
            t,
            p[..., 0],
            p[..., 1],
            feeds=tuple((f.day, f.ultimate_m3.value) for f in self.feeds),
            draw_offs=tuple((d.day, d.share) for d in self.draw_offs),
        )

    def _slope(self, p: Floats, which: int, shifted: Floats) -> Floats:
        return np.asarray(self.kernel.slopes(shifted, p)[..., which])

    def _many(self, p: Floats, shifted: Floats) -> Floats:
        flat = self.kernel.value(shifted.ravel(), p)
        return flat.reshape(len(p), *shifted.shape)

    def _sum(self, t: Floats, kernel: Callable[[Floats], Floats]) -> Floats:
        """Sum over feeds on a grid that breaks at every draw-off."""
        grid = np.union1d(t, [0.0, *(d.day for d in self.draw_offs), *(f.day for f in self.feeds)])
        starts = np.array([f.day for f in self.feeds])
        amounts = np.array([f.ultimate_m3.value for f in self.feeds])
        steps = np.diff(kernel(grid[None, :] - starts[:, None]), axis=-1)
        gas = np.einsum("...fg,fg->...g", steps, amounts[:, None] * self._left(grid, starts))
        total = np.concatenate([np.zeros((*gas.shape[:-1], 1)), np.cumsum(gas, axis=-1)], axis=-1)
        return np.asarray(total[..., np.searchsorted(grid, t)])

    def _left(self, grid: Floats, starts: Floats) -> Floats:
        """Share of each feed left in the vessel in each step of the grid (feeds x steps)."""
        left = np.ones((starts.size, grid.size - 1))
        for draw in self.draw_offs:
            before = starts[:, None] <= draw.day
            after = grid[None, :-1] >= draw.day
            left = np.where(before & after, left * (1.0 - draw.share), left)
        return left


def check_feeds(feeds: Sequence[Feed]) -> None:
    """Refuse an empty or unordered list of feeds.

    Raises
    ------
    InputError
        If there is no feed with gas in it, or days go back.
    """
    days = [f.day for f in feeds]
    require(
        bool(feeds) and days == sorted(days) and sum(f.ultimate_m3.value for f in feeds) > 0,
        field="feeds",
        value=days[:5],
        allowed="at least one feed with gas in it, in order of time",
        remedy="Enter the first charge as the feed of day 0, then the others",
    )
