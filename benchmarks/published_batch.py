"""The published bottles: gas as the engine counts it, forecast from the first visits."""

import csv
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

import numpy as np
from benchmarks.scoring import Bands, Score, score
from numpy.typing import NDArray

from marshlight.apparatus import Counter
from marshlight.matter.atmosphere import pressure_from_barometer
from marshlight.measure import GasLedger, HolderEvent, HolderReading, build_ledger
from marshlight.process import CurvePrior, fit_curve
from marshlight.process.forecast import forecast

Floats = NDArray[np.float64]
EXAMPLES = Path(__file__).parents[1] / "examples" / "published"
GROUPS = ("cellulose", "substrate_c", "wheat_straw", "preheated_sludge", "raw_sludge", "inoculum")
ML = 1e-6
_SEED = 20181029


def bottles(group: str) -> list[Path]:
    """List the files of one group of bottles."""
    return sorted(EXAMPLES.glob(f"justesen2019_{group}_??.csv"))


def ledger_of(path: Path) -> GasLedger:
    """Count the gas of one bottle: the volumes let out are summed like a meter's register."""
    with path.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    begun = datetime.fromisoformat(rows[0]["when"])
    register, readings = 0.0, []
    for row in rows:
        register += float(row["biogas (mL)"]) * ML
        readings.append(
            HolderReading(
                (datetime.fromisoformat(row["when"]) - begun).total_seconds() / 86400.0,
                register,
                way="volume",
                temperature_c=float(row["gas temperature (degC)"]),
                air_pressure_kpa=float(row["barometer (hPa)"]) / 10.0,
            )
        )
    return build_ledger(
        Counter(per_count_m3=1.0, u_counts=0.0),
        readings,
        [HolderEvent(0.0, "started", level_after=0.0, way="volume")],
        barometer=pressure_from_barometer(101.325, u_kpa=0.5),
    )


@dataclass(frozen=True)
class Split:
    """A bottle cut in two: what was known, and what came after."""

    ledger: GasLedger
    known: int

    @property
    def later_day(self) -> Floats:
        """Days of the readings that are to be forecast [d]."""
        return self.ledger.day[self.known :]

    @property
    def later_gas(self) -> Floats:
        """Cumulative gas at those days [m3]."""
        return self.ledger.cumulative_m3[self.known :]


def split(ledger: GasLedger, share: float = 0.5) -> Split:
    """Keep the first visits (the start itself not counted), at least two, to forecast the rest."""
    visits = int(np.sum(ledger.day > 0.0))
    first = ledger.day.size - visits
    return Split(ledger, first + max(2, int(np.floor(visits * share))))


def ours(cut: Split, prior: CurvePrior | None = None) -> Bands:
    """Fit the known part as the program does, and look ahead."""
    held = slice(0, cut.known)
    ledger = cut.ledger
    fit = fit_curve(
        ledger.day[held],
        ledger.cumulative_m3[held],
        ledger.u_random_m3[held],
        prior=prior,
        lower_bound=ledger.interval_lower_bound[held],
        interval_u_m3=ledger.interval_u_m3[held],
    )
    band = forecast(fit, cut.later_day, rng=np.random.default_rng(_SEED)).cumulative
    return Bands(band.median, band.low50, band.high50, band.low95, band.high95)


def persistence(cut: Split) -> Bands:
    """Baseline: gas goes on at the last interval's rate; no bands."""
    day, gas = cut.ledger.day[: cut.known], cut.ledger.cumulative_m3[: cut.known]
    rate = (gas[-1] - gas[-2]) / (day[-1] - day[-2])
    line = gas[-1] + rate * (cut.later_day - day[-1])
    return Bands(line, line, line, line, line)


def _first_order(t: Floats, ultimate: float, rate: float) -> Floats:
    return ultimate * (1.0 - np.exp(-rate * t))


def _gompertz(t: Floats, ultimate: float, rate: float, lag: float) -> Floats:
    # Modified Gompertz, Zwietering et al. 1990; `rate` is the steepest slope over the ultimate.
    return ultimate * np.exp(-np.exp(np.e * rate * (lag - t) + 1.0))


def _least_squares(cut: Split, rise: Callable[..., Floats], start: tuple[float, ...]) -> Bands:
    """Baseline: a curve by least squares on the cumulative gas, with its textbook band."""
    from scipy.special import stdtrit

    middle, sd, free = _line(cut, rise, start)
    wide50, wide95 = (float(stdtrit(free, 0.5 + level / 2)) * sd for level in (0.5, 0.95))
    return Bands(middle, middle - wide50, middle + wide50, middle - wide95, middle + wide95)


def _line(
    cut: Split, rise: Callable[..., Floats], start: tuple[float, ...]
) -> tuple[Floats, Floats, int]:
    """Give a least-squares curve on the later days, its standard error and its freedom.

    The ultimate is held to ten times the gas so far, or the fit of a run still speeding up
    would never end.
    """
    from scipy.optimize import curve_fit

    day = cut.ledger.day[: cut.known]
    gas = cut.ledger.cumulative_m3[: cut.known]
    scale = float(gas[-1])
    most = np.array([10.0, 10.0, float(day[-1])])[: len(start)]
    found, spread = curve_fit(
        rise, day, gas / scale, p0=start, bounds=(np.full(len(start), 1e-6), most), max_nfev=20000
    )
    free = max(int(np.sum(day > 0.0)) - len(start), 1)
    noise = float(np.sum((gas / scale - rise(day, *found)) ** 2)) / free
    middle = rise(cut.later_day, *found)
    step = 1e-5 * np.maximum(np.abs(found), 1e-3)
    slope = np.stack(
        [
            (rise(cut.later_day, *(found + one)) - rise(cut.later_day, *(found - one))) / (2 * h)
            for one, h in zip(np.diag(step), step, strict=True)
        ],
        axis=1,
    )
    sd = np.sqrt(np.maximum(np.einsum("mi,ij,mj->m", slope, spread, slope), 0.0) + noise)
    return middle * scale, sd * scale, free


def first_order(cut: Split) -> Bands:
    """Baseline: first order by least squares."""
    return _least_squares(cut, _first_order, (1.5, 0.1))


_GOMPERTZ_START = (1.5, 0.1, 0.5)


def gompertz(cut: Split) -> Bands:
    """Baseline: modified Gompertz by least squares, the usual choice of such papers."""
    return _least_squares(cut, _gompertz, _GOMPERTZ_START)


def gompertz_line(cut: Split) -> tuple[Floats, Floats, int]:
    """Give the same as middle, standard error and freedom."""
    return _line(cut, _gompertz, _GOMPERTZ_START)


METHODS: dict[str, Callable[[Split], Bands]] = {
    "ours": ours,
    "last rate goes on": persistence,
    "first order, least squares": first_order,
    "modified Gompertz, least squares": gompertz,
}


def scored(path: Path, method: Callable[[Split], Bands], share: float = 0.5) -> Score:
    """Score one method on one bottle, in per cent of the bottle's gas in the end."""
    cut = split(ledger_of(path), share)
    whole = 100.0 / float(cut.ledger.cumulative_m3[-1])
    bands = method(cut)
    names = ("median", "low50", "high50", "low95", "high95")
    return score(cut.later_gas * whole, Bands(*(getattr(bands, n) * whole for n in names)))
