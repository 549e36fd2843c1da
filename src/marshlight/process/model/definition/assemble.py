"""Put reactions, chemistry, gas space and flows together: the model, ready to be turned to code."""

from dataclasses import dataclass

from .chemistry import Chemistry, speciate
from .expression import Graph, Node, total
from .gas_space import GasSpace, gas_space
from .reactions import Reaction, Setting, factors, reactions
from .species import Contents, contents
from .variant import ACIDS, Variant

ALGEBRAIC = ("ln_proton", "root_ionic_strength")


@dataclass(frozen=True)
class Model:
    """One variant as symbols.

    ``slopes`` holds d(state)/dt, or the residual of an algebraic state, in the order of
    ``states``. ``settings`` lists every symbol that is fixed within a segment.
    """

    variant: Variant
    graph: Graph
    states: tuple[str, ...]
    settings: tuple[str, ...]
    slopes: tuple[Node, ...]
    observables: dict[str, Node]
    contents: Contents
    reactions: tuple[Reaction, ...]
    chemistry: Chemistry

    @property
    def algebraic(self) -> tuple[bool, ...]:
        """Tell for each state whether its slope is a residual."""
        return tuple(name in ALGEBRAIC for name in self.states)

    def index(self, name: str) -> int:
        """Find a state's place."""
        return self.states.index(name)


def assemble(variant: Variant) -> Model:
    """Write the whole model of one variant."""
    graph = Graph()
    table = contents(variant, graph)
    volume = graph.state("volume") if variant.small else graph.setting("volume")
    per_volume = 1.0 / volume
    amounts = {name: graph.state(name) for name in variant.liquid}
    concentration = {name: amount * per_volume for name, amount in amounts.items()}
    chemistry = speciate(variant, graph, concentration)
    at = Setting(variant, graph, concentration, chemistry.species, graph.state("ln_proton"))
    closed = reactions(at, table)
    space = gas_space(variant, graph, chemistry, volume)
    slopes: dict[str, Node] = {}
    _liquid(slopes, variant, graph, concentration=concentration, closed=closed, volume=volume)
    _transfer(slopes, variant, concentration=concentration, space=space, volume=volume)
    if variant.small:
        slopes["volume"] = graph.setting("flow_in") - graph.setting("flow_out")
        for element in variant.elements:
            slopes[f"drained_{element}"] = graph.setting("flow_out") * total(
                (table[element][name] * concentration[name] for name in variant.liquid), graph
            )
        slopes["drained_volume"] = graph.setting("flow_out")
    slopes.update(chemistry.residuals)
    observables = _observables(
        variant, graph, concentration=concentration, chemistry=chemistry, space=space, at=at
    )
    for element in variant.elements:
        held = [table[element][name] * amount for name, amount in amounts.items()]
        held += [table[element][f"gas_{gas}"] * graph.state(f"gas_{gas}") for gas in variant.gases]
        observables[f"held_{element}"] = total(held, graph)
    for reaction in closed:
        observables[f"rate of {reaction.name}"] = reaction.rate
    used = _settings_used(graph, [*slopes.values(), *observables.values()])
    return Model(
        variant,
        graph,
        tuple(slopes),
        used,
        tuple(slopes.values()),
        observables,
        table,
        tuple(closed),
        chemistry,
    )


def _liquid(
    slopes: dict[str, Node],
    variant: Variant,
    graph: Graph,
    *,
    concentration: dict[str, Node],
    closed: list[Reaction],
    volume: Node,
) -> None:
    """Balance each liquid component: reactions, what flows in, what flows out."""
    for name in variant.liquid:
        made = total((r.changes[name] * r.rate for r in closed if name in r.changes), graph)
        fed = graph.setting("flow_in") * graph.setting(f"feed_{name}")
        left = graph.setting("flow_out") * concentration[name]
        slopes[name] = volume * made + (fed - left)


def _transfer(
    slopes: dict[str, Node],
    variant: Variant,
    *,
    concentration: dict[str, Node],
    space: GasSpace,
    volume: Node,
) -> None:
    """Move gases between liquid and gas space, and out of it; components in kg COD convert."""
    dissolved = {"hydrogen": ("hydrogen", 16.0), "methane": ("methane", 64.0)}
    dissolved["carbon_dioxide"] = ("inorganic_carbon", 1.0)
    for gas in variant.gases:
        component, per_kmol = dissolved.get(gas, (gas, 1.0))
        moved = volume * space.transfer[gas]
        slopes[component] = slopes[component] - per_kmol * moved
        slopes[f"gas_{gas}"] = moved - space.outflow[gas]
    for gas in variant.gases:
        slopes[f"out_{gas}"] = space.outflow[gas]


def _observables(
    variant: Variant,
    graph: Graph,
    *,
    concentration: dict[str, Node],
    chemistry: Chemistry,
    space: GasSpace,
    at: Setting,
) -> dict[str, Node]:
    found = {"pH": graph.state("ln_proton") * (-1.0 / 2.302585092994046)}
    found.update(space.observables)
    for name, node in chemistry.species.items():
        found[name if name not in concentration else f"dissolved_{name}"] = node
    for acid, cod in ACIDS.items():
        # The published state counts the acids' ions in kg COD/m3.
        found[f"{acid}_ion_cod"] = cod * chemistry.species[f"{acid}_ion"]
    found.update(factors(at))
    # Solubility [kmol m-3 bar-1], so that a saturated liquid can be recognised.
    found["henry_carbon_dioxide"] = chemistry.solubility["carbon_dioxide"]
    return found


def _settings_used(graph: Graph, roots: list[Node]) -> tuple[str, ...]:
    seen: set[int] = set()
    names: list[str] = []
    stack = list(roots)
    while stack:
        node = stack.pop()
        if node.number in seen:
            continue
        seen.add(node.number)
        if node.kind == "setting":
            names.append(node.name)
        stack.extend(node.args)
    return tuple(sorted(names))
