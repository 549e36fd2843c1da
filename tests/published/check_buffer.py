"""Bicarbonate against carbon dioxide: an independent speciation program and a textbook table.

PHREEQC (Parkhurst and Appelo; database phreeqc.dat): pure water at 35 degC with sodium
bicarbonate, in equilibrium with carbon dioxide at 0.35 bar. Tchobanoglous et al., 4th
edition, table of alkalinity for pH 7.0 (values from memory; ideal solution, so ours is higher).
"""

import numpy as np

from marshlight.decide.watch.buffer import (
    CO2_M3_PER_KG,
    MOLAR_MASS_KG,
    SODIUM_LIMIT_KG_M3,
    SODIUM_SHARE,
    bicarbonate_mol_m3,
)
from published.harness import Check

PHREEQC = {0.5: (6.0878, 5.936), 1.0: (6.3756, 11.839), 5.0: (7.0269, 58.109),
           20.0: (7.5583, 218.122)}  # fmt: skip


def ph_for(mol_m3: float) -> float:
    """pH at which our bicarbonate equals a given one, by bisection."""
    low, high = 5.0, 8.5
    for _ in range(60):
        middle = 0.5 * (low + high)
        below = bicarbonate_mol_m3(middle, 35.0, 35.0) < mol_m3
        low, high = (middle, high) if below else (low, middle)
    return float(np.mean([low, high]))


CHECKS: list[Check] = [
    *(
        Check(f"pH with {grams} g/kg bicarbonate at 35 degC, 0.35 bar carbon dioxide",
              "PHREEQC, database phreeqc.dat", ph, lambda b=bicarbonate: ph_for(b), 0.03,
              status="computed with reference library")
        for grams, (ph, bicarbonate) in PHREEQC.items()
    ),
    Check("sodium in bicarbonate", "atomic weights (IUPAC)", 22.98977 / 84.0066,
          SODIUM_SHARE, 1e-5),
    Check("bicarbonate that brings 3.5 g/L sodium [g/L]",
          "US EPA 1979 limit, atomic weights", 12.79, SODIUM_LIMIT_KG_M3 / SODIUM_SHARE, 0.005),
    Check("carbon dioxide of 1 g bicarbonate [L]", "molar volume 22.263 L/mol, arithmetic",
          22.263 / 84.0066, CO2_M3_PER_KG, 1e-6, status="computed with reference library"),
    Check("bicarbonate for pH 7.0 at 35 degC, 0.35 bar, with activities [g CaCO3/L]",
          "PHREEQC, interpolated", 2.79,
          lambda: bicarbonate_mol_m3(7.0, 35.0, 35.0) * 50.04 / 1000, 0.06,
          status="computed with reference library"),
    Check("molar mass of bicarbonate [g/mol]", "atomic weights (IUPAC)", 84.0066,
          MOLAR_MASS_KG * 1000, 5e-4),
]  # fmt: skip
