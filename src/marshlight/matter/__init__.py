"""What goes in and comes out: feedstocks, lots, mixing, stoichiometry, gas and water."""

from marshlight.matter.atmosphere import (
    AirPressure,
    geopotential_height_m,
    pressure_from_altitude,
    pressure_from_barometer,
    pressure_from_station,
    standard_height_m,
    standard_pressure_kpa,
    station_pressure_kpa,
)
from marshlight.matter.elements import Formula, formula, formula_from_mass_fractions
from marshlight.matter.feedstock import Feedstock
from marshlight.matter.gas import (
    GASES,
    NORMAL_PRESSURE_KPA,
    PureGas,
    biogas_density_kg_m3,
    dissolved_normal_m3_per_m3,
    dry_normal_density_kg_m3,
    dry_normal_factor,
    neutral_methane_share,
    vapour_carried_kg_m3,
    water_vapour_fraction,
)
from marshlight.matter.library import find, from_mapping, library
from marshlight.matter.lot import Ageing, Lot, age, aged
from marshlight.matter.macromolecules import gas_from_macromolecules, theoretical_methane
from marshlight.matter.mixing import Blend, Part, blend
from marshlight.matter.properties import PROPERTIES, Property
from marshlight.matter.stoichiometry import (
    TheoreticalGas,
    chemical_oxygen_demand,
    digestible_share,
    gas_from_formula,
)
from marshlight.matter.water import (
    BARRIER_LIQUIDS,
    BarrierLiquid,
    henry_kpa,
    saturation_vapour_pressure_kpa,
    solubility_mol_m3_kpa,
    vapour_pressure_slope_kpa_k,
    water_density_kg_m3,
)

__all__ = [
    "BARRIER_LIQUIDS",
    "GASES",
    "NORMAL_PRESSURE_KPA",
    "PROPERTIES",
    "Ageing",
    "AirPressure",
    "BarrierLiquid",
    "Blend",
    "Feedstock",
    "Formula",
    "Lot",
    "Part",
    "Property",
    "PureGas",
    "TheoreticalGas",
    "age",
    "aged",
    "biogas_density_kg_m3",
    "blend",
    "chemical_oxygen_demand",
    "digestible_share",
    "dissolved_normal_m3_per_m3",
    "dry_normal_density_kg_m3",
    "dry_normal_factor",
    "find",
    "formula",
    "formula_from_mass_fractions",
    "from_mapping",
    "gas_from_formula",
    "gas_from_macromolecules",
    "geopotential_height_m",
    "henry_kpa",
    "library",
    "neutral_methane_share",
    "pressure_from_altitude",
    "pressure_from_barometer",
    "pressure_from_station",
    "saturation_vapour_pressure_kpa",
    "solubility_mol_m3_kpa",
    "standard_height_m",
    "standard_pressure_kpa",
    "station_pressure_kpa",
    "theoretical_methane",
    "vapour_carried_kg_m3",
    "vapour_pressure_slope_kpa_k",
    "water_density_kg_m3",
    "water_vapour_fraction",
]
