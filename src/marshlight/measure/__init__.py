"""What was really observed: dry normal volume and methane share, each with its uncertainty."""

from marshlight.measure.absorption import absorbed_share
from marshlight.measure.alkali import AlkaliTitration
from marshlight.measure.barrier import co2_loss_upper_m3
from marshlight.measure.captured import AlkaliCapture, Co2Absorption
from marshlight.measure.evidence import Evidence
from marshlight.measure.flame import OUTCOMES, FlameTest
from marshlight.measure.instruments import AirShare, Analyser, GasDensity
from marshlight.measure.ledger import GasLedger, Intervals, build_ledger
from marshlight.measure.readings import (
    EVENT_KINDS,
    Headspace,
    HolderEvent,
    HolderReading,
    Instruments,
)
from marshlight.measure.share import MethaneShare, methane_share
from marshlight.measure.titration import Buffer, two_point_titration
from marshlight.measure.walk import LedgerNote

__all__ = [
    "EVENT_KINDS",
    "OUTCOMES",
    "AirShare",
    "AlkaliCapture",
    "AlkaliTitration",
    "Analyser",
    "Buffer",
    "Co2Absorption",
    "Evidence",
    "FlameTest",
    "GasDensity",
    "GasLedger",
    "Headspace",
    "HolderEvent",
    "HolderReading",
    "Instruments",
    "Intervals",
    "LedgerNote",
    "MethaneShare",
    "absorbed_share",
    "build_ledger",
    "co2_loss_upper_m3",
    "methane_share",
    "two_point_titration",
]
