"""A small expression graph: every node exists once, so shared work is written once.

Only what a process model needs: the four operations, integer powers, exp, log, sqrt and, for
constants and settings, max and min. Nodes are compared by identity; ``Graph`` hands out the same
node for the same operation on the same arguments, which makes common-subexpression elimination
free. Nothing here is imported when a model runs: it works when the kernel is built, in the tests
and in the documentation.
"""

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

STATE, SETTING, CONSTANT, OPERATION = "state", "setting", "constant", "operation"


@dataclass(frozen=True, eq=False)
class Node:
    """One operation, symbol or number of a graph; use the arithmetic operators to combine."""

    graph: "Graph" = field(repr=False)
    kind: str
    name: str
    args: tuple["Node", ...] = ()
    value: float = 0.0
    number: int = 0
    depends: frozenset[str] = frozenset()

    def __add__(self, other: "Node | float") -> "Node":
        """Add."""
        return self.graph.add(self, self.graph.node(other))

    __radd__ = __add__

    def __mul__(self, other: "Node | float") -> "Node":
        """Multiply."""
        return self.graph.multiply(self, self.graph.node(other))

    __rmul__ = __mul__

    def __neg__(self) -> "Node":
        """Change sign."""
        return self.graph.multiply(self.graph.number(-1.0), self)

    def __sub__(self, other: "Node | float") -> "Node":
        """Subtract."""
        return self.graph.subtract(self, self.graph.node(other))

    def __rsub__(self, other: "Node | float") -> "Node":
        """Subtract from a number."""
        return self.graph.subtract(self.graph.node(other), self)

    def __truediv__(self, other: "Node | float") -> "Node":
        """Divide."""
        return self.graph.divide(self, self.graph.node(other))

    def __rtruediv__(self, other: "Node | float") -> "Node":
        """Divide a number."""
        return self.graph.divide(self.graph.node(other), self)

    @property
    def is_fixed(self) -> bool:
        """Tell whether the value cannot change while a segment is integrated."""
        return not self.depends


