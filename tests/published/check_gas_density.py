"""Density of biogas and what it says of the methane share: doc 204 and reference densities."""

from marshlight.estimate import Estimate
from marshlight.matter.gas import dry_normal_density_kg_m3, neutral_methane_share
from marshlight.measure import GasDensity
from published.harness import Check

SOURCE = "Hafner et al. 2020, Standard BMP Methods doc 204 v1.5, example by the density route"
MIXED = "pure-gas densities as computed by CoolProp 8.0.0, mixed by volume"
COMPUTED = "computed with reference library"
RUN = GasDensity(Estimate(1.070e-3, 1e-5), Estimate(779.2e-6, 4e-6), 30.0, 150.0)

CHECKS = [
    Check("methane share of the example", SOURCE, 0.498, RUN.methane_if_air_free.value, 1e-3),
    Check("density of its dry gas, g/mL", SOURCE, 1.349e-3, RUN.density_kg_m3.value / 1e3, 1e-6),
    *(
        Check(
            f"density of dry gas with {100 * share:g} % methane, kg/m3",
            MIXED,
            published,
            lambda x=share: dry_normal_density_kg_m3(x),
            6e-5,
            status=COMPUTED,
        )
        for share, published in (
            (0.50, 1.3471),
            (0.55, 1.2842),
            (0.60, 1.2212),
            (0.65, 1.1582),
            (0.70, 1.0953),
        )
    ),
    Check(
        "methane share as heavy as air", MIXED, 0.5429, neutral_methane_share, 6e-5, status=COMPUTED
    ),
]
