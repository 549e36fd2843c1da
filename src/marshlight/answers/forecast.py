"""Which forecast of the gas is shown: curves, or half curves and half process model."""

from dataclasses import fields, replace

import numpy as np
from numpy.typing import NDArray

from marshlight.answers.analysis import Analysis
from marshlight.decide.watch.calibration import Lives, RunLog
from marshlight.decide.watch.outlook import Outlook, look_ahead
from marshlight.process import Forecast
from marshlight.process.bands import Band, mixed_band

Floats = NDArray[np.float64]
MIXED = "half from gas curves and the recipe, half from the process model"


def mixed_forecast(
    analysis: Analysis, log: RunLog, lives: Lives, *, rng: np.random.Generator
) -> Forecast | None:
    """Mix the forecast by curves with that of the process model, where that is known to be better.

    Parameters
    ----------
    analysis : Analysis
        With its forecast by curves.
    log, lives : RunLog, Lives
        As calibrated.
    rng : numpy.random.Generator
        The state to draw from.

    Returns
    -------
    Forecast or None
        Mixed from today on; None where the curves alone are to be shown: for a run that is fed, a
        charge without a recipe, or lives that are not to be relied on.

    Notes
    -----
    On the published batch bottles of named materials the mixture was never far from the better of
    the two and kept its 95 % band; on a fed plant the curves alone did better. The figures are in
    docs/real-input.md.
    """
    seen = analysis.forecast
    apart = analysis.records.feeds or analysis.recipe.expectation is None
    if seen is None or apart or not lives.quality.trusted or log.gas is None:
        return None
    later = seen.day > lives.day + 1e-3
    if not bool(later.any()):
        return None
    days = np.concatenate([[lives.day], seen.day[later]])
    own = look_ahead(lives, log, days=days, rng=rng)
    now = Band(*(float(np.interp(lives.day, seen.day, v)) for v in _parts(seen.cumulative)))
    base = float(now.median)
    total = _put(seen.cumulative, later, _shifted(_later(own.gas_m3), base))
    return replace(
        seen,
        cumulative=total,
        daily=_put(seen.daily, later, _later(own.daily_m3)),
        basis=f"{seen.basis}; {MIXED}",
    )


def _parts(found: Band) -> tuple[Floats, ...]:
    return tuple(getattr(found, f.name) for f in fields(Band))


def _later(found: Band) -> Band:
    """Leave out today itself."""
    return Band(*(v[1:] for v in _parts(found)))


def _shifted(found: Band, by: float) -> Band:
    return Band(*(v + by for v in _parts(found)))


def _put(curves: Band, later: NDArray[np.bool_], model: Band) -> Band:
    """Keep the days gone by as the curves have them, mix the rest."""
    mixed = mixed_band(Band(*(v[later] for v in _parts(curves))), model)
    whole = (
        np.concatenate([old[~later], new])
        for old, new in zip(_parts(curves), _parts(mixed), strict=True)
    )
    return Band(*whole)


def with_gas_of(seen: Outlook, gas: Forecast) -> Outlook:
    """Give an outlook the gas of a forecast on its own days; the rest stays the model's."""

    def on_days(found: Band, day: Floats) -> Band:
        return Band(*(np.interp(day, gas.day, v) for v in _parts(found)))

    base = float(np.interp(seen.day[0], gas.day, gas.cumulative.median))
    total = _shifted(on_days(gas.cumulative, seen.day), -base)
    return replace(
        seen,
        gas_m3=Band(*(np.maximum(v, 0.0) for v in _parts(total))),
        daily_m3=on_days(gas.daily, seen.day),
    )
