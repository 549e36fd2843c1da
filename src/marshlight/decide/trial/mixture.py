"""Does a mixture give more or less than its parts would alone?"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import stdtr, stdtrit

from marshlight.decide.trial.comparing import Group, SharedError
from marshlight.errors import require


@dataclass(frozen=True)
class Synergy:
    """Mixture minus what its parts would give [m3/kg VS], with the interval at ``level``."""

    name: str
    measured: float
    expected: float
    difference: float
    standard_error: float
    df: float
    low: float
    high: float
    p: float
    level: float

    @property
    def word(self) -> str:
        """Synergy, antagonism, or neither shown."""
        if self.low > 0.0:
            return "synergy"
        return "antagonism" if self.high < 0.0 else "neither shown"


def synergy(
    mixture: Group,
    parts: Sequence[tuple[Group, float]],
    *,
    shared: SharedError | None = None,
    level: float = 0.95,
) -> Synergy:
    """Compare a mixture with the sum of its parts.

    Parameters
    ----------
    mixture : Group
        Potentials of the mixture's bottles [m3/kg VS], at least two.
    parts : sequence of (Group, float)
        Each part's own potentials [m3/kg VS] and its share of the mixture's VS [1].
    shared : SharedError, optional
        Error of the blanks [m3/kg inoculum].
    level : float
        Of the interval [1].

    Returns
    -------
    Synergy
        Positive when the mixture gave more than its parts would.

    Raises
    ------
    InputError
        If the shares don't add up to 1, or a group has fewer than two bottles.

    Notes
    -----
    The parts' means are weighted by VS; their errors and the mixture's add as variances, the
    blanks' error enters once with the levers' difference.

    References
    ----------
    satterthwaite_1946
    """
    total = sum(share for _, share in parts)
    require(
        abs(total - 1.0) < 1e-6 and len(parts) >= 2,
        field="shares of the parts",
        value=total,
        allowed="two or more parts that add up to 1",
        remedy="Give each part's share of the mixture's VS",
    )
    everyone = [mixture, *(g for g, _ in parts)]
    require(
        min(len(g.values) for g in everyone) >= 2,
        field="bottles",
        value=[len(g.values) for g in everyone],
        allowed="two or more of the mixture and of each part",
        remedy="Run replicates of the mixture and of each part alone",
    )
    expected = sum(share * g.mean for g, share in parts)
    weighted = [(mixture, 1.0), *((g, share) for g, share in parts)]
    terms = [(w**2 * g.variance / len(g.values), len(g.values) - 1.0) for g, w in weighted]
    terms += [((w * g.own_u) ** 2, g.own_df) for g, w in weighted]
    if shared is not None and shared.df > 0.0:
        lever = mixture.lever - sum(share * g.lever for g, share in parts)
        terms.append(((lever * shared.u) ** 2, shared.df))
    variance = sum(v for v, _ in terms)
    df = variance**2 / sum(v**2 / k for v, k in terms) if variance > 0.0 else terms[0][1]
    error = float(np.sqrt(variance))
    difference = mixture.mean - expected
    half = float(stdtrit(df, 0.5 + level / 2.0)) * error
    p = 2.0 * float(stdtr(df, -abs(difference) / error)) if error > 0.0 else 1.0
    return Synergy(
        mixture.name,
        mixture.mean,
        expected,
        difference,
        error,
        df,
        difference - half,
        difference + half,
        p,
        level,
    )
