"""Heat: bench cylinder, warm-up, larger tanks, against reference correlations and handbooks.

Not checked here, with the reason: the rule that losses add 35 to 45 % to feed heating (South
African practice, no inputs given); handbook bands for plain concrete and for U of Metcalf & Eddy
(not read); the exchanger coefficient of 795 W/(m2 K), which is an input (its unit conversion is
below).
"""

from functools import cache

from marshlight.apparatus import Vessel
from marshlight.apparatus.heat import (
    Heater,
    Layer,
    Losses,
    Outside,
    Stand,
    Wrap,
    body_of,
    buried_sphere_conductance_w_k,
    coil,
    convection_w_m2k,
    disc_conductance_w_k,
    evaporation_heat_kj_kg,
    losses,
    power_needed_w,
    radiation_w_m2k,
    settle,
    slab_transmittance_w_m2k,
    transmittance_w_m2k,
    vapour_loss_w,
    warm_up_s,
    warming_energy_kwh,
)
from published.harness import Check

LIBRARY = "computed with reference library"
CORRELATIONS = (
    "Churchill & Chu 1975 and McAdams 1954 as coded in ht 1.2.0, air of CoolProp 8.0.0; "
    "10 L cylinder 0.22 x 0.263 m, 38 in 20 degC, base adiabatic"
)
LUMPED = "lumped balance, exact, with the conductance of the row above"
INCROPERA = "Incropera et al. 2007, table 4.1"
ISO = "ISO 13370, formulas from memory, worked by hand"
FILMS = "flat layers between given films, worked by hand"
CYLINDER = Vessel.cylinder(diameter_m=0.22, height_m=0.26307)
CAPACITY = 10.0 * 4186.0
BTU = 5.678263  # W/(m2 K) in one Btu/(h ft2 F)


@cache
def _case(foam_m: float, emissivity: float) -> Losses:
    layers = (Layer(foam_m, 0.035),) if foam_m else ()
    wrap = Wrap(side=layers, lid=layers, emissivity=emissivity, films=False)
    body = body_of(CYLINDER, slurry_m3=0.01, wrap=wrap, stand=Stand("none"))
    return losses(body, 38.0, Outside(20.0, 20.0))


def _hours(to_c: float, watts: float, ua: float, start: float = 20.0) -> float:
    seconds = warm_up_s(
        start,
        to_c,
        heat_capacity_j_k=CAPACITY,
        conductance_w_k=ua,
        power_w=watts,
        outside_c=20.0,
    )
    return seconds / 3600.0


def _duty(foam_m: float) -> tuple[float, float]:
    """Give duty and energy a day of a 50 W heater that reaches the slurry whole."""
    layers = (Layer(foam_m, 0.035),) if foam_m else ()
    wrap = Wrap(side=layers, lid=layers, films=False)
    body = body_of(CYLINDER, slurry_m3=0.01, wrap=wrap, stand=Stand("none"))
    found = settle(body, Heater("immersed", 50.0, 38.0), Outside(20.0, 20.0))
    return found.duty, found.power_w * 0.024


# foam m, emissivity; side film, lid film, radiation, heat W, side W, lid W, UA, outer side, lid
CASES = [
    ("bare", 0.0, 0.9, 4.299, 5.941, 5.636, 40.43, 32.51, 7.92, 2.246, 38.0, 38.0),
    ("25 mm foam", 0.025, 0.9, 2.457, 3.473, 5.210, 5.189, 4.364, 0.825, 0.2883, 22.55, 22.50),
    ("shiny foil", 0.0, 0.05, 4.299, 5.941, 0.313, 19.37, None, None, 1.076, 38.0, 38.0),
    ("50 mm foam", 0.050, 0.9, 2.031, 2.899, 5.178, 3.012, None, None, 0.1673, 21.35, 21.44),
]


def _row(name: str, case: tuple[float, float], what: str, published: float, read: object) -> Check:
    return Check(
        f"{name}: {what}",
        CORRELATIONS,
        published,
        lambda: read(_case(*case)),  # type: ignore[operator]
        0.02,
        relative=True,
        status=LIBRARY,
    )


def _cases() -> list[Check]:
    rows = []
    for name, foam, eps, side, lid, hr, heat, side_w, lid_w, ua, out_side, out_lid in CASES:
        case = (foam, eps)
        rows += [
            _row(name, case, "heat, W", heat, lambda x: x.ways_w),
            _row(name, case, "UA, W/K", ua, lambda x: x.conductance_w_k),
        ]
        if side_w is not None and lid_w is not None:
            rows += [
                _row(name, case, "side, W", side_w, lambda x: x.passages["side"].heat_w),
                _row(name, case, "lid, W", lid_w, lambda x: x.passages["lid"].heat_w),
            ]
        # Of the outside's own size: foam on the side widens the lid, foam on the lid heightens.
        sizes = (("side", "wall", 0.26307 + foam), ("lid", "up", (0.22 + 2.0 * foam) / 4.0))
        for (way, form, length), film, outer in zip(
            sizes, (side, lid), (out_side, out_lid), strict=True
        ):
            rows.append(
                Check(
                    f"{name}: convection on the {way}, W/(m2 K)",
                    CORRELATIONS,
                    film,
                    lambda f=form, t=outer, n=length: convection_w_m2k(f, t, 20.0, length_m=n),
                    0.02,
                    relative=True,
                    status=LIBRARY,
                )
            )
            rows.append(
                Check(
                    f"{name}: outside of the {way}, degC",
                    CORRELATIONS,
                    outer,
                    lambda c=case, w=way: _case(*c).passages[w].outer_c,
                    0.05,
                    status=LIBRARY,
                )
            )
        rows.append(
            Check(
                f"{name}: radiation, W/(m2 K)",
                "Stefan-Boltzmann, CODATA 2018",
                hr,
                lambda t=out_side, e=eps: radiation_w_m2k(t, 20.0, e),
                0.0006,
                status=LIBRARY,
            )
        )
    return rows


