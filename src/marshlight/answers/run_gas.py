"""What a run's records say of its gas, as figures for flame, gas space, cleaning and sheet."""

from dataclasses import dataclass

import numpy as np

from marshlight.answers.analysis import Analysis, analyse
from marshlight.answers.lately import gas_lately
from marshlight.apparatus import Bag, DisplacementColumn, FloatingCylinder
from marshlight.errors import MarshlightError
from marshlight.estimate import Range
from marshlight.measure import methane_share
from marshlight.notebook.models import Run

# Reckoned with where neither slurry nor room was read.
USUAL_GAS_C = 20.0


@dataclass(frozen=True)
class RunGas:
    """A run's gas; None where the records don't say.

    ``methane`` as the gas is [-], ``held_m3`` in the holder as it stands, ``gauge_kpa`` its
    pressure, ``gas_m3_d`` made a day, dry normal, ``h2s`` newest reading [-] with its day.
    """

    run: Run
    analysis: Analysis
    methane: Range
    methane_tested: bool
    held_m3: float | None
    holder_m3: float | None
    gauge_kpa: float | None
    gas_space_m3: float | None
    gas_m3_d: float | None
    h2s: float | None
    h2s_day: float | None
    slurry_c: float | None
    gas_c: float
    pressure_kpa: float
    flame: str | None


def run_gas(run: Run) -> RunGas:
    """Gather what is known of a run's gas.

    Parameters
    ----------
    run : Run
        The run.

    Returns
    -------
    RunGas
        Newest readings; methane from all recent tests, or what biogas may be.
    """
    analysis = analyse(run)
    found = analysis.methane
    share = methane_share(()) if found is None else found
    held, gauge, most = _held(analysis)
    h2s, day = _sulphide(analysis)
    flame = analysis.latest.get("flame")
    return RunGas(
        run=run,
        analysis=analysis,
        methane=share.methane,
        methane_tested=found is not None,
        held_m3=held,
        holder_m3=most,
        gauge_kpa=gauge,
        gas_space_m3=_gas_space(analysis),
        gas_m3_d=_a_day(analysis),
        h2s=h2s,
        h2s_day=day,
        slurry_c=_value(analysis, "slurry_temperature"),
        gas_c=_gas_temperature(analysis),
        pressure_kpa=analysis.records.barometer.pressure_kpa,
        flame=None if flame is None else str(flame.detail.get("answer")),
    )


def _value(analysis: Analysis, kind: str) -> float | None:
    reading = analysis.latest.get(kind)
    return None if reading is None else reading.value


def _gas_temperature(analysis: Analysis) -> float:
    for kind in ("gas_temperature", "room_temperature"):
        read = _value(analysis, kind)
        if read is not None:
            return read
    room = analysis.records.run.site.room_temperature_c
    return USUAL_GAS_C if room is None else float(room)


def _gas_space(analysis: Analysis) -> float | None:
    vessel, slurry = analysis.records.vessel, analysis.slurry_m3
    if vessel is None or slurry is None:
        return None
    space = vessel.total_m3 - slurry
    return space if space > 0.0 else None


def _held(analysis: Analysis) -> tuple[float | None, float | None, float | None]:
    """Give gas in the holder now [m3], its pressure [kPa] and the most it holds [m3]."""
    holder = analysis.records.holder_log.holder
    level, volume = _value(analysis, "level"), _value(analysis, "volume")
    most = holder.capacity_m3 if isinstance(holder, _HOLDERS) else None
    try:
        if isinstance(holder, FloatingCylinder):
            if level is None and volume is not None:
                level = float(holder.level_of(volume))
            if level is None:
                return None, None, most
            gauge = float(holder.gauge_pressure_kpa(level))
            return float(holder.gas_volume_m3(level)), gauge if gauge > 0.0 else None, most
        if isinstance(holder, DisplacementColumn) and volume is None and level is not None:
            volume = float(holder.gas_volume_m3(level))
    except MarshlightError:
        return None, None, most
    return (volume if isinstance(holder, _HOLDERS) else None), None, most


_HOLDERS = (FloatingCylinder, DisplacementColumn, Bag)


def _a_day(analysis: Analysis) -> float | None:
    lately = gas_lately(analysis).rate_m3_per_d
    return None if lately is None else max(lately.value, 0.0)


def _sulphide(analysis: Analysis) -> tuple[float | None, float | None]:
    """Give the newest hydrogen sulphide of tube, analyser or lab, with its day."""
    newest: tuple[float, float] | None = None
    for reading in analysis.records.detailed:
        share: float | None = None
        if reading.kind == "analyser":
            share = reading.detail.get("hydrogen_sulfide")
        elif "hydrogen_sulfide" in (reading.detail.get("gas"), reading.detail.get("analyte")):
            share = reading.value
        if share is not None and (newest is None or reading.day >= newest[0]):
            newest = (reading.day, float(share))
    return (None, None) if newest is None else (newest[1], newest[0])


def seal_days(analysis: Analysis) -> np.ndarray:
    """Give the days on which the seal stood open [d]."""
    return np.array([e.day for e in analysis.records.events if e.kind == "seal_opened"])
