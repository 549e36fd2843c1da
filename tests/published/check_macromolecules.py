"""Gas from carbohydrate, protein, lipid and lignin against rounded literature values."""

from functools import partial

from marshlight.matter import (
    Feedstock,
    Part,
    Property,
    blend,
    gas_from_macromolecules,
    theoretical_methane,
)
from marshlight.matter.macromolecules import MACROMOLECULES, OXYGEN_DEMAND
from marshlight.matter.properties import SPLIT
from published.harness import Check

AS04 = "Angelidaki & Sanders 2004, Rev Environ Sci Bio/Technol 3: 117, model compounds"
MOLLER = "Moller, Sommer & Ahring 2004, Biomass and Bioenergy 26: 485"
RULE = "415 C + 496 P + 1014 L [NmL/g VS] of Angelidaki & Sanders 2004"


def _yield(**shares: float) -> float:
    return theoretical_methane(**shares) * 1000


def _protein_share_with_ammonia_held() -> float:
    return gas_from_macromolecules({"protein": 1.0}, ammonia_in_liquid=True).methane_share * 100


def _share(**shares: float) -> float:
    return gas_from_macromolecules(shares).methane_share * 100


def _mixed_density(solids: float, ash: float, **shares: float) -> float:
    """Density at 20 degC of a fluid with so much dry matter, shares of its organic part."""
    split = {name: shares.get(name, 0.0) for name in SPLIT}
    numbers = {"TS": solids, "VS": 1.0 - ash, **split}
    properties = {name: Property(x, x, x, "blended") for name, x in numbers.items()}
    fluid = Feedstock("fluid", "fluid", "own", properties)
    return blend([Part(fluid, 1.0)], temperature_c=20.0).density.value


def _density(name: str, temperature_c: float) -> float:
    return MACROMOLECULES[name].density(temperature_c)


MEMORY = "from memory"
CHECKS = [
    # Rounded values; exact stoichiometry differs by 0.07 to 0.14 %.
    Check(
        "carbohydrate [NmL/g]",
        AS04,
        415,
        partial(_yield, carbohydrate=1.0),
        0.005,
        relative=True,
        status=MEMORY,
    ),
    Check(
        "protein [NmL/g]",
        AS04,
        496,
        partial(_yield, protein=1.0),
        0.005,
        relative=True,
        status=MEMORY,
    ),
    Check(
        "lipid [NmL/g]", AS04, 1014, partial(_yield, lipid=1.0), 0.005, relative=True, status=MEMORY
    ),
    Check(
        "lignin, theoretical only [NmL/g]",
        MOLLER,
        727,
        partial(_yield, lignin=1.0),
        0.005,
        relative=True,
        status=MEMORY,
    ),
    Check(
        "0.70 carbohydrate, 0.20 protein, 0.10 lipid [NmL/g VS]",
        RULE,
        491.10,
        partial(_yield, carbohydrate=0.7, protein=0.2, lipid=0.1),
        0.005,
        relative=True,
        status=MEMORY,
    ),
    Check(
        "0.60 carbohydrate, 0.25 protein, 0.15 lipid [NmL/g VS]",
        RULE,
        525.10,
        partial(_yield, carbohydrate=0.6, protein=0.25, lipid=0.15),
        0.005,
        relative=True,
        status=MEMORY,
    ),
    Check(
        "protein, typical methane share of the gas [%]",
        "VDI 4630, typical values",
        60.0,
        _protein_share_with_ammonia_held,
        3.0,
        status=MEMORY,
    ),
    Check(
        "fat, typical methane share of the gas, 70 to 72 [%]",
        "VDI 4630, typical values",
        71.0,
        partial(_share, lipid=1.0),
        1.0,
        status=MEMORY,
    ),
    Check(
        "protein C5H7NO2, ammonia held: 2.5 of 4.0 [%]",
        "Buswell-Boyle, one CO2 per N held",
        62.5,
        _protein_share_with_ammonia_held,
        0.01,
        status="computed with reference library",
    ),
    Check(
        "oxygen demand of carbohydrate [g/g]",
        AS04,
        1.19,
        OXYGEN_DEMAND["carbohydrate"],
        0.01,
        status=MEMORY,
    ),
    Check(
        "oxygen demand of protein [g/g]", AS04, 1.42, OXYGEN_DEMAND["protein"], 0.01, status=MEMORY
    ),
    Check("oxygen demand of lipid [g/g]", AS04, 2.90, OXYGEN_DEMAND["lipid"], 0.01, status=MEMORY),
    Check(
        "olive oil at 20 degC [kg/m3]",
        "Handbook value of vegetable oil, 910 to 920",
        915.0,
        partial(_density, "lipid", 20.0),
        10.0,
        status=MEMORY,
    ),
    Check(
        "20 % sucrose in water at 20 degC [kg/m3]",
        "Handbook tables of sugar solutions, 1080.9",
        1080.9,
        partial(_mixed_density, 0.20, 0.0, carbohydrate=1.0),
        0.005,
        relative=True,
        status=MEMORY,
    ),
    Check(
        "whole milk, 3.3 protein, 3.5 fat, 4.8 lactose, 0.7 ash % at 20 degC [kg/m3]",
        "Handbook value of whole milk, about 1030",
        1030.0,
        partial(
            _mixed_density,
            0.123,
            0.007 / 0.123,
            protein=3.3 / 11.6,
            lipid=3.5 / 11.6,
            carbohydrate=4.8 / 11.6,
        ),
        0.005,
        relative=True,
        status=MEMORY,
    ),
]
