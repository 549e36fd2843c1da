"""What one unit of each component holds: COD, carbon, nitrogen, sulfur.

Components counted in kg COD hold 1 kg COD; inorganic ones are counted in kmol. Oxygen holds
-32 kg COD/kmol: it is what oxidation would need, already there.
"""

from collections.abc import Mapping

from .expression import Graph, Node
from .variant import Variant

# Carbon and nitrogen settings of the components that are counted in kg COD.
CARBON = {
    "sugars": "C_su",
    "amino_acids": "C_aa",
    "lcfa": "C_fa",
    "valerate": "C_va",
    "butyrate": "C_bu",
    "propionate": "C_pro",
    "acetate": "C_ac",
    "methane": "C_ch4",
    "soluble_inert": "C_sI",
    "composite": "C_xc",
    "carbohydrate": "C_ch",
    "fibre": "C_ch",
    "protein": "C_pr",
    "lipid": "C_li",
    "particulate_inert": "C_xI",
}
NITROGEN = {
    "amino_acids": "N_aa",
    "protein": "N_aa",
    "composite": "N_xc",
    "soluble_inert": "N_I",
    "particulate_inert": "N_I",
}
COUNTED_IN_KMOL = {
    "inorganic_carbon",
    "inorganic_nitrogen",
    "cations",
    "anions",
    "sodium",
    "organic_sulfur",
    "sulfate",
    "sulfide",
    "oxygen",
    "nitrogen",
}
Contents = Mapping[str, Mapping[str, Node]]


def contents(variant: Variant, graph: Graph) -> Contents:
    """Tabulate element -> component -> content for liquid components and gases (``gas_...``)."""
    table: dict[str, dict[str, Node]] = {element: {} for element in variant.elements}
    for name in variant.liquid:
        table["cod"][name] = graph.number(0.0 if name in COUNTED_IN_KMOL else 1.0)
        biomass = name.startswith("x_")
        table["carbon"][name] = _setting(graph, "C_bac" if biomass else CARBON.get(name))
        table["nitrogen"][name] = _setting(graph, "N_bac" if biomass else NITROGEN.get(name))
    table["carbon"]["inorganic_carbon"] = graph.number(1.0)
    table["nitrogen"]["inorganic_nitrogen"] = graph.number(1.0)
    if variant.small:
        _add_sulfur_and_oxygen(variant, graph, table)
    for gas, cod in variant.gases.items():
        table["cod"][f"gas_{gas}"] = graph.number(cod)
        # 64 kg COD of methane are one kmol: its carbon is the setting's, so that transfer closes.
        per_kmol = {"methane": 64.0 * graph.setting("C_ch4"), "carbon_dioxide": graph.number(1.0)}
        table["carbon"][f"gas_{gas}"] = per_kmol.get(gas, graph.number(0.0))
        table["nitrogen"][f"gas_{gas}"] = graph.number(0.0)
    return table


def _setting(graph: Graph, name: str | None) -> Node:
    return graph.number(0.0) if name is None else graph.setting(name)


def _add_sulfur_and_oxygen(
    variant: Variant, graph: Graph, table: dict[str, dict[str, Node]]
) -> None:
    table["cod"]["sulfide"] = graph.number(64.0)
    table["cod"]["organic_sulfur"] = graph.number(64.0)
    table["cod"]["oxygen"] = graph.number(-32.0)
    for name in (*variant.liquid, *(f"gas_{gas}" for gas in variant.gases)):
        table["sulfur"][name] = table["inert_gas"][name] = graph.number(0.0)
    for name in ("organic_sulfur", "sulfate", "sulfide", "gas_sulfide"):
        table["sulfur"][name] = graph.number(1.0)
    for name in ("nitrogen", "gas_nitrogen"):
        table["inert_gas"][name] = graph.number(1.0)
