"""From rows of the notebook to the engine's objects."""

from .apparatus import air_pressure_of, holder_of, vessel_of
from .charges import Charge, blend_of, charge_of
from .facts import RunRecords, Series, run_facts
from .feedstocks import feedstock_of, lot_as_kept, own_feedstock
from .heating import (
    always_on_c,
    dangers_of_heater,
    dangers_of_set_up,
    engine_heater,
    heater_kind,
    insulation_of,
)
from .holder_log import HolderLog

__all__ = [
    "Charge",
    "HolderLog",
    "RunRecords",
    "Series",
    "air_pressure_of",
    "always_on_c",
    "blend_of",
    "charge_of",
    "dangers_of_heater",
    "dangers_of_set_up",
    "engine_heater",
    "feedstock_of",
    "heater_kind",
    "holder_of",
    "insulation_of",
    "lot_as_kept",
    "own_feedstock",
    "run_facts",
    "vessel_of",
]
