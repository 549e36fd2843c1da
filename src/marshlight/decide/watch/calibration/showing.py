"""What a holder would show of gas to come: strays, warmth, leak and gauge included."""

import numpy as np

from marshlight.decide.watch.calibration.counting import HELD_PER_K, SWING, SWING_D
from marshlight.decide.watch.calibration.lives import Lives
from marshlight.decide.watch.calibration.log import STRAY_D, Floats
from marshlight.decide.watch.calibration.wandering import wander
from marshlight.decide.watch.calibration.warmth import warmer_to_come
from marshlight.process.model import SMALL_DIGESTER
from marshlight.process.model.kernel import layout
from marshlight.process.model.liquid import MODEL


def observed_gas(lives: Lives, day: Floats, gas_m3: Floats, *, rng: np.random.Generator) -> Floats:
    """Give what a holder would show of gas to come, strays, leak and gauge included.

    Parameters
    ----------
    lives : Lives
        Whose gas it is.
    day : array, shape (time,)
        Days from ``lives.day`` on [d].
    gas_m3 : array, shape (member, time)
        Cumulative dry gas of each life, as ``dry_gas`` gives it [normal m3].
    rng : numpy.random.Generator
        The state to draw the strays from.

    Returns
    -------
    array, shape (member, time)
        Cumulative gas as it would be counted, from the first day on [normal m3].

    Notes
    -----
    The relative stray of the gas rate is an Ornstein-Uhlenbeck process that starts where it
    stands today; each interval takes the mean of its ends. Gas that the slurry takes up and gives
    back as its warmth swings comes on top; it can make a day's count fall.

    Lives run on at the warmth last told. Where the log follows how it swings, it goes on swinging
    here, from where it stands: breakdown follows by its own exponential, and the slurry holds less
    gas for each kelvin. What a heater that fails would do is not in it.

    References
    ----------
    hydrolysis_warmth, rosen_jeppsson_2006
    """
    warmer = warmer_to_come(lives.warmth_told, day - lives.day, members=len(lives), rng=rng)
    pace = np.exp(SMALL_DIGESTER["hydrolysis_theta"] * 0.5 * (warmer[:, 1:] + warmer[:, :-1]))
    shown = np.zeros_like(gas_m3)
    shown[:, 1:] = np.cumsum(np.diff(gas_m3, axis=1) * _strays(lives, day, rng) * pace, axis=1)
    shown = shown * (lives.of("gas_scale") * (1.0 - lives.of("leak")))[:, None]
    slurry = lives.states[:, layout(MODEL).state_at["volume"], None]
    given_off = SWING * _level(len(lives), day, rng) + HELD_PER_K * (warmer - warmer[:, :1])
    return np.asarray(shown + slurry * given_off)


def _strays(lives: Lives, day: Floats, rng: np.random.Generator) -> Floats:
    """Draw the factor by which gas of each interval strays, (member, interval)."""
    gaps = np.diff(day, prepend=lives.day)
    size = lives.of("stray")
    stray = wander(lives.stray_now, gaps, size=size, memory_d=STRAY_D, rng=rng)
    return np.asarray(np.maximum(1.0 + 0.5 * (stray[:, :-1] + stray[:, 1:]), 0.0))


def _level(members: int, day: Floats, rng: np.random.Generator) -> Floats:
    """Draw how warmth that nobody tells swings from the first day on, in swings, (member, time)."""
    first = rng.standard_normal(members)
    later = wander(first, np.diff(day), size=1.0, memory_d=SWING_D, rng=rng)
    return np.column_stack([np.zeros(members), later - first[:, None]])
