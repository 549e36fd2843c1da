"""Invented racks read by pressure, counter and weight, with all that was written on paper."""

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

import numpy as np
import pandas as pd
from django.utils import timezone

from marshlight.notebook.models import Person, Site, Trial
from marshlight.notebook.recording import record_event, record_reading
from marshlight.notebook.setting_up import set_up

DAYS = np.array([1.0, 2.0, 3.0, 5.0, 7.0, 10.0, 14.0, 18.0])
AIR_KPA, SPACE_ML, BATH_C, ROOM_C = 100.0, 400.0, 35.0, 20.0
KINDS = {
    "": ("blank", 0.0, 260.0),
    "cellulose": ("control", 0.95, 720.0),
    "bread": ("sample", 0.62, 800.0),
}
CRUCIBLES = {"cellulose": ([0.955, 0.948, 0.952], [0.995, 0.998, 0.997]),
             "bread": ([0.64, 0.66, 0.65], [0.96, 0.965, 0.955]),
             "inoculum": ([0.03, 0.031, 0.029], [0.66, 0.67, 0.68])}  # fmt: skip
SEALED = {"kind": "sealed", "headspace": f"{SPACE_ML} mL"}
COUNTED = {"kind": "counter", "per_count": "1 mL"}
WEIGHED = {"kind": "scale", "exit_temperature": f"{BATH_C}", "scale_doubt": "2 mg"}


def vapour_kpa(celsius: float) -> float:
    """Saturation pressure by IAPWS SR1-86, written out here on its own."""
    kelvin = celsius + 273.15
    v = 1.0 - kelvin / 647.096
    powers = ((-7.85951783, 1.0), (1.84408259, 1.5), (-11.7866497, 3.0), (22.6807411, 3.5),
              (-15.9618719, 4.0), (1.80122502, 7.5))  # fmt: skip
    return 22064.0 * float(np.exp(647.096 / kelvin * sum(a * v**n for a, n in powers)))


def normal(ml: float, celsius: float, kpa: float) -> float:
    """Dry gas at 0 degC and 101.325 kPa in a moist volume [NmL]."""
    return ml * (kpa - vapour_kpa(celsius)) / 101.325 * 273.15 / (celsius + 273.15)


def grown(total_ml: float, i: int) -> np.ndarray:
    """Invent a bottle's true cumulative gas [NmL]."""
    return total_ml * (1.0 + 0.012 * i) * -np.expm1(-0.28 * DAYS)


def shares(i: int) -> np.ndarray:
    """Invent what an analyser shows: methane and carbon dioxide, air still leaving."""
    gas = -np.expm1(-DAYS / 1.5)
    made = 0.52 + 0.004 * i + 0.003 * DAYS
    return np.round(np.c_[made * gas, (1.0 - made) * gas], 4)


def make_bench() -> Person:
    """Set up the place and give who writes."""
    Site.objects.create(name="Bench", barometer_kpa=AIR_KPA, room_temperature_c=ROOM_C)
    person = Person(name="keeper", role=Person.Role.KEEPER)
    person.save()
    return person


Log = Callable[[Any, int, float, datetime, Person], pd.DataFrame]


def rack(keeper: Person, holder: dict[str, str], log: Log) -> tuple[Trial, pd.DataFrame]:
    """Set a trial up and write its log; give it with the rows a person would have on paper."""
    trial: Any = set_up("trial", {"name": "Rack"}, by=keeper)
    set_up("holder", {"name": "Gear", **holder}, by=keeper)
    trial.solids = {k: {"ts": ts, "vs": vs} for k, (ts, vs) in CRUCIBLES.items()}
    trial.save(by=keeper, why="crucibles")
    start = (timezone.now() - timedelta(days=20)).replace(microsecond=0)
    paper = []
    for material, (role, fresh_g, total) in KINDS.items():
        for i in range(3):
            label = f"{material or 'blank'} {i + 1}"
            set_up("vessel", {"name": label, "volume": "1 L"}, by=keeper)
            named = {"name": label, "vessel": label, "holder": "Gear"}
            run = set_up("run", named | {"started_at": start.isoformat()}, by=keeper)
            inoculum = 250.0 + i
            row = {"name": label, "trial": "Rack", "run": str(run.pk), "role": role,
                   "inoculum": f"{inoculum} g"}  # fmt: skip
            if material:
                row |= {"material": material, "substrate": f"{3.0 * fresh_g + 0.01 * i} g",
                        "substrate_vs": "50 %"}  # fmt: skip
            set_up("trialbottle", row, by=keeper)
            parts = [{"feedstock": "digester_effluent", "mass": "600 g"}]
            record_event(run, "charge", at=start, detail={"parts": parts}, by=keeper)
            record_reading(run, "slurry_temperature", f"{BATH_C}", at=start, by=keeper)
            written = log(run, i, total, start, keeper)
            written["label"], written["role"], written["group"] = label, role, material
            written["inoculum"] = inoculum
            written["fresh"] = 3.0 * fresh_g + 0.01 * i if material else 0.0
            paper.append(written)
    return trial, pd.concat(paper, ignore_index=True)


