"""The feedstock library against figures that it was not made from."""

from marshlight.matter.feedstock import SPLIT, Feedstock
from marshlight.matter.library import find, from_mapping
from marshlight.matter.macromolecules import OXYGEN_DEMAND
from published.harness import Check

SLAVOV = "Slavov 2017, Food Technol. Biotechnol. 55, table 1 (PMC5434364)"


def oxygen_demand_g_per_kg(stock: Feedstock) -> float:
    per_vs = sum(OXYGEN_DEMAND[name] * stock.value(name) for name in SPLIT)
    return 1000.0 * stock.value("TS") * stock.value("VS") * per_vs


def slavov_whey() -> Feedstock:
    """Skimmed whey in the middle of the table: 6.1 dry, 4.65 lactose, 0.875 protein, 0.125 fat."""
    organic = 4.65 + 0.875 + 0.125
    return from_mapping(
        {
            "name": "whey of the table",
            "TS": 0.061,
            "VS": organic / 6.1,
            "carbohydrate": 4.65 / organic,
            "protein": 0.875 / organic,
            "lipid": 0.125 / organic,
            "fibre": 0.0,
            "lignin": 0.0,
        }
    )


def fresh_methane_l_per_kg(name: str) -> float:
    stock = find(name)
    return 1000.0 * stock.value("TS") * stock.value("VS") * stock.value("methane_potential")


CHECKS = [
    Check(
        "oxygen demand of whole milk [g/kg], 192.9 to 218.6 printed",
        SLAVOV,
        205.75,
        lambda: oxygen_demand_g_per_kg(find("whole milk")),
        12.85,
    ),
    Check(
        "oxygen demand of skimmed whey from its printed make-up [g/kg], 72 to 77 printed",
        SLAVOV,
        74.5,
        lambda: oxygen_demand_g_per_kg(slavov_whey()),
        4.0,
    ),
    Check(
        "methane of fresh dairy manure [L/kg fresh], its dry matter not stated",
        "Rico C. et al. 2014, SCIRP paper 46606, batch at 35 degC",
        18.0,
        lambda: fresh_methane_l_per_kg("dairy manure"),
        0.30,
        relative=True,
    ),
    Check(
        "carbon to nitrogen of food waste, from its split and TKN",
        "Zhang R. et al. 2007, Bioresour. Technol. 98, 929-935, composition table",
        14.8,
        lambda: find("food waste").value("C_to_N"),
        0.10,
        relative=True,
        status="from memory",
    ),
]
