"""Turn a model into code: straight-line C for the kernel, plain Python for comparison.

Whatever depends on settings alone is computed once a segment (``derive``) and handed to the rest
as an array; a shared subexpression is computed once a call.
"""

from collections.abc import Iterable

from .assemble import Model
from .elimination import Plan, plan
from .expression import CONSTANT, OPERATION, SETTING, STATE, Node
from .scales import floors
from .straight_line import decompose, solve

INFIX = {"+", "-", "*", "/"}


class Writer:
    """Collects the statements of one function body in either language."""

    def __init__(self, model: Model, hoisted: dict[int, int], language: str) -> None:
        self.model = model
        self.hoisted = hoisted
        self.python = language == "python"
        self.lines: list[str] = []
        self._written: set[int] = set()
        self._settings = {name: i for i, name in enumerate(model.settings)}
        self._states = {name: i for i, name in enumerate(model.states)}

    def reference(self, node: Node) -> str:
        """Give the text that stands for a node, whose statement is already written."""
        if node.kind == CONSTANT:
            text = repr(node.value)
            return f"({text})" if node.value < 0 else text
        if node.number in self.hoisted:
            return f"d[{self.hoisted[node.number]}]"
        if node.kind == SETTING:
            return f"p[{self._settings[node.name]}]"
        if node.kind == STATE:
            return f"y[{self._states[node.name]}]"
        return f"v{node.number}"

    def value(self, node: Node) -> str:
        """Give a node's text; a plain number becomes one of the working type."""
        text = self.reference(node)
        return text if self.python or node.kind != CONSTANT else f"NUMBER({text})"

    def need(self, nodes: Iterable[Node]) -> None:
        """Write the statements that the nodes need, each once, arguments first."""
        for root in nodes:
            stack = [root]
            while stack:
                node = stack[-1]
                if self._is_ready(node):
                    stack.pop()
                    continue
                waiting = [a for a in node.args if not self._is_ready(a)]
                if waiting:
                    stack.extend(waiting)
                    continue
                self._statement(node)
                stack.pop()

    def _is_ready(self, node: Node) -> bool:
        return node.kind != OPERATION or node.number in self._written or node.number in self.hoisted

    def _statement(self, node: Node) -> None:
        arguments = [self.reference(a) for a in node.args]
        if node.name in INFIX:
            text = f"{arguments[0]} {node.name} {arguments[1]}"
        elif self.python:
            text = f"{node.name}({', '.join(arguments)})"
        else:
            arguments = [self.value(a) for a in node.args]
            text = f"{node.name.upper()}({', '.join(arguments)})"
        opening = "" if self.python else "const REAL "
        ending = "" if self.python else ";"
        self.lines.append(f"    {opening}v{node.number} = {text}{ending}")
        self._written.add(node.number)

    def assign(self, array: str, index: int, node: Node) -> None:
        """Store a node into an array."""
        ending = "" if self.python else ";"
        self.lines.append(f"    {array}[{index}] = {self.value(node)}{ending}")


class Derived:
    """Everything to be written of one model: Jacobian, hoisted nodes, elimination plan."""

    def __init__(self, model: Model) -> None:
        self.model = model
        graph = model.graph
        self.jacobian: dict[tuple[int, int], Node] = {}
        for row, slope in enumerate(model.slopes):
            for column, name in enumerate(model.states):
                if name in slope.depends:
                    entry = graph.derivative(slope, graph.state(name))
                    self.jacobian[row, column] = entry
        self.observables = list(model.observables.values())
        contents = [node for column in model.contents.values() for node in column.values()]
        self.roots = [*model.slopes, *self.jacobian.values(), *self.observables]
        self.hoisted = _hoisted([*self.roots, *contents])
        self.plan: Plan = plan(len(model.states), set(self.jacobian))


def _hoisted(roots: list[Node]) -> dict[int, int]:
    """Number the fixed nodes that moving nodes or results use directly."""
    found: dict[int, Node] = {}
    seen: set[int] = set()
    stack = list(roots)
    for root in roots:
        if root.is_fixed and root.kind != CONSTANT:
            found[root.number] = root
    while stack:
        node = stack.pop()
        if node.number in seen or node.is_fixed:
            continue
        seen.add(node.number)
        for argument in node.args:
            if argument.is_fixed and argument.kind != CONSTANT:
                found[argument.number] = argument
            stack.append(argument)
    return {number: place for place, number in enumerate(sorted(found))}


