"""The documentation's tables are the model's own: this test proves them fresh.

``python -m tests.unit.process.model.test_document`` writes them anew.
"""

from pathlib import Path

from marshlight.process.model.definition import BENCHMARK, SMALL, assemble
from marshlight.process.model.definition.document import (
    factor_table,
    reaction_table,
    render,
    species_table,
)
from marshlight.process.model.definition.expression import Graph
from marshlight.process.model.parameters import BENCHMARK as BENCHMARK_SET
from marshlight.process.model.parameters import SMALL_DIGESTER, ParameterSet
from marshlight.sources import source

PAGE = Path(__file__).parents[4] / "docs" / "process-model-tables.md"
HEAD = """# The process model in tables

Written from the symbols that the kernel is generated from; a test keeps this page fresh. Square
brackets are concentrations [kg COD/m3 or kmol/m3]; symbols side by side are multiplied. Inorganic
carbon and nitrogen take up or give whatever closes each reaction. The prose is in
[the process model](process-model.md).
"""


def parameter_table(held: ParameterSet) -> str:
    """Tabulate a set, with how its sources were seen."""
    lines = ["| name | value | spread | unit | meaning | source |", "|---|---|---|---|---|---|"]
    for name in sorted(held.parameters):
        p = held.parameters[name]
        spread = f"{p.low:g} to {p.high:g}" if p.is_uncertain else ""
        where = source(p.source)
        cited = f"{where.short} ({where.how_in_words})"
        lines.append(f"| {name} | {p.value:.6g} | {spread} | {p.unit} | {p.meaning} | {cited} |")
    return "\n".join(lines)


def page() -> str:
    """Write the whole page."""
    parts = [HEAD]
    for title, variant, held in (
        ("Small digester", SMALL, SMALL_DIGESTER),
        ("Published benchmark", BENCHMARK, BENCHMARK_SET),
    ):
        model = assemble(variant)
        parts += [f"## {title}: components\n", species_table(model) + "\n"]
        parts += [f"## {title}: reactions\n", reaction_table(model) + "\n"]
        parts += [f"## {title}: factors\n", factor_table(model) + "\n"]
        parts += [f"## {title}: parameters\n", parameter_table(held) + "\n"]
    return "\n".join(parts)


def test_the_tables_in_the_documentation_are_the_models_own():
    assert PAGE.read_text(encoding="utf-8") == page()


def test_a_formula_keeps_its_brackets_where_they_matter():
    graph = Graph()
    a, b, c = (graph.setting(name) for name in "abc")
    assert render(a * (b + c), {}) == "a (b + c)"
    assert render(a - (b - c), {}) == "a - (b - c)"
    assert render(a / (b * c), {}) == "a / (b c)"


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
