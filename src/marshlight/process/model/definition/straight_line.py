"""Write the planned elimination as straight lines of C, each value under a name of its own.

The factors are L D U with ones on the diagonals of L and U and D kept as reciprocals, so that a
solution waits for one multiplication only where it crosses D. Within a sum the terms stand in the
order in which they become known: none waits for a later one.
"""

from .elimination import Plan


def decompose(plan: Plan) -> str:
    """Write the factorisation of a matrix in place."""
    place = plan.place
    latest: dict[tuple[int, int], str] = {}
    lines = ["static void NAME(decompose)(REAL *restrict a)", "{"]

    def value(entry: tuple[int, int]) -> str:
        return latest.get(entry, f"a[{place[entry]}]")

    for pivot in plan.order:
        lines.append(f"    const REAL d{pivot} = 1.0 / {value((pivot, pivot))};")
        lines.append(f"    a[{place[pivot, pivot]}] = d{pivot};")
        for row in plan.lower[pivot]:
            factor = f"l{place[row, pivot]}"
            lines.append(f"    const REAL {factor} = {value((row, pivot))} * d{pivot};")
            lines.append(f"    a[{place[row, pivot]}] = {factor};")
            for column in plan.upper[pivot]:
                text = f"{value((row, column))} - {factor} * {value((pivot, column))}"
                name = f"t{place[row, column]}_{pivot}"
                lines.append(f"    const REAL {name} = {text};")
                latest[row, column] = name
        lines += [
            f"    a[{place[pivot, column]}] = {value((pivot, column))} * d{pivot};"
            for column in plan.upper[pivot]
        ]
    return "\n".join([*lines, "}", ""])


def solve(plan: Plan) -> str:
    """Write the solution with the factors in place: down through L, across D, up through U."""
    place = plan.place
    down = {row: [p for p in plan.order if row in plan.lower[p]] for row in plan.order}
    known = list(reversed(plan.order))
    lines = ["static void NAME(solve)(const REAL *restrict a, REAL *restrict b)", "{"]
    for row in plan.order:
        terms = "".join(f" - a[{place[row, p]}] * m{p}" for p in down[row])
        lines.append(f"    const REAL m{row} = b[{row}]{terms};")
    for pivot in known:
        columns = [c for c in known if c in plan.upper[pivot]]
        terms = "".join(f" - a[{place[pivot, c]}] * x{c}" for c in columns)
        lines.append(f"    const REAL x{pivot} = m{pivot} * a[{place[pivot, pivot]}]{terms};")
        lines.append(f"    b[{pivot}] = x{pivot};")
    return "\n".join([*lines, "}", ""])
