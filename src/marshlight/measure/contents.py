"""From rows of readings to dry normal gas, with its uncertainty in shared and fresh parts."""

from dataclasses import dataclass

import numpy as np

from marshlight.apparatus import Counter, Holder, MassLoss, SealedBottle, VolumeHolder
from marshlight.errors import InputError
from marshlight.estimate import Estimate
from marshlight.matter.gas import (
    GASES,
    dry_normal_density_kg_m3,
    dry_normal_factor,
    vapour_carried_kg_m3,
)
from marshlight.matter.water import (
    KELVIN,
    saturation_vapour_pressure_kpa,
    vapour_pressure_slope_kpa_k,
)
from marshlight.measure.counts import counted
from marshlight.measure.rows import Rows
from marshlight.measure.surroundings import BoolArray, FloatArray, Surroundings

SHARED = (
    "size of the holder",
    "barometer",
    "gauge pressure",
    "holder thermometer",
    "vessel thermometer",
    "head-space volume",
    "methane share",
)


@dataclass(frozen=True)
class Contents:
    """All gas accounted for at each of n rows, dry normal.

    Parameters
    ----------
    amount_m3 : array, shape (n,)
        Gas in holder and head-space, or passed and in the head-space [m3].
    headspace_m3 : array, shape (n,)
        The part of it in the head-space [m3].
    variance : array, shape (n,)
        Variance fresh at each row [m6].
    path_variance : array, shape (n,)
        Variance added between the row before and this one, for good [m6].
    shared : array, shape (n, len(SHARED))
        Change of the amount for one standard uncertainty of each shared input [m3].
    unseen : array of bool, shape (n,)
        True where gas may have escaped just before the row.
    why : dict of int to (str, str)
        Kind and text of what was noted at a row.
    """

    amount_m3: FloatArray
    headspace_m3: FloatArray
    variance: FloatArray
    path_variance: FloatArray
    shared: FloatArray
    unseen: BoolArray
    why: dict[int, tuple[str, str]]


@dataclass(frozen=True)
class _Gas:
    """Normal gas of a volume with its relative slopes in pressure and temperature."""

    amount: FloatArray
    per_kpa: FloatArray
    per_kelvin: FloatArray


def account(
    holder: Holder, rows: Rows, around: Surroundings, *, methane: Estimate | None
) -> Contents:
    """Account for all gas at each row.

    Parameters
    ----------
    holder : Holder
        The apparatus that was read.
    rows : Rows
        Columns in order of time.
    around : Surroundings
        Air, head-space, instruments and room.
    methane : Estimate, optional
        Dry methane share, needed by mass loss [-].

    Returns
    -------
    Contents
        Dry normal gas at each row.

    Raises
    ------
    InputError
        If a reading is impossible, or mass loss lacks a methane share.

    References
    ----------
    hafner_2020_doc_201, hafner_2020_doc_202, hafner_2020_doc_203; gum_2008.
    """
    if isinstance(holder, Counter):
        return _with_headspace(_passed(holder, rows, around), rows, around, holder.gauge_kpa)
    if isinstance(holder, SealedBottle):
        return _bottled(holder, rows, around)
    if isinstance(holder, MassLoss):
        inside = holder.exit_gauge_kpa
        return _with_headspace(_weighed(holder, rows, methane), rows, around, inside)
    return _held(holder, rows, around)


def _gas(volume: FloatArray, celsius: FloatArray, kpa: FloatArray, humidity: float) -> _Gas:
    vapour = humidity * saturation_vapour_pressure_kpa(celsius)
    slope = humidity * vapour_pressure_slope_kpa_k(celsius)
    dry = kpa - vapour
    amount = volume * dry_normal_factor(celsius, kpa, humidity)
    return _Gas(amount, amount / dry, -amount * (1.0 / (celsius + KELVIN) + slope / dry))


