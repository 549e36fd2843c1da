"""Copied gas volumes, reduced by us, against the totals their own authors work out."""

import csv
from collections.abc import Callable
from pathlib import Path

from marshlight.matter.gas import dry_normal_factor
from published.harness import Check

EXAMPLES = Path(__file__).parents[2] / "examples" / "published"

# Cumulative biogas, dry, 0 degC, 101.325 kPa [mL], last row of each bottle, digits as printed,
# cut after the third decimal.
AUTHORS_TOTAL_ML = {
    "substrate_c_C1": 1733.890,
    "substrate_c_C2": 1733.446,
    "cellulose_L3": 1586.900,
    "preheated_sludge_A1": 1545.526,
    "preheated_sludge_A2": 1437.212,
    "preheated_sludge_A3": 1473.620,
    "raw_sludge_B1": 1394.432,
    "raw_sludge_B2": 1494.555,
    "raw_sludge_B3": 1399.893,
}
# Single volumes let out [mL], gas temperature [degC], pressure [kPa], the authors' dry volume [mL].
SINGLE_VOLUMES = (
    (187.0, 20.0, 101.325, 170.208159830077),
    (210.5, 20.3, 101.122, 190.924629738396),
    (332.0, 19.0, 100.0, 299.59638912872),
    (34.0, 20.6, 99.715, 30.3537909293026),
)


def _our_total(bottle: str) -> Callable[[], float]:
    def total() -> float:
        with (EXAMPLES / f"justesen2019_{bottle}.csv").open(newline="", encoding="utf-8") as file:
            return sum(
                float(row["biogas (mL)"])
                * dry_normal_factor(
                    float(row["gas temperature (degC)"]), float(row["barometer (hPa)"]) / 10.0
                )
                for row in csv.DictReader(file)
            )

    return total


CHECKS: list[Check] = [
    Check(
        f"{volume:g} mL of moist gas at {temperature:g} degC, {pressure:g} kPa, as dry normal gas",
        "Justesen et al. 2019, Water 11: 2431, data files cbg_vol.csv and cbg_gdt.csv, column vBg",
        published,
        volume * dry_normal_factor(temperature, pressure),
        2e-4,
        relative=True,
    )
    for volume, temperature, pressure, published in SINGLE_VOLUMES
] + [
    Check(
        f"All gas of bottle {bottle.rsplit('_', 1)[1]}, {bottle.rsplit('_', 1)[0]} [mL dry normal]",
        "Justesen et al. 2019, Water 11: 2431, data files cbg_vol.csv and cbg_gdt.csv, column cvBg",
        total,
        _our_total(bottle),
        2e-4,
        relative=True,
    )
    for bottle, total in AUTHORS_TOTAL_ML.items()
]
