"""Branches: the lives run on over the newest stretch, as logged or with something gone wrong."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from marshlight.decide.watch.calibration import Lives, RunLog, ahead, dry_gas
from marshlight.decide.watch.diagnosis.explanations import HEALTHY
from marshlight.decide.watch.diagnosis.newest import Newest, spread
from marshlight.process.model import DigesterRun, Dose, Event, SetTemperature
from marshlight.process.model.kernel import Reals, layout
from marshlight.process.model.liquid import MODEL

FOOD = ("carbohydrate", "protein", "lipid", "fibre")
# Days tried as the start of a trouble of digestion, and where nothing was counted how far apart:
# our choice.
MOST_STARTS, _APART_D = 4, 2.0
# A layer holds gas up from one hour to the next, as a leak does: it is tried from as many days,
# or else a leak would fit better only for being tried more finely.
LAYER_STARTS = 10
# Changes of warmth smaller than this are within what a life strays anyway, and each costs a run
# a fresh start [K].
_FELT_K = 1.0
# A heated slurry keeps to its usual warmth within this, an unheated one follows the weather [K].
KEPT_K, WEATHER_K = 1.5, 4.0
# As many as a calibration keeps: with fewer, hardly one comes near two weeks of daily readings.
BASE_LIVES = 200


@dataclass(frozen=True)
class Warmth:
    """Temperature of the slurry on the days of a run [degC].

    ``expected_c`` is what the thermometer should show, within ``kept_k`` [K].
    """

    celsius: Reals
    expected_c: Reals
    kept_k: Reals


@dataclass(frozen=True)
class Branch:
    """Lives run on from the newest stretch's start under one supposition.

    ``run`` has curves (life, time) on ``run.day``, ``gas_m3`` the gas a holder would show there.
    """

    key: str
    lives: Lives
    run: DigesterRun
    gas_m3: Reals
    warmth: Warmth


def some_of(lives: Lives, kept: NDArray[np.intp]) -> Lives:
    """Take some of the lives by their places."""
    return replace(
        lives,
        draws=lives.draws[kept],
        settings=lives.settings[kept],
        states=lives.states[kept],
        stray_now=lives.stray_now[kept],
    )


def as_logged(lives: Lives, log: RunLog, seen: Newest) -> Branch:
    """Run the lives on over the newest stretch as it was logged.

    Parameters
    ----------
    lives : Lives
        Calibrated without the newest stretch; they stand at ``seen.since``.
    log : RunLog
        The whole log.
    seen : Newest
        The newest stretch.

    Returns
    -------
    Branch
        With every state of the model, so that suppositions can start from any day of it.
    """
    few = some_of(lives, np.arange(min(len(lives), BASE_LIVES)))
    starts = np.union1d(starts_in(seen, MOST_STARTS), starts_in(seen, LAYER_STARTS))
    days = np.union1d(seen.days(), starts)
    run = run_on(few, log, days, newest_events(log, seen.since))
    kept = WEATHER_K if log.set_point_c is None else KEPT_K
    before = warmth(log, days, until=seen.since)
    usual = Warmth(warmth(log, days), before, np.full(days.shape, kept))
    return branch_of(HEALTHY, few, run, usual)


def starts_in(seen: Newest, most: int) -> Reals:
    """Days on which something may have gone wrong [d]: where counted gas can tell them apart."""
    if seen.gas is not None:
        return spread(np.union1d([seen.since], seen.gas.start_d), most)
    count = min(most, max(1, round((seen.today - seen.since) / _APART_D)))
    return np.asarray(seen.since + (seen.today - seen.since) * np.arange(count) / count)


def run_on(lives: Lives, log: RunLog, days: Reals, events: Sequence[Event]) -> DigesterRun:
    """Run lives on, watching every state and what instruments show."""
    return ahead(lives, log, days=days, events=events, watch=_watched())


def _watched() -> tuple[str, ...]:
    place = layout(MODEL)
    shares = ("methane", "carbon_dioxide", "oxygen")
    return (
        *place.states,
        *("pH", "dry_pressure_bar", "bicarbonate", "ammonia", "I_nh3", "carbonate"),
        *("acetate_ion", "propionate_ion", "butyrate_ion", "valerate_ion"),
        *(f"p_{gas}_bar" for gas in shares),
    )


def branch_of(key: str, lives: Lives, run: DigesterRun, warm: Warmth) -> Branch:
    """Put a run and what a holder would show of it together."""
    return Branch(key, lives, run, _counted(lives, run), warm)


def _counted(lives: Lives, run: DigesterRun) -> Reals:
    return (lives.of("gas_scale") * (1.0 - lives.of("leak")))[:, None] * dry_gas(run)


def warmth(log: RunLog, days: Reals, *, until: float = np.inf) -> Reals:
    """Slurry temperature as the log has it [degC]; what is set after ``until`` left out."""
    found = np.full(days.shape, log.digester.temperature_c)
    for event in sorted(log.events, key=lambda e: e.day):
        if isinstance(event, SetTemperature) and event.day <= until:
            found[days >= event.day] = event.celsius
    return found


def newest_events(log: RunLog, since: float) -> tuple[Event, ...]:
    """What happened after a day; of changes of warmth those that are felt."""
    felt = float(warmth(log, np.array([since]))[0])
    found: list[Event] = []
    for event in sorted((e for e in log.events if e.day > since), key=lambda e: e.day):
        if isinstance(event, SetTemperature):
            if abs(event.celsius - felt) < _FELT_K:
                continue
            felt = event.celsius
        found.append(event)
    return tuple(found)


def without_doses(base: Branch, log: RunLog, seen: Newest) -> Reals | None:
    """Gas the holder would have shown had the newest doses not been given [m3]; None without."""
    events = newest_events(log, seen.since)
    others = tuple(e for e in events if not isinstance(e, Dose))
    if len(others) == len(events):
        return None
    return _counted(base.lives, run_on(base.lives, log, base.run.day, others))
