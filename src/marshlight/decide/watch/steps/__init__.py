"""What to do next, by the lives of a digester: feed, dose, draw off and refill, warm."""

from marshlight.decide.watch.steps.buffering import (
    DosePlan,
    dose_plan,
    liquor_now,
    sodium_kg_m3,
    spoons,
)
from marshlight.decide.watch.steps.chemistry import Liquor, dose_to_reach, ph_after
from marshlight.decide.watch.steps.courses import FULLEST, dosing, feeding, overflow, refilling
from marshlight.decide.watch.steps.following import Followed, brought_to, fewer, follow, span
from marshlight.decide.watch.steps.ration import FeedingPlan, Food, Rung, feeding_plan
from marshlight.decide.watch.steps.refill import Cycle, RefillPlan, refill_plan
from marshlight.decide.watch.steps.risk import SOUR_PH, Risk, risk_of_souring
from marshlight.decide.watch.steps.warmth import Place, Warmer, warmer

__all__ = [
    "FULLEST",
    "SOUR_PH",
    "Cycle",
    "DosePlan",
    "FeedingPlan",
    "Followed",
    "Food",
    "Liquor",
    "Place",
    "RefillPlan",
    "Risk",
    "Rung",
    "Warmer",
    "brought_to",
    "dose_plan",
    "dose_to_reach",
    "dosing",
    "feeding",
    "feeding_plan",
    "fewer",
    "follow",
    "liquor_now",
    "overflow",
    "ph_after",
    "refill_plan",
    "refilling",
    "risk_of_souring",
    "sodium_kg_m3",
    "span",
    "spoons",
    "warmer",
]
