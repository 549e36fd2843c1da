"""The gas above the liquid: its volume, pressure, exchange with the liquid and way out."""

from dataclasses import dataclass

from .chemistry import GAS_CONSTANT, Chemistry
from .expression import Graph, Node, sqrt, total
from .variant import Variant

AIR = {"nitrogen": 0.7905, "oxygen": 0.2095}


@dataclass(frozen=True)
class GasSpace:
    """Transfer out of the liquid [kmol/(m3 d)] and flow out of the gas space [kmol/d] by gas."""

    transfer: dict[str, Node]
    outflow: dict[str, Node]
    observables: dict[str, Node]


def gas_space(
    variant: Variant, graph: Graph, chemistry: Chemistry, liquid_volume: Node
) -> GasSpace:
    """Write the gas space of either variant."""
    p = graph.setting
    amounts = {gas: graph.state(f"gas_{gas}") for gas in variant.gases}
    dry = total(amounts.values(), graph)
    thermal = GAS_CONSTANT * (p("temperature_c") + 273.15)
    if variant.small:
        gas_volume, holder = _volume_with_holder(graph, chemistry, dry * thermal, liquid_volume)
    else:
        gas_volume, holder = p("gas_volume"), graph.number(0.0)
    per_volume = thermal / gas_volume
    partial = {gas: amount * per_volume for gas, amount in amounts.items()}
    dry_pressure = dry * per_volume
    pressure = dry_pressure + chemistry.vapour_bar
    excess = pressure - p("outlet_bar")
    observables = {
        "gas_pressure_bar": pressure,
        "dry_pressure_bar": dry_pressure,
        "gas_space_m3": gas_volume,
        **{f"p_{gas}_bar": node for gas, node in partial.items()},
    }
    if variant.small:
        flow = p("outlet_m3_per_d_bar") * _positive(excess, p("outlet_softness_bar"))
        drawn = p("outlet_m3_per_d_bar") * p("lets_air_in") * _positive(
            -1.0 * excess, p("outlet_softness_bar")
        ) + p("air_exchange_m3_per_d")
        flow = flow + p("air_exchange_m3_per_d")
        observables["holder_m3"] = holder
    else:
        flow, drawn = p("outlet_m3_per_d_bar") * excess, graph.number(0.0)
    observables["gas_out_m3_per_d"] = flow
    transfer = {}
    outflow = {}
    for gas, pressure_of_gas in partial.items():
        dissolved = _dissolved(gas, variant, graph, chemistry=chemistry, volume=liquid_volume)
        gap = dissolved - chemistry.solubility[gas] * pressure_of_gas
        transfer[gas] = p("kLa") * gap
        outflow[gas] = flow * (pressure_of_gas / thermal)
        if variant.small and gas in AIR:
            air = AIR[gas] * (p("atmosphere_bar") - chemistry.vapour_bar) / thermal
            outflow[gas] = outflow[gas] - air * drawn
    return GasSpace(transfer, outflow, observables)


def _dissolved(
    gas: str, variant: Variant, graph: Graph, *, chemistry: Chemistry, volume: Node
) -> Node:
    if gas == "carbon_dioxide":
        return chemistry.species["carbon_dioxide"]
    if gas == "sulfide":
        return chemistry.species["hydrogen_sulfide"]
    cod = variant.gases[gas]
    amount = graph.state(gas) * (1.0 / volume)
    return amount * (1.0 / cod) if cod > 0.0 else amount


def _positive(x: Node, softness: Node) -> Node:
    """Smooth max(x, 0): the kink is rounded over the softness."""
    return 0.5 * (x + sqrt(x * x + softness * softness))


def _volume_with_holder(
    graph: Graph, chemistry: Chemistry, pressure_volume: Node, liquid_volume: Node
) -> tuple[Node, Node]:
    """Rigid space above the liquid plus what a holder at its own pressure has taken in."""
    p = graph.setting
    rigid = p("vessel_m3") - liquid_volume
    free = pressure_volume / (p("holder_bar") - chemistry.vapour_bar)
    above = free - rigid
    softness = p("holder_softness_m3")
    holder = _positive(above, softness) - _positive(above - p("holder_m3"), softness)
    return rigid + holder, holder
