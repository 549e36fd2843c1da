"""What a life as logged has come to: a healthy digester, or one in a trouble of its own making."""

import numpy as np
from numpy.typing import NDArray

from marshlight.decide.watch.calibration import RunLog
from marshlight.decide.watch.diagnosis.branches import FOOD, Branch
from marshlight.decide.watch.diagnosis.explanations import (
    AIR,
    AMMONIA,
    COLD,
    DOSE_GAS,
    HEALTHY,
    RULER,
    SOURING,
    SPENT,
    WEAK,
    WEAK_BELOW,
)
from marshlight.decide.watch.diagnosis.newest import Newest
from marshlight.process import temperature_factor
from marshlight.process.model import Dose, Feed
from marshlight.process.model.kernel import Reals

Labels = NDArray[np.str_]

# Sour: source `gerardi_2003` has methane formers stop at 6.2 and at their best from 6.8.
SOUR_PH, LOW_PH, SOUR_ACIDS = 6.5, 6.8, 3.0  # pH, pH, kg/m3 as acetic
# Ammonia counts as the trouble when it takes more than half of the acid eaters' pace and acids
# gather behind it; our choice.
_AMMONIA_PACE, _AMMONIA_ACIDS = 0.45, 2.0
# Acids that are being eaten up are a start, not a trouble: over three days they must not fall.
_GATHER_D, _LEAST_RISE = 3.0, 0.97
# Cold: three quarters of the pace at its usual warmth, by the log alone; where something is
# supposed to have cooled it, nine tenths. Our choice.
_COLD_PACE, _COOL_PACE = 0.75, 0.9
# Spent: less than a twentieth of the methane so far still to come, our choice.
_SPENT_SHARE, _UNFED_D = 0.06, 5.0
# A dose's own gas shows for some days; it must be a third of what came since.
_DOSE_D, _DOSE_SHARE, _DOSE_PH = 6.0, 0.33, 7.0
# A weak start is over when it is fed or a month old.
_YOUNG_D = 30.0


def labels_of(base: Branch, log: RunLog, seen: Newest, undosed: Reals | None) -> Labels:
    """Name what each life run on as logged has come to.

    Parameters
    ----------
    base : Branch
        The lives as logged.
    log : RunLog
        The whole log.
    seen : Newest
        The newest stretch.
    undosed : array or None
        Gas had the newest doses not been given, shape (life, day) [m3].

    Returns
    -------
    array of str
        Keys of explanations, one for each life.

    References
    ----------
    gerardi_2003, rosso_1993
    """
    run = base.run
    named = np.full(len(base.lives), HEALTHY, dtype="<U16")
    named[_spent(base, log, seen)] = SPENT
    named[_weak(base, log)] = WEAK
    if _mean_pace(base) < _COLD_PACE:
        named[:] = COLD
    checked = (run["I_nh3"][:, -1] < _AMMONIA_PACE) & _gathers(base, _AMMONIA_ACIDS)
    named[checked] = AMMONIA
    named[is_sour(base)] = SOURING
    named[_dose_gas(base, log, undosed)] = DOSE_GAS
    return named


def is_sour(branch: Branch) -> NDArray[np.bool_]:
    """Lives that stand sour today, or are well on their way there."""
    ph = branch.run["pH"][:, -1]
    return np.asarray((ph < SOUR_PH) | ((ph < LOW_PH) & _gathers(branch, SOUR_ACIDS)))


def _gathers(branch: Branch, least: float) -> NDArray[np.bool_]:
    """More acids than so much [kg/m3], and not on their way down."""
    run = branch.run
    back = int(np.searchsorted(run.day, max(run.day[-1] - _GATHER_D, run.day[0])))
    acids = run.acids_kg_m3
    return np.asarray((acids[:, -1] > least) & (acids[:, -1] > _LEAST_RISE * acids[:, back]))


def labels_under(branch: Branch) -> Labels:
    """Name each life of a supposed trouble of digestion by what it came to.

    Parameters
    ----------
    branch : Branch
        Lives run on with the trouble.

    Returns
    -------
    array of str
        Mostly the trouble's own name. A life that soured under it counts as souring, unless cold or
        air is the cause; food nobody wrote down that did no harm is no trouble.
    """
    named = np.full(len(branch.lives), branch.key, dtype="<U16")
    if branch.key in (COLD, AIR, RULER):
        return named
    if branch.key == SOURING:
        named[:] = np.where(_gathers(branch, _AMMONIA_ACIDS), SOURING, HEALTHY)
    if branch.key == AMMONIA:
        named[branch.run["I_nh3"][:, -1] > _AMMONIA_PACE] = HEALTHY
    named[is_sour(branch)] = SOURING
    return named


def cold_as_read(branch: Branch) -> Labels:
    """Name lives that are as cold as the thermometer shows: little less warmth is no trouble."""
    cold = _mean_pace(branch) < _COOL_PACE
    return np.full(len(branch.lives), COLD if cold else HEALTHY, dtype="<U16")


def _mean_pace(base: Branch) -> float:
    """Pace of growth over the last two days beside that at its usual warmth."""
    lately = base.run.day >= base.run.day[-1] - 2.0
    now, usual = base.warmth.celsius[lately], base.warmth.expected_c[lately]
    pace = np.asarray(temperature_factor(now)) / np.maximum(temperature_factor(usual), 0.05)
    return float(np.mean(pace))


def _spent(base: Branch, log: RunLog, seen: Newest) -> NDArray[np.bool_]:
    """Hardly anything left to digest, and nothing fed lately."""
    if any(isinstance(e, Feed) and e.day > log.today - _UNFED_D for e in log.events):
        return np.zeros(len(base.lives), bool)
    run = base.run
    acids = ("acetate", "propionate", "butyrate", "valerate", "lcfa", "sugars", "amino_acids")
    left = np.sum([run[name][:, -1] for name in (*FOOD, *acids)], axis=0)
    made = run["out_methane"][:, -1] + run["gas_methane"][:, -1]
    # Methane is kept in kmol above the liquid: 64 kg COD each.
    return np.asarray(left < _SPENT_SHARE * (left + 64.0 * made))


def _weak(base: Branch, log: RunLog) -> NDArray[np.bool_]:
    """Fewer live cells in the charge than its record allows for, early in a run."""
    if log.today > _YOUNG_D:
        return np.zeros(len(base.lives), bool)
    return np.asarray(base.lives.of("cells") < WEAK_BELOW * log.lively[0])


def _dose_gas(base: Branch, log: RunLog, undosed: Reals | None) -> NDArray[np.bool_]:
    """A good part of the gas since a fresh dose is the dose's own, and it was acid before."""
    run = base.run
    fresh = [e.day for e in log.events if isinstance(e, Dose) and e.day > run.day[0]]
    if undosed is None or not fresh or log.today - fresh[-1] > _DOSE_D:
        return np.zeros(len(base.lives), bool)
    at = max(int(np.searchsorted(run.day, fresh[-1])) - 1, 0)
    with_dose = base.gas_m3[:, -1] - base.gas_m3[:, at]
    without = undosed[:, -1] - undosed[:, at]
    own = with_dose - without > _DOSE_SHARE * np.maximum(with_dose, 1e-12)
    return np.asarray(own & (run["pH"][:, at] < _DOSE_PH))
