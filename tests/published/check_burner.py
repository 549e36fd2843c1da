"""Jets, throats, ports, conversions and gas use: worked examples and published figures.

Out of scope: C-53 to C-56 and C-58 are published figures that the tool lists as data (they have
nothing to be checked against); GB/T 3606-2001's flame-spread time needs a stove.
"""

import math

from marshlight.apparatus.burner import (
    convert_burner,
    gas_for_water_m3,
    hours_from,
    jet_flow_m3_h,
    jet_ratio,
    new_burner,
)
from marshlight.decide.safety import Room, burning_adds_co2
from marshlight.matter.combustion import gas_quality
from marshlight.matter.fuels import FUELS
from published.harness import Check

WORKED = "Fulford 1996 orifice equation, worked out for 0.45 m3/h at 10 mbar, 60 % methane"
WOBBE = "d2/d1 = sqrt(W1/W2) (p1/p2)^0.25 with ISO 6976 Wobbe indices"
COMPUTED = "computed with reference library"
MADE = new_burner(0.45, pressure_kpa=1.0, relative_density=0.94, burning_m_s=0.25, port_m=5e-3)
GAS = {x: gas_quality(x, temperature_c=20.0, pressure_kpa=101.325) for x in (0.70, 0.60, 0.50)}


def ratio(fuel: str, before_kpa: float, after_kpa: float) -> float:
    return convert_burner(fuel, 0.60, before_kpa=before_kpa, after_kpa=after_kpa).ratio


def litres(efficiency: float, methane: float = 0.60) -> float:
    net = GAS[methane].net_mj_m3
    return 1e3 * gas_for_water_m3(
        1.0, from_c=20.0, to_c=100.0, net_mj_m3=net, efficiency=efficiency
    )


CHECKS = [
    Check(
        "flow through 1 mm2 at 1 mbar, gas as dense as air, no loss, m3/h",
        "Fulford 1996, Biogas stove design, orifice equation",
        0.0467,
        jet_flow_m3_h(
            math.sqrt(4e-6 / math.pi), pressure_kpa=0.1, relative_density=1.0, discharge=1.0
        ),
        1e-6,
    ),
    Check(
        "the same from 1.1885 kg/m3 air",
        "Bernoulli",
        0.04670,
        3600e-6 * math.sqrt(2 * 100 / 1.1885),
        5e-6,
    ),
    Check("jet, mm2", WORKED, 3.283, math.pi / 4 * (MADE.jet_m * 1e3) ** 2, 0.005, relative=True),
    Check("jet, mm", WORKED, 2.044, MADE.jet_m * 1e3, 0.005, relative=True),
    Check("throat, mm", WORKED, 7.84, MADE.throat_m * 1e3, 0.005, relative=True),
    Check("throat over jet", WORKED, 3.836, MADE.throat_m / MADE.jet_m, 0.005, relative=True),
    Check("mixture, L/s", WORKED, 0.4688, MADE.mixture_m3_s * 1e3, 0.005, relative=True),
    Check("ports by speed, mm2", WORKED, 1875.0, MADE.port_area_m2 * 1e6, 0.005, relative=True),
    Check("ports of 5 mm by speed", WORKED, 95.5, MADE.ports_by_speed, 0.005, relative=True),
    Check("port over throat area", WORKED, 39.0, MADE.area_ratio, 0.01, relative=True),
    Check("gross Wobbe of propane, MJ/m3", WOBBE, 76.06, FUELS["C3H8"].wobbe_gross_mj_m3, 0.02),
    Check("gross Wobbe of butane, MJ/m3", WOBBE, 85.90, FUELS["C4H10"].wobbe_gross_mj_m3, 0.02),
    *(
        Check(f"jets, {name}", WOBBE, value, ours, 0.005, relative=True)
        for name, value, ours in (
            ("methane to 60/40, same pressure", 1.474, lambda: ratio("CH4", 1.0, 1.0)),
            ("methane to 60/40, 29 to 8 mbar", 2.033, lambda: ratio("CH4", 2.9, 0.8)),
            ("methane to 60/40, 20 to 10 mbar", 1.752, lambda: ratio("CH4", 2.0, 1.0)),
            ("propane to 60/40, same pressure", 1.806, lambda: ratio("C3H8", 1.0, 1.0)),
            ("propane to 60/40, 29 to 8 mbar", 2.491, lambda: ratio("C3H8", 2.9, 0.8)),
            ("propane to 60/40, 20 to 10 mbar", 2.147, lambda: ratio("C3H8", 2.0, 1.0)),
            (
                "printed Wobbe indices, same pressure",
                1.474,
                lambda: jet_ratio(50.66, 23.33, before_kpa=1.0, after_kpa=1.0),
            ),
        )
    ),
    *(
        Check(
            f"gas to boil 1 L at {100 * eta:.0f} % into the pot, L",
            "334.9 kJ from 20 to 100 degC, 60/40 at 15 degC",
            value,
            lambda eta=eta: litres(eta),
            0.01,
            relative=True,
            status=COMPUTED,
        )
        for eta, value in ((0.40, 41.1), (0.50, 32.9), (0.55, 29.9), (0.60, 27.4))
    ),
    Check(
        "gas to boil 1 L with 50/50 gas, L",
        "334.9 kJ from 20 to 100 degC, 50/50 at 15 degC",
        39.5,
        lambda: litres(0.50, 0.50),
        0.01,
        relative=True,
        status=COMPUTED,
    ),
    Check(
        "gas to boil 1 L, L: the middle of 30 to 40",
        "GTZ figures as given by SSWM",
        35.0,
        lambda: litres(0.50),
        5.0,
    ),
    Check(
        "gas for a 250 mL cup, L",
        "a quarter of the litre's",
        8.2,
        lambda: litres(0.50) / 4,
        0.05,
        status=COMPUTED,
    ),
    Check(
        "time that 10 L last at 450 L/h, s",
        "10/450 h",
        80.0,
        hours_from(0.010, 0.45) * 3600,
        0.5,
        status=COMPUTED,
    ),
    Check(
        "bottled gas that 1 m3 replaces by heat, kg",
        "GTZ 1993 gives about 0.4; 20.37/46.3 MJ",
        0.440,
        lambda: GAS[0.60].net_mj_m3 / FUELS["C3H8"].net_mj_kg,
        0.002,
        status=COMPUTED,
    ),
    Check(
        "carbon dioxide that 0.45 m3/h burnt add to 30 m3 at half a change, ppm",
        "well-mixed room",
        29_000.0,
        burning_adds_co2(Room(30.0, 0.5), 0.45) * 1e6,
        200.0,
        status=COMPUTED,
    ),
]
