import math

import pytest

from marshlight.process.model.definition.elimination import plan
from marshlight.process.model.definition.expression import (
    Graph,
    Node,
    exp,
    log,
    maximum,
    sqrt,
)

OPERATIONS = {
    "+": lambda a, b: a + b,
    "-": lambda a, b: a - b,
    "*": lambda a, b: a * b,
    "/": lambda a, b: a / b,
    "exp": math.exp,
    "log": math.log,
    "sqrt": math.sqrt,
    "max": max,
    "min": min,
}


def evaluate(node: Node, values: dict[str, float]) -> float:
    if node.kind == "constant":
        return node.value
    if node.kind != "operation":
        return values[node.name]
    return OPERATIONS[node.name](*(evaluate(a, values) for a in node.args))


def test_a_derivative_agrees_with_a_difference():
    graph = Graph()
    x, y, k = graph.state("x"), graph.state("y"), graph.setting("k")
    curve = exp(-1.0 * x / (k + y)) * sqrt(1.0 + x * y) + log(y) / (1.0 + x * x) - 3.0 * (k / y)
    at = {"x": 0.7, "y": 1.9, "k": 0.4}
    for name, symbol in (("x", x), ("y", y)):
        exact = evaluate(graph.derivative(curve, symbol), at)
        step = 1e-6
        up = evaluate(curve, {**at, name: at[name] + step})
        down = evaluate(curve, {**at, name: at[name] - step})
        assert exact == pytest.approx((up - down) / (2.0 * step), rel=1e-8)


def test_the_same_work_is_one_node_in_either_order():
    graph = Graph()
    x, y = graph.state("x"), graph.state("y")
    assert x * y is y * x
    assert (x + y) is (y + x)
    assert x / y is x * (1.0 / y)


def test_zeros_and_ones_leave_no_work():
    graph = Graph()
    x = graph.state("x")
    assert x * 1.0 is x
    assert x + 0.0 is x
    assert (x - x).value == 0.0
    assert (x * 0.0).kind == "constant"


def test_what_depends_on_settings_alone_is_told_apart():
    graph = Graph()
    fixed = maximum(graph.setting("a"), 2.0) * graph.setting("b")
    assert fixed.is_fixed
    assert not (fixed * graph.state("x")).is_fixed
    gathered = fixed * (graph.setting("c") * graph.state("x"))
    assert gathered.args[0].is_fixed


def test_the_elimination_plan_solves_a_sparse_system():
    matrix = {
        (0, 0): 4.0,
        (0, 3): 1.0,
        (1, 1): 3.0,
        (1, 0): -1.0,
        (2, 2): 5.0,
        (2, 3): 2.0,
        (3, 3): 6.0,
        (3, 1): 1.0,
        (3, 0): -2.0,
    }
    order = plan(4, set(matrix))
    a = {entry: matrix.get(entry, 0.0) for entry in order.place}
    right = [1.0, 2.0, 3.0, 4.0]
    for pivot in order.order:
        for row in order.lower[pivot]:
            factor = a[row, pivot] / a[pivot, pivot]
            right[row] -= factor * right[pivot]
            for column in order.upper[pivot]:
                a[row, column] -= factor * a[pivot, column]
    for pivot in reversed(order.order):
        for column in order.upper[pivot]:
            right[pivot] -= a[pivot, column] * right[column]
        right[pivot] /= a[pivot, pivot]
    for row, wanted in enumerate((1.0, 2.0, 3.0, 4.0)):
        got = sum(matrix.get((row, column), 0.0) * right[column] for column in range(4))
        assert got == pytest.approx(wanted, rel=1e-12)
