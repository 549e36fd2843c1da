"""Thermal conductivities of the insulation table against the tables they are quoted from.

Soil, bedding, wood and glass are from memory and say so on the sources page; they are no checks.
Out of scope: grades that the table does not list (sprayed polyurethane, aged and unfaced PIR,
PVC foam, other densities of concrete, 2 % steel, harder PVC); where two tables differ, the one
named is followed.
"""

from marshlight.apparatus.heat import materials
from published.harness import Check

ASHRAE = "ASHRAE Handbook of Fundamentals as carried by ht 1.2.0"
CIBSE = "CIBSE Guide A, tables 3.36 and 3.37"
ISO = "EN ISO 10456:2007 / EN ISO 10077-2"
LIBRARY = "computed with reference library"
# key, W/(m K), source, status
ROWS = [
    ("eps", 0.0355, ASHRAE, LIBRARY),
    ("xps", 0.026, ASHRAE, LIBRARY),
    ("mineral_wool", 0.036, ASHRAE, LIBRARY),
    ("cellular_glass", 0.048, ASHRAE, LIBRARY),
    ("perlite", 0.042, ASHRAE, LIBRARY),
    ("vermiculite", 0.063, ASHRAE, LIBRARY),
    ("polyurethane", 0.028, CIBSE, "published"),
    ("pir", 0.030, CIBSE, "published"),
    ("phenolic", 0.040, CIBSE, "published"),
    ("steel", 45.0, CIBSE, "published"),
    ("stainless_steel", 16.0, CIBSE, "published"),
    ("straw", 0.07, ISO, "published"),
    ("hdpe", 0.50, ISO, "published"),
    ("ldpe", 0.33, ISO, "published"),
    ("polypropylene", 0.22, ISO, "published"),
    ("acrylic", 0.18, ISO, "published"),
    ("pvc", 0.17, ISO, "published"),
    ("polycarbonate", 0.20, ISO, "published"),
    ("fibreglass", 0.40, ISO, "published"),
    ("concrete", 1.65, ISO, "published"),
    ("reinforced_concrete", 2.30, ISO, "published"),
    ("gravel", 2.0, ISO, "published"),
]

CHECKS = [
    Check(
        f"conductivity of {materials()[key].name}, W/(m K)",
        source,
        published,
        lambda k=key: materials()[k].k_w_mk,
        1e-12,
        status=status,
    )
    for key, published, source, status in ROWS
]
