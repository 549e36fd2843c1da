"""Water seals and dip tubes: depth for a pressure, against hydrostatics worked by hand.

Relief and trap rules are from memory and are advice, not checks.
"""

from marshlight.apparatus.gas_train import DipTube, seal_depth_m
from published.harness import Check

HEAD = "h = p/(rho g) with rho 998.2 kg/m3, worked by hand"
MBAR = [
    (1.0, 10.216), (5.0, 51.1), (8.0, 81.7), (10.0, 102.2), (15.0, 153.2), (20.0, 204.3),
    (50.0, 511.0), (100.0, 1022.0),
]  # fmt: skip

CHECKS = [
    *(
        Check(
            f"depth that holds {mbar:g} mbar, mm",
            HEAD,
            published,
            lambda p=mbar: 1e3 * seal_depth_m(p / 10.0),
            0.002,
            relative=True,
            status="computed with reference library",
        )
        for mbar, published in MBAR
    ),
    Check(
        "10/12 mm tube in an 80 mm jar: head over depth, %",
        "areas of tube and jar, worked by hand",
        1.6,
        lambda: 100.0 * (DipTube(0.010, 0.012, 0.080).rise_factor - 1.0),
        0.01,
        status="computed with reference library",
    ),
]
