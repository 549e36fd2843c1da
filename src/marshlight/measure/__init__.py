"""What was really observed: dry normal volume and methane share, each with its uncertainty."""

from marshlight.measure.barrier import co2_loss_upper_m3
from marshlight.measure.ledger import GasLedger, Intervals, build_ledger
from marshlight.measure.readings import (
    EVENT_KINDS,
    Headspace,
    HolderEvent,
    HolderReading,
    Instruments,
)
from marshlight.measure.walk import LedgerNote

__all__ = [
    "EVENT_KINDS",
    "GasLedger",
    "Headspace",
    "HolderEvent",
    "HolderReading",
    "Instruments",
    "Intervals",
    "LedgerNote",
    "build_ledger",
    "co2_loss_upper_m3",
]
