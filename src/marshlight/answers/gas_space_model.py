"""What the process model says of the gas a run has made: its make-up over time, life by life."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from marshlight.answers.analysis import revision
from marshlight.answers.gas_space_path import Spans
from marshlight.answers.keeping import keep, kept, one_at_a_time
from marshlight.answers.lives import RunLives, lives_ready
from marshlight.answers.run_gas import RunGas
from marshlight.answers.simulate_past import Past, past_of
from marshlight.answers.told import Figure, Section, figure
from marshlight.answers.workers import standing_workers
from marshlight.apparatus import Counter
from marshlight.decide.watch.calibration import past
from marshlight.errors import MarshlightError
from marshlight.measure import GasLedger
from marshlight.process.model import (
    SMALL_DIGESTER,
    DigesterRun,
    draw_between,
    ensemble,
)
from marshlight.units import show, show_range

FloatArray = NDArray[np.float64]
MEMBERS = 64
_SEED = 20_262
LEVELS = (0.05, 0.5, 0.95)
# A life whose gas is further from what was counted than this share of it and of the gas space,
# beyond the counting's own doubt, is not this run's: our choice, wide because it is the make-up
# that is wanted; a tenth of the gas space hardly moves the mixture.
AMOUNT_OFF, SPACE_OFF = 0.3, 0.1
FEWEST_LIVES = 8
# What was made in this time is what comes now [d].
_NOW_D = 2.0
# Hydrogen burns from 4 to 75 % in air, far beyond the limits drawn: more than this is said.
HYDROGEN_TOLD = 0.01
_GASES = ("methane", "carbon_dioxide", "hydrogen", "sulfide")
_WATCH = (
    *(f"{place}_{gas}" for place in ("gas", "out") for gas in _GASES),
    "p_sulfide_bar",
    "dry_pressure_bar",
)
# The first days are told finely: there the gas changes from hour to hour.
_FINE_D, _FINE_STEP_D, _MOST_DAYS = 4.0, 0.125, 240
_MODEL = "batstone_2002 rosen_jeppsson_2006"


@dataclass(frozen=True)
class ModelGas:
    """Gas made by each life that agrees with what was read, and by how many of all lives.

    ``gas_m3`` and ``methane_m3`` are cumulative, dry normal, shape (life, day) [m3];
    ``hydrogen`` is the largest share of it in the gas made on any day, at the 95 % end [-];
    ``sulphide`` the share in the gas at the end, low, middle and high [-]; ``fitted`` whether the
    lives are those fitted to every reading of the run, and ``why_not`` the reason where not.
    """

    day: FloatArray
    gas_m3: FloatArray
    methane_m3: FloatArray
    lives: int
    of: int
    hydrogen: float
    sulphide: tuple[float, float, float]
    notes: tuple[str, ...]
    fitted: bool = False
    why_not: str = ""

    @property
    def middle_m3(self) -> FloatArray:
        """Give the middle life's gas so far, never falling [m3]."""
        middle = np.median(self.gas_m3, axis=0)
        rising: FloatArray = np.maximum.accumulate(np.maximum(middle - middle[0], 0.0))
        return rising

    @property
    def now(self) -> tuple[float, float, float]:
        """Give the methane share of the gas made in the last two days: three ends [-]."""
        since = np.array([max(float(self.day[-1]) - _NOW_D, 0.0), float(self.day[-1])])
        low, middle, high = (float(row[-1]) for row in self.over_time(since))
        return low, middle, high

    def over_time(self, asked: FloatArray) -> Spans:
        """Give the methane share of the gas made since the day before in the row: three ends."""
        made = [np.interp(asked, self.day, row) for row in self.gas_m3]
        burns = [np.interp(asked, self.day, row) for row in self.methane_m3]
        shares = _shares(np.diff(burns, axis=1), np.diff(made, axis=1))
        low, middle, high = np.quantile(shares, LEVELS, axis=0)
        # The first row has nothing before it; the path does not use it.
        return tuple(np.concatenate([row[:1], row]) for row in (low, middle, high))  # type: ignore[return-value]


def _shares(methane: FloatArray, gas: FloatArray) -> FloatArray:
    """Divide, and hold the last share through times in which nothing was made."""
    enough = gas > 1e-6 * np.maximum(gas.sum(axis=1, keepdims=True), 1e-12)
    shares = np.clip(np.where(enough, methane / np.where(enough, gas, 1.0), np.nan), 0.0, 1.0)
    whole = np.clip(methane.sum(axis=1) / np.maximum(gas.sum(axis=1), 1e-12), 0.0, 1.0)
    last = whole
    for column in shares.T:
        last = np.where(np.isnan(column), last, column)
        column[:] = last
    return shares


