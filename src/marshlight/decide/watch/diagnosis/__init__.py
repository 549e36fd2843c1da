"""Diagnosis: what may be wrong with a digester, how sure, and which test tells."""

from marshlight.decide.watch.diagnosis.checks import CHECKS, Check, cheapest_check
from marshlight.decide.watch.diagnosis.diagnose import (
    ALARM,
    HELD_BACK_D,
    Diagnosis,
    Explanation,
    diagnose,
    percent,
)
from marshlight.decide.watch.diagnosis.explanations import CAUSES, Cause
from marshlight.decide.watch.diagnosis.souring import SouringRisk

__all__ = [
    "ALARM",
    "CAUSES",
    "CHECKS",
    "HELD_BACK_D",
    "Cause",
    "Check",
    "Diagnosis",
    "Explanation",
    "SouringRisk",
    "cheapest_check",
    "diagnose",
    "percent",
]
