"""What happens to a digester while it runs, each on its day."""

from abc import ABC, abstractmethod
from dataclasses import dataclass, field

from marshlight.process.model.digester import (
    KPA_PER_BAR,
    Digester,
    Holder,
    holder_settings,
)
from marshlight.process.model.liquid import Liquid, dose
from marshlight.process.model.schedule import ADD, OPEN, TAKE_GAS, TAKE_LIQUID, VENT, Schedule


@dataclass(frozen=True)
class Event(ABC):
    """Something on a day [d since the start]."""

    day: float

    @abstractmethod
    def enter(self, schedule: Schedule, digester: Digester) -> None:
        """Write oneself into a schedule."""


@dataclass(frozen=True)
class Feed(Event):
    """Liquid poured in at once; the level rises by its volume."""

    liquid: Liquid

    def enter(self, schedule: Schedule, digester: Digester) -> None:
        """Add the amounts."""
        schedule.do(self.day, ADD, 1.0, self.liquid.vector())


@dataclass(frozen=True)
class Dose(Event):
    """A chemical of ``liquid.DOSES`` stirred in [kg]."""

    kind: str
    mass_kg: float

    def enter(self, schedule: Schedule, digester: Digester) -> None:
        """Add what it brings."""
        schedule.do(self.day, ADD, 1.0, dose(self.kind, self.mass_kg).vector())


@dataclass(frozen=True)
class DrawOff(Event):
    """Mixed liquid taken out at once [m3]."""

    volume_m3: float

    def enter(self, schedule: Schedule, digester: Digester) -> None:
        """Take the liquid."""
        schedule.do(self.day, TAKE_LIQUID, self.volume_m3)


@dataclass(frozen=True)
class Flow(Event):
    """From this day on ``liquid`` comes in every day, and ``out_m3_per_d`` leaves [m3/d].

    ``out_m3_per_d`` None lets as much leave as comes in: an overflow.
    """

    liquid: Liquid
    out_m3_per_d: float | None = None

    def enter(self, schedule: Schedule, digester: Digester) -> None:
        """Set the flows and what they carry."""
        volume = self.liquid.volume_m3
        leaving = volume if self.out_m3_per_d is None else self.out_m3_per_d
        schedule.set(self.day, "flow_in", volume)
        schedule.set(self.day, "flow_out", leaving)
        vector = self.liquid.vector()
        for name in schedule.liquid:
            amount = float(vector[schedule.state_at(name)])
            schedule.set(self.day, f"feed_{name}", amount / volume if volume > 0.0 else 0.0)


@dataclass(frozen=True)
class SetTemperature(Event):
    """The liquid is at this temperature from the day on [degC]; a ramp is many small steps."""

    celsius: float

    def enter(self, schedule: Schedule, digester: Digester) -> None:
        """Set the temperature."""
        schedule.set(self.day, "temperature_c", self.celsius)


@dataclass(frozen=True)
class TakeGas(Event):
    """Gas used, as it stands in the gas space: its own pressure, warm and wet [m3]."""

    volume_m3: float

    def enter(self, schedule: Schedule, digester: Digester) -> None:
        """Take the gas."""
        schedule.do(self.day, TAKE_GAS, self.volume_m3)


@dataclass(frozen=True)
class Vent(Event):
    """Gas let out until ``gauge_kpa`` over the room's pressure is left; a holder collapses."""

    gauge_kpa: float = 0.0

    def enter(self, schedule: Schedule, digester: Digester) -> None:
        """Let gas out."""
        left = (digester.atmosphere_kpa + self.gauge_kpa) / KPA_PER_BAR
        schedule.do(self.day, VENT, left)


@dataclass(frozen=True)
class OpenSeal(Event):
    """The seal is opened and ``share`` of the gas space (0 to 1) is changed for air."""

    share: float = 1.0

    def enter(self, schedule: Schedule, digester: Digester) -> None:
        """Let air in."""
        schedule.do(self.day, OPEN, self.share)


@dataclass(frozen=True)
class SetHolder(Event):
    """Another holder from the day on: a bag put on, a valve shut."""

    holder: Holder = field(default_factory=lambda: Holder("sealed"))

    def enter(self, schedule: Schedule, digester: Digester) -> None:
        """Change the pressure law."""
        for name, value in holder_settings(self.holder, digester).items():
            schedule.set(self.day, name, value)


def warming(
    start_day: float, end_day: float, from_c: float, to_c: float, *, step_c: float = 0.5
) -> tuple[SetTemperature, ...]:
    """Give a ramp of temperature as even steps of at most ``step_c`` [degC]."""
    steps = max(1, round(abs(to_c - from_c) / step_c + 0.499))
    span, rise = end_day - start_day, to_c - from_c
    middle = (
        SetTemperature(start_day + span * i / steps, from_c + rise * (i + 0.5) / steps)
        for i in range(steps)
    )
    return (*middle, SetTemperature(end_day, to_c))