def _columns(count: int, **parts: FloatArray) -> FloatArray:
    names = ("scale", "barometer", "gauge", "holder_c", "vessel_c", "headspace", "methane")
    zero = np.zeros(count)
    return np.column_stack([parts.get(name, zero) for name in names])


def _held(holder: VolumeHolder, rows: Rows, around: Surroundings) -> Contents:
    liquid_c = float(np.mean(rows.temperature_c)) if rows.day.size else 20.0
    volume, gauge = np.empty_like(rows.day), np.empty_like(rows.day)
    u_volume, full = np.empty_like(rows.day), np.zeros(rows.day.size, dtype=np.bool_)
    for way in np.unique(rows.way):
        here = rows.way == way
        gas = holder.held(rows.value[here], way=str(way), temperature_c=liquid_c)
        volume[here], gauge[here] = gas.volume_m3, gas.gauge_kpa
        u_volume[here], full[here] = gas.u_volume_m3, gas.full
    volume[rows.emptied] = holder.empty_volume_m3(liquid_c)
    gauge[rows.emptied] = 0.0
    u_volume[rows.emptied] = holder.u_empty_m3
    kpa = rows.air_kpa + gauge
    gas_in = _gas(volume, rows.temperature_c, kpa, holder.relative_humidity)
    space = _gas(rows.headspace_m3, rows.vessel_c, kpa, 1.0)
    u_gauge = np.where(rows.emptied, 0.0, holder.random_gauge_u_kpa)
    per_kpa = gas_in.per_kpa + space.per_kpa
    factor = dry_normal_factor(rows.temperature_c, kpa, holder.relative_humidity)
    variance = (
        (u_volume * factor) ** 2
        + (per_kpa * np.hypot(rows.u_air_kpa, u_gauge)) ** 2
        + (gas_in.per_kelvin * rows.u_temperature_c) ** 2
        + (space.per_kelvin * rows.u_vessel_c) ** 2
    )
    shared = _columns(
        rows.day.size,
        scale=gas_in.amount * holder.shared_relative_u,
        barometer=per_kpa * rows.u_air_shared_kpa,
        gauge=per_kpa * np.where(rows.emptied, 0.0, holder.shared_gauge_u_kpa),
        holder_c=gas_in.per_kelvin * around.instruments.u_temperature_shared_c,
        vessel_c=space.per_kelvin * around.instruments.u_vessel_shared_c,
        headspace=space.amount * _headspace_u(around),
    )
    full &= rows.state_of < 0
    text = "The holder was full: gas made after that may have escaped unseen."
    first = full & ~np.concatenate([[False], full[:-1]])
    why = {int(i): ("full", text) for i in np.flatnonzero(first)}
    amount = gas_in.amount + space.amount
    still = np.zeros_like(amount)
    return Contents(amount, space.amount, variance, still, shared, full, why)


def _bottled(holder: SealedBottle, rows: Rows, around: Surroundings) -> Contents:
    gauge = np.where(rows.emptied, 0.0, rows.value)
    kpa = rows.air_kpa + gauge
    gas = _gas(rows.headspace_m3, rows.temperature_c, kpa, holder.relative_humidity)
    u_gauge = np.where(rows.emptied, 0.0, holder.u_gauge_kpa)
    variance = (gas.per_kpa * np.hypot(rows.u_air_kpa, u_gauge)) ** 2
    variance += (gas.per_kelvin * rows.u_temperature_c) ** 2
    shared = _columns(
        rows.day.size,
        scale=gas.amount * holder.u_headspace_m3 / holder.headspace_m3,
        barometer=gas.per_kpa * rows.u_air_shared_kpa,
        gauge=gas.per_kpa * np.where(rows.emptied, 0.0, holder.u_gauge_shared_kpa),
        holder_c=gas.per_kelvin * around.instruments.u_temperature_shared_c,
    )
    blown = (gauge >= holder.max_gauge_kpa) & (rows.state_of < 0)
    text = "The bottle stood at the pressure where its stopper lets go: gas may have escaped."
    why = {int(i): ("full", text) for i in np.flatnonzero(blown)}
    still = np.zeros_like(gas.amount)
    return Contents(gas.amount, gas.amount, variance, still, shared, blown, why)


