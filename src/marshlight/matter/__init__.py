"""What goes in and comes out: feedstocks, lots, mixing, stoichiometry, gas and water."""

from marshlight.matter.elements import Formula, formula, formula_from_mass_fractions
from marshlight.matter.feedstock import Feedstock
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

__all__ = [
    "PROPERTIES",
    "Ageing",
    "Blend",
    "Feedstock",
    "Formula",
    "Lot",
    "Part",
    "Property",
    "TheoreticalGas",
    "age",
    "aged",
    "blend",
    "chemical_oxygen_demand",
    "digestible_share",
    "find",
    "formula",
    "formula_from_mass_fractions",
    "from_mapping",
    "gas_from_formula",
    "gas_from_macromolecules",
    "library",
    "theoretical_methane",
]
