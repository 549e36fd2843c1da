"""A run's log as the calibration reads it: the digester, what happened, and what was read."""

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

from marshlight.decide.watch.facts import FLAMES
from marshlight.errors import InputError, require
from marshlight.process.model import Digester, Event, Feed, Flow, Liquid

Floats = NDArray[np.float64]
# Days over which a stray of the gas rate is forgotten (to 1/e). Our choice: a recipe, a layer or a
# habit that makes gas stray lasts about a week.
STRAY_D = 6.0


@dataclass(frozen=True)
class Counted:
    """Gas counted between looks, all dry gas that left the liquid, dry normal.

    Parameters
    ----------
    start_d, end_d : array, shape (n,)
        Ends of each interval, days since the start [d].
    gas_m3, u_m3 : array, shape (n,)
        Gas and its standard uncertainty [m3]; displaced air included.
    at_least : array of bool, shape (n,)
        True where some gas of the interval went unseen.
    linked : array of bool, shape (n,), optional
        True where the reading that ends the interval before also begins this one, so that its
        error counts in both with opposite signs. Left out: none.
    """

    start_d: Floats
    end_d: Floats
    gas_m3: Floats
    u_m3: Floats
    at_least: NDArray[np.bool_]
    linked: NDArray[np.bool_] | None = None

    def __post_init__(self) -> None:
        """Check.

        Raises
        ------
        InputError
            When lengths differ or a number is out of its limits.
        """
        for name in ("start_d", "end_d", "gas_m3", "u_m3"):
            object.__setattr__(self, name, np.asarray(getattr(self, name), dtype=np.float64))
        for name in ("at_least", "linked"):
            given = getattr(self, name)
            flags = np.zeros(self.start_d.shape) if given is None else given
            object.__setattr__(self, name, np.asarray(flags, dtype=np.bool_))
        for field in fields(self):
            _same_length("gas", getattr(self, field.name), self.start_d)
        for name in ("start_d", "end_d", "gas_m3", "u_m3"):
            _finite("gas", getattr(self, name))
        _all_hold("gas", self.end_d > self.start_d, self.end_d, "an end after the start")
        _all_hold("gas", self.u_m3 > 0.0, self.u_m3, "an uncertainty above 0")

    def __len__(self) -> int:
        return len(self.start_d)


@dataclass(frozen=True)
class Read:
    """Readings of one quantity, in any order.

    Parameters
    ----------
    day, value, u : array, shape (n,)
        When [d], what was shown, and its standard uncertainty, in the quantity's base unit.
    step : float
        Coarse step of what it was read on, 0 where it is fine: a strip in halves has 0.5.
    """

    day: Floats
    value: Floats
    u: Floats
    step: float = 0.0

    def __post_init__(self) -> None:
        """Check.

        Raises
        ------
        InputError
            When lengths differ or a number is out of its limits.
        """
        for name in ("day", "value", "u"):
            object.__setattr__(self, name, np.asarray(getattr(self, name), dtype=np.float64))
            _same_length("readings", getattr(self, name), self.day)
            _finite("readings", getattr(self, name))
        _all_hold("readings", self.u > 0.0, self.u, "an uncertainty above 0")
        require(
            bool(np.isfinite(self.step)) and self.step >= 0.0,
            field="step",
            value=self.step,
            allowed="zero or more",
            remedy="Give the step between two marks",
        )

    def __len__(self) -> int:
        return len(self.day)


