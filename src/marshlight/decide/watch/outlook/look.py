"""The coming days of a run as its lives see them: gas, methane, flame, acids, holder."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from marshlight.decide.watch.calibration import Lives, RunLog, ahead, dry_gas, observed_gas
from marshlight.errors import require
from marshlight.estimate import Range
from marshlight.measure import FlameTest
from marshlight.measure.evidence import Mixture
from marshlight.process.bands import Band, band, quantile_range
from marshlight.process.model import Event

Floats = NDArray[np.float64]
# Below this methane formers hardly work (source `gerardi_2003`).
SOUR_PH = 6.5
_HOURS_D = 24.0


@dataclass(frozen=True)
class Outlook:
    """What the lives of a digester do from today on.

    Parameters
    ----------
    day : array, shape (m,)
        Days since the start of the run, today first.
    gas_m3 : Band
        Gas a holder would show from today on, cumulative [dry normal m3].
    daily_m3 : Band
        Gas between each day and the one before, per day [dry normal m3/d]; the first is 0.
    methane, ph, acids_kg_m3, alkalinity_kg_m3 : Band
        Share of the dry gas above the liquid [-], pH, acids as acetic [kg/m3], bicarbonate
        alkalinity as CaCO3 [kg/m3].
    burns : array, shape (m,)
        Chance that a flame test at the burner holds, for the gas above the liquid.
    sour : array, shape (m,)
        Chance that the pH is below 6.5.
    full_day : Range, optional
        Day the holder is full if nothing is used, among the lives that fill it.
    full_chance : float
        Chance that it fills before the last day.
    cooking_h : Band, optional
        Hours a day at one burner [h/d], from the gas of each day.
    gas_lives_m3 : array, shape (member, m)
        The gas of each life, as ``gas_m3`` sums it up.
    """

    day: Floats
    gas_m3: Band
    daily_m3: Band
    methane: Band
    ph: Band
    acids_kg_m3: Band
    alkalinity_kg_m3: Band
    burns: Floats
    sour: Floats
    full_day: Range | None
    full_chance: float
    cooking_h: Band | None
    gas_lives_m3: Floats

    @property
    def ahead_d(self) -> float:
        """Tell how many days it looks ahead [d]."""
        return float(self.day[-1] - self.day[0])


def look_ahead(
    lives: Lives,
    log: RunLog,
    *,
    days: Sequence[float] | Floats,
    rng: np.random.Generator,
    events: Sequence[Event] = (),
    room_m3: float | None = None,
    burner_m3_per_h: float | None = None,
) -> Outlook:
    """Run a digester's lives on and sum up what they do.

    Parameters
    ----------
    lives, log : Lives, RunLog
        As calibrated.
    days : sequence of float
        Days since the start, today (``lives.day``) first, rising, two or more [d].
    rng : numpy.random.Generator
        The state to draw from: how the gas strays from the model is drawn.
    events : sequence of Event
        What will be done, such as the feeds that are usual.
    room_m3 : float, optional
        Gas the holder still takes before it is full [dry normal m3].
    burner_m3_per_h : float, optional
        What the burner takes [dry normal m3/h].

    Returns
    -------
    Outlook
        With 50 and 95 % bands.

    Raises
    ------
    InputError
        When days don't start today or don't rise, or an amount is not positive.
    FitError
        When too many lives cannot be run.

    References
    ----------
    gerardi_2003, flame_practice

    Examples
    --------
    >>> from marshlight.decide.watch.calibration import lives_from_prior
    >>> from marshlight.process.model import Digester, Holder, inoculum, water
    >>> log = RunLog(Digester(0.01, Holder("bag", 0.1)),
    ...              inoculum("digested cattle manure", 0.004) + water(0.002), today=5.0)
    >>> rng = np.random.default_rng(1)
    >>> lives = lives_from_prior(log, rng=rng, members=24)
    >>> seen = look_ahead(lives, log, days=[5.0, 6.0, 7.0], rng=rng)
    >>> bool(seen.gas_m3.low95[-1] <= seen.gas_m3.median[-1] <= seen.gas_m3.high95[-1])
    True
    """
    when = np.asarray(days, dtype=np.float64)
    _check(when, lives, room_m3, burner_m3_per_h)
    run = ahead(lives, log, days=when, events=events)
    gas = observed_gas(lives, when, dry_gas(run), rng=rng)
    daily = np.zeros_like(gas)
    # Cooling slurry takes gas up, so that a count may fall; a day gives no less than nothing.
    daily[:, 1:] = np.maximum(np.diff(gas, axis=1), 0.0) / np.diff(when)
    methane = run.share("methane")
    full_day, full_chance = _full(when, gas, room_m3)
    return Outlook(
        day=when,
        gas_m3=band(gas),
        daily_m3=band(daily),
        methane=band(methane),
        ph=band(run["pH"]),
        acids_kg_m3=band(run.acids_kg_m3),
        alkalinity_kg_m3=band(run.bicarbonate_alkalinity_kg_m3),
        burns=_holds_flame(methane, run.share("carbon_dioxide")).mean(axis=0),
        sour=np.mean(run["pH"] < SOUR_PH, axis=0),
        full_day=full_day,
        full_chance=full_chance,
        cooking_h=None if burner_m3_per_h is None else band(_cooking_h(daily, burner_m3_per_h)),
        gas_lives_m3=gas,
    )


def _check(when: Floats, lives: Lives, room_m3: float | None, burner: float | None) -> None:
    require(
        when.ndim == 1
        and when.size > 1
        and abs(float(when[0]) - lives.day) < 1e-6
        and bool(np.all(np.diff(when) > 0.0)),
        field="days",
        value=when[:5].tolist(),
        allowed=f"rising days, today ({lives.day:g}) first",
        remedy="Ask for today and the days after it, in order",
    )
    require(
        room_m3 is None or room_m3 >= 0.0,
        field="room in the holder",
        value=room_m3,
        allowed="0 m3 or more",
        remedy="Give what the holder still takes",
    )
    require(
        burner is None or burner > 0.0,
        field="burner",
        value=burner,
        allowed="above 0 m3/h",
        remedy="Give what the burner takes an hour",
    )


def _holds_flame(methane: Floats, carbon_dioxide: Floats) -> Floats:
    """Give each life's chance that a flame test holds; a misread test counts as in the log."""
    air = np.clip(1.0 - methane - carbon_dioxide, 0.0, 1.0)
    gas = Mixture(methane, carbon_dioxide, air)
    return np.asarray(np.exp(FlameTest("holds").log_likelihood(gas, 1.0)))


def _full(when: Floats, gas: Floats, room_m3: float | None) -> tuple[Range | None, float]:
    """Read off when the gas to come fills the room left."""
    if room_m3 is None:
        return None, 0.0
    fills = gas[:, -1] >= room_m3
    if not bool(fills.any()):
        return None, 0.0
    found = [float(np.interp(room_m3, row, when)) for row in gas[fills]]
    return quantile_range(np.array(found)), float(fills.mean())


def _cooking_h(daily: Floats, burner_m3_per_h: float) -> Floats:
    return np.asarray(np.clip(daily / burner_m3_per_h, 0.0, _HOURS_D))