def analysed(run: Any, i: int, start: datetime, keeper: Person) -> pd.DataFrame:
    """Write analyses down at every reading."""
    seen = shares(i)
    for day, (x, y) in zip(DAYS, seen, strict=True):
        at = start + timedelta(days=float(day))
        other = {"carbon_dioxide": f"{y * 100:.6g} %"}
        record_reading(run, "analyser", f"{x * 100:.6g} %", at=at, detail=other, by=keeper)
    return pd.DataFrame({"day": DAYS, "x": seen[:, 0], "y": seen[:, 1]})


def pressures(run: Any, i: int, total: float, start: datetime, keeper: Person) -> pd.DataFrame:
    """Read a sealed bottle's pressure, then let it off."""
    paper = analysed(run, i, start, keeper)
    empty = normal(SPACE_ML, BATH_C, AIR_KPA)
    slope = normal(SPACE_ML, BATH_C, AIR_KPA + 1.0) - empty
    made = np.diff(grown(total, i), prepend=0.0)
    paper["shown"] = np.round(made / slope, 2)
    for day, kpa in zip(DAYS, paper.shown, strict=True):
        at = start + timedelta(days=float(day))
        record_reading(run, "pressure", f"{kpa} kPa", at=at, by=keeper)
        record_reading(run, "barometer", f"{AIR_KPA * 10} hPa", at=at, by=keeper)
        record_reading(run, "slurry_temperature", f"{BATH_C}", at=at, by=keeper)
        record_event(run, "gas_vented", at=at + timedelta(minutes=2), by=keeper)
    return paper


def counts(run: Any, i: int, total: float, start: datetime, keeper: Person) -> pd.DataFrame:
    """Read a counter of one millilitre a count, its gas at room temperature."""
    paper = analysed(run, i, start, keeper)
    paper["shown"] = np.round(grown(total, i) * 1.12, 0)
    record_reading(run, "counter", "0 mL", at=start, by=keeper)
    for day, ml in zip(DAYS, paper.shown, strict=True):
        at = start + timedelta(days=float(day))
        record_reading(run, "counter", f"{ml} mL", at=at, by=keeper)
        record_reading(run, "barometer", f"{AIR_KPA * 10} hPa", at=at, by=keeper)
        record_reading(run, "gas_temperature", f"{ROOM_C}", at=at, by=keeper)
        record_reading(run, "slurry_temperature", f"{BATH_C}", at=at, by=keeper)
    return paper


def weights(run: Any, i: int, total: float, start: datetime, keeper: Person) -> pd.DataFrame:
    """Weigh a bottle to the milligram before and after letting its gas off."""
    paper = analysed(run, i, start, keeper)
    paper["shown"] = np.round(1000.0 - grown(total, i) * 1.28e-3, 3)
    record_reading(run, "mass", "1000 g", at=start, by=keeper)
    for day, grams in zip(DAYS, paper.shown, strict=True):
        at = start + timedelta(days=float(day))
        record_reading(run, "mass", f"{grams} g", at=at, by=keeper)
        record_reading(run, "barometer", f"{AIR_KPA * 10} hPa", at=at, by=keeper)
        record_reading(run, "slurry_temperature", f"{BATH_C}", at=at, by=keeper)
    return paper
