"""Methane of a bottle by both methods of the volumetric, manometric and gravimetric documents."""

import numpy as np

from marshlight.decide.trial import (
    BottleGas,
    mass_loss_volume,
    methane_as_made,
    methane_by_content,
    mixture_density_kg_m3,
)
from marshlight.matter.gas import dry_normal_factor, vapour_carried_kg_m3
from published.harness import Check

VOLUMETRIC = (
    "Hafner et al. 2020, Standard BMP Methods doc 201 v1.6, inputs of its example and eqs. of "
    "v1.9; its printed arithmetic is wrong and is corrected here"
)
MANOMETRIC = "Hafner et al. 2020, Standard BMP Methods doc 202 v2.5, example"
GRAVIMETRIC = (
    "Hafner et al. 2020, Standard BMP Methods doc 203 v1.1, constants and equation, "
    "vapour term with the sign of doc 204 eq. 1"
)
DENSITY = "Hafner et al. 2020, Standard BMP Methods doc 204 v1.5, example turned round"
LIBRARY = "computed with reference library"
METHANE, CARBON_DIOXIDE, BEFORE = 0.656, 0.289, 0.587
AS_MADE = METHANE / (METHANE + CARBON_DIOXIDE)


def _volumetric(way: int) -> float:
    """One interval: 73.6 mL collected, head-space 81.3 mL, both at 30 degC [NmL]."""
    factor = float(dry_normal_factor(30.0, 101.325))
    vented, held = 73.6 * factor, 81.3 * factor
    if way == 1:
        return float(methane_as_made([vented], [AS_MADE])[-1])
    gas = BottleGas(np.array([0.0, vented]), np.array([held, held]), let_off=False)
    return float(methane_by_content(gas, [BEFORE, METHANE])[-1])


def _manometric(way: int) -> float:
    """One interval of a bottle of 81.3 mL that rose to 203.1 kPa from 101.3 kPa [NmL]."""
    before = 81.3 * float(dry_normal_factor(30.0, 203.1))
    after = 81.3 * float(dry_normal_factor(30.0, 101.3))
    if way == 1:
        return float(methane_as_made([before - after], [AS_MADE])[-1])
    # The vent before left `after` in the bottle; nothing passes until the next one.
    gas = BottleGas(np.array([0.0, 0.0]), np.array([after, before]), let_off=True)
    return float(methane_by_content(gas, [BEFORE, METHANE])[-1])


def _weighed(celsius: float, kpa: float) -> float:
    vapour = vapour_carried_kg_m3(celsius, kpa)
    return float(mass_loss_volume(1e-3, mixture_density_kg_m3(0.60, 0.40), vapour)) * 1e6


def _density_turned_round() -> float:
    vapour = vapour_carried_kg_m3(30.0, 150.0)
    return float(mass_loss_volume(1.070e-3, mixture_density_kg_m3(0.498, 0.502), vapour)) * 1e6


CHECKS = [
    Check("volumetric, method 1, NmL", VOLUMETRIC, 44.111, lambda: _volumetric(1), 0.01,
          status=LIBRARY),
    Check("volumetric, method 2, NmL", VOLUMETRIC, 46.528, lambda: _volumetric(2), 0.01,
          status=LIBRARY),
    Check("manometric, method 1, NmL", MANOMETRIC, 51.1, lambda: _manometric(1), 0.05),
    Check("manometric, method 2, NmL", MANOMETRIC, 53.1, lambda: _manometric(2), 0.05),
    *(
        Check(f"gravimetric, method 1, 1.000 g from {t:g} degC and {p:g} kPa, NmL methane",
              GRAVIMETRIC, methane, lambda t=t, p=p: 0.60 * _weighed(t, p), 3e-4, relative=True,
              status=LIBRARY)
        for t, p, methane in ((30.0, 150.0, 482.03), (35.0, 101.325, 472.94), (35.0, 150.0, 478.97))
    ),
    Check("gas of 1.070 g at 49.8 % methane, NmL", DENSITY, 779.2, _density_turned_round, 0.5),
]  # fmt: skip
