"""A run's log as the process model takes it: vessel, charge, and all that happened since."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from marshlight.answers.analysis import Analysis
from marshlight.apparatus import Bag, Counter, DisplacementColumn, FloatingCylinder, SealedBottle
from marshlight.decide.watch.steps import overflow
from marshlight.errors import InputError, MarshlightError
from marshlight.matter.mixing import Part
from marshlight.notebook.bridge import Charge, RunRecords
from marshlight.notebook.bridge.series import LoggedEvent
from marshlight.process.model import (
    Digester,
    Dose,
    DrawOff,
    Event,
    Feed,
    Holder,
    Liquid,
    OpenSeal,
    SetTemperature,
    Vent,
    liquid_from_feedstock,
    water,
)

WATER_KG_M3 = 1000.0
# Slurry thicker than this is hard to pour and to stir (source `practice_pourable`).
POURABLE_TS = 0.10
# What the notebook calls a dose, and the model.
DOSED = {
    "bicarbonate": "sodium bicarbonate",
    "potassium_bicarbonate": "potassium bicarbonate",
    "soda": "soda ash",
    "lime": "slaked lime",
}
# A change of temperature smaller than this is not worth a step of its own: our choice.
_STEP_K = 0.5
_MOST_STEPS = 40
_USUAL_C = 20.0
_COLDEST_C, _HOTTEST_C = 1.0, 60.0
# Where the low end of a liveliness is not known or nothing at all: our choice.
_LEAST_SHARE = 0.05


@dataclass(frozen=True)
class Past:
    """A run up to now: what the model needs, and what had to be taken for granted.

    ``lively`` is how lively its microbes may be relative to what is recorded (low, high);
    ``liquid_m3`` what stands in the vessel now.
    """

    digester: Digester
    charge: Liquid
    events: tuple[Event, ...]
    today: float
    liquid_m3: float
    celsius: float
    lively: tuple[float, float]
    notes: tuple[str, ...]


def past_of(analysis: Analysis, today: float) -> Past:
    """Read a run's log for the process model.

    Parameters
    ----------
    analysis : Analysis
        The run's analysis.
    today : float
        Days since its start [d].

    Returns
    -------
    Past
        Everything logged up to today.

    Raises
    ------
    InputError
        If vessel or charge are not known well enough.
    """
    records, notes = analysis.records, []
    first = records.first_charge
    if records.vessel is None:
        raise InputError("vessel", "not known", "a vessel of known volume", "Complete its set-up")
    if first is None or not first.parts:
        raise InputError(
            "charge", "not known", "what was put in at the start", "Log the charge with its parts"
        )
    temperatures = _temperatures(records, today, notes)
    digester = Digester(
        records.vessel.total_m3,
        _holder(records, notes),
        temperature_c=temperatures[0].celsius,
        atmosphere_kpa=records.barometer.pressure_kpa,
    )
    charge = liquid_of(first.parts, first.water_kg)
    changes, level = _changes(records, today, charge.volume_m3, digester.vessel_m3, notes)
    return Past(
        digester=digester,
        charge=charge,
        events=(*temperatures[1:], *changes),
        today=today,
        liquid_m3=level,
        celsius=temperatures[-1].celsius,
        lively=_lively(first.parts, notes),
        notes=tuple(dict.fromkeys(notes)),
    )


def liquid_of(parts: Sequence[Part], water_kg: float = 0.0) -> Liquid:
    """Pour materials and water together."""
    whole = water(water_kg / WATER_KG_M3)
    for part in parts:
        whole = whole + liquid_from_feedstock(part.feedstock, part.mass_kg)
    return whole


def thinned(parts: Sequence[Part], water_kg: float = 0.0) -> Liquid:
    """Pour materials with this water, and as much more as makes them pourable: 10 % of solids."""
    mass = sum(part.mass_kg for part in parts)
    solids = sum(part.mass_kg * part.feedstock.value("TS") for part in parts)
    return liquid_of(parts, max(solids / POURABLE_TS - mass, water_kg))


def _holder(records: RunRecords, notes: list[str]) -> Holder:
    kept = records.holder_log.holder
    if isinstance(kept, (FloatingCylinder, DisplacementColumn)):
        gauge = 0.2
        if isinstance(kept, FloatingCylinder):
            gauge = max(float(kept.gauge_pressure_kpa(kept.travel_m / 2.0)), 0.0)
        return Holder("floating", kept.capacity_m3, gauge_kpa=gauge)
    if isinstance(kept, Bag):
        return Holder("bag", kept.capacity_m3, gauge_kpa=kept.gauge_kpa)
    if isinstance(kept, SealedBottle):
        notes.append("Let out by hand is not followed: the bottle counts as closed throughout.")
        return Holder("sealed")
    if not isinstance(kept, Counter):
        notes.append("How gas leaves is not known: it is taken to leave as it is made.")
    return Holder("bag")


def _temperatures(
    records: RunRecords, today: float, notes: list[str]
) -> tuple[SetTemperature, ...]:
    """Follow the slurry by its daily means, in few steps; the first holds from the start."""
    read = records.series.get("slurry_temperature")
    if read is None or not read.day.size or not bool(np.any(read.day <= today)):
        heater, room = records.run.heater, records.run.site.room_temperature_c
        usual = heater.set_point_c if heater is not None else None
        usual = usual if usual is not None else room
        at = _USUAL_C if usual is None else float(usual)
        notes.append(f"Its slurry was never measured: taken to stand at {at:.0f} degC.")
        return (SetTemperature(0.0, float(np.clip(at, _COLDEST_C, _HOTTEST_C))),)
    known = read.day <= today
    which = np.floor(read.day[known])
    days = np.unique(which)
    means = [float(np.mean(read.value[known][which == day])) for day in days]
    if min(means) < _COLDEST_C or max(means) > _HOTTEST_C:
        notes.append("Temperatures beyond 1 to 60 degC are taken as these ends.")
    means = [float(np.clip(mean, _COLDEST_C, _HOTTEST_C)) for mean in means]
    step = _STEP_K
    while True:
        kept = [SetTemperature(0.0, means[0])]
        for day, mean in zip(days[1:], means[1:], strict=True):
            if abs(mean - kept[-1].celsius) > step:
                kept.append(SetTemperature(max(float(day), 0.0), mean))
        if len(kept) <= _MOST_STEPS:
            return tuple(kept)
        step *= 1.5


def _changes(
    records: RunRecords, today: float, level_m3: float, vessel_m3: float, notes: list[str]
) -> tuple[tuple[Event, ...], float]:
    """Write feeds, draw-offs, doses and openings down in order, and follow the level."""
    found: list[Event] = []
    feeds: list[tuple[float, Charge]] = [(c.day, c) for c in records.feeds]
    dated: list[tuple[float, Charge | LoggedEvent]] = [
        *feeds,
        *((e.day, e) for e in records.events),
    ]
    for day, what in sorted(dated, key=lambda pair: pair[0]):
        if not 0.0 <= day <= today:
            continue
        if isinstance(what, Charge):
            made = _fed(day, what, level_m3, vessel_m3, notes)
        else:
            made = _happened(what, level_m3, notes)
        for event in made:
            if isinstance(event, Feed):
                level_m3 += event.liquid.volume_m3
            if isinstance(event, DrawOff):
                level_m3 -= event.volume_m3
        found += made
    return tuple(found), level_m3


def _fed(
    day: float, charge: Charge, level_m3: float, vessel_m3: float, notes: list[str]
) -> list[Event]:
    try:
        liquid = liquid_of(charge.parts, charge.water_kg)
    except MarshlightError as error:
        notes.append(f"A feed on day {day:.0f} is left out: {error}")
        return []
    if not charge.parts and charge.mass_kg > charge.water_kg:
        notes.append(f"A feed on day {day:.0f} is left out: what it was is not written down.")
        return []
    return [*overflow(day, liquid, level_m3, vessel_m3), Feed(day, liquid)]


def _happened(event: LoggedEvent, level_m3: float, notes: list[str]) -> list[Event]:
    kind, day, value = event.kind, event.day, event.value
    if kind == "draw_off" and value:
        return [DrawOff(day, min(value, 0.9 * level_m3))]
    if kind == "dose" and value:
        name = DOSED.get(event.detail.get("substance", ""))
        if name is None:
            notes.append(f"The dose of day {day:.0f} is left out: the model does not follow it.")
            return []
        return [Dose(day, name, value)]
    if kind == "seal_opened":
        return [OpenSeal(day)]
    if kind in ("holder_emptied", "gas_vented"):
        return [Vent(day)]
    return []


def _lively(parts: Sequence[Part], notes: list[str]) -> tuple[float, float]:
    """Tell how lively the microbes may be, by the part that brings most of them."""
    best, most = None, 0.0
    for part in parts:
        held = part.feedstock.get("methanogenic_activity")
        if held is None or held.value <= 0.0:
            continue
        brought = held.value * part.mass_kg * part.feedstock.value("TS")
        if brought > most:
            best, most = held, brought
    if best is None:
        notes.append("No live inoculum is recorded in the charge: the model then shows no gas.")
        return 1.0, 1.0
    return max(best.low / best.value, _LEAST_SHARE), max(best.high / best.value, 1.0)
