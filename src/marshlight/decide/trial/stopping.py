"""When a trial may end: daily methane below 1 % of the net cumulative for three days."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

STOP_RATE_PER_D = 0.01
STOP_DAYS = 3.0


@dataclass(frozen=True)
class Stopping:
    """Day from which the rule is met, or None, and how fast the bottle is now [1/d]."""

    label: str
    met_on: float | None
    rate_now: float


def stopping(
    day: ArrayLike,
    net_m3: ArrayLike,
    *,
    label: str = "",
    rate_per_d: float = STOP_RATE_PER_D,
    days: float = STOP_DAYS,
) -> Stopping:
    """Ask whether a bottle has come to its end.

    Parameters
    ----------
    day : array_like
        Days of the readings [d], rising, shape n.
    net_m3 : array_like
        Cumulative methane with the blanks' taken off [m3], shape n.
    label : str
        The bottle's name.
    rate_per_d : float
        Methane of a day over that day's net cumulative methane [1/d].
    days : float
        For how many days in a row [d].

    Returns
    -------
    Stopping
        The first day on which the rule is met.

    Notes
    -----
    The rule's source does not say whether the day's methane is gross or net, nor which
    cumulative is meant: net daily over that day's net cumulative is taken.  Readings further
    apart than a day count with their mean daily rate; intervals in a row must add up to
    ``days``.  A bottle with no net methane never meets the rule.

    References
    ----------
    holliger_2020_requirements

    Examples
    --------
    >>> import numpy as np
    >>> t = np.arange(1.0, 60.0)
    >>> stopping(t, 1.0 - np.exp(-0.1 * t)).met_on
    27.0
    """
    t = np.concatenate([[0.0], np.asarray(day, dtype=np.float64)])
    net = np.concatenate([[0.0], np.asarray(net_m3, dtype=np.float64)])
    if t.size < 2:
        return Stopping(label, None, float("nan"))
    span = np.diff(t)
    with np.errstate(divide="ignore", invalid="ignore"):
        rate = np.where(net[1:] > 0.0, np.diff(net) / span / net[1:], np.inf)
    quiet, met = 0.0, None
    for end, length, speed in zip(t[1:], span, rate, strict=True):
        quiet = quiet + float(length) if speed < rate_per_d else 0.0
        if quiet >= days - 1e-9:
            met = float(end)
            break
    return Stopping(label, met, float(rate[-1]))