def model_gas(own: RunGas, until: float) -> ModelGas:
    """Run the process model over a run's log: the lives fitted to it, or those near its gas.

    Parameters
    ----------
    own : RunGas
        The run's gas.
    until : float
        Days since its start [d].

    Returns
    -------
    ModelGas
        Remembered until the log, the set-up or the engine changes.

    Raises
    ------
    MarshlightError
        If the log does not say what went in, tests or counted gas contradict the model, or too
        many lives cannot be run through.
    """
    fit, why_not = _fit_of(own, until)
    # Lives fitted meanwhile take the place of those drawn beforehand.
    name = f"{own.run.pk}-model-gas"
    state = f"{revision(own.run)} {until:.4f} {'fitted' if fit else why_not}"
    with one_at_a_time(name):
        found: ModelGas | str | None = kept(name, state)
        if found is None:
            try:
                found = _fitted_gas(own, until, fit) if fit else _drawn_gas(own, until, why_not)
            except MarshlightError as problem:
                found = str(problem)
            keep(name, state, found)
    if isinstance(found, str):
        raise MarshlightError(found)
    return found


def _fit_of(own: RunGas, until: float) -> tuple[RunLives | None, str]:
    """Give the lives fitted to the newest record, or why they cannot be used; never waits."""
    ready = lives_ready(own.run)
    if ready is None:
        return None, "they are not worked out yet"
    if not ready.fresh:
        return None, "something was written down since they were worked out"
    log, lives = ready.thing.log, ready.thing.lives
    if log is None or lives is None:
        return None, "none could be fitted"
    if not lives.quality.trusted:
        return None, "they fit the readings poorly"
    if until > log.today:
        return None, "no gas was counted yet, and they end today"
    return ready.thing, ""


def _fitted_gas(own: RunGas, until: float, fit: RunLives) -> ModelGas:
    """Run the fitted lives again from the charge; every reading was weighed already."""
    assert fit.log is not None
    assert fit.lives is not None
    runs = past(fit.lives, fit.log, days=_days(until), watch=_WATCH)
    methane, dioxide = runs.given_off("methane"), runs.given_off("carbon_dioxide")
    # What each life's make-up of the gas is off by, as the fit has it.
    off = fit.lives.of("methane_model")[:, None] * (methane + dioxide)
    all_of_them = np.ones(methane.shape[0], dtype=bool)
    ledger, seen = own.analysis.ledger, fit.lives.of("gas_scale") * (1.0 - fit.lives.of("leak"))
    if ledger is not None and ledger.day.size > 1:
        # None is left out, but strays from the model may hide a contradiction: that is refused.
        _agreeing(runs.day, runs.biogas_m3 * seen[:, None], ledger, own.gas_space_m3 or 0.0)
    made = ModelGas(
        day=runs.day,
        gas_m3=runs.biogas_m3,
        methane_m3=np.clip(methane + off, 0.0, runs.biogas_m3),
        lives=len(fit.lives),
        of=len(fit.lives),
        hydrogen=_hydrogen(runs, all_of_them),
        sulphide=_sulphide(runs, all_of_them),
        notes=fit.log.notes,
        fitted=True,
    )
    _refuse_contradiction(own, made)
    return made


def _drawn_gas(own: RunGas, until: float, why_not: str) -> ModelGas:
    """Run lives drawn beforehand, and keep those that made about as much gas as was counted."""
    records = own.analysis.records
    # Followed as it leaves the vessel: gas space and holder are mixed afterwards, each by itself.
    leaving = replace(records.holder_log, holder=Counter(1.0))
    analysis = replace(own.analysis, records=replace(records, holder_log=leaving))
    recorded = past_of(analysis, until)
    runs = _lives(recorded, until)
    gas, ledger = runs.biogas_m3, own.analysis.ledger
    agree = np.ones(gas.shape[0], dtype=bool)
    if ledger is not None and ledger.day.size > 1:
        agree = _agreeing(runs.day, gas, ledger, own.gas_space_m3 or 0.0)
    made = ModelGas(
        day=runs.day,
        gas_m3=gas[agree],
        methane_m3=runs.methane_m3[agree],
        lives=int(agree.sum()),
        of=gas.shape[0],
        hydrogen=_hydrogen(runs, agree),
        sulphide=_sulphide(runs, agree),
        notes=recorded.notes,
        why_not=why_not,
    )
    _refuse_contradiction(own, made)
    return made


def _days(until: float) -> FloatArray:
    """Give the days told: finely at first, where the gas changes from hour to hour."""
    fine = np.arange(0.0, min(until, _FINE_D), _FINE_STEP_D)
    coarse = np.arange(0.0, until, max(1.0, np.ceil(until / _MOST_DAYS)))
    return np.unique(np.concatenate([fine, coarse, [until]]))


def _lives(recorded: Past, until: float) -> DigesterRun:
    rng = np.random.default_rng(_SEED)
    draws = SMALL_DIGESTER.draw(rng, MEMBERS)
    return ensemble(
        recorded.digester,
        recorded.charge,
        days=_days(until),
        draws=draws,
        cells=draw_between(1.0, *recorded.lively, rng=rng, members=MEMBERS),
        watch=_WATCH,
        events=recorded.events,
        executor=standing_workers(),
    ).runs()