def emit_source(model: Model) -> str:
    """Write the C of one variant, to be included once for each working type.

    The including file defines ``REAL``, ``NUMBER``, ``NAME`` and the functions.
    """
    derived = Derived(model)
    parts = [_sizes(derived), _derive(derived), _slopes(derived), _slopes_and_matrix(derived)]
    parts += [_algebra(derived), _observe(derived), _contents(derived)]
    parts += [decompose(derived.plan), solve(derived.plan)]
    return "\n".join(parts)


def emit_tables(model: Model) -> str:
    """Write the names and numbers that do not depend on the working type."""
    name = model.variant.name
    floor, relative = floors(model)
    lines = [_strings(f"{name}_states", model.states), _strings(f"{name}_settings", model.settings)]
    lines.append(_strings(f"{name}_observables", tuple(model.observables)))
    lines.append(_strings(f"{name}_elements", model.variant.elements))
    for label, row in (("floor", floor), ("relative", relative)):
        lines.append(f"static const double {name}_{label}[] = {{{', '.join(map(repr, row))}}};")
    kinds = ", ".join(str(_kind(model, state)) for state in model.states)
    lines.append(f"static const int {name}_kind[] = {{{kinds}}};")
    return "\n".join(lines) + "\n"


def _strings(label: str, names: tuple[str, ...]) -> str:
    listed = ", ".join(f'"{n}"' for n in names)
    return f"static const char *const {label}[] = {{{listed}, 0}};"


def _kind(model: Model, state: str) -> int:
    """0 other, 1 in the liquid, 2 in the gas space, 3 algebraic."""
    if state in model.variant.liquid:
        return 1
    if state.startswith("gas_"):
        return 2
    return 3 if model.algebraic[model.index(state)] else 0


def _sizes(derived: Derived) -> str:
    model = derived.model
    pairs = {
        "N_STATES": len(model.states),
        "N_SETTINGS": len(model.settings),
        "N_DERIVED": max(len(derived.hoisted), 1),
        "N_ENTRIES": len(derived.plan.place),
        "N_OBSERVABLES": len(model.observables),
        "N_ELEMENTS": len(model.variant.elements),
        "N_GASES": len(model.variant.gases),
        "N_ALGEBRAIC": sum(model.algebraic),
        "HAS_VOLUME": int(model.variant.small),
        "AT_LN_PROTON": model.index("ln_proton"),
        "AT_FIRST_GAS": model.index(f"gas_{next(iter(model.variant.gases))}"),
        "AT_FIRST_OUT": model.index(f"out_{next(iter(model.variant.gases))}"),
        "SETTING_TEMPERATURE": model.settings.index("temperature_c"),
        "OBSERVABLE_GAS_SPACE": list(model.observables).index("gas_space_m3"),
        "OBSERVABLE_PRESSURE": list(model.observables).index("gas_pressure_bar"),
        "OBSERVABLE_DRY": list(model.observables).index("dry_pressure_bar"),
    }
    if model.variant.small:
        pairs["AT_ROOT"] = model.index("root_ionic_strength")
        pairs["AT_VOLUME"] = model.index("volume")
        pairs["AT_FIRST_DRAINED"] = model.index("drained_cod")
        pairs["SETTING_ATMOSPHERE"] = model.settings.index("atmosphere_bar")
        pairs["OBSERVABLE_HOLDER"] = list(model.observables).index("holder_m3")
    else:
        pairs["SETTING_VOLUME"] = model.settings.index("volume")
    lines = [f"#undef {k}\n#define {k} {v}" for k, v in pairs.items()]
    return "\n".join(lines) + "\n"


def _function(signature: str, writer: Writer) -> str:
    head = f"static void NAME({signature.split('(', maxsplit=1)[0]})({signature.split('(', 1)[1]}"
    return "\n".join([head, "{", *writer.lines, "}", ""])


