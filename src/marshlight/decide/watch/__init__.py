"""The watch over a run: how it is, and what to do."""

from marshlight.decide.watch.assess import assess
from marshlight.decide.watch.buffer import Dose, bicarbonate_dose, bicarbonate_mol_m3
from marshlight.decide.watch.facts import (
    Advice,
    Amount,
    Assessment,
    Evidence,
    GasRecord,
    RunFacts,
    Track,
)
from marshlight.decide.watch.gas import expected_without_latest

__all__ = [
    "Advice",
    "Amount",
    "Assessment",
    "Dose",
    "Evidence",
    "GasRecord",
    "RunFacts",
    "Track",
    "assess",
    "bicarbonate_dose",
    "bicarbonate_mol_m3",
    "expected_without_latest",
]
