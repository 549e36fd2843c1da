"""Volatile acids and alkalinity by two end points: a printed worked example."""

from marshlight.measure import two_point_titration
from published.harness import Check

SOURCE = "Nordmann 1977 rule, worked example of a titrator maker's method abstract no. 127"
FOUND = two_point_titration(8.97e-6, 9.81e-6, sample_m3=20e-6, acid_mol_m3=100.0)

CHECKS = [
    Check("volatile acids, mg/L", SOURCE, 622.2, FOUND.volatile_acids_kg_m3 * 1e3, 0.05),
    Check("alkalinity, mg CaCO3/L", SOURCE, 2244.5, FOUND.alkalinity_kg_m3 * 1e3, 0.05),
    Check("their ratio", SOURCE, 0.277, FOUND.ratio, 5e-4),
]
