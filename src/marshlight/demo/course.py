"""What truly happens in a demonstration bottle, hour by hour, from the engine's own curves.

Each portion of food is a first-order pool with a soft start, run on the clock of the slurry's
temperature; a script may slow it (souring) or let gas escape (a leak). Drums and barrel come from
here only where the process model is not compiled. Invented throughout.
"""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from marshlight.process import temperature_factor

Floats = NDArray[np.float64]
Knots = tuple[tuple[float, float], ...]
STEP_D = 1.0 / 24.0
# The microbes of a fresh portion take this long to get going after its lag [d].
_SOFT_START_D = 1.5


@dataclass(frozen=True)
class Portion:
    """Food that went in: gas in the end [m3 dry normal], rate at 35 degC [1/d], lag [d]."""

    day: float
    gas_m3: float
    rate_per_d: float
    lag_d: float = 0.0


@dataclass(frozen=True)
class Script:
    """One vessel's story; knots are (day, value) pairs joined by straight lines."""

    days: float
    portions: tuple[Portion, ...]
    slurry_c: Knots
    vigour: Knots = ((0.0, 1.0),)
    ph: Knots = ((0.0, 7.1),)
    methane: Knots = ((0.0, 0.0), (4.0, 0.35), (8.0, 0.55), (20.0, 0.62))
    escaping: Knots = ((0.0, 0.0),)
    swing_c: float = 0.4


@dataclass(frozen=True)
class Course:
    """The truth over time, one row an hour; gas cumulative, dry normal [m3]."""

    day: Floats
    gas_m3: Floats
    caught_m3: Floats
    slurry_c: Floats
    ph: Floats
    methane: Floats
    room_c: Floats
    air_kpa: Floats
    extra: dict[str, Floats] = field(default_factory=dict)

    def at(self, name: str, day: Floats | float) -> Floats:
        """Read one column between its hours."""
        found: Floats = np.interp(np.asarray(day, dtype=float), self.day, getattr(self, name))
        return found


def knots(day: Floats, given: Knots) -> Floats:
    """Join knots by straight lines."""
    at, value = zip(*given, strict=True)
    return np.interp(day, at, value)


def weather(day: Floats, rng: np.random.Generator, air_kpa: float) -> tuple[Floats, Floats]:
    """Make a shed that swings between 6 and 24 degC and an air pressure that wanders."""
    wander = np.cumsum(rng.normal(0.0, 1.0, day.size)) * 0.02
    wander -= np.linspace(0.0, wander[-1], day.size)
    daily = 3.0 * np.sin(2.0 * np.pi * (day - 0.4))
    room = np.clip(15.0 + daily + np.clip(8.0 * wander, -5.0, 5.0), 6.0, 24.0)
    air = air_kpa + np.clip(wander * 4.0, -1.2, 1.2)
    return room, air


def course(script: Script, rng: np.random.Generator, *, air_kpa: float) -> Course:
    """Play a script.

    Parameters
    ----------
    script : Script
        The story.
    rng : numpy.random.Generator
        For the weather.
    air_kpa : float
        Usual air pressure on the spot [kPa].

    Returns
    -------
    Course
        Hour by hour.
    """
    day = np.arange(0.0, script.days + STEP_D / 2.0, STEP_D)
    slurry = knots(day, script.slurry_c) + script.swing_c * np.sin(2.0 * np.pi * (day - 0.45))
    pace = np.asarray(temperature_factor(slurry), dtype=float) * knots(day, script.vigour)
    gas = np.zeros_like(day)
    for portion in script.portions:
        gas += _released(day, portion, pace)
    made = np.diff(gas, prepend=0.0)
    caught = np.cumsum(made * (1.0 - knots(day, script.escaping)))
    room, air = weather(day, rng, air_kpa)
    return Course(
        day=day,
        gas_m3=gas,
        caught_m3=caught,
        slurry_c=slurry,
        ph=knots(day, script.ph),
        methane=knots(day, script.methane),
        room_c=room,
        air_kpa=air,
    )


def _released(day: Floats, portion: Portion, pace: Floats) -> Floats:
    """Let one portion go: first order on the clock of pace, after its lag, starting softly."""
    since = day - portion.day - portion.lag_d
    awake = np.where(since > 0.0, -np.expm1(-np.maximum(since, 0.0) / _SOFT_START_D), 0.0)
    clock = np.cumsum(pace * awake) * STEP_D
    released: Floats = -portion.gas_m3 * np.expm1(-portion.rate_per_d * clock)
    return released
