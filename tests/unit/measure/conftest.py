"""A bench to read: one floating cylinder, one air, plain ways to log."""

from collections.abc import Callable

import pytest

from marshlight.apparatus import FloatingCylinder
from marshlight.matter.atmosphere import AirPressure
from marshlight.measure import GasLedger, HolderEvent, HolderReading, build_ledger

STILL_AIR = AirPressure(94.0, 0.2, 0.1, "barometer", covers_weather=True)
DRUM = FloatingCylinder(bore_m=0.15, mass_kg=0.4, travel_m=0.25)
START = HolderEvent(0.0, "started")

Log = Callable[..., GasLedger]


def levels(*pairs: tuple[float, float], celsius: float = 18.0) -> list[HolderReading]:
    return [HolderReading(day, level, temperature_c=celsius) for day, level in pairs]


@pytest.fixture
def log() -> Log:
    def kept(readings: object, *events: HolderEvent, **more: object) -> GasLedger:
        settings = {"barometer": STILL_AIR} | more
        return build_ledger(settings.pop("holder", DRUM), readings, events, **settings)  # type: ignore[arg-type]

    return kept
