"""Commands about what goes in: materials, theory and where values come from."""

from typing import Annotated, Any

import typer
from rich.console import Console

from marshlight import units
from marshlight.cli.main import app
from marshlight.cli.opening import open_notebook
from marshlight.cli.output import AsJson, emit, table


@app.command("materials")
def list_materials(
    wanted: Annotated[str, typer.Argument(help="Only those with this in their name.")] = "",
    as_json: AsJson = False,
) -> None:
    """List the materials of the library."""
    open_notebook()
    from marshlight.answers.feedstock import feedstock_groups

    emit(feedstock_groups(wanted), as_json, _groups_words)


def _groups_words(groups: Any, out: Console) -> None:
    if not groups:
        out.print("No material has that in its name. `marshlight materials` lists them all.")
    for group in groups:
        rows = [[line.key, line.name, line.about] for line in group.lines]
        out.print(table(["key", "name", "usually"], rows, title=f"\n{group.name}"))


@app.command("material")
def show_material(
    name: Annotated[str, typer.Argument(help="Key, name or part of a name.")],
    as_json: AsJson = False,
) -> None:
    """Show one material: every value with its range, its source and how that was seen."""
    open_notebook()
    from marshlight.answers.feedstock import feedstock_page

    emit(feedstock_page(name), as_json, _material_words)


def _material_words(page: Any, out: Console) -> None:
    rows = [
        [line.name, f"{line.value} {line.unit}".strip(), f"{line.low} to {line.high}",
         f"{line.source.key} ({line.source.how})"]
        for line in page.properties
    ]  # fmt: skip
    out.print(table(["property", "usual", "range", "source"], rows, title=page.name))
    for text in (page.notes, *(f"Caution: {c}" for c in page.cautions), *page.missing):
        if text:
            out.print(text)


@app.command("sources")
def show_sources(
    key: Annotated[str, typer.Argument(help="One source's key; left out: all of them.")] = "",
    as_json: AsJson = False,
) -> None:
    """Show where constants and library values come from."""
    open_notebook()
    from marshlight.answers.source import source_groups, source_page

    if key:
        emit(source_page(key), as_json, _source_words)
    else:
        emit(source_groups(), as_json, _sources_words)


def _source_words(page: Any, out: Console) -> None:
    out.print(page.source.citation)
    for text in (page.source.how_in_words, page.source.note, page.source.link):
        if text:
            out.print(text)
    for use in page.uses:
        out.print(f"  {use.feedstock}: {use.property}{' (replaced)' if use.replaced else ''}")


def _sources_words(groups: Any, out: Console) -> None:
    for group in groups:
        rows = [[s.key, s.how, s.citation] for s in group.sources]
        out.print(table(["key", "how seen", "citation"], rows, title=f"\n{group.name}"))


@app.command("theory")
def theory(
    formula: Annotated[str, typer.Argument(help="An elemental formula such as C6H10O5.")],
    as_json: AsJson = False,
) -> None:
    """Work out the most methane a substance can give, and its oxygen demand."""
    from marshlight.matter import chemical_oxygen_demand, gas_from_formula
    from marshlight.matter import formula as read_formula

    substance = read_formula(formula)
    gas = gas_from_formula(substance)
    answer = {
        "formula": formula,
        "methane_m3_per_kg": gas.methane_m3_per_kg,
        "biogas_m3_per_kg": gas.biogas_m3_per_kg,
        "methane_share": gas.methane_share,
        "oxygen_demand_kg_per_kg": chemical_oxygen_demand(substance),
        "basis": "dry normal gas (0 degC, 101.325 kPa), everything digested, no cell growth",
        "source": "buswell_mueller_1952",
    }
    emit(answer, as_json, _theory_words)


def _theory_words(answer: dict[str, Any], out: Console) -> None:
    out.print(f"{answer['formula']}, {answer['basis']}")
    out.print(f"methane  {units.show(answer['methane_m3_per_kg'], 'yield', unit='NmL/g')}")
    out.print(f"biogas   {units.show(answer['biogas_m3_per_kg'], 'yield', unit='NmL/g')}")
    out.print(f"share    {units.show(answer['methane_share'], 'fraction')} methane")
    out.print(f"COD      {units.number(answer['oxygen_demand_kg_per_kg'])} g/g")
