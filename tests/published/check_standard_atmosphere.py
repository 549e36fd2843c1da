"""The standard atmosphere, against a printed table and the published formula."""

from marshlight.matter.atmosphere import standard_height_m, standard_pressure_kpa
from marshlight.matter.gas import dry_normal_factor
from published.harness import Check

TABLE = "ICAO standard atmosphere, table of 1964, pressure to height"
FORMULA = "ICAO Doc 7488/3 1993, formula up to 11 km"
LIBRARY = "U.S. Standard Atmosphere 1976 as computed by fluids 1.3.1"
COMPUTED = "computed with reference library"
# hPa, m
PRINTED = [(1000.0, 111), (950.0, 540), (900.0, 988), (850.0, 1457), (800.0, 1949), (700.0, 3012)]
# m, Pa at that geopotential height, Pa at that geometric altitude
HEIGHTS = [
    (500.0, 95460.8, 95461.3),
    (1000.0, 89874.6, 89876.3),
    (1500.0, 84556.0, 84559.7),
    (2000.0, 79495.2, 79501.4),
    (3000.0, 70108.5, 70121.2),
    (4000.0, 61640.0, 61660.4),
]
DRY_FACTORS = [(500.0, 0.83447), (1000.0, 0.78396), (2000.0, 0.69011), (3000.0, 0.60524)]

CHECKS = [
    *(
        Check(
            f"height at {hectopascals:g} hPa, m",
            TABLE,
            height,
            lambda p=hectopascals: standard_height_m(p / 10.0),
            1.0,
        )
        for hectopascals, height in PRINTED
    ),
    *(
        Check(
            f"pressure at geopotential height {height:g} m, Pa",
            FORMULA,
            published,
            lambda h=height: 1e3 * standard_pressure_kpa(h, geopotential=True),
            1e-5,
            relative=True,
            status=COMPUTED,
        )
        for height, published, _ in HEIGHTS
    ),
    *(
        Check(
            f"pressure at altitude {height:g} m, Pa",
            LIBRARY,
            published,
            lambda h=height: 1e3 * standard_pressure_kpa(h),
            1e-5,
            relative=True,
            status=COMPUTED,
        )
        for height, _, published in HEIGHTS
    ),
    *(
        Check(
            f"dry normal factor at 25 degC and {height:g} m",
            f"{FORMULA}; IAPWS SR1-86",
            published,
            lambda h=height: dry_normal_factor(25.0, standard_pressure_kpa(h, geopotential=True)),
            1e-5,
            status=COMPUTED,
        )
        for height, published in DRY_FACTORS
    ),
]
