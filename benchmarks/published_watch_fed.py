"""The published fed plant as a log for the process model, and every method's forecast as draws."""

import csv
from dataclasses import dataclass, replace

import numpy as np
from benchmarks import published_fed as fed
from benchmarks.published_watch import DRAWS
from numpy.typing import NDArray

from marshlight.decide.watch.calibration import (
    Counted,
    Read,
    RunLog,
    ahead,
    calibrate,
    dry_gas,
    observed_gas,
)
from marshlight.matter import Property, library
from marshlight.process.fed import fit_fed
from marshlight.process.model import (
    Digester,
    DrawOff,
    Event,
    Feed,
    Holder,
    Liquid,
    SetTemperature,
    liquid_from_feedstock,
    water,
)
from marshlight.process.paths import gas_paths
from marshlight.process.sampling import draw_parameters

Floats = NDArray[np.float64]
_SEED = 20240918
# Gas meter of a plant, relative, standard, and the mean of two pH probes: our choice.
_U_GAS, _U_PH = 0.03, 0.1
_STEP_K = 0.5
_GAS_SPACE = 0.1
# Sludge 0.20 to 0.36 of 0.28, waste 0.25 to 0.70 of 0.45 m3 CH4/kg VS, as `published_fed` has it.
_FOOD = (0.65, 1.45)
_FED = (
    ("thickened sludge fed (gal)", "thickened sludge VS (%)", "sewage_sludge"),
    ("primary sludge fed (gal)", "primary sludge VS (%)", "sewage_sludge"),
    ("high-strength waste fed (gal)", "high-strength waste VS (%)", "food_waste"),
)


@dataclass(frozen=True)
class Watched:
    """The plant as its log and what came: gas of each day [m3], events of all its days."""

    gas_m3: Floats
    events: tuple[Event, ...]
    log: RunLog


def watched() -> Watched:
    """Read the plant's file as a keeper would log it: the whole run, to be cut by ``until``."""
    with fed.FILE.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    gas = fed.plant().gas_m3
    days = np.arange(len(rows), dtype=np.float64)
    warm = np.array([_mean(r, "temperature (degF)") for r in rows])
    ph = np.array([_mean(r, "pH") for r in rows])
    celsius = (warm - 32.0) / 1.8
    meals = _meals(rows)
    events: list[Event] = []
    for day, meal in enumerate(meals):
        if meal.volume_m3 > 0.0:
            events += [DrawOff(day + 0.5, meal.volume_m3), Feed(day + 0.5, meal)]
    held = celsius[0]
    for day, value in enumerate(celsius):
        if abs(value - held) > _STEP_K:
            held = value
            events.append(SetTemperature(float(day), float(value)))
    events.sort(key=lambda event: event.day)
    full = Read(days + 0.5, ph, np.full(days.size, _U_PH))
    log = RunLog(
        digester=Digester(
            fed.TANKS_M3 * (1.0 + _GAS_SPACE), Holder("bag"), temperature_c=float(celsius[0])
        ),
        charge=_contents(),
        today=float(days.size),
        events=tuple(events),
        lively=(0.3, 3.0),
        food=_FOOD,
        gas=Counted(days, days + 1.0, gas, _U_GAS * gas, np.zeros(days.size, dtype=bool)),
        ph=full,
        slurry_c=Read(days + 0.5, celsius, np.full(days.size, 0.3)),
    )
    return Watched(gas, tuple(events), log)


def _contents() -> Liquid:
    """What stands in the tanks on the first day: digested sewage sludge of the library."""
    stock = library()["digested_sewage_sludge"]
    liquid = liquid_from_feedstock(stock, fed.TANKS_M3 * 1000.0)
    return liquid.scaled(fed.TANKS_M3 / liquid.volume_m3)


def _meals(rows: list[dict[str, str]]) -> list[Liquid]:
    """Give each day's feed as one liquid: volume as fed, solids as analysed."""
    whole = [water(0.0) for _ in rows]
    for fed_name, share_name, key in _FED:
        stock = library()[key]
        shares = fed.carried([row[share_name] for row in rows])
        for day, (row, share) in enumerate(zip(rows, shares, strict=True)):
            litres = float(row[fed_name]) * fed.GALLON_M3 * 1000.0
            if litres <= 0.0:
                continue
            wet = share / 100.0 / stock.value("VS")
            thin = stock.with_measured(
                {"TS": Property(wet, 0.98 * wet, 1.02 * wet, "schroer_just_2024")}
            )
            meal = liquid_from_feedstock(thin, litres)
            whole[day] = whole[day] + meal.scaled(litres / 1000.0 / meal.volume_m3)
    return whole


def _mean(row: dict[str, str], what: str) -> float:
    cells = [row[f"digester {n} {what}"] for n in (1, 2)]
    return float(np.mean([float(cell) for cell in cells if cell]))


def by_model(plant: Watched, known: int) -> Floats:
    """Forecast each later day's gas with the calibrated process model, feeding as planned."""
    rng = np.random.default_rng(_SEED)
    log = plant.log.until(float(known))
    lives = calibrate(log, rng=rng)
    days = np.arange(known, plant.gas_m3.size + 1.0)
    to_come = [e for e in plant.events if e.day > known and not isinstance(e, SetTemperature)]
    run = ahead(lives, log, days=days, events=to_come)
    return np.diff(observed_gas(lives, days, dry_gas(run), rng=rng), axis=1)


def by_curves(known: int) -> Floats:
    """Forecast with fed curves as the program does: the same draws its bands are made of."""
    rng = np.random.default_rng(_SEED)
    data = fed.plant()
    feeds, drawn = data.feeds(), data.draw_offs()
    fit = fit_fed(
        feeds[: known + 1],
        np.arange(1.0, known + 1.0),
        np.cumsum(data.gas_m3[:known]),
        None,
        rate_per_d=fed.RATE,
        draw_offs=drawn[:known],
    )
    days = np.arange(known, data.gas_m3.size) + 1.0
    # As in `forecast_fed`, which keeps the quantiles only.
    model = replace(fit.model, feeds=tuple(feeds), draw_offs=tuple(drawn))
    belief = fit.expectation.about(fit.model.kernel)
    parameters, scale = draw_parameters(fit.best, belief, DRAWS, rng=rng)
    return gas_paths(replace(fit.best, model=model), parameters, scale, days=days, rng=rng).daily


def last_week(known: int) -> Floats:
    """Forecast with the last week's mean, with the spread of all known days."""
    rng = np.random.default_rng(_SEED)
    gas = fed.plant().gas_m3
    later = gas.size - known
    return rng.normal(
        float(np.mean(gas[known - 7 : known])), float(np.std(gas[:known], ddof=1)), (DRAWS, later)
    )
