"""An invented drum whose truth is known, and its log with one thing gone wrong."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import pytest

from marshlight.decide.watch.calibration import Counted, Lives, Read, RunLog, calibrate, dry_gas
from marshlight.matter import find
from marshlight.process.model import (
    Digester,
    DigesterRun,
    Dose,
    DrawOff,
    Event,
    Feed,
    Holder,
    Liquid,
    SetTemperature,
    inoculum,
    liquid_from_feedstock,
    simulate,
    water,
)
from marshlight.process.model.schedule import Schedule

DRUM = Digester(0.025, Holder("floating", 5.0, gauge_kpa=0.2), temperature_c=35.0)
CHARGE = inoculum("digested cattle manure", 0.012) + water(0.003)
SINCE, TODAY = 20.0, 27.0


@dataclass(frozen=True)
class Setting(Event):
    """A setting of the model has another value from the day on."""

    name: str = ""
    value: float = 0.0

    def enter(self, schedule: Schedule, digester: Digester) -> None:
        """Set it."""
        schedule.set(self.day, self.name, self.value)


def meal(mass_kg: float, name: str = "kitchen peelings") -> Liquid:
    """Some of a feedstock in a little water."""
    return liquid_from_feedstock(find(name), mass_kg) + water(0.0002)


def usual_feeding(until: float = TODAY) -> tuple[Event, ...]:
    """A small meal every other day."""
    found: list[Event] = []
    for day in np.arange(4.0, until, 2.0):
        liquid = meal(0.12)
        found += [DrawOff(float(day), liquid.volume_m3), Feed(float(day), liquid)]
    return tuple(found)


def lived(*hidden: Event, events: Sequence[Event] | None = None) -> DigesterRun:
    """What really happens over 27 days, watched four times a day."""
    known = usual_feeding() if events is None else tuple(events)
    every = sorted((*known, *hidden), key=lambda event: event.day)
    return simulate(DRUM, CHARGE, days=np.arange(0.0, TODAY + 0.01, 0.25), events=every)


Twist = Callable[[np.ndarray, np.ndarray], np.ndarray]


def log_of(
    run: DigesterRun,
    *,
    events: Sequence[Event] | None = None,
    gas: Twist | None = None,
    ph: Twist | None = None,
    slurry: Twist | None = None,
    today: float = TODAY,
) -> RunLog:
    """The log of a run: gas and warmth daily, pH every other day, methane twice a week."""
    rng = np.random.default_rng(5)

    def at(curve: np.ndarray, days: np.ndarray) -> np.ndarray:
        return np.interp(days, run.day, curve)

    def read(days: np.ndarray, values: np.ndarray, u: float) -> Read:
        return Read(days, values + rng.normal(0.0, u, days.size), np.full(days.size, u))

    days = np.arange(1.0, TODAY + 0.01)
    start = np.concatenate([[0.0], days[:-1]])
    count = dry_gas(replace(run, start=run.start[:, None]))
    made = at(count, days) - at(count, start)
    u = 0.02 * float(np.median(made))
    counted = made if gas is None else gas(days, made)
    noise = rng.normal(0.0, u, days.size)
    shown = np.where(counted == 0.0, 0.0, counted + noise)
    ph_days, gas_days = np.arange(2.0, TODAY, 2.0), np.arange(3.0, TODAY, 3.5)
    ph_true, warm_true = at(run["pH"], ph_days), np.full(days.size, 35.0)
    warm = warm_true if slurry is None else slurry(days, warm_true)
    temperatures = read(days, warm, 0.3)
    steps = [
        SetTemperature(float(d), float(v))
        for d, v in zip(days, temperatures.value, strict=True)
        if abs(v - 35.0) > 1.5
    ]
    known = usual_feeding() if events is None else tuple(events)
    whole = RunLog(
        digester=DRUM,
        charge=CHARGE,
        today=TODAY,
        events=tuple(sorted((*known, *steps), key=lambda event: event.day)),
        gas=Counted(start, days, shown, np.full(days.size, u), np.zeros(days.size, bool)),
        ph=read(ph_days, ph_true if ph is None else ph(ph_days, ph_true), 0.08),
        methane=read(gas_days, at(run.share("methane"), gas_days), 0.02),
        oxygen=read(gas_days, at(run.share("oxygen"), gas_days), 0.004),
        slurry_c=temperatures,
        set_point_c=35.0,
        room_c=18.0,
    )
    return whole.until(today)


@pytest.fixture(scope="session")
def healthy_run() -> DigesterRun:
    """The drum with nothing wrong."""
    return lived()


@pytest.fixture(scope="session")
def earlier(healthy_run: DigesterRun) -> Lives:
    """Lives calibrated to the log as it stood on day 20, before anything goes wrong."""
    log = log_of(healthy_run).until(SINCE)
    return calibrate(log, rng=np.random.default_rng(3), budget=450)


@pytest.fixture
def rng() -> np.random.Generator:
    """Randomness for the look ahead."""
    return np.random.default_rng(7)


__all__ = ["CHARGE", "DRUM", "SINCE", "TODAY", "Dose", "Setting", "lived", "log_of", "meal"]
