"""Burners: jet, throat and ports, conversion from other gases, and what the gas does."""

from marshlight.apparatus.burner.convert import (
    FROM_FUELS,
    USUAL_KPA,
    Conversion,
    convert_burner,
    jet_ratio,
)
from marshlight.apparatus.burner.design import PRIMARY_AIR, BurnerDesign, new_burner
from marshlight.apparatus.burner.drills import Drill, Drills, nearest_drills
from marshlight.apparatus.burner.holding import Burning, Outlook, burning, outlook
from marshlight.apparatus.burner.jet import DISCHARGE, jet_diameter_m, jet_flow_m3_h
from marshlight.apparatus.burner.uses import (
    POT_EFFICIENCY,
    GasUse,
    gas_for_water_m3,
    gas_uses,
    heat_input_w,
    hours_from,
)

__all__ = [
    "DISCHARGE",
    "FROM_FUELS",
    "POT_EFFICIENCY",
    "PRIMARY_AIR",
    "USUAL_KPA",
    "BurnerDesign",
    "Burning",
    "Conversion",
    "Drill",
    "Drills",
    "GasUse",
    "Outlook",
    "burning",
    "convert_burner",
    "gas_for_water_m3",
    "gas_uses",
    "heat_input_w",
    "hours_from",
    "jet_diameter_m",
    "jet_flow_m3_h",
    "jet_ratio",
    "nearest_drills",
    "new_burner",
    "outlook",
]
