"""VS of a material from replicate measurements of its TS and VS, with what they leave open."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from marshlight.errors import require


@dataclass(frozen=True)
class MeasuredSolids:
    """Replicates of one material: TS over fresh mass and VS over TS, both 0 to 1 [1]."""

    ts: tuple[float, ...]
    vs: tuple[float, ...]

    @property
    def n(self) -> int:
        """How often both were measured."""
        return min(len(self.ts), len(self.vs))


@dataclass(frozen=True)
class VsContent:
    """VS over fresh mass: mean [1], sd between replicates [1], and of the mean the relative error.

    ``df`` are the degrees of freedom of that error; infinite where one value alone is known.
    """

    mean: float
    sd: float
    relative_u: float
    n: int
    df: float


def vs_content(measured: MeasuredSolids) -> VsContent:
    """Work out VS over fresh mass from replicates.

    Parameters
    ----------
    measured : MeasuredSolids
        One value or more of each.

    Returns
    -------
    VsContent
        With a relative standard error of zero where nothing was measured twice.

    Raises
    ------
    InputError
        If a value is missing or no share.

    Notes
    -----
    Where TS and VS were measured equally often, they are taken as pairs from the same crucible
    and multiplied one by one, which keeps their correlation; else the means are multiplied and
    their relative errors added as squares.

    References
    ----------
    hafner_2020_calculation, holliger_2020_requirements

    Examples
    --------
    >>> found = vs_content(MeasuredSolids((0.30, 0.31, 0.32), (0.90, 0.90, 0.90)))
    >>> round(found.mean, 3), round(found.relative_u, 4), found.n
    (0.279, 0.0186, 3)
    """
    for name, values in (("TS", measured.ts), ("VS", measured.vs)):
        require(
            bool(values) and all(0.0 < v <= 1.0 for v in values),
            field=name,
            value=list(values),
            allowed="one value or more, each above 0 % and up to 100 %",
            remedy="Give what the crucibles said",
        )
    if len(measured.ts) == len(measured.vs):
        each = [t * v for t, v in zip(measured.ts, measured.vs, strict=True)]
        mean, error, df = _mean(each)
        sd = error * float(np.sqrt(len(each)))
        return VsContent(mean, sd, error / mean, len(each), df)
    ts, u_ts, df_ts = _mean(measured.ts)
    vs, u_vs, df_vs = _mean(measured.vs)
    parts = ((u_ts / ts, df_ts), (u_vs / vs, df_vs))
    relative = float(np.hypot(parts[0][0], parts[1][0]))
    below = sum(r**4 / df for r, df in parts if r > 0.0)
    df = relative**4 / below if below > 0.0 else float("inf")
    mean = ts * vs
    return VsContent(mean, relative * mean * float(np.sqrt(measured.n)), relative, measured.n, df)


def _mean(values: Sequence[float]) -> tuple[float, float, float]:
    """Mean, its standard error, and degrees of freedom."""
    n = len(values)
    mean = float(np.mean(values))
    if n < 2:
        return mean, 0.0, float("inf")
    return mean, float(np.std(values, ddof=1)) / float(np.sqrt(n)), n - 1.0