BARE, FOAM = 2.246, 0.2883
WARM_UP = [
    (50.0, BARE, 8.56), (100.0, BARE, 2.68),
    (20.0, FOAM, 12.12), (30.0, FOAM, 7.66), (50.0, FOAM, 4.42), (100.0, FOAM, 2.15),
]  # fmt: skip
TANK = "insulated tank, Rf and slab of 3 m across, lambda 2.0, wall 0.2 m"
PLATES = [
    ("EPS 0.035, 100 mm", 0.100, 0.035, 300.0, 20.0, 0.3436),
    ("EPS 0.035, 150 mm", 0.150, 0.035, 300.0, 20.0, 0.2305),
    ("EPS 0.035, 200 mm", 0.200, 0.035, 300.0, 20.0, 0.1734),
    ("PU 0.025, 100 mm", 0.100, 0.025, 300.0, 20.0, 0.2467),
    ("bare 300 mm concrete 1.7", 0.300, 1.7, 300.0, 25.0, 4.55),
    ("bare 6 mm steel, outside 25", 0.006, 45.0, 300.0, 25.0, 23.0),
    ("bare 6 mm steel, outside 10", 0.006, 45.0, 300.0, 10.0, 9.67),
]
LIPTAK = "Liu & Liptak 1997, section 7.45, converted from Btu/(h ft2 F)"
TM = "US Army/Air Force TM 5-814-3, example C-14, converted from Btu/(h ft2 F)"
TRANSMISSIONS = [
    (LIPTAK, "concrete cover", 0.50, 2.84), (LIPTAK, "wall in dry earth", 0.18, 1.02),
    (LIPTAK, "wall in wet earth", 0.25, 1.42), (LIPTAK, "floor", 0.12, 0.681),
    (TM, "insulated wall", 0.14, 0.795), (TM, "insulated tank's floor", 0.12, 0.681),
    (TM, "insulated roof", 0.16, 0.909),
]  # fmt: skip


def _one_flat(u_w_m2k: float) -> float:
    """Give U of a layer that has this U by itself: conversion and series rule at once."""
    body = Layer(1.0, u_w_m2k)
    return transmittance_w_m2k([body], inner_film_w_m2k=1e12, outer_film_w_m2k=1e12)


