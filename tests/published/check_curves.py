"""Values of the cumulative-gas curves, computed from the cited equations by hand.

The equations are Zwietering et al. 1990 (sigmoids) and the review of Pererva et al.
2020 (first order, cone, two pools); the numbers follow from them with A = 350, Rm = 25,
lag = 2, k = 0.1 (cone 0.12, n = 1.8; pools 0.6 at 0.3 and 0.05), to five digits.
"""

import numpy as np

from marshlight.process.curves import curve
from marshlight.process.fit import fit_curve
from marshlight.process.milestones import first_spent
from published.harness import Check

ZWIETERING = "Zwietering et al. 1990, equation (form from memory), arithmetic"
REVIEW = "Pererva et al. 2020, equation (abstract), arithmetic"
COMPUTED = "computed with reference library"

PARAMETERS: dict[str, tuple[str, list[float]]] = {
    "gompertz": (ZWIETERING, [350, 25, 2]),
    "logistic": (ZWIETERING, [350, 25, 2]),
    "first_order": (REVIEW, [350, 0.1]),
    "cone": (REVIEW, [350, 0.12, 1.8]),
    "two_pool": (REVIEW, [350, 0.6, 0.3, 0.05]),
}
DAYS = (0, 2, 5, 10, 20)
VALUES: dict[str, dict[int, float]] = {
    "gompertz": dict(zip(DAYS, (6.3585, 23.096, 76.689, 196.94, 322.28), strict=True)),
    "logistic": dict(zip(DAYS, (24.850, 41.721, 84.629, 199.83, 335.52), strict=True)),
    "first_order": dict(zip(DAYS, (0.0, 63.444, 137.71, 221.24, 302.63), strict=True)),
    "cone": dict(zip(DAYS, (0.0, 24.911, 99.772, 203.46, 290.02), strict=True)),
    "two_pool": {0: 0.0, 5: 194.11, 10: 254.63, 20: 297.98},
}
TIMES: dict[str, dict[float, float]] = {
    "gompertz": {0.5: 9.0380, 0.8: 14.875, 0.9: 18.740, 0.95: 22.448},
    "logistic": {0.5: 9.0000, 0.8: 13.852, 0.9: 16.690, 0.95: 19.306},
    "first_order": {0.5: 6.9315, 0.8: 16.094, 0.9: 23.026, 0.95: 29.957},
    "cone": {0.5: 8.3333, 0.8: 18.001, 0.9: 28.246, 0.95: 42.780},
    "two_pool": {0.5: 4.1180, 0.8: 14.623},
}


def _rounding(printed: float) -> float:
    """Half a unit of the fifth printed digit."""
    return 0.5 * 10.0 ** (np.floor(np.log10(abs(printed))) - 4) * 1.02 if printed else 1e-12


def _table() -> list[Check]:
    rows = []
    for name, (source, p) in PARAMETERS.items():
        rows += [
            Check(f"{name}: gas on day {day}", source, value,
                  lambda n=name, p=p, d=day: float(curve(n).value(float(d), p)),
                  _rounding(value), status=COMPUTED)
            for day, value in VALUES[name].items()
        ]  # fmt: skip
        rows += [
            Check(f"{name}: day of {100 * share:.0f} %", source, value,
                  lambda n=name, p=p, s=share: float(curve(n).time_to_fraction(s, p)),
                  _rounding(value), status=COMPUTED)
            for share, value in TIMES[name].items()
        ]  # fmt: skip
    return rows


def _peaks() -> list[Check]:
    rows = [
        Check("cone: day of peak", REVIEW, 4.1549,
              lambda: float(curve("cone").peak(PARAMETERS["cone"][1])[0]), 5e-5, status=COMPUTED),
        Check("cone: peak rate", REVIEW, 26.207,
              lambda: float(curve("cone").peak(PARAMETERS["cone"][1])[1]), 5e-4, status=COMPUTED),
        Check("cone: share come at the peak", REVIEW, 0.22222,
              lambda: float(curve("cone").value(4.1548755, PARAMETERS["cone"][1])) / 350,
              5e-6, status=COMPUTED),
    ]  # fmt: skip
    for name in ("gompertz", "logistic"):
        rows += [
            Check(f"{name}: steepest slope is Rm", ZWIETERING, 25.0,
                  lambda n=name: float(curve(n).peak([350, 25, 2])[1]), 1e-9, relative=True),
            Check(f"{name}: steepest tangent meets the axis at the lag", ZWIETERING, 2.0,
                  lambda n=name: float(curve(n).tangent_lag([350, 25, 2])), 1e-9, relative=True),
        ]  # fmt: skip
    return rows


def _box_bod_elsewhere() -> list[Check]:
    x, y = [1, 2, 3, 5, 7, 10], [109, 149, 149, 191, 213, 224]
    source = "BoxBOD data (NIST StRD), other curves, arithmetic"

    def value(name: str, key: str) -> float:
        return fit_curve(x, y, None, curve=name, wander=0.0).estimates[key].value

    bod_y = [8.3, 10.3, 19.0, 16.0, 15.6, 19.8]
    bates = "Bates and Watts 1988, appendix A1.4 (data from memory), arithmetic"

    def bod(key: str, part: str) -> float:
        fit = fit_curve([1, 2, 3, 4, 5, 7], bod_y, None, curve="first_order", wander=0.0)
        return float(getattr(fit.estimates[key], part))

    return [
        Check("BoxBOD by Gompertz: lag (negative, warned of)", source, -3.2048,
              lambda: value("gompertz", "lag"), 5e-5, status=COMPUTED),
        Check("BoxBOD by cone: ultimate (far beyond, warned of)", source, 457.4,
              lambda: value("cone", "ultimate"), 0.05, status=COMPUTED),
        Check("Marske oxygen demand: ultimate", bates, 19.143, lambda: bod("ultimate", "value"),
              5e-4, status="from memory"),
        Check("Marske oxygen demand: sd of ultimate", bates, 2.4959, lambda: bod("ultimate", "u"),
              5e-5, status="from memory"),
        Check("Marske oxygen demand: rate", bates, 0.53109, lambda: bod("rate", "value"),
              5e-6, status="from memory"),
        Check("Marske oxygen demand: sd of rate", bates, 0.20308, lambda: bod("rate", "u"),
              5e-6, status="from memory"),
    ]  # fmt: skip


SPENT = {0.05: (39, 0.85773), 0.10: (27, 0.93279), 0.20: (18, 0.97268),
         0.30: (14, 0.98500), 0.50: (11, 0.99591)}  # fmt: skip


def _spent_day(k: float) -> float:
    days = np.arange(0.0, 61.0)
    return float(first_spent(days, curve("first_order").value(days, [1.0, k]), after=0.0))


def _spent() -> list[Check]:
    source = "Holliger et al. 2020 (document 100), rule of 1 % for three days; arithmetic"
    rows = []
    for k, (day, share) in SPENT.items():
        rows += [
            Check(f"spent day of first order at {k:g} /d", source, day,
                  lambda k=k: _spent_day(k), 1e-9,
                  status=COMPUTED),
            Check(f"share come when spent at {k:g} /d", source, share,
                  lambda k=k, d=day: float(curve("first_order").value(float(d), [1.0, k])), 5.1e-6,
                  status=COMPUTED),
        ]  # fmt: skip
    return rows


CHECKS: list[Check] = [*_table(), *_peaks(), *_box_bod_elsewhere(), *_spent()]
