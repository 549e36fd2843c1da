"""Mix a charge: amounts under limits, what holds it back, the run card."""

from marshlight.decide.plan.card import CardSection, RunCard, run_card, run_card_text
from marshlight.decide.plan.charge import plan_charge
from marshlight.decide.plan.limits import MOST_FILL, Aim, Limit, aims, limits_for
from marshlight.decide.plan.request import ChargeRequest, LotAtHand
from marshlight.decide.plan.result import (
    Amount,
    ChargePlan,
    Expectation,
    LimitResult,
    Relaxation,
    Step,
)

__all__ = [
    "MOST_FILL",
    "Aim",
    "Amount",
    "CardSection",
    "ChargePlan",
    "ChargeRequest",
    "Expectation",
    "Limit",
    "LimitResult",
    "LotAtHand",
    "Relaxation",
    "RunCard",
    "Step",
    "aims",
    "limits_for",
    "plan_charge",
    "run_card",
    "run_card_text",
]
