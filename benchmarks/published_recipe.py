"""What the planner expects of the published bottles, from what their authors put in."""

import csv
from pathlib import Path

from benchmarks.published_batch import EXAMPLES

from marshlight.decide.plan import ChargeRequest, LotAtHand, plan_charge
from marshlight.matter import Feedstock, Property, library
from marshlight.process import CurvePrior

# Sludge bottles: headspace and contents as listed add up to 327 mL.
BOTTLE_M3 = {"L": 520e-6, "C": 520e-6, "D": 520e-6, "A": 327e-6, "B": 327e-6}
# The incubation temperature isn't in the files read; 37 degC is usual for such tests.
SLURRY_C = 37.0
_MATERIAL = {
    "cellulose": "cellulose",
    "wheat straw": "wheat_straw",
    "preheated sludge": "sewage_sludge",
    "raw sludge": "sewage_sludge",
}
_INOCULUM = "digester_effluent"
_WET = (_INOCULUM, "sewage_sludge")


def setup_row(path: Path) -> dict[str, str]:
    """Read what went into one bottle."""
    with (EXAMPLES / "justesen2019_setup.csv").open(newline="", encoding="utf-8") as file:
        rows = {row["bottle"]: row for row in csv.DictReader(file)}
    return rows[path.stem.rsplit("_", 1)[1]]


def material_of(row: dict[str, str], named: str = "") -> tuple[Feedstock, Feedstock | None]:
    """Give inoculum and food with the authors' solids; ``named`` stands in for an unknown one."""
    live = _measured(_INOCULUM, float(row["inoculum VS (g/kg)"]))
    key = named or _MATERIAL.get(row["contents"], "")
    if not key:
        return live, None
    return live, _measured(key, float(row["substrate VS (g/kg)"]), wet=key in (*_WET, named))


def recipe_prior(path: Path) -> CurvePrior | None:
    """Give the planner's expectation of one bottle; None where a material isn't known."""
    row = setup_row(path)
    if row["contents"] not in _MATERIAL:
        return None
    lots = (
        _lot(_INOCULUM, row["inoculum (g)"], row["inoculum VS (g/kg)"]),
        _lot(_MATERIAL[row["contents"]], row["substrate (g)"], row["substrate VS (g/kg)"]),
    )
    plan = plan_charge(
        ChargeRequest(
            vessel_m3=BOTTLE_M3[row["bottle"][0]],
            lots=lots,
            slurry_c=SLURRY_C,
            water_fixed_kg=0.0,
        )
    )
    return None if plan.expected is None else plan.expected.curve_prior()


def _lot(key: str, grams: str, vs_g_per_kg: str) -> LotAtHand:
    kilograms = float(grams) / 1000.0
    return LotAtHand(_measured(key, float(vs_g_per_kg)), kilograms, key=key, fixed_kg=kilograms)


def _measured(key: str, vs_g_per_kg: float, *, wet: bool | None = None) -> Feedstock:
    """Put the authors' volatile solids into the library's material, for wet materials."""
    stock = library()[key]
    if not (key in _WET if wet is None else wet):
        return stock
    solids = vs_g_per_kg / 1000.0 / stock.value("VS")
    return stock.with_measured(
        {"TS": Property(solids, 0.98 * solids, 1.02 * solids, "justesen_2019")}
    )
