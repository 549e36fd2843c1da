"""Sparse elimination worked out ahead: which entries appear, in which order to take the pivots.

The matrix of a Rosenbrock step is diag/(h gamma) - J. Its pattern never changes, so the order
(Markowitz: the pivot that costs least next) and all fill-in are decided once, and the kernel runs
the factorisation as a straight line, without an index. Pivots stay on the diagonal.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Plan:
    """Order of pivots, and the non-zeros of L and U together, each with its place in memory."""

    order: tuple[int, ...]
    place: dict[tuple[int, int], int]
    lower: dict[int, tuple[int, ...]]
    upper: dict[int, tuple[int, ...]]


def plan(size: int, pattern: set[tuple[int, int]]) -> Plan:
    """Choose the pivots for a pattern of (row, column) pairs; the diagonal is always there."""
    rows = [{i} | {c for r, c in pattern if r == i} for i in range(size)]
    columns = [{i} | {r for r, c in pattern if c == i} for i in range(size)]
    left = set(range(size))
    order: list[int] = []
    lower: dict[int, tuple[int, ...]] = {}
    upper: dict[int, tuple[int, ...]] = {}
    entries = {(r, c) for r in range(size) for c in rows[r]}
    while left:
        pivot = min(left, key=lambda i: ((len(rows[i]) - 1) * (len(columns[i]) - 1), i))
        left.remove(pivot)
        order.append(pivot)
        below = sorted(columns[pivot] - {pivot})
        right = sorted(rows[pivot] - {pivot})
        lower[pivot], upper[pivot] = tuple(below), tuple(right)
        for row in below:
            rows[row].discard(pivot)
            for column in right:
                rows[row].add(column)
                columns[column].add(row)
                entries.add((row, column))
        for column in right:
            columns[column].discard(pivot)
    place = {entry: number for number, entry in enumerate(sorted(entries))}
    return Plan(tuple(order), place, lower, upper)
