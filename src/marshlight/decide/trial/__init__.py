"""Trials: which material gives more methane, and whether one may say so."""

from marshlight.decide.trial.assessing import assess_trial
from marshlight.decide.trial.bottles import ROLES, Bottle, common_day
from marshlight.decide.trial.comparing import (
    Contrast,
    Group,
    SharedError,
    compare_pairs,
    compare_with_control,
    welch,
)
from marshlight.decide.trial.criteria import Criterion, Known, criteria
from marshlight.decide.trial.design import Design, Material, Plan, design_trial, layout
from marshlight.decide.trial.facts import Reckoning, TrialFacts, TrialResult
from marshlight.decide.trial.flags import Flag, flags
from marshlight.decide.trial.kinetics import bottle_kinetics, group_kinetics
from marshlight.decide.trial.mixture import Synergy, synergy
from marshlight.decide.trial.pooling import Drawn, OwnResult, drawn_toward
from marshlight.decide.trial.potential import InoculumGas, Potential, inoculum_gas, potential
from marshlight.decide.trial.power import (
    bottles_needed,
    pooled_power,
    smallest_difference,
    welch_power,
)
from marshlight.decide.trial.rack import RoundDoubt, Step, round_doubts
from marshlight.decide.trial.robust import Shuffled, shuffled
from marshlight.decide.trial.stopping import Stopping, stopping

__all__ = [
    "ROLES",
    "Bottle",
    "Contrast",
    "Criterion",
    "Design",
    "Drawn",
    "Flag",
    "Group",
    "InoculumGas",
    "Known",
    "Material",
    "OwnResult",
    "Plan",
    "Potential",
    "Reckoning",
    "RoundDoubt",
    "SharedError",
    "Shuffled",
    "Step",
    "Stopping",
    "Synergy",
    "TrialFacts",
    "TrialResult",
    "assess_trial",
    "bottle_kinetics",
    "bottles_needed",
    "common_day",
    "compare_pairs",
    "compare_with_control",
    "criteria",
    "design_trial",
    "drawn_toward",
    "flags",
    "group_kinetics",
    "inoculum_gas",
    "layout",
    "pooled_power",
    "potential",
    "round_doubts",
    "shuffled",
    "smallest_difference",
    "stopping",
    "synergy",
    "welch",
    "welch_power",
]