def _writer(derived: Derived, language: str = "c") -> Writer:
    return Writer(derived.model, derived.hoisted, language)


def _derive_into(writer: Writer, derived: Derived) -> Writer:
    nodes = {n.number: n for n in derived.model.graph.nodes}
    targets = [(nodes[number], place) for number, place in derived.hoisted.items()]
    writer.hoisted = {}
    writer.need(node for node, _ in targets)
    for node, place in targets:
        writer.assign("d", place, node)
    return writer


def _derive(derived: Derived) -> str:
    writer = _derive_into(_writer(derived), derived)
    return _function("derive(const REAL *p, REAL *d)", writer)


def _slopes_into(writer: Writer, derived: Derived) -> Writer:
    writer.need(derived.model.slopes)
    for index, node in enumerate(derived.model.slopes):
        writer.assign("f", index, node)
    return writer


def _slopes(derived: Derived) -> str:
    writer = _slopes_into(_writer(derived), derived)
    return _function("slopes(const REAL *y, const REAL *d, REAL *f)", writer)


def _slopes_and_matrix(derived: Derived) -> str:
    """Write f and the matrix diag(mass) * scale - J in one pass over the shared nodes."""
    writer = _slopes_into(_writer(derived), derived)
    model, place = derived.model, derived.plan.place
    writer.need(derived.jacobian.values())
    for entry, index in place.items():
        node = derived.jacobian.get(entry)
        text = "NUMBER(0.0)" if node is None else f"-{writer.value(node)}"
        if entry[0] == entry[1] and not model.algebraic[entry[0]]:
            text = "scale" if node is None else f"scale - {writer.value(node)}"
            text = "NUMBER(scale)" if node is None else text
        writer.lines.append(f"    a[{index}] = {text};")
    signature = "slopes_and_matrix(const REAL *y, const REAL *d, double scale, REAL *f, REAL *a)"
    return _function(signature, writer)


def _algebra_into(writer: Writer, derived: Derived) -> Writer:
    """Write residuals and their derivatives for the algebraic states alone, row by row."""
    model = derived.model
    places = [i for i, is_algebraic in enumerate(model.algebraic) if is_algebraic]
    residuals = [model.slopes[i] for i in places]
    zero = model.graph.number(0.0)
    slopes = [derived.jacobian.get((r, c), zero) for r in places for c in places]
    writer.need([*residuals, *slopes])
    for index, node in enumerate(residuals):
        writer.assign("g", index, node)
    for index, node in enumerate(slopes):
        writer.assign("dg", index, node)
    return writer


def _algebra(derived: Derived) -> str:
    writer = _algebra_into(_writer(derived), derived)
    return _function("algebra(const REAL *y, const REAL *d, REAL *g, REAL *dg)", writer)


def _observe(derived: Derived) -> str:
    writer = _writer(derived)
    writer.need(derived.observables)
    for index, node in enumerate(derived.observables):
        writer.assign("o", index, node)
    return _function("observe(const REAL *y, const REAL *d, REAL *o)", writer)


def _contents(derived: Derived) -> str:
    model, writer = derived.model, _writer(derived)
    size = len(model.states)
    for row, element in enumerate(model.variant.elements):
        for name, node in model.contents[element].items():
            if node.kind != CONSTANT or node.value != 0.0:
                writer.assign("c", row * size + model.index(name), node)
    return _function("contents(const REAL *d, REAL *c)", writer)


def emit_python(model: Model) -> str:
    """Write ``derive(p, d)``, ``slopes(y, d, f)`` and ``algebra(y, d, g, dg)`` in plain Python.

    Slow, and independent of the compiled kernel: for comparison in tests and benchmarks.
    """
    derived = Derived(model)
    sections = [
        ("derive(p, d)", _derive_into(_writer(derived, "python"), derived)),
        ("slopes(y, d, f)", _slopes_into(_writer(derived, "python"), derived)),
        ("algebra(y, d, g, dg)", _algebra_into(_writer(derived, "python"), derived)),
    ]
    text = ["from math import exp, log, sqrt", f"N_DERIVED = {len(derived.hoisted)}", ""]
    for signature, writer in sections:
        text += [f"def {signature}:", *writer.lines, ""]
    return "\n".join(text)
