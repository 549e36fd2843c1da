"""What earlier runs of the same keeper say beforehand of the next one."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from marshlight.decide.watch.calibration.lives import Lives
from marshlight.decide.watch.calibration.log import RunLog
from marshlight.decide.watch.calibration.priors import Prior, priors_of
from marshlight.errors import require

# What stays with keeper, vessel and food; live cells and strays belong to one charge.
CARRIED = ("food", "rate", "vigour", "buffer", "tolerance", "warmth_k", "leak", "gas_scale")
# Another run differs from the last by half of what digesters differ by. Our choice.
_RUN_TO_RUN = 0.5


def priors_from(runs: Sequence[Lives], log: RunLog) -> dict[str, Prior]:
    """Turn earlier runs into beliefs for a new one, widened.

    Parameters
    ----------
    runs : sequence of Lives
        Calibrated lives of earlier runs in the same hands, in any order; those that say they are
        not to be relied on are left out.
    log : RunLog
        The new run; its usual beliefs are where none was learnt.

    Returns
    -------
    dict of Prior
        For ``calibrate(..., priors=...)``; empty when there is nothing to learn from.

    Raises
    ------
    InputError
        When a run brings other parameters.

    Notes
    -----
    In scores of the new run's belief: middles and spreads of the runs are pooled with the belief
    itself as one run more, and the spread is widened by half the belief's. It is never wider than
    the belief was.

    Examples
    --------
    >>> from marshlight.decide.watch.calibration.lives import lives_from_prior
    >>> from marshlight.process.model import Digester, Holder, inoculum, water
    >>> log = RunLog(Digester(0.01, Holder("bag", 0.1)),
    ...              inoculum("digested cattle manure", 0.004) + water(0.002), today=1.0)
    >>> before = lives_from_prior(log, rng=np.random.default_rng(1), members=64)
    >>> 0.7 < priors_from([before], log)["food"].middle < 1.4
    True
    """
    usual = priors_of(log)
    known = [lives for lives in runs if lives.quality.trusted]
    found: dict[str, Prior] = {}
    for name in CARRIED if known else ():
        belief = usual[name]
        scores = []
        for lives in known:
            require(
                name in lives.names,
                field="runs",
                value=lives.names,
                allowed="lives of the same parameters",
                remedy="Calibrate that run again",
            )
            scores.append(belief.scores(lives.of(name)))
        middles = np.array([0.0, *(np.mean(s) for s in scores)])
        within = np.mean([1.0, *(np.var(s) for s in scores)])
        spread = np.sqrt(within + np.var(middles) + _RUN_TO_RUN**2)
        middle, spread = float(middles.mean()), float(min(spread, 1.0))
        low, mid, high = belief.natural(middle + 1.96 * spread * np.array([-1.0, 0.0, 1.0]))
        found[name] = replace(
            belief,
            low=float(low),
            middle=float(mid),
            high=float(high),
            source=f"{len(known)} earlier runs, with {belief.source}",
        )
    return found