class Graph:
    """The nodes of one model, the rules that make them and their derivatives."""

    def __init__(self) -> None:
        self.nodes: list[Node] = []
        self._known: dict[tuple[object, ...], Node] = {}
        self._derivatives: dict[tuple[int, str], Node] = {}

    def _make(self, kind: str, name: str, args: tuple[Node, ...] = (), value: float = 0.0) -> Node:
        key = (kind, name, tuple(a.number for a in args), value)
        if key not in self._known:
            depends = frozenset((name,)) if kind == STATE else frozenset()
            for argument in args:
                depends |= argument.depends
            node = Node(self, kind, name, args, value, len(self.nodes), depends)
            self.nodes.append(node)
            self._known[key] = node
        return self._known[key]

    def state(self, name: str) -> Node:
        """Make a symbol that changes in time."""
        return self._make(STATE, name)

    def setting(self, name: str) -> Node:
        """Make a symbol that is fixed within a segment: a parameter or a control."""
        return self._make(SETTING, name)

    def number(self, value: float) -> Node:
        """Make a plain number."""
        return self._make(CONSTANT, "", (), float(value))

    def node(self, thing: "Node | float") -> Node:
        """Pass a node through; turn a number into one."""
        return thing if isinstance(thing, Node) else self.number(thing)

    def add(self, a: Node, b: Node) -> Node:
        """Add, dropping zeros and keeping one order so that a + b is b + a."""
        if a.kind == CONSTANT and b.kind == CONSTANT:
            return self.number(a.value + b.value)
        if a.kind == CONSTANT and a.value == 0.0:
            return b
        if b.kind == CONSTANT and b.value == 0.0:
            return a
        first, second = sorted((a, b), key=lambda n: n.number)
        return self._make(OPERATION, "+", (first, second))

    def subtract(self, a: Node, b: Node) -> Node:
        """Subtract, dropping zeros."""
        if a is b:
            return self.number(0.0)
        if b.kind == CONSTANT:
            return self.add(a, self.number(-b.value))
        if a.kind == CONSTANT and a.value == 0.0:
            return self.multiply(self.number(-1.0), b)
        return self._make(OPERATION, "-", (a, b))

    def multiply(self, a: Node, b: Node) -> Node:
        """Multiply; zero and one vanish, and fixed factors gather so that they leave the loop."""
        if a.kind == CONSTANT and b.kind == CONSTANT:
            return self.number(a.value * b.value)
        for one, other in ((a, b), (b, a)):
            if one.kind == CONSTANT and one.value in (0.0, 1.0):
                return one if one.value == 0.0 else other
        for one, other in ((a, b), (b, a)):
            if one.is_fixed and not other.is_fixed and other.name == "*":
                inner, rest = other.args
                if inner.is_fixed:
                    return self.multiply(self.multiply(one, inner), rest)
        first, second = sorted((a, b), key=lambda n: (not n.is_fixed, n.number))
        return self._make(OPERATION, "*", (first, second))

    def divide(self, a: Node, b: Node) -> Node:
        """Divide; a fixed divisor becomes a fixed factor, computed once a segment."""
        if b.kind == CONSTANT:
            return self.multiply(a, self.number(1.0 / b.value))
        if a.kind == CONSTANT and a.value == 0.0:
            return a
        if b.is_fixed and not a.is_fixed:
            return self.multiply(self.divide(self.number(1.0), b), a)
        if not b.is_fixed and not (a.kind == CONSTANT and a.value == 1.0):
            # One reciprocal serves every ratio with this divisor.
            return self.multiply(a, self.divide(self.number(1.0), b))
        return self._make(OPERATION, "/", (a, b))

    def call(self, name: str, *args: Node) -> Node:
        """Apply a named function."""
        if all(a.kind == CONSTANT for a in args):
            return self.number(FUNCTIONS[name](*(a.value for a in args)))
        return self._make(OPERATION, name, args)

    def derivative(self, node: Node, symbol: Node) -> Node:
        """Differentiate with respect to a state, symbolically and once for each node."""
        if symbol.name not in node.depends:
            return self.number(0.0)
        if node is symbol:
            return self.number(1.0)
        key = (node.number, symbol.name)
        if key not in self._derivatives:
            parts = [self.derivative(argument, symbol) for argument in node.args]
            self._derivatives[key] = RULES[node.name](self, node, parts)
        return self._derivatives[key]


def exp(x: Node) -> Node:
    """Raise e to a power."""
    return x.graph.call("exp", x)


def log(x: Node) -> Node:
    """Take the natural logarithm."""
    return x.graph.call("log", x)


def sqrt(x: Node) -> Node:
    """Take the square root."""
    return x.graph.call("sqrt", x)


def maximum(x: Node, y: Node | float) -> Node:
    """Take the larger; for settings only, since its kink has no derivative."""
    return x.graph.call("max", x, x.graph.node(y))


def minimum(x: Node, y: Node | float) -> Node:
    """Take the smaller; for settings only, since its kink has no derivative."""
    return x.graph.call("min", x, x.graph.node(y))


def total(terms: Iterable[Node], graph: Graph) -> Node:
    """Add many nodes."""
    result = graph.number(0.0)
    for term in terms:
        result = result + term
    return result


FUNCTIONS: dict[str, Callable[..., float]] = {
    "exp": math.exp,
    "log": math.log,
    "sqrt": math.sqrt,
    "max": max,
    "min": min,
}

Rule = Callable[[Graph, Node, list[Node]], Node]


def _divide_rule(graph: Graph, node: Node, parts: list[Node]) -> Node:
    # Divisors that change in time only ever carry the numerator one: see Graph.divide.
    return -(node * node) * parts[1] / node.args[0]


RULES: dict[str, Rule] = {
    "+": lambda g, n, d: d[0] + d[1],
    "-": lambda g, n, d: d[0] - d[1],
    "*": lambda g, n, d: d[0] * n.args[1] + n.args[0] * d[1],
    "/": _divide_rule,
    "exp": lambda g, n, d: n * d[0],
    "log": lambda g, n, d: d[0] / n.args[0],
    "sqrt": lambda g, n, d: 0.5 * d[0] / n,
}