def _agreeing(
    day: FloatArray, gas: FloatArray, ledger: GasLedger, space_m3: float
) -> NDArray[np.bool_]:
    """Tell which lives made about as much gas as was counted.

    Raises
    ------
    MarshlightError
        If hardly any did.
    """
    last = float(ledger.day[-1])
    total, u = max(ledger.total.value, 0.0), ledger.total.u
    least = bool(ledger.lower_bound[-1])
    so_far = np.array([np.interp(last, day, row) for row in gas])
    doubt = 2.0 * u + AMOUNT_OFF * total + SPACE_OFF * space_m3
    agree: NDArray[np.bool_] = (so_far >= total - doubt) & (least | (so_far <= total + doubt))
    if int(agree.sum()) < FEWEST_LIVES:
        span = show_range(*np.quantile(so_far, (0.05, 0.95)).tolist(), "volume")
        counted = f"{'at least ' if least else ''}{show(total, 'volume', digits=2)}"
        raise MarshlightError(
            f"The model's gas so far, {span}, is far from the {counted} that were counted: look"
            " for a leak, and check what went in and its temperature."
        )
    return agree


def _hydrogen(runs: DigesterRun, agree: NDArray[np.bool_]) -> float:
    made = np.diff(runs.given_off("hydrogen")[agree], axis=1)
    share = _shares(made, np.diff(runs.biogas_m3[agree], axis=1))
    return float(np.quantile(share, 0.95, axis=0).max())


def _sulphide(runs: DigesterRun, agree: NDArray[np.bool_]) -> tuple[float, float, float]:
    low, middle, high = np.quantile(runs.share("sulfide")[agree, -1], LEVELS).tolist()
    return low, middle, high


def _refuse_contradiction(own: RunGas, made: ModelGas) -> None:
    """Refuse a make-up that the newest tests of the gas contradict."""
    tested = own.analysis.methane
    if tested is None:
        return
    low, _, high = made.now
    share = tested.air_free
    if high < share.low or low > share.high:
        raise MarshlightError(
            f"Tests of the gas allow {100 * share.low:.0f} to {100 * share.high:.0f} % methane, the"
            f" model says {100 * low:.0f} to {100 * high:.0f} %: check what went in, and the tests."
        )


def model_section(made: ModelGas, own: RunGas, system: str) -> Section:
    """Say what the process model's make-up rests on, and what it says of other gases."""
    low, middle, high = made.now
    sulphide = [f"{1e6 * x:.2g}" for x in made.sulphide]
    span = np.quantile(made.gas_m3[:, -1], (LEVELS[0], LEVELS[-1])).tolist()
    ledger = own.analysis.ledger
    counted = "nothing was counted yet"
    if ledger is not None and ledger.day.size > 1:
        total = show(max(ledger.total.value, 0.0), "volume", system=system, digits=2)
        counted = f"{'at least ' if bool(ledger.lower_bound[-1]) else ''}{total} counted"
    figures = (
        figure(
            "methane in the gas made in the last two days",
            f"{100 * middle:.0f} % ({100 * low:.0f} to {100 * high:.0f} %)",
            "before it mixes with what is in the gas space",
            equation="what leaves the liquid, methane over all",
            by=_MODEL,
        ),
        figure(
            "gas so far by the model", show_range(*span, "volume", system=system), counted,
            equation="what left the liquid since the charge", by=_MODEL,
        ),
        _which_lives(made),
        figure(
            "hydrogen sulphide by the model",
            f"{_plain(sulphide[1])} ppm ({_plain(sulphide[0])} to {_plain(sulphide[2])} ppm)",
            "it can be wrong tenfold, and stirring frees more: read a tube",
            equation="p H₂S / p dry gas",
            by="batstone_2002 h2s_limits dti_2014",
        ),
    )  # fmt: skip
    return Section("What the process model says of its gas", figures)


def _which_lives(made: ModelGas) -> Figure:
    """Say which lives it rests on."""
    if made.fitted:
        return figure(
            "lives fitted to its readings",
            f"{made.lives}",
            "equally likely; every reading was weighed, not the amount of gas alone",
            equation="lives drawn again by how likely they make the readings",
            by=_MODEL,
        )
    return figure(
        "lives that agree",
        f"{made.lives} of {made.of}",
        f"within {100 * AMOUNT_OFF:.0f} % of what was counted, beside its own doubt; the others"
        f" are left out. Lives fitted to all its readings are not used: {made.why_not}",
        equation="lives whose gas is near what was counted",
        by=_MODEL,
    )


def _plain(text: str) -> str:
    return f"{float(text):g}" if float(text) < 1e4 else f"{float(text):.0f}"
