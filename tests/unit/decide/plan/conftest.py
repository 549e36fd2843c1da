"""An ordinary bench batch and the planner's rate factor for tests."""

from collections.abc import Callable
from typing import Any

import pytest

from marshlight.decide.plan import ChargePlan, ChargeRequest, LotAtHand, plan_charge
from marshlight.matter import library

Lots = tuple[LotAtHand, ...]
Plan = Callable[..., ChargePlan]


def at_35(_: float) -> float:
    """Stand in for the temperature curve: these tests are about mixing."""
    return 1.0


def lot(stock: str, kilograms: float, **more: Any) -> LotAtHand:
    """Give a lot of the library's material."""
    return LotAtHand(library()[stock], kilograms, **more)


@pytest.fixture
def ordinary() -> Lots:
    """Fresh goat manure, the effluent of a running digester and food waste."""
    return (lot("goat_manure", 5.0), lot("digester_effluent", 10.0), lot("food_waste", 3.0))


@pytest.fixture
def plan() -> Plan:
    """Plan for a 25 L drum at 37 degC unless told otherwise."""

    def planned(*lots: LotAtHand, vessel_m3: float = 0.025, **more: Any) -> ChargePlan:
        request = ChargeRequest(vessel_m3, lots, slurry_c=more.pop("slurry_c", 37.0), **more)
        return plan_charge(request, temperature_factor=at_35)

    return planned
