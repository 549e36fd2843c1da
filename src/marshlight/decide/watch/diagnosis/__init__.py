"""Diagnosis: what may be wrong with a digester, how sure, and which test tells."""

from marshlight.decide.watch.diagnosis.checks import CHECKS, HARMFUL, Check, cheapest_check
from marshlight.decide.watch.diagnosis.diagnosing import (
    ALARM,
    Diagnosis,
    Explanation,
    diagnose,
    percent,
)
from marshlight.decide.watch.diagnosis.explanations import CAUSES, Cause
from marshlight.decide.watch.diagnosis.souring import SouringRisk
from marshlight.decide.watch.diagnosis.standing import HELD_BACK_D, SUSPECTED, stand_on

__all__ = [
    "ALARM",
    "CAUSES",
    "CHECKS",
    "HARMFUL",
    "HELD_BACK_D",
    "SUSPECTED",
    "Cause",
    "Check",
    "Diagnosis",
    "Explanation",
    "SouringRisk",
    "cheapest_check",
    "diagnose",
    "percent",
    "stand_on",
]
