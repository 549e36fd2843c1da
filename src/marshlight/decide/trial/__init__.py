"""Trials: which material gives more methane, and whether one may say so."""

from marshlight.decide.trial.assessing import assess_trial, compare_with, reckon_anew
from marshlight.decide.trial.bottles import ROLES, Bottle, common_day
from marshlight.decide.trial.bucket import BUCKET_M3, BucketGas
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
from marshlight.decide.trial.hierarchy import Hierarchy, pool_bottles
from marshlight.decide.trial.kinetics import BottleKinetics, bottle_kinetics
from marshlight.decide.trial.methane import (
    WAYS,
    BottleGas,
    mass_loss_volume,
    methane_as_made,
    methane_by_content,
    mixture_density_kg_m3,
)
from marshlight.decide.trial.mixture import Synergy, synergy
from marshlight.decide.trial.pooled_kinetics import GroupKinetics, group_kinetics
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
from marshlight.decide.trial.solids import MeasuredSolids, VsContent, vs_content
from marshlight.decide.trial.stopping import Stopping, stopping
from marshlight.decide.trial.verdict import standing_sentence

__all__ = [
    "BUCKET_M3",
    "ROLES",
    "WAYS",
    "Bottle",
    "BottleGas",
    "BottleKinetics",
    "BucketGas",
    "Contrast",
    "Criterion",
    "Design",
    "Drawn",
    "Flag",
    "Group",
    "GroupKinetics",
    "Hierarchy",
    "InoculumGas",
    "Known",
    "Material",
    "MeasuredSolids",
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
    "VsContent",
    "assess_trial",
    "bottle_kinetics",
    "bottles_needed",
    "common_day",
    "compare_pairs",
    "compare_with",
    "compare_with_control",
    "criteria",
    "design_trial",
    "drawn_toward",
    "flags",
    "group_kinetics",
    "inoculum_gas",
    "layout",
    "mass_loss_volume",
    "methane_as_made",
    "methane_by_content",
    "mixture_density_kg_m3",
    "pool_bottles",
    "pooled_power",
    "potential",
    "reckon_anew",
    "round_doubts",
    "shuffled",
    "smallest_difference",
    "standing_sentence",
    "stopping",
    "synergy",
    "vs_content",
    "welch",
    "welch_power",
]
