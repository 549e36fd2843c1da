"""Acid-base equilibria, charge balance, activities and gas solubilities."""

from dataclasses import dataclass

from .expression import Graph, Node, exp, log
from .variant import ACIDS, Variant

GAS_CONSTANT = 0.083145  # bar m3/(kmol K), as printed with the benchmark
LN10 = 2.302585092994046
AMMONIUM_ANGSTROM = 2.5  # ion size, source kielland_1937


@dataclass(frozen=True)
class Chemistry:
    """Speciation as nodes: concentrations in kmol/m3, residuals of the algebraic states."""

    species: dict[str, Node]
    residuals: dict[str, Node]
    solubility: dict[str, Node]
    vapour_bar: Node
    proton: Node


def _power10(graph: Graph, setting: str) -> Node:
    return exp(-LN10 * graph.setting(setting))


def _van_t_hoff(graph: Graph, at_25: Node, enthalpy: float, distance: Node) -> Node:
    return at_25 * exp(enthalpy * distance)


def speciate(variant: Variant, graph: Graph, concentration: dict[str, Node]) -> Chemistry:
    """Write the equilibria of either variant in terms of concentrations and ln of the proton."""
    kelvin = graph.setting("temperature_c") + 273.15
    base = graph.setting("T_base")
    distance = (1.0 / base - 1.0 / kelvin) / (100.0 * GAS_CONSTANT)
    proton = exp(graph.state("ln_proton"))
    per_proton = 1.0 / proton
    one = graph.number(1.0)
    if variant.small:
        root = graph.state("root_ionic_strength")
        slope, reach = _debye_huckel(graph)
        gamma = exp(-LN10 * slope * (root / (1.0 + root) - 0.3 * (root * root)))
        # Davies lets ammonium be as active as other ions; it is less so, being small in water.
        gamma_nh4 = exp(-LN10 * slope * (root / (1.0 + AMMONIUM_ANGSTROM * reach * root)))
    else:
        root, gamma, gamma_nh4 = graph.number(0.0), one, one
    per_gamma = 1.0 / gamma
    water = _van_t_hoff(graph, graph.number(1e-14), 55900.0, distance)
    ammonia = _van_t_hoff(graph, _power10(graph, "pKa_nh4"), 51965.0, distance)
    species = {
        "proton": proton * per_gamma,
        "hydroxide": water * per_gamma * per_proton,
    }
    for acid, cod in ACIDS.items():
        constant = _power10(graph, f"pKa_{acid}") * per_gamma
        amount = concentration[acid] * (1.0 / cod)
        species[f"{acid}_ion"] = amount * constant / (constant + proton)
    free = ammonia * gamma_nh4
    nitrogen = concentration["inorganic_nitrogen"]
    species["ammonia"] = nitrogen * free / (free + proton)
    species["ammonium"] = nitrogen - species["ammonia"]
    carbonic = _carbonate(variant, graph, distance, gamma) * per_proton
    carbon = concentration["inorganic_carbon"]
    if variant.small:
        second = _second_carbonate(graph) * per_gamma * per_gamma * per_gamma * per_proton
        species["carbon_dioxide"] = carbon / (1.0 + carbonic * (1.0 + second))
        species["bicarbonate"] = species["carbon_dioxide"] * carbonic
        species["carbonate"] = species["bicarbonate"] * second
        sulfide = _van_t_hoff(graph, _power10(graph, "pKa_h2s"), 21670.0, distance) * per_gamma
        species["bisulfide"] = concentration["sulfide"] * sulfide / (sulfide + proton)
        species["hydrogen_sulfide"] = concentration["sulfide"] - species["bisulfide"]
    else:
        species["carbon_dioxide"] = carbon / (1.0 + carbonic)
        species["bicarbonate"] = carbon - species["carbon_dioxide"]
    return Chemistry(
        species=species,
        residuals=_residuals(variant, concentration, species, root),
        solubility=_solubility(variant, graph, distance),
        vapour_bar=0.0313 * exp(5290.0 * (1.0 / base - 1.0 / kelvin)),
        proton=proton,
    )


def _carbonate(variant: Variant, graph: Graph, distance: Node, gamma: Node) -> Node:
    if not variant.small:
        return _van_t_hoff(graph, graph.number(10.0**-6.35), 7646.0, distance)
    logarithm = _fit(graph, (-356.3094, -0.06091964, 21834.37, 126.8339, -1684915.0))
    return exp(LN10 * logarithm) / gamma


def _second_carbonate(graph: Graph) -> Node:
    return exp(LN10 * _fit(graph, (-107.8871, -0.03252849, 5151.79, 38.92561, -563713.9)))


def _fit(graph: Graph, coefficients: tuple[float, float, float, float, float]) -> Node:
    """Plummer & Busenberg (1982): log10 K = a + b T + c/T + d log10 T + e/T^2."""
    a, b, c, d, e = coefficients
    kelvin = graph.setting("temperature_c") + 273.15
    return a + b * kelvin + c / kelvin + (d / LN10) * log(kelvin) + e / (kelvin * kelvin)


def _debye_huckel(graph: Graph) -> tuple[Node, Node]:
    """Debye-Hueckel A, and B per angstrom, from water's permittivity (Malmberg & Maryott 1956)."""
    celsius = graph.setting("temperature_c")
    kelvin = celsius + 273.15
    permittivity = 87.740 + celsius * (
        -0.40008 + celsius * (9.398e-4 + celsius * graph.number(-1.410e-6))
    )
    logarithm = log(permittivity * kelvin)
    return 1.8246e6 * exp(-1.5 * logarithm), 50.29 * exp(-0.5 * logarithm)


def _residuals(
    variant: Variant, concentration: dict[str, Node], species: dict[str, Node], root: Node
) -> dict[str, Node]:
    cations = concentration["cations"] + species["ammonium"] + species["proton"]
    anions = concentration["anions"] + species["bicarbonate"] + species["hydroxide"]
    for acid in ACIDS:
        anions = anions + species[f"{acid}_ion"]
    if not variant.small:
        return {"ln_proton": cations - anions}
    cations = cations + concentration["sodium"]
    anions = anions + species["bisulfide"]
    double = species["carbonate"] + concentration["sulfate"]
    strength = 0.5 * (cations + anions) + 2.0 * double
    return {
        "ln_proton": cations - anions - 2.0 * double,
        "root_ionic_strength": strength - root * root,
    }


def _solubility(variant: Variant, graph: Graph, distance: Node) -> dict[str, Node]:
    """Henry constants [kmol m-3 bar-1]."""
    table = {
        "hydrogen": _van_t_hoff(graph, graph.number(7.8e-4), -4180.0, distance),
        "methane": _van_t_hoff(graph, graph.number(0.0014), -14240.0, distance),
        "carbon_dioxide": _van_t_hoff(graph, graph.number(0.035), -19410.0, distance),
    }
    if variant.small:
        logarithm = _fit(graph, (108.3865, 0.01985076, -6919.53, -40.45154, 669365.0))
        # Printed in mol/L/atm.
        table["carbon_dioxide"] = exp(LN10 * logarithm) * (1.0 / 1.01325)
        gas = 100.0 * GAS_CONSTANT
        table["nitrogen"] = _van_t_hoff(graph, graph.number(6.4e-4), -1300.0 * gas, distance)
        table["oxygen"] = _van_t_hoff(graph, graph.number(1.3e-3), -1500.0 * gas, distance)
        table["sulfide"] = _van_t_hoff(graph, graph.number(0.105), -19180.0, distance)
    return table