CHECKS = [
    *_cases(),
    Check(
        "bare over 25 mm foam, times",
        CORRELATIONS,
        7.8,
        lambda: _case(0.0, 0.9).ways_w / _case(0.025, 0.9).ways_w,
        0.05,
        status=LIBRARY,
    ),
    Check(
        "share of radiation in the bare side's loss, %",
        CORRELATIONS,
        57.0,
        lambda: (
            100.0
            * radiation_w_m2k(38.0, 20.0, 0.9)
            * _case(0.0, 0.9).passages["side"].conductance_w_k ** -1
            * 3.14159265
            * 0.22
            * 0.26307
        ),
        0.6,
        status=LIBRARY,
    ),
    Check(
        "10 kg from 20 to 38 degC, Wh",
        "heat capacity of water 4.186 kJ/(kg K)",
        209.3,
        lambda: 1e3 * warming_energy_kwh(10.0, 20.0, 38.0),
        0.05,
    ),
    *(
        Check(
            f"10 L with {watts:g} W, UA {ua:g} W/K, 20 to 38 degC, h",
            LUMPED,
            hours,
            lambda w=watts, u=ua: _hours(38.0, w, u),
            0.0051,
            status=LIBRARY,
        )
        for watts, ua, hours in WARM_UP
    ),
    *(
        Check(
            f"10 L bare with {watts:g} W: where it ends, degC",
            LUMPED,
            ends,
            lambda w=watts: 20.0 + w / BARE,
            0.051,
            status=LIBRARY,
        )
        for watts, ends in ((20.0, 28.9), (30.0, 33.4), (50.0, 42.3))
    ),
    *(
        Check(
            f"10 L bare with {watts:g} W never gets to 38 degC: 1 for never",
            LUMPED,
            1.0,
            lambda w=watts: float(_hours(38.0, w, BARE) == float("inf")),
            0.0,
            status=LIBRARY,
        )
        for watts in (20.0, 30.0)
    ),
    *(
        Check(
            f"50 W at 38 degC, {name}: {what}",
            CORRELATIONS,
            published,
            lambda f=foam, k=key: _duty(f)[k] * (100.0 if k == 0 else 1.0),
            0.02,
            relative=True,
            status=LIBRARY,
        )
        for name, foam, key, what, published in (
            ("bare", 0.0, 0, "duty, %", 81.0),
            ("bare", 0.0, 1, "energy, kWh/d", 0.970),
            ("25 mm foam", 0.025, 0, "duty, %", 10.4),
            ("25 mm foam", 0.025, 1, "energy, kWh/d", 0.1245),
        )
    ),
    *(
        Check(
            f"heater off, 38 to 35 degC in 20, UA {ua:g} W/K, h",
            LUMPED,
            hours,
            lambda u=ua: _hours(35.0, 0.0, u, start=38.0),
            0.0051,
            status=LIBRARY,
        )
        for ua, hours in ((BARE, 0.94), (FOAM, 7.35))
    ),
    Check(
        "stuck thermostat, 50 W and foam: arithmetic end, degC",
        LUMPED,
        193.0,
        lambda: 20.0 + 50.0 / FOAM,
        0.5,
        status=LIBRARY,
    ),
    *(
        Check(
            f"{name}: U, W/(m2 K)",
            FILMS,
            published,
            lambda t=thick, k=k, i=inner, o=outer: transmittance_w_m2k(
                [Layer(t, k)], inner_film_w_m2k=i, outer_film_w_m2k=o
            ),
            0.01,
            relative=True,
            status=LIBRARY,
        )
        for name, thick, k, inner, outer, published in PLATES
    ),
    Check(
        "100 to 180 mm of insulation meets 0.3 W/(m2 K): thickness of EPS 0.035 for it, mm",
        "Eder & Schulz 2006, quoted: 0.3 W/(m2 K), 100 to 180 mm",
        140.0,
        lambda: 1e3 * 0.035 * (1.0 / 0.3 - 1.0 / 300.0 - 1.0 / 20.0),
        40.0,
    ),
    *(
        Check(
            f"{part}, {btu:g} Btu/(h ft2 F): W/(m2 K)",
            source,
            published,
            lambda u=btu: _one_flat(u * BTU),
            0.005 if published >= 1.0 else 0.0005,
        )
        for source, part, btu, published in TRANSMISSIONS
    ),
    Check(
        "exchanger without data, W/(m2 K)",
        LIPTAK,
        795.0,
        lambda: coil(60.0, 1.0).conductance_w_k,
        0.5,
    ),
    Check(
        "losing 1 degF a day, W/m3",
        "Liu & Liptak 1997, section 7.45: 2600 Btu/h per 1000 ft3",
        26.9,
        lambda: 1e6 / 24.0 / 1e3 * warming_energy_kwh(1000.0, 0.0, 5.0 / 9.0),
        0.05,
        relative=True,
    ),
    Check(
        "disc of 3 m on ground of 1.5 W/(m K), 28 K warmer, W",
        INCROPERA,
        252.0,
        lambda: 28.0 * disc_conductance_w_k(3.0, 1.5),
        1e-9,
        status="from memory",
    ),
    Check(
        "sphere of 2 m, centre 2 m deep, 1 W/(m K), W/K",
        "ht 1.2.0, S_isothermal_sphere_to_plane",
        16.755,
        lambda: buried_sphere_conductance_w_k(2.0, 2.0, 1.0),
        0.001,
        status=LIBRARY,
    ),
    *(
        Check(
            f"{TANK}, Rf {rf:g}: U, W/(m2 K)",
            ISO,
            published,
            lambda r=rf: slab_transmittance_w_m2k(
                7.0686, 9.4248, ground_k_w_mk=2.0, floor_m2kw=r, wall_m=0.2
            ),
            0.01,
            relative=True,
            status="from memory",
        )
        for rf, published in ((0.0, 2.308), (1.0, 0.674), (2.86, 0.299))
    ),
    Check(
        "10 Nm3/d saturated at 38 degC: heat in its vapour, W",
        "environmental engineering reference text, equation 8.5, with CoolProp saturation",
        15.7,
        lambda: vapour_loss_w(10.0, 38.0),
        0.01,
        relative=True,
        status=LIBRARY,
    ),
    Check(
        "heat of evaporation at 38 degC, kJ/kg",
        "CoolProp 8.0.0",
        2411.0,
        lambda: evaporation_heat_kj_kg(38.0),
        0.002,
        relative=True,
        status=LIBRARY,
    ),
    Check(
        "power that holds 38 degC in the 25 mm case, W",
        CORRELATIONS,
        5.189,
        lambda: power_needed_w(
            body_of(
                CYLINDER,
                slurry_m3=0.01,
                wrap=Wrap(side=(Layer(0.025, 0.035),), lid=(Layer(0.025, 0.035),), films=False),
                stand=Stand("none"),
            ),
            38.0,
            Outside(20.0, 20.0),
        ),
        0.02,
        relative=True,
        status=LIBRARY,
    ),
]
