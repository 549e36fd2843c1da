"""How much bottles scattered in trials so far: what to plan the next one with."""

from dataclasses import dataclass

from scipy.special import chdtri

from marshlight.answers.trial_result import trial_ready, trial_result
from marshlight.notebook.models import Trial

# Our choice: with fewer degrees of freedom a pooled scatter is off by half as often as not.
_LEAST_DF = 4
# Our choice: plan with what the true scatter exceeds one time in five; a design that leans on a
# lucky rack shows less than it promises.
_EXCEEDED = 0.2


@dataclass(frozen=True)
class PastScatter:
    """Relative standard deviation of a bottle's potential, pooled, with what it rests on [1].

    ``to_plan_with`` is its upper limit, exceeded one time in five.
    """

    relative: float
    to_plan_with: float
    df: int
    trials: int


def past_scatter() -> PastScatter | None:
    """Pool the scatter of bottles over materials and trials whose results are at hand.

    Returns
    -------
    PastScatter or None
        None while there is too little to tell.  Flagged bottles are left out where enough remain.
    """
    squares, df, trials = 0.0, 0, 0
    for trial in Trial.objects.in_use().select_related("site"):
        result = trial_result(trial).result if trial_ready(trial) else None
        if result is None:
            continue
        trials += 1
        for p in (result.without_flagged or result.result).potentials:
            if p.n >= 2 and p.mean > 0.0:
                squares += (p.n - 1) * (p.sd / p.mean) ** 2
                df += p.n - 1
    if df < _LEAST_DF:
        return None
    return PastScatter(
        (squares / df) ** 0.5, (squares / chdtri(df, 1.0 - _EXCEEDED)) ** 0.5, df, trials
    )
