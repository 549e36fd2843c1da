"""What makes the forecast doubtful, and which reading tomorrow would narrow it most."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from marshlight.decide.watch.calibration import Lives, RunLog, ahead
from marshlight.decide.watch.outlook.explained import Share, explained_share
from marshlight.decide.watch.outlook.look import Outlook
from marshlight.process.model import DigesterRun

Floats = NDArray[np.float64]
# How many imagined readings stand for each life: their noise then averages out.
_IMAGINED = 8
# Standard uncertainty of a careful reading at the vessel; common practice, no source. Gas and
# acids in proportion, the rest in its own unit.
_PH_METER, _SHARE, _ACIDS, _ALKALINITY, _GAS = 0.05, 0.02, 0.15, 0.05, 0.03
_WARMTH_K = 0.3
# Less than this and a parameter is not named as what the doubt comes from.
_NAMED = 0.03


@dataclass(frozen=True)
class Worth:
    """A reading that could be taken, and how much narrower the forecast would be with it [0-1].

    ``reading`` is "gas", "ph", "methane", "acids", "alkalinity" or "temperature".
    """

    reading: str
    narrower: float


def drivers(lives: Lives, outlook: Outlook) -> tuple[Share, ...]:
    """Say what the doubt about the gas to come comes from.

    Parameters
    ----------
    lives : Lives
        As calibrated.
    outlook : Outlook
        Their outlook.

    Returns
    -------
    tuple of Share
        Parameters with the share of the variance of the gas by the last day that each explains,
        largest first; "by the day" is what no parameter explains: how gas strays from day to day
        and what parameters do only together.

    Raises
    ------
    InputError
        With fewer than 20 lives.

    References
    ----------
    saltelli_2008
    """
    target = outlook.gas_lives_m3[:, -1]
    found = [Share(name, explained_share(target, lives.of(name))) for name in lives.names]
    named = sorted((s for s in found if s.share >= _NAMED), key=lambda s: -s.share)
    rest = max(1.0 - sum(s.share for s in named), 0.0)
    return (*named, Share("by the day", rest))


def worth_of_readings(
    lives: Lives,
    log: RunLog,
    outlook: Outlook,
    *,
    rng: np.random.Generator,
    strip_step: float | None = None,
) -> tuple[Worth, ...]:
    """Say how much each reading, taken tomorrow, would narrow the forecast of the gas.

    Parameters
    ----------
    lives, log : Lives, RunLog
        As calibrated.
    outlook : Outlook
        Their outlook, two days or more ahead.
    rng : numpy.random.Generator
        The state to draw the imagined readings from.
    strip_step : float, optional
        Step of the pH strip at hand; left out: a meter.

    Returns
    -------
    tuple of Worth
        Best first. 0.5 says that the reading would halve the band.

    Raises
    ------
    InputError
        With fewer than 20 lives.

    Notes
    -----
    Each life foretells the reading, with the instrument's own error; the share of the variance
    of the later gas that such readings explain is what they are worth on average:
    narrower = 1 - sqrt(1 - share). What one reading would really do depends on what it shows.

    References
    ----------
    raiffa_schlaifer_1961
    """
    tomorrow = lives.day + 1.0
    run = ahead(lives, log, days=[lives.day, tomorrow])
    until = np.array([np.interp(tomorrow, outlook.day, row) for row in outlook.gas_lives_m3])
    later = outlook.gas_lives_m3[:, -1] - until
    imagined = _imagined(lives, run, until, rng=rng, strip_step=strip_step)
    target = np.repeat(later, _IMAGINED)
    found = [
        Worth(name, 1.0 - float(np.sqrt(1.0 - explained_share(target, shown))))
        for name, shown in imagined.items()
    ]
    return tuple(sorted(found, key=lambda w: -w.narrower))


def _imagined(
    lives: Lives,
    run: DigesterRun,
    gas_m3: Floats,
    *,
    rng: np.random.Generator,
    strip_step: float | None,
) -> Mapping[str, Floats]:
    """Foretell each reading of tomorrow several times a life, shape (member x times,)."""

    def many(values: Floats) -> Floats:
        return np.repeat(np.asarray(values, dtype=np.float64), _IMAGINED)

    def off() -> Floats:
        return rng.standard_normal(len(lives) * _IMAGINED)

    ph = many(run["pH"][:, -1] + lives.of("ph_bias")) + _PH_METER * off()
    if strip_step is not None and strip_step > 0.0:
        ph = np.round(ph / strip_step) * strip_step
    return {
        "gas": many(gas_m3) * (1.0 + _GAS * off()),
        "ph": ph,
        "methane": many(run.share("methane")[:, -1]) + _SHARE * off(),
        "acids": many(run.acids_kg_m3[:, -1]) * (1.0 + _ACIDS * off()),
        "alkalinity": many(run.bicarbonate_alkalinity_kg_m3[:, -1]) * (1.0 + _ALKALINITY * off()),
        "temperature": many(lives.of("warmth_k")) + _WARMTH_K * off(),
    }
