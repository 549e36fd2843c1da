"""The watch over a run: how it is, and what to do."""

from marshlight.decide.watch.advised import PIECES, Answered, Piece
from marshlight.decide.watch.assess import assess
from marshlight.decide.watch.buffer import Dose, bicarbonate_dose, bicarbonate_mol_m3
from marshlight.decide.watch.facts import (
    Advice,
    Amount,
    Assessment,
    Evidence,
    GasRecord,
    RunFacts,
    SetAside,
    Track,
)
from marshlight.decide.watch.gas import expected_without_latest
from marshlight.decide.watch.lifecycle import in_sight

__all__ = [
    "PIECES",
    "Advice",
    "Amount",
    "Answered",
    "Assessment",
    "Dose",
    "Evidence",
    "GasRecord",
    "Piece",
    "RunFacts",
    "SetAside",
    "Track",
    "assess",
    "bicarbonate_dose",
    "bicarbonate_mol_m3",
    "expected_without_latest",
    "in_sight",
]
