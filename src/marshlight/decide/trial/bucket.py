"""Methane by the bucket: what a material gives as it is carried to the digester."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import stdtrit

from marshlight.decide.trial.comparing import Group
from marshlight.decide.trial.potential import Potential
from marshlight.estimate import Estimate

# Our choice: the size a hand carries and most shops sell; every figure by the bucket names it.
BUCKET_M3 = 0.010


@dataclass(frozen=True)
class BucketGas:
    """One material: a bucket's weight [kg] and its methane [m3], with the interval at a level."""

    group: str
    kg: float
    methane_m3: float
    low: float
    high: float


def bucket_groups(
    potentials: Sequence[Potential], density: Mapping[str, Estimate]
) -> tuple[Group, ...]:
    """Turn potentials into methane of a bucketful [m3], to be compared like potentials.

    Parameters
    ----------
    potentials : sequence of Potential
        Of samples with two bottles or more.
    density : mapping of str to Estimate
        Bulk density of each material as it fills a bucket [kg fresh/m3].

    Returns
    -------
    tuple of Group
        For the materials whose density and fresh mass are known.

    Notes
    -----
    Methane per fresh mass does not ask for the VS content.  The density's doubt is a material's
    own: it moves all its bottles alike and no other material's.

    References
    ----------
    hafner_2020_calculation
    """
    found = []
    for p in potentials:
        kg = density.get(p.group)
        if kg is None or not np.isfinite(p.vs_per_fresh):
            continue
        each = p.vs_per_fresh * kg.value * BUCKET_M3
        found.append(
            Group(
                p.group,
                tuple(v * each for v in p.values),
                p.inoculum_ratio * each,
                own_u=p.mean * each * kg.relative_u,
            )
        )
    return tuple(found)


def bucket_gas(
    groups: Sequence[Group],
    density: Mapping[str, Estimate],
    blanks: tuple[float, float],
    *,
    level: float = 0.95,
) -> tuple[BucketGas, ...]:
    """Say what a bucketful of each gives, with its interval.

    Parameters
    ----------
    groups : sequence of Group
        From `bucket_groups`.
    density : mapping of str to Estimate
        Bulk density [kg fresh/m3].
    blanks : (float, float)
        Standard error of the inoculum's methane [m3/kg] and its degrees of freedom.
    level : float
        Of the interval [1].

    Returns
    -------
    tuple of BucketGas
        In the order given.

    References
    ----------
    satterthwaite_1946
    """
    found = []
    for g in groups:
        n = len(g.values)
        parts = [(g.variance / n, n - 1.0), ((g.lever * blanks[0]) ** 2, blanks[1])]
        parts.append((g.own_u**2, g.own_df))
        variance = sum(v for v, _ in parts)
        below = sum(v**2 / df for v, df in parts)
        df = variance**2 / below if below > 0.0 else n - 1.0
        half = float(stdtrit(df, 0.5 + level / 2.0)) * float(np.sqrt(variance))
        kg = density[g.name].value * BUCKET_M3
        found.append(BucketGas(g.name, kg, g.mean, g.mean - half, g.mean + half))
    return tuple(found)