@dataclass(frozen=True)
class RunLog:
    """All that is known of a run on the day it is looked at.

    Parameters
    ----------
    digester, charge, events
        As the process model takes them; events up to today, changes of temperature included.
    today : float
        Days since the start [d].
    lively : (float, float)
        How lively the charge's cells may be relative to what the charge says, 95 % spread.
    food : (float, float)
        How much digests of charge and feeds relative to what they say, 95 % spread.
    gas : Counted, optional
        What the holder or meter counted.
    ph : Read, optional
        pH; ``step`` tells a strip from a meter.
    flame : tuple of (day, outcome)
        Outcomes "none", "dies" or "holds".
    methane, carbon_dioxide, oxygen : Read, optional
        Shares of the dry gas [m3/m3].
    acids, alkalinity, ammonia : Read, optional
        Acids as acetic [kg/m3], total alkalinity as CaCO3 [kg/m3], total ammonia [kg N/m3].
    slurry_c : Read, optional
        Slurry temperature [degC].
    set_point_c, room_c : float, optional
        Temperature aimed at, and of the room [degC].
    holder_capacity_m3 : float, optional
        The most the holder takes [m3].
    liquid_m3 : float, optional
        Slurry in the vessel today [m3]; left out: from charge and events.
    in_trial : bool
        One of a trial's bottles: nothing may be put in or taken out.
    notes : tuple of str
        What had to be taken for granted.
    """

    digester: Digester
    charge: Liquid
    today: float
    events: tuple[Event, ...] = ()
    lively: tuple[float, float] = (0.3, 3.0)
    food: tuple[float, float] = (0.6, 1.5)
    gas: Counted | None = None
    ph: Read | None = None
    flame: tuple[tuple[float, str], ...] = ()
    methane: Read | None = None
    carbon_dioxide: Read | None = None
    oxygen: Read | None = None
    acids: Read | None = None
    alkalinity: Read | None = None
    ammonia: Read | None = None
    slurry_c: Read | None = None
    set_point_c: float | None = None
    room_c: float | None = None
    holder_capacity_m3: float | None = None
    liquid_m3: float | None = None
    in_trial: bool = False
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        """Check.

        Raises
        ------
        InputError
            When a day lies outside the run, a spread is turned round or an outcome is unknown.
        """
        require(
            bool(np.isfinite(self.today)) and self.today >= 0.0,
            field="today",
            value=self.today,
            allowed="days since the start, 0 or more",
            remedy="Give the day the run is looked at",
        )
        for name in ("lively", "food"):
            low, high = getattr(self, name)
            require(
                0.0 < low <= 1.0 <= high < np.inf,
                field=name,
                value=(low, high),
                allowed="a low end from above 0 to 1, a high end from 1 up",
                remedy="Give both ends relative to what is recorded",
            )
        for event in self.events:
            _in_run("events", event.day, self.today)
            require(
                not isinstance(event, Flow),
                field="events",
                value="Flow",
                allowed="feeds and draw-offs, each on its day",
                remedy="Write a steady flow as daily feeds and draw-offs",
            )
        for day, outcome in self.flame:
            _in_run("flame", day, self.today)
            if outcome not in FLAMES:
                raise InputError(
                    "flame", outcome, ", ".join(FLAMES), "Say whether it lit, died or held"
                )
        for name in QUANTITIES:
            read = getattr(self, name)
            if read is not None and len(read):
                _in_run(name, float(read.day.min()), self.today)
                _in_run(name, float(read.day.max()), self.today)
        if self.gas is not None and len(self.gas):
            _in_run("gas", float(self.gas.start_d.min()), self.today)
            _in_run("gas", float(self.gas.end_d.max()), self.today)

    @property
    def fed(self) -> bool:
        """Tell whether it was fed after the charge."""
        return any(isinstance(event, Feed) for event in self.events)

    @property
    def readings(self) -> int:
        """Count what was read and says something of the life: gas intervals, tests, samples."""
        held = [getattr(self, name) for name in ("gas", *QUANTITIES) if name != "slurry_c"]
        return len(self.flame) + sum(len(read) for read in held if read is not None)

    def until(self, day: float) -> "RunLog":
        """Give the log as it stood on an earlier day: nothing after it is known.

        Examples
        --------
        >>> from marshlight.process.model import inoculum, Holder
        >>> log = RunLog(Digester(0.01, Holder("bag", 0.1)),
        ...              inoculum("digested cattle manure", 0.006), today=9.0,
        ...              flame=((2.0, "none"), (8.0, "holds")))
        >>> log.until(5.0).flame
        ((2.0, 'none'),)
        """
        changed: dict[str, object] = {
            "today": min(day, self.today),
            "events": tuple(e for e in self.events if e.day <= day),
            "flame": tuple(test for test in self.flame if test[0] <= day),
            "liquid_m3": self.liquid_m3 if day >= self.today else None,
        }
        for name in QUANTITIES:
            read = getattr(self, name)
            if read is not None:
                known = read.day <= day
                kept = Read(read.day[known], read.value[known], read.u[known], read.step)
                changed[name] = kept if len(kept) else None
        if self.gas is not None:
            known = self.gas.end_d <= day
            parts = (getattr(self.gas, field.name)[known] for field in fields(self.gas))
            gas = Counted(*parts)
            changed["gas"] = gas if len(gas) else None
        return replace(self, **changed)  # type: ignore[arg-type]


QUANTITIES = (
    *("ph", "methane", "carbon_dioxide", "oxygen"),
    *("acids", "alkalinity", "ammonia", "slurry_c"),
)


def _in_run(field: str, day: float, today: float) -> None:
    require(
        0.0 <= day <= today + 1e-9,
        field=field,
        value=day,
        allowed=f"a day from 0 to today, {today:g}",
        remedy="Leave out what lies before the start or after today",
    )


def _same_length(field: str, values: NDArray[np.generic], like: Floats) -> None:
    require(
        values.ndim == 1 and len(values) == len(like),
        field=field,
        value=len(np.atleast_1d(values)),
        allowed="one number for each reading",
        remedy="Give as many values as days",
    )


def _finite(field: str, values: Floats) -> None:
    _all_hold(field, np.isfinite(values), values, "finite numbers")


def _all_hold(
    field: str, holds: NDArray[np.bool_] | Sequence[bool], values: Floats, allowed: str
) -> None:
    bad = np.flatnonzero(~np.asarray(holds))
    require(
        bad.size == 0,
        field=field,
        value=float(values[bad[0]]) if bad.size else None,
        allowed=allowed,
        remedy="Correct or leave out that reading",
    )
