"""What a run's records know of its warmth, as it would be typed into the heat page's form."""

import numpy as np

from marshlight.answers.analysis import Analysis
from marshlight.answers.run_gas import run_gas
from marshlight.notebook.bridge import heater_kind, insulation_of
from marshlight.notebook.models import Heater, Run, Vessel
from marshlight.process.heated import quick_factor
from marshlight.units import show

_LEAST_ROOM_READINGS = 6


def known_of(run: Run, analysis: Analysis, system: str) -> dict[str, str]:
    """Say what a run's records know, as it would be typed.

    Parameters
    ----------
    run : Run
        With vessel, heater and site.
    analysis : Analysis
        Of its log.
    system : str
        "metric" or "us".

    Returns
    -------
    dict
        Field name of the heat page to text.
    """
    known = {"vessel": run.vessel.name}
    if analysis.slurry_m3:
        known["slurry"] = show(analysis.slurry_m3, "volume", system=system)
    known |= _vessel(run.vessel, system) | _room(run, analysis, system)
    known |= {"heater": "none"} if run.heater is None else _heater(run.heater, system)
    if run.site.energy_price is not None:
        known["price"] = f"{run.site.energy_price:g}"
    if run.feed_temperature_c is not None:
        known["feed_at"] = show(run.feed_temperature_c, "temperature", system=system)
    warm = analysis.latest.get("slurry_temperature")
    if warm is not None and warm.value is not None:
        known["start"] = show(warm.value, "temperature", system=system)
    gas = run_gas(run)
    if gas.gas_m3_d:
        # What was counted came at the slurry's own temperature; the form asks for it at 38 °C.
        factor = quick_factor(gas.slurry_c) if gas.slurry_c is not None else 1.0
        known["gas"] = show(gas.gas_m3_d / max(factor, 0.1), "flow", system=system)
        known["methane"] = show(gas.methane.value, "fraction", unit="%", digits=2)
    return known


def _heater(heater: Heater, system: str) -> dict[str, str]:
    kind = heater_kind(heater.kind)
    known = {"heater": kind, "cut_out": "yes" if heater.cut_out else "no"}
    if heater.power_w is not None:
        known["power"] = show(heater.power_w, "power", system=system)
    if heater.set_point_c is not None and heater.thermostat:
        text = show(heater.set_point_c, "temperature", system=system)
        known["set_point"] = known["wanted"] = text
        if kind in ("bath", "coil"):
            known["water"] = text
    elif not heater.thermostat:
        known["set_point"] = ""
    if heater.supply_c is not None:
        known["water"] = show(heater.supply_c, "temperature", system=system)
    if heater.tube_m2 is not None:
        known["tube"] = show(heater.tube_m2, "area", system=system)
    if heater.protection:
        known["protection"] = heater.protection
    if heater.made_for_liquids:
        known["liquids"] = heater.made_for_liquids
    return known


def _vessel(vessel: Vessel, system: str) -> dict[str, str]:
    known = {
        name: value
        for name, value in (
            ("wrapped", vessel.wrapped), ("stand", vessel.stand), ("around", vessel.around)
        )
        if value
    }  # fmt: skip
    if vessel.insulation_m:
        known["thickness"] = show(vessel.insulation_m, "length", system=system, digits=2)
    material = insulation_of(vessel)
    return known if material is None else known | {"insulation": material}


def _room(run: Run, analysis: Analysis, system: str) -> dict[str, str]:
    rows = analysis.records.series.get("room_temperature")
    if rows is not None and rows.day.size >= _LEAST_ROOM_READINGS:
        recent = rows.value[rows.day > rows.day[-1] - 14.0]
        low, high = float(np.quantile(recent, 0.1)), float(np.quantile(recent, 0.9))
    else:
        site = run.site
        usual = site.room_temperature_c
        low, high = (
            next((end for end in ends if end is not None), None)
            for ends in ((site.room_low_c, usual), (site.room_high_c, usual))
        )
        if low is None or high is None:
            return {}
    pair = (min(low, high), max(low, high))
    return {
        name: show(end, "temperature", system=system)
        for name, end in zip(("low", "high"), pair, strict=True)
    }
