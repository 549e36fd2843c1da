"""From rows of the notebook to the engine's objects."""

from .apparatus import air_pressure_of, holder_of, vessel_of
from .charges import Charge, blend_of, charge_of
from .facts import RunRecords, Series, run_facts
from .feedstocks import feedstock_of, lot_as_kept, own_feedstock
from .holder_log import HolderLog

__all__ = [
    "Charge",
    "HolderLog",
    "RunRecords",
    "Series",
    "air_pressure_of",
    "blend_of",
    "charge_of",
    "feedstock_of",
    "holder_of",
    "lot_as_kept",
    "own_feedstock",
    "run_facts",
    "vessel_of",
]
