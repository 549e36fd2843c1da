"""The compiled benchmark model against further points of an independent solver."""

from functools import cache

from marshlight.process.model import published_settings, run_published_plant
from published.harness import Check
from published.process_model_values import POINT_NAMES, POINTS

SOURCE = (
    "Benchmark equations (Rosen & Jeppsson 2006) solved with an independent integrator, "
    "outflow k_p (P - P_atm) inside the balance"
)
LIQUID_M3 = 3400.0
WATCHED = tuple(name for name in POINT_NAMES if name != "methane_m3_per_d")
NORMAL_M3_PER_KMOL = 22.414
# Kilograms of COD added to 1 m3 as carbohydrate, then day: pH, acetate, methane [normal m3].
PULSES = {
    (10.0, 0.25): (6.9270, 1.499, 1630.0),
    (10.0, 0.5): (6.7058, 3.518, 4073.0),
    (10.0, 1.0): (7.3423, 2.587, 6309.0),
    (10.0, 2.0): (7.7067, 1.369, 9058.0),
}
OVERLOAD = {0.25: 6.8843, 0.5: 6.2441, 1.0: 4.570}


@cache
def point(case: str) -> dict[str, float]:
    """Run one case to rest."""
    plant, feed, *_ = POINTS[case]
    settings = published_settings(plant=plant, feed=feed)
    # The sour branch is what is left when nothing but the feed's own cells is there to begin with.
    trace = run_published_plant([0.0, 6000.0], settings=settings, watch=WATCHED, rtol=1e-8)
    found = {name: float(trace[name][-1]) for name in WATCHED}
    for name in ("acetate", "propionate", "inorganic_nitrogen", "x_acetate"):
        found[name] /= LIQUID_M3
    found["methane_m3_per_d"] = found["gas_out_m3_per_d"] * found["p_methane_bar"] / 1.013
    return found


@cache
def after_pulse(carbohydrate: float) -> dict[float, tuple[float, float, float]]:
    """Stop the feed at the steady state, add carbohydrate, follow pH, acetate and methane."""
    rest = run_published_plant([0.0, 3000.0], watch=("states",), rtol=1e-8)
    states = [float(curve[-1]) for curve in rest.values.values()]
    import numpy as np

    settings = published_settings(plant={"flow_in": 0.0, "flow_out": 0.0})
    days = [0.0, 0.25, 0.5, 1.0, 2.0]
    trace = run_published_plant(
        days,
        settings=settings,
        start=np.array(states),
        pulse={"carbohydrate": carbohydrate},
        watch=("pH", "acetate", "out_methane"),
        rtol=1e-7,
    )
    gas = (trace["out_methane"] - trace["out_methane"][0]) * NORMAL_M3_PER_KMOL
    rows = zip(days, trace["pH"], trace["acetate"] / LIQUID_M3, gas, strict=True)
    return {day: (float(p), float(a), float(g)) for day, p, a, g in rows}


def _row(subject: str, value: float, ours, tolerance: float, relative: bool = True) -> Check:
    status = "computed with reference library"
    return Check(subject, SOURCE, value, ours, tolerance, relative, status)


def _digits(name: str, value: float) -> tuple[float, bool]:
    """Tolerance: 1e-5 relative, or half a unit of the last printed digit where that is coarser."""
    if name == "pH":
        return 6e-6, False
    text = f"{value!r}"
    places = len(text.split(".")[1]) if "." in text else 0
    half_unit = 0.5 * 10.0**-places
    return max(1e-5 * abs(value), half_unit * 1.01), False


CHECKS = [
    _row(
        f"{case}: {name}",
        value,
        lambda c=case, n=name: point(c)[n],
        *_digits(name, value),
    )
    for case, (_, _, liquid, gas) in POINTS.items()
    for name, value in zip(POINT_NAMES, (*liquid, *gas), strict=True)
]
for (added, day), (ph, acetate, methane) in PULSES.items():
    for place, (name, value, tolerance) in enumerate(
        (("pH", ph, 1e-4), ("acetate [kg COD/m3]", acetate, 1e-3), ("methane [m3]", methane, 1.0))
    ):
        CHECKS.append(
            _row(
                f"{added:g} kg/m3 of carbohydrate, day {day:g}: {name}",
                value,
                lambda a=added, d=day, i=place: after_pulse(a)[d][i],
                tolerance,
                False,
            )
        )
for day, ph in OVERLOAD.items():
    CHECKS.append(
        _row(
            f"40 kg/m3 of carbohydrate, day {day:g}: pH",
            ph,
            lambda d=day: after_pulse(40.0)[d][0],
            1e-3,
            False,
        )
    )
