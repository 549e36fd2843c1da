"""The model in words and tables, written from the same symbols as the kernel."""

from .assemble import Model
from .expression import CONSTANT, SETTING, STATE, Node

FACTORS = ("I_", "warmth_")
INFIX = {"+": (1, " + "), "-": (1, " - "), "*": (2, " "), "/": (2, " / ")}


def species_table(model: Model) -> str:
    """Tabulate what the liquid is followed as, with what one unit of it holds."""
    elements = model.variant.elements
    lines = [f"| component | {' | '.join(elements)} |", "|---" * (len(elements) + 1) + "|"]
    for name in model.variant.liquid:
        held = [render(model.contents[element][name], {}) for element in elements]
        lines.append(f"| {name} | {' | '.join(held)} |")
    return "\n".join(lines)


def known_names(model: Model) -> dict[int, str]:
    """Name the nodes that a reader knows by a word: concentrations, species, factors."""
    graph = model.graph
    small = model.variant.small
    volume = graph.state("volume") if small else graph.setting("volume")
    names = {
        (graph.state(name) * (1.0 / volume)).number: f"[{name}]" for name in model.variant.liquid
    }
    for name, node in model.chemistry.species.items():
        names.setdefault(node.number, f"[{name}]")
    for name, node in model.observables.items():
        if name.startswith(FACTORS):
            names.setdefault(node.number, name)
    return names


def render(node: Node, names: dict[int, str], *, within: int = 0) -> str:
    """Write an expression as a formula; products are set side by side."""
    if node.number in names:
        return names[node.number]
    if node.kind == CONSTANT:
        text = f"{node.value:.6g}"
        return f"({text})" if node.value < 0.0 and within else text
    if node.kind in (SETTING, STATE):
        return node.name
    if node.name in INFIX:
        strength, sign = INFIX[node.name]
        if _is_reciprocal(node.args[1], names) and node.name == "*":
            return _quotient(node.args[0], node.args[1].args[1], names, within)
        if _is_reciprocal(node.args[0], names) and node.name == "*":
            return _quotient(node.args[1], node.args[0].args[1], names, within)
        left = render(node.args[0], names, within=strength)
        # What is taken away or divided by keeps its own together.
        tighter = strength + (1 if node.name in ("-", "/") else 0)
        text = f"{left}{sign}{render(node.args[1], names, within=tighter)}"
        return f"({text})" if strength < within else text
    inside = ", ".join(render(a, names) for a in node.args)
    return f"{node.name}({inside})"


def _is_reciprocal(node: Node, names: dict[int, str]) -> bool:
    """Tell whether a node is one over something that a reader does not know by a name."""
    if node.number in names or node.name != "/":
        return False
    return node.args[0].kind == CONSTANT and node.args[0].value == 1.0


def _quotient(above: Node, below: Node, names: dict[int, str], within: int) -> str:
    text = f"{render(above, names, within=2)} / {render(below, names, within=3)}"
    return f"({text})" if within > 2 else text


def reaction_table(model: Model) -> str:
    """Tabulate the reactions: what each takes and makes, and how fast it goes."""
    names = known_names(model)
    lines = ["| reaction | takes and makes, per unit | rate |", "|---|---|---|"]
    for reaction in model.reactions:
        changes = "; ".join(
            f"{name} {render(amount, names)}"
            for name, amount in reaction.changes.items()
            if name not in ("inorganic_carbon", "inorganic_nitrogen")
        )
        rate = render(reaction.rate, names)
        lines.append(f"| {reaction.name} | {changes} | `{rate}` |")
    return "\n".join(lines)


def factor_table(model: Model) -> str:
    """Tabulate the inhibition factors."""
    names = known_names(model)
    lines = ["| factor | formula |", "|---|---|"]
    for name, node in model.observables.items():
        if name.startswith("I_"):
            own = {number: text for number, text in names.items() if number != node.number}
            lines.append(f"| {name} | `{render(node, own)}` |")
    return "\n".join(lines)
