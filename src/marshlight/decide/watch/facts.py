"""What is known of a run on the day it is looked at, as plain numbers."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike, NDArray

from marshlight.decide.watch.advised import Answered
from marshlight.errors import require
from marshlight.estimate import Range
from marshlight.process import Forecast

Floats = NDArray[np.float64]

# Above this a slurry reading is never trusted (source `warm_limit_practice`).
HOTTEST_C = 60.0
FLAMES = ("none", "dies", "holds")
# The same three as a flame test of `measure` has them.
TESTED_AS = {"none": "will_not_light", "dies": "lights_and_dies", "holds": "holds"}


@dataclass(frozen=True)
class Track:
    """Readings of one thing: days since the start [d], rising, and values in base units."""

    day: tuple[float, ...] = ()
    value: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        """Refuse days that go back, or a day without a value.

        Raises
        ------
        InputError
            When days and values don't match or days go back.
        """
        require(
            len(self.day) == len(self.value) and all(np.diff(self.day) >= 0),
            field="readings",
            value=self.day[:5],
            allowed="one value for each day, days not going back",
            remedy="Sort the readings by time",
        )

    def __len__(self) -> int:
        return len(self.day)

    @property
    def latest(self) -> float | None:
        """Newest value, None without readings."""
        return self.value[-1] if self.value else None

    def age(self, today: float) -> float:
        """Days since the newest reading; infinite without readings."""
        return today - self.day[-1] if self.day else float("inf")

    def since(self, day: float) -> "Track":
        """Readings from a day on."""
        kept = [(d, v) for d, v in zip(self.day, self.value, strict=True) if d >= day]
        return Track(tuple(d for d, _ in kept), tuple(v for _, v in kept))


@dataclass(frozen=True)
class GasRecord:
    """Cumulative dry normal gas [m3]; `unseen` marks intervals that lost some of it."""

    day: Floats
    total_m3: Floats
    u_m3: Floats
    unseen: NDArray[np.bool_]

    def u_between(self, first: ArrayLike, last: ArrayLike) -> Floats:
        """Standard uncertainty of the gas between readings, by their places [m3].

        Notes
        -----
        Growth of `u_m3` from the first reading on is error that stays in the total: what
        grew before both readings falls out of a difference. The rest belongs to each
        reading alone.
        """
        square = self.u_m3**2
        stays = np.minimum.accumulate(square[::-1])[::-1]
        # Counting starts at an empty holder, without error; the first reading shows its own.
        stays = np.maximum(stays - stays[min(1, stays.size - 1)], 0.0)
        own = square - stays
        a, b = np.asarray(first, dtype=np.intp), np.asarray(last, dtype=np.intp)
        return np.asarray(np.sqrt(stays[b] - stays[a] + own[a] + own[b]))


@dataclass(frozen=True)
class Amount:
    """Something put in or taken out on a day [d]: volume [m3] or mass [kg], as the field says."""

    day: float
    amount: float


@dataclass(frozen=True)
class RunFacts:
    """All that the assessment looks at; what is unknown stays None or empty.

    Parameters
    ----------
    day : float
        Today, days since the start [d].
    gas : GasRecord, optional
        Gas so far.
    forecast : Forecast, optional
        Forecast from all readings.
    expected : Forecast, optional
        Forecast made without the newest readings (see `expected_without_latest`):
        what they are compared with.
    ph, slurry_c : Track
        pH and slurry temperature [degC].
    set_point_c : float, optional
        Temperature aimed at [degC].
    flame : tuple of (day, outcome)
        Outcomes "none", "dies" or "holds".
    methane : Range, optional
        Methane share now [m3/m3].
    feeds_m3, draw_offs_m3 : tuple of Amount
        Volumes fed and drawn off [m3], the first charge left out.
    doses_kg : tuple of Amount
        Bicarbonate given [kg].
    liquid_m3 : float, optional
        Slurry in the vessel [m3].
    alkalinity_kg_m3 : float, optional
        Newest alkalinity as CaCO3 [kg/m3].
    sodium_kg_m3 : float
        Sodium in the slurry before any dose [kg/m3].
    holder_capacity_m3, holder_content_m3 : float, optional
        Gas space of the holder and gas in it now [m3].
    holder_fell_m3 : float
        Fall of the holder that no logged use explains [m3].
    pressure_rose : bool
        The vessel's pressure climbs though the holder stands still.
    fed : bool
        Fed again and again, not a batch.
    sealed : bool
        A sealed bottle, read by its pressure: there is no holder.
    in_trial : bool
        One of a trial's bottles: nothing may be put in or taken out.
    night_d : float
        How long it is usually left alone [d], above 0: the time between two looks.
    answered : tuple of Answered
        What was said to earlier advice.
    """

    day: float
    gas: GasRecord | None = None
    forecast: Forecast | None = None
    expected: Forecast | None = None
    ph: Track = field(default_factory=Track)
    slurry_c: Track = field(default_factory=Track)
    set_point_c: float | None = None
    flame: tuple[tuple[float, str], ...] = ()
    methane: Range | None = None
    feeds_m3: tuple[Amount, ...] = ()
    draw_offs_m3: tuple[Amount, ...] = ()
    doses_kg: tuple[Amount, ...] = ()
    liquid_m3: float | None = None
    alkalinity_kg_m3: float | None = None
    sodium_kg_m3: float = 0.0
    holder_capacity_m3: float | None = None
    holder_content_m3: float | None = None
    holder_fell_m3: float = 0.0
    pressure_rose: bool = False
    fed: bool = False
    sealed: bool = False
    in_trial: bool = False
    night_d: float = 1.0
    answered: tuple[Answered, ...] = ()

    def __post_init__(self) -> None:
        """Refuse a flame test with an unknown outcome.

        Raises
        ------
        InputError
            When an outcome is not one of the three.
        """
        for _, outcome in self.flame:
            require(
                outcome in FLAMES,
                field="flame test",
                value=outcome,
                allowed=", ".join(FLAMES),
                remedy="Say whether it did not light, lit and died, or held",
            )

    @property
    def flame_now(self) -> str | None:
        """Newest flame test."""
        return self.flame[-1][1] if self.flame else None


@dataclass(frozen=True)
class Evidence:
    """One observation that speaks for or against something: words and weight (log odds)."""

    text: str
    weight: float


@dataclass(frozen=True)
class Advice:
    """What to do, why, how sure, how much, by when; caution keys; source key.

    ``key`` is one of `PIECES`: it stays the same from day to day.
    """

    key: str
    what: str
    why: str
    how_sure: str
    how_much: str
    by_when: str
    caution: tuple[str, ...]
    source: str
    urgent: bool = False


@dataclass(frozen=True)
class SetAside:
    """Advice that would be given, had it not been answered."""

    advice: Advice
    answered: Answered


@dataclass(frozen=True)
class Assessment:
    """State word, one sentence, at most three pieces of advice, the evidence, the next look.

    ``waiting`` stands behind the three; ``aside`` was done or put off and is out of sight.
    """

    state_word: str
    sentence: str
    advice: tuple[Advice, ...]
    evidence: tuple[Evidence, ...]
    next_look_day: float
    waiting: tuple[Advice, ...] = ()
    aside: tuple[SetAside, ...] = ()