def _passed(holder: Counter, rows: Rows, around: Surroundings) -> Contents:
    counts, unseen, why = counted(holder, rows)
    kpa = rows.air_kpa + holder.gauge_kpa
    one = _gas(np.ones_like(rows.day), rows.temperature_c, kpa, holder.relative_humidity)
    # Gas between two readings passed at conditions between theirs.
    step = np.diff(counts, prepend=counts[:1]) * holder.per_count_m3

    def between(values: FloatArray) -> FloatArray:
        return np.asarray((values + np.concatenate([values[:1], values[:-1]])) / 2.0)

    def summed(values: FloatArray) -> FloatArray:
        return np.asarray(np.cumsum(step * between(values)))

    u_step = np.hypot(
        between(one.per_kpa * np.hypot(rows.u_air_kpa, holder.u_gauge_kpa)),
        between(one.per_kelvin * rows.u_temperature_c),
    )
    amount = summed(one.amount)
    shared = _columns(
        rows.day.size,
        scale=amount * holder.u_relative,
        barometer=summed(one.per_kpa * rows.u_air_shared_kpa),
        gauge=summed(one.per_kpa) * holder.u_gauge_kpa,
        holder_c=summed(one.per_kelvin) * around.instruments.u_temperature_shared_c,
    )
    variance = (holder.u_counts * holder.per_count_m3 * one.amount) ** 2
    none = np.zeros_like(amount)
    return Contents(amount, none, variance, (step * u_step) ** 2, shared, unseen, why)


def _weighed(holder: MassLoss, rows: Rows, methane: Estimate | None) -> Contents:
    if methane is None:
        raise InputError(
            "methane share",
            None,
            "an estimate between 0 and 1",
            "Mass loss becomes a volume only with the gas's composition: give its methane share",
        )
    kpa = rows.air_kpa + holder.exit_gauge_kpa
    vapour = vapour_carried_kg_m3(np.full_like(kpa, holder.exit_temperature_c), kpa)
    density = dry_normal_density_kg_m3(methane.value) + vapour
    start = rows.value[:1] if rows.value.size else np.zeros(1)
    step = -np.diff(rows.value, prepend=start) / density
    amount = np.cumsum(step)
    per_share = (GASES["CO2"].density_kg_m3 - GASES["CH4"].density_kg_m3) / density
    shared = _columns(
        rows.day.size,
        scale=amount * holder.u_relative,
        methane=np.cumsum(step * per_share) * methane.u,
    )
    none = np.zeros_like(amount)
    unseen = np.zeros(amount.size, dtype=np.bool_)
    return Contents(amount, none, (holder.u_mass_kg / density) ** 2, none, shared, unseen, {})


def _with_headspace(
    passed: Contents, rows: Rows, around: Surroundings, gauge_kpa: float
) -> Contents:
    if around.headspace is None:
        return passed
    kpa = rows.air_kpa + gauge_kpa
    space = _gas(rows.headspace_m3, rows.vessel_c, kpa, 1.0)
    fresh = (space.per_kpa * rows.u_air_kpa) ** 2 + (space.per_kelvin * rows.u_vessel_c) ** 2
    shared = passed.shared + _columns(
        rows.day.size,
        barometer=space.per_kpa * rows.u_air_shared_kpa,
        vessel_c=space.per_kelvin * around.instruments.u_vessel_shared_c,
        headspace=space.amount * _headspace_u(around),
    )
    return Contents(
        passed.amount_m3 + space.amount,
        space.amount,
        passed.variance + fresh,
        passed.path_variance,
        shared,
        passed.unseen,
        passed.why,
    )


def _headspace_u(around: Surroundings) -> float:
    return 0.0 if around.headspace is None else around.headspace.volume_m3.relative_u
