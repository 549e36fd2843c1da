"""The small digester against measured warmth responses: order of magnitude, one study each."""

from functools import cache

from marshlight.matter.library import library
from marshlight.process.model import (
    Digester,
    Flow,
    Holder,
    Liquid,
    inoculum,
    liquid_from_feedstock,
    simulate,
    water,
)
from published.harness import Check

HOLDER = Holder("floating", capacity_m3=0.5, gauge_kpa=0.2)
YANG = "Yang et al. 2016, Water Res 102:464: greatest methane rate of swine wastewater"
ARIKAN = "Arikan, Mulbry & Lansing 2015, Waste Manag 43:108: dairy manure digesters, 17 d"
# The study's 15 degC rate collapses further than the cardinal curve does: the widest gap.
YANG_RATIOS = {15.0: 0.070, 20.0: 0.408, 25.0: 0.663, 30.0: 0.782}
ARIKAN_RATIOS = {22.0: 0.70, 28.0: 0.87}


@cache
def acetate_rate(celsius: float) -> float:
    """Methane of a day from plenty of acetate [m3]."""
    charge = inoculum("digested sewage sludge", 0.007)
    charge = charge + Liquid(0.0, {"acetate": 0.02, "sodium": 0.0003})
    run = simulate(Digester(0.012, HOLDER, celsius), charge, days=[0.0, 0.5, 1.0])
    return float(run.methane_m3[2] - run.methane_m3[1])


@cache
def fed_rate(celsius: float) -> float:
    """Methane a day of a digester fed dairy manure for 17 d retention, once it is steady [m3]."""
    daily = liquid_from_feedstock(library()["cattle_dairy_fresh"], 0.5) + water(0.0005)
    daily = daily.scaled(0.007 / 17.0 / daily.volume_m3)
    charge = inoculum("digested cattle manure", 0.007)
    run = simulate(
        Digester(0.012, HOLDER, celsius),
        charge,
        days=[0.0, 250.0, 300.0],
        events=[Flow(0.0, daily)],
    )
    return float(run.methane_m3[2] - run.methane_m3[1]) / 50.0


CHECKS = [
    *(
        Check(
            f"methane rate at {t:g} degC over that at 35",
            YANG,
            ratio,
            lambda t=t: acetate_rate(t) / acetate_rate(35.0),
            0.13,
        )
        for t, ratio in YANG_RATIOS.items()
    ),
    *(
        Check(
            f"methane of a fed digester at {t:g} degC over that at 35",
            ARIKAN,
            ratio,
            lambda t=t: fed_rate(t) / fed_rate(35.0),
            0.15,
        )
        for t, ratio in ARIKAN_RATIOS.items()
    ),
]
