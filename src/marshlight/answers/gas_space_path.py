"""The way a run's gas space has gone: three paths, for poor, usual and rich gas."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from marshlight.answers.composition import RECENT_D, evidence_of
from marshlight.answers.run_gas import RunGas, seal_days
from marshlight.answers.series import thin
from marshlight.decide.safety import GasPath, gas_space_path
from marshlight.estimate import Range
from marshlight.matter.gas import dry_normal_factor
from marshlight.measure import methane_share
from marshlight.notebook.bridge import RunRecords

FloatArray = NDArray[np.float64]
Spans = tuple[FloatArray, FloatArray, FloatArray]
# Methane share of the gas made on given days: low, middle and high end of what is known.
Composition = Callable[[FloatArray], Spans]
KINDS = ("poor gas", "likely gas", "rich gas")


@dataclass(frozen=True)
class Gas:
    """Gas made so far, rising from 0: days [d], dry normal [m3], and whether it was foreseen."""

    day: FloatArray
    made_m3: FloatArray
    foreseen: bool


@dataclass(frozen=True)
class RunPaths:
    """Three paths over the same days, and what they rest on.

    ``opened_day`` is the last day the seal stood open: the paths begin there, in air.
    ``foreseen`` is True where gas was forecast and not yet read.
    """

    paths: tuple[GasPath, ...]
    opened_day: float | None
    foreseen: bool
    tested: bool


def composition_by_tests(records: RunRecords) -> Composition:
    """Make the composition over time from the tests of a run's gas.

    Parameters
    ----------
    records : RunRecords
        The run's log.

    Returns
    -------
    Composition
        Before the first test, what biogas may be; then each test with those of the days before
        it, until the next.
    """
    found = [(reading.day, piece) for reading in records.detailed for piece in evidence_of(reading)]
    days = sorted({day for day, _ in found})
    shares = [methane_share(()).air_free]
    for day in days:
        recent = [piece for when, piece in found if day - RECENT_D <= when <= day]
        shares.append(methane_share(recent).air_free)
    table = [(s.low, s.value, s.high) for s in shares]

    def over_time(asked: FloatArray) -> Spans:
        which = np.searchsorted(np.array(days), asked, side="right")
        rows = np.array(table)[which]
        return rows[:, 0], rows[:, 1], rows[:, 2]

    return over_time


def run_paths(
    own: RunGas, *, composition: Composition | None = None, gas: Gas | None = None
) -> RunPaths | None:
    """Follow the gas space of a run since its start, or since it last stood open.

    Parameters
    ----------
    own : RunGas
        The run's gas.
    composition : Composition, optional
        Methane share over time, such as a process model's; from the run's tests if left out.
    gas : Gas, optional
        Gas made, where it should not be the run's own, read or foreseen.

    Returns
    -------
    RunPaths or None
        None where gas space or gas is not known.
    """
    gas = gas or gas_of(own)
    if gas is None or own.gas_space_m3 is None:
        return None
    day, cumulative = gas.day, gas.made_m3
    warm = own.slurry_c if own.slurry_c is not None else own.gas_c
    normal = own.gas_space_m3 * float(dry_normal_factor(warm, own.pressure_kpa))
    opened = seal_days(own.analysis)
    last_opened = float(opened[-1]) if opened.size and opened[-1] <= day[-1] else None
    if last_opened is not None:
        since = np.concatenate([[last_opened], day[day > last_opened]])
        day, cumulative = since, np.interp(since, day, cumulative)
    kept = np.asarray(thin(day.size))
    day, cumulative = day[kept], cumulative[kept]
    over_time = composition or composition_by_tests(own.analysis.records)
    turnover = np.maximum.accumulate((cumulative - cumulative[0]) / normal)
    paths = tuple(gas_space_path(day, turnover, row) for row in over_time(day))
    return RunPaths(paths, last_opened, gas.foreseen, own.methane_tested)


def gas_of(own: RunGas) -> Gas | None:
    """Give the gas a run has made, read or else foreseen; None where neither is known."""
    ledger, seen = own.analysis.ledger, own.analysis.forecast
    if ledger is not None and ledger.day.size > 1:
        day, gas, foreseen = ledger.day, ledger.cumulative_m3, False
    elif seen is not None:
        day, gas, foreseen = seen.day, seen.cumulative.median, True
    else:
        return None
    if day[0] > 0.0:
        day, gas = np.concatenate([[0.0], day]), np.concatenate([[0.0], gas])
    made = np.maximum.accumulate(np.maximum(gas, 0.0))
    return Gas(np.maximum(day, 0.0), made, foreseen)


def emptied_since(own: RunGas, path: GasPath) -> tuple[float | None, float]:
    """Tell when the holder was last emptied within a path, and the gas passed by then.

    Parameters
    ----------
    own : RunGas
        The run's gas.
    path : GasPath
        Of its gas space.

    Returns
    -------
    tuple
        The day, None where it never was [d]; gas passed as multiples of the gas space [-].
    """
    days = [e.day for e in own.analysis.records.events if e.kind == "holder_emptied"]
    within = [day for day in days if path.day[0] < day < path.day[-1]]
    if not within:
        return None, 0.0
    return max(within), float(np.interp(max(within), path.day, path.turnover))


def whole_range(own: RunGas) -> Range:
    """Give the air-free methane share known now."""
    found = own.analysis.methane
    return methane_share(()).air_free if found is None else found.air_free
