"""A digester as it may be: equally likely lives, and running them on from today."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from marshlight.decide.watch.calibration.course import Course, from_charge, plan
from marshlight.decide.watch.calibration.log import Floats, RunLog
from marshlight.decide.watch.calibration.priors import Prior, priors_of
from marshlight.decide.watch.calibration.varied import Draws, as_draws
from marshlight.decide.watch.calibration.warmth import swings_told
from marshlight.errors import FitError, require
from marshlight.process.model import DigesterRun, Event
from marshlight.process.model.kernel import layout
from marshlight.process.model.liquid import MODEL
from marshlight.process.model.result import GASES, NORMAL_M3_PER_KMOL

# Everything that gas volumes, shares, acids and ammonia of a run are reckoned from.
WATCH = (
    *("pH", "volume", "acetate", "propionate", "butyrate", "valerate", "inorganic_nitrogen"),
    *("bicarbonate", "dry_pressure_bar", "holder_m3", "gas_space_m3"),
    *(f"gas_{gas}" for gas in GASES),
    *(f"out_{gas}" for gas in GASES),
    *(f"p_{gas}_bar" for gas in ("methane", "carbon_dioxide", "oxygen", "sulfide")),
)
# More lives that cannot be run than this and nothing is said of the digester.
_TOLERATED = 0.05


@dataclass(frozen=True)
class Mode:
    """One way the log can be read: ``centre`` and ``spread`` in prior scores, and its weight."""

    centre: Floats
    spread: Floats
    weight: float


@dataclass(frozen=True)
class Quality:
    """How far the lives can be relied on.

    ``effective`` is how many independent draws they are worth, ``pareto_k`` the tail of their
    weights (below 0.7 is good, source ``vehtari_psis``), ``modes`` how many ways of reading the
    log were found, ``runs`` the runs of the model it took.
    """

    effective: float
    pareto_k: float
    modes: int
    runs: int
    trusted: bool
    words: tuple[str, ...] = ()


@dataclass(frozen=True)
class Lives:
    """Equally likely lives of one digester on one day.

    Parameters
    ----------
    names : tuple of str
        The calibrated parameters.
    draws : array, shape (member, name)
        Their values, in natural units.
    settings : array, shape (member, setting)
        The kernel's settings.
    states : array, shape (member, state)
        The digester at ``day``.
    day : float
        Today [d since the start].
    log_evidence : float
        Log of how likely the readings were beforehand.
    quality : Quality
        How far to rely on them.
    stray_now : array, shape (member,)
        How far the gas rate strays from each life just now, relative.
    modes : tuple of Mode
        Where the lives lie; a later calibration starts from them.
    warmth_told : (float, float)
        How far the slurry's warmth last told lies above its usual one, and how far it swings [K].
    """

    names: tuple[str, ...]
    draws: Floats
    settings: Floats
    states: Floats
    day: float
    log_evidence: float
    quality: Quality
    stray_now: Floats
    priors: Mapping[str, Prior] = field(default_factory=dict)
    modes: tuple[Mode, ...] = ()
    warmth_told: tuple[float, float] = (0.0, 0.0)

    def __len__(self) -> int:
        return len(self.draws)

    def of(self, name: str) -> Floats:
        """Give one parameter of all members, shape (member,)."""
        return np.asarray(self.draws[:, self.names.index(name)])

    def mapping(self) -> dict[str, Floats]:
        """Give all parameters by name."""
        return as_draws(self.names, self.draws)


def lives_from_prior(
    log: RunLog,
    *,
    rng: np.random.Generator,
    members: int = 128,
    priors: Mapping[str, Prior] | None = None,
) -> Lives:
    """Draw lives from what is believed beforehand, no reading used.

    Parameters
    ----------
    log : RunLog
        The digester and what happened to it.
    rng : numpy.random.Generator
        The state to draw from.
    members : int
        How many, 1 or more.
    priors : mapping, optional
        Beliefs that take the place of the usual ones, by name.

    Returns
    -------
    Lives
        Equally likely.

    Raises
    ------
    InputError
        When the log does not fit the model.
    FitError
        When more than a twentieth of the lives cannot be run.

    Examples
    --------
    >>> from marshlight.process.model import Digester, Holder, inoculum, water
    >>> log = RunLog(Digester(0.01, Holder("bag", 0.1)),
    ...              inoculum("digested cattle manure", 0.004) + water(0.002), today=5.0)
    >>> lives = lives_from_prior(log, rng=np.random.default_rng(1), members=8)
    >>> len(lives), lives.day
    (8, 5.0)
    """
    require(
        members >= 1, field="members", value=members, allowed="1 or more", remedy="Ask for some"
    )
    beliefs = priors_of(log, priors)
    names = tuple(beliefs)
    scores = rng.standard_normal((members, len(names)))
    draws = natural_of(beliefs, scores)
    course, settings, _ = from_charge(log, as_draws(names, draws), days=[log.today], watch=("pH",))
    fine = runnable(course.fine)
    quality = Quality(float(len(fine)), 0.0, 1, members, True, ("No reading was used.",))
    stray = draws[fine, names.index("stray")] * rng.standard_normal(len(fine))
    return Lives(
        names,
        draws[fine],
        settings[fine],
        course.end[fine],
        log.today,
        0.0,
        quality,
        stray,
        beliefs,
        warmth_told=swings_told(log),
    )


def natural_of(beliefs: Mapping[str, Prior], scores: Floats) -> Floats:
    """Turn prior scores, shape (member, name), into values."""
    columns = [prior.natural(scores[:, i]) for i, prior in enumerate(beliefs.values())]
    return np.stack(columns, axis=1)


def runnable(status: NDArray[np.integer]) -> NDArray[np.intp]:
    """Give the places of the members that ran through.

    Raises
    ------
    FitError
        When more than a twentieth did not.
    """
    fine = np.flatnonzero(np.asarray(status) == 0)
    if len(fine) < (1.0 - _TOLERATED) * len(status):
        raise FitError(
            f"{len(status) - len(fine)} of {len(status)} lives of the digester could not be run "
            "through. Check volumes, draw-offs and feeds of the log."
        )
    return fine


def ahead(
    lives: Lives,
    log: RunLog,
    *,
    days: Sequence[float] | Floats,
    events: Sequence[Event] = (),
    watch: Sequence[str] = WATCH,
) -> DigesterRun:
    """Run the lives on from the day they stand at.

    Parameters
    ----------
    lives : Lives
        Where they start.
    log : RunLog
        The digester, and what was set before and still holds.
    days : sequence of float
        Days to report, increasing, from ``lives.day`` on [d since the start of the run].
    events : sequence of Event
        What is done from ``lives.day`` on; feeds bring what each life holds of such a feed.
    watch : sequence of str
        States or observables to report; ``WATCH`` has what gas, shares and acids need.

    Returns
    -------
    DigesterRun
        Curves of shape (member, time); gas volumes count from ``lives.day``.

    Raises
    ------
    InputError
        When days or events lie before ``lives.day`` or a curve is unknown.
    FitError
        When more than a twentieth of the lives cannot be run, as when more is drawn off than
        there is.

    Notes
    -----
    The few lives that cannot be run are shown by the next that can, so that members stay in step.

    Examples
    --------
    >>> from marshlight.process.model import Digester, Holder, inoculum, water
    >>> log = RunLog(Digester(0.01, Holder("bag", 0.1)),
    ...              inoculum("digested cattle manure", 0.004) + water(0.002), today=5.0)
    >>> lives = lives_from_prior(log, rng=np.random.default_rng(1), members=8)
    >>> run = ahead(lives, log, days=[5.0, 6.0, 8.0])
    >>> run["pH"].shape, bool((dry_gas(run)[:, 0] == 0.0).all())
    ((8, 3), True)
    """
    before = [event for event in log.events if event.day <= lives.day]
    ready = plan(log.digester, events, start=lives.day, days=days, watch=watch, before=before)
    course = ready.run(lives.states, lives.settings, lives.mapping())
    return as_run(course, lives.states, lives.settings, lives.mapping())


def past(
    lives: Lives,
    log: RunLog,
    *,
    days: Sequence[float] | Floats,
    watch: Sequence[str] = WATCH,
) -> DigesterRun:
    """Run the lives again from the charge to today, to show them beside the readings.

    Parameters
    ----------
    lives, log : Lives, RunLog
        As they stand.
    days : sequence of float
        Days to report, increasing, from 0 to ``log.today``.
    watch : sequence of str
        States or observables to report.

    Returns
    -------
    DigesterRun
        Curves of shape (member, time); gas volumes count from the charge.
    """
    when = np.asarray(days, dtype=np.float64)
    # A run ends at its last day reported, and every event must lie in it.
    extended = when if when[-1] >= log.today else np.append(when, log.today)
    course, settings, states = from_charge(log, lives.mapping(), days=extended, watch=watch)
    shown = Course(when, course.names, course.curves[:, : len(when)], course.end, course.fine)
    return as_run(shown, states, settings, lives.mapping())


def as_run(course: Course, start: Floats, settings: Floats, draws: Draws) -> DigesterRun:
    """Give a course as a run whose curves have shape (member, time), the model's errors added."""
    fine = runnable(course.fine)
    place = fine[np.searchsorted(fine, np.arange(len(course.fine))).clip(max=len(fine) - 1)]
    values = {name: course[name][place] for name in course.names}
    _mend(values, draws)
    return DigesterRun(course.day, values, 0, 0, settings, start.T[:, :, None], np.zeros(0))


def _mend(values: dict[str, Floats], draws: Draws) -> None:
    """Add what of pH and make-up of the gas the model is off by, in each life; states stay."""
    methane, dioxide = "p_methane_bar", "p_carbon_dioxide_bar"
    if "pH" in values:
        values["pH"] = values["pH"] + draws["ph_model"][:, None]
    if methane in values and dioxide in values:
        moved = draws["methane_model"][:, None] * (values[methane] + values[dioxide])
        values[methane] = np.maximum(values[methane] + moved, 0.0)
        values[dioxide] = np.maximum(values[dioxide] - moved, 0.0)


def dry_gas(run: DigesterRun) -> Floats:
    """Give all dry gas that left the liquid, as a holder counts it [normal m3], (member, time).

    Air among it counts too: what comes out first is mostly displaced air, and oxygen that the
    liquid takes up is missing from it.
    """
    whole = sum(run[f"gas_{gas}"] + run[f"out_{gas}"] for gas in GASES)
    place = layout(MODEL).state_at
    first = sum(run.start[place[f"gas_{g}"]] + run.start[place[f"out_{g}"]] for g in GASES)
    return np.asarray((whole - first) * NORMAL_M3_PER_KMOL, dtype=np.float64)
