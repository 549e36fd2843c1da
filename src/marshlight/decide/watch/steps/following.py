"""Every life of a digester followed through one course of things, luck shared between courses."""

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace

import numpy as np

from marshlight.decide.watch.calibration import Lives, RunLog, ahead, dry_gas, observed_gas
from marshlight.decide.watch.calibration.course import plan
from marshlight.decide.watch.calibration.lives import runnable
from marshlight.decide.watch.calibration.log import STRAY_D
from marshlight.decide.watch.steps.risk import Floats, Risk, risk_of_souring
from marshlight.errors import require
from marshlight.process.model import DigesterRun, Event

# Above it this set's microbes die; those of hot digesters are not in it (source `rosso_1993`).
TOO_WARM_C = 45.0


# Low end, middle and high end of some lives: the ends hold 95 % of them.
ENDS = (0.025, 0.5, 0.975)


def span(values: Floats) -> tuple[float, float, float]:
    """Give the middle of the lives and the ends that hold 95 % of them: low, middle, high."""
    low, middle, high = np.quantile(values, ENDS, axis=0)
    return float(low), float(middle), float(high)


@dataclass(frozen=True)
class Followed:
    """What comes of one course; curves have shape (life, day).

    ``day`` counts from today; ``run`` is the model's own word; ``shown_m3`` is the gas as the
    holder would show it and ``burnable_m3`` the methane in it: strays from the model, leak and
    gauge included, cumulative from today [normal m3].
    """

    day: Floats
    run: DigesterRun
    shown_m3: Floats
    burnable_m3: Floats
    worth: float

    @property
    def ph(self) -> Floats:
        """Give the pH."""
        return self.run["pH"]

    @property
    def burnable_m3_d(self) -> Floats:
        """Give the mean methane of a day over the whole course, shape (life,) [normal m3/d]."""
        return np.asarray(self.burnable_m3[:, -1] / (self.day[-1] - self.day[0]))

    @property
    def risk(self) -> Risk:
        """Count the lives that end sour."""
        return risk_of_souring(self.ph[:, -1], worth=self.worth)


def follow(
    lives: Lives, log: RunLog, events: Sequence[Event], *, days: Floats, seed: int
) -> Followed:
    """Follow every life through what is done from today on.

    Parameters
    ----------
    lives : Lives
        Where it may stand.
    log : RunLog
        The digester.
    events : sequence of Event
        What is done, days since the start of the run [d].
    days : array
        Days from today to report, from 0 on [d].
    seed : int
        Luck of the strays: the same number gives every course the same strays, so that courses
        differ by what is done alone.

    Returns
    -------
    Followed
        In the order of the lives.

    Raises
    ------
    InputError
        When days or events do not fit.
    FitError
        When more than a twentieth of the lives cannot be run.
    """
    at = lives.day + np.asarray(days, dtype=np.float64)
    run = ahead(lives, log, days=at, events=events)
    # The same strays for both, since both come through the same holder.
    shown, burnable = (
        observed_gas(lives, at, gas, rng=np.random.default_rng(seed))
        for gas in (dry_gas(run), run.methane_m3)
    )
    return Followed(np.asarray(days, dtype=np.float64), run, shown, burnable, worth_of(lives))


def brought_to(lives: Lives, log: RunLog, day: float) -> tuple[Lives, RunLog]:
    """Bring lives forward to a later day on which nothing has happened since.

    Parameters
    ----------
    lives, log : Lives, RunLog
        As they stood on the day they were fitted.
    day : float
        Today [d since the start], not before ``lives.day``.

    Returns
    -------
    tuple of Lives and RunLog
        On that day; lives that cannot be run there are left out.

    Raises
    ------
    FitError
        When more than a twentieth of the lives cannot be run.

    Notes
    -----
    The stray from the model is forgotten as it is in a forecast; its fresh part is left to the
    courses that follow.
    """
    before = [event for event in log.events if event.day <= lives.day]
    ready = plan(log.digester, (), start=lives.day, days=[day], watch=("pH",), before=before)
    course = ready.run(lives.states, lives.settings, lives.mapping())
    fine = runnable(course.fine)
    forgotten = float(np.exp(-(day - lives.day) / STRAY_D))
    moved = replace(
        lives,
        draws=lives.draws[fine],
        settings=lives.settings[fine],
        states=course.end[fine],
        stray_now=forgotten * lives.stray_now[fine],
        day=day,
    )
    return moved, replace(log, today=day)


def worth_of(lives: Lives) -> float:
    """Tell how many independent draws some lives are worth: the same state twice is one.

    Notes
    -----
    Kish's (sum n)^2 / sum n^2 over how often each state was kept.

    References
    ----------
    kish_1965
    """
    _, often = np.unique(lives.states, axis=0, return_counts=True)
    return float(often.sum() ** 2 / np.sum(often**2))


def fewer(lives: Lives, most: int) -> Lives:
    """Keep an even pick of at most so many lives, for a search that runs them often.

    Parameters
    ----------
    lives : Lives
        Equally likely.
    most : int
        1 or more.

    Raises
    ------
    InputError
        When none would be kept.
    """
    require(most >= 1, field="lives", value=most, allowed="1 or more", remedy="Keep some")
    if len(lives) <= most:
        return lives
    kept = np.round(np.linspace(0, len(lives) - 1, most)).astype(int)
    by_life = ("draws", "settings", "states", "stray_now")
    changed = {f.name: getattr(lives, f.name)[kept] for f in fields(lives) if f.name in by_life}
    return replace(lives, **changed)
