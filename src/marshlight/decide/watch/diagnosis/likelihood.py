"""How likely readings are in a life: each kind of reading, the model's own error allowed for."""

from dataclasses import dataclass

import numpy as np
from scipy.special import gammaln, log_ndtr

from marshlight.decide.watch.calibration import Counted, Read
from marshlight.decide.watch.facts import TESTED_AS
from marshlight.measure.evidence import Mixture
from marshlight.measure.flame import FlameTest
from marshlight.process.model.kernel import Reals

# The size of the model's error is known only to a factor of about two: tails of five degrees of
# freedom. That of the gas is calibrated with each life and needs less; both our choice.
FREEDOM, GAS_FREEDOM = 5.0, 10.0
# Where hardly any gas is foreseen the model is not exact either: a twentieth of the usual.
_LEAST_SHARE = 0.05


def tailed(square: Reals, log_determinant: Reals, count: int, freedom: float = FREEDOM) -> Reals:
    """Log density of a multivariate t from a squared distance and the log determinant of its scale.

    Parameters
    ----------
    square : array
        Squared distance in units of the scale matrix [1].
    log_determinant : array
        Natural logarithm of the scale matrix's determinant.
    count : int
        Number of readings.
    freedom : float
        Degrees of freedom, above 0.

    Returns
    -------
    array
        Natural logarithm of the density.
    """
    constant = (
        gammaln(0.5 * (freedom + count))
        - gammaln(0.5 * freedom)
        - 0.5 * count * np.log(freedom * np.pi)
    )
    distance = 0.5 * (freedom + count) * np.log1p(square / freedom)
    return np.asarray(constant - 0.5 * log_determinant - distance, dtype=np.float64)


@dataclass(frozen=True)
class GasDoubt:
    """What keeps counted gas from what is foreseen, beside its own uncertainty.

    Parameters
    ----------
    stray, at_first : array
        How far the gas rate of each life strays from the model, relative, and how far it did on
        the day ``since`` [1].
    since, memory_d : float
        That day, and over how many days a stray is forgotten [d].
    slip_m3 : array
        Standard deviation of a wrong reading at the end of each stretch, given back by the next;
        shape as foreseen, or broadcast to it [m3].
    loose_m3 : array
        Standard deviation of what each stretch may have lost or gained by itself [m3].
    """

    stray: Reals
    at_first: Reals
    since: float
    memory_d: float
    slip_m3: Reals
    loose_m3: Reals


def gas_log(gas: Counted, foreseen: Reals, doubt: GasDoubt) -> Reals:
    """Log likelihood of counted gas.

    Parameters
    ----------
    gas : Counted
        Gas of stretches [m3].
    foreseen : array
        What the holder would have shown, shape (..., stretch) [m3].
    doubt : GasDoubt
        The model's error and the instrument's.

    Returns
    -------
    array
        Natural logarithm, shape (...).

    Notes
    -----
    The relative error of the gas rate is an Ornstein-Uhlenbeck course, and a reading that ends
    one stretch begins the next: both are carried along by a Kalman filter of two states. Half of
    a stretch's variance is taken to come from each of its ends. Of gas that partly went unseen
    only too much of it speaks against a life.
    """
    shape = foreseen.shape[:-1]
    usual = np.maximum(np.median(np.abs(foreseen), axis=-1), 1e-9)
    slip, loose = (np.broadcast_to(a, foreseen.shape) for a in (doubt.slip_m3, doubt.loose_m3))
    middle = 0.5 * (gas.start_d + gas.end_d)
    wander = np.broadcast_to(doubt.at_first, shape).astype(np.float64)
    wander_var, end, end_var, both = (np.zeros(shape) for _ in range(4))
    before = np.concatenate([[doubt.since], middle])
    square, log_det, beyond = np.zeros(shape), np.zeros(shape), np.zeros(shape)
    linked = np.zeros(len(gas), bool) if gas.linked is None else gas.linked
    for i in range(len(gas)):
        half = 0.5 * gas.u_m3[i] ** 2
        keep = float(np.exp(-(middle[i] - before[i]) / doubt.memory_d))
        wander, both = keep * wander, keep * both
        wander_var = keep**2 * wander_var + (1.0 - keep**2) * doubt.stray**2
        if i == 0 or not linked[i]:
            end, end_var, both = np.zeros(shape), np.full(shape, half), np.zeros(shape)
        size = np.maximum(np.abs(foreseen[..., i]), _LEAST_SHARE * usual)
        fresh = half + slip[..., i] ** 2
        with_wander = size * wander_var - both
        with_end = size * both - end_var
        total = size * with_wander - with_end + fresh + loose[..., i] ** 2
        off = gas.gas_m3[i] - foreseen[..., i] - size * wander + end
        if gas.at_least[i]:
            beyond = beyond + log_ndtr(-off / np.sqrt(total))
            end, end_var, both = np.zeros(shape), fresh, np.zeros(shape)
            continue
        square, log_det = square + off**2 / total, log_det + np.log(total)
        gain = with_wander / total
        wander = wander + gain * off
        wander_var = wander_var - gain * with_wander
        end, end_var, both = fresh / total * off, fresh - fresh**2 / total, -gain * fresh
    seen = int((~gas.at_least).sum())
    return tailed(square, log_det, seen, GAS_FREEDOM) + beyond


def read_log(
    read: Read,
    foreseen: Reals,
    misfit: Reals | float,
    slip: Reals | float = 0.0,
    *,
    freedom: float = FREEDOM,
) -> Reals:
    """Log likelihood of readings, with one lasting offset of the model.

    Parameters
    ----------
    read : Read
        Readings; a coarse step counts as a rectangle.
    foreseen : array
        Shape (..., reading), in the reading's unit.
    misfit : array or float
        Standard deviation of the lasting offset [unit of the reading], broadcast to foreseen.
    slip : array or float
        Standard deviation of a reading by itself gone wrong [unit of the reading].
    freedom : float
        Degrees of freedom of the tails, above 0.

    Returns
    -------
    array
        Natural logarithm, shape (...).
    """
    size = np.broadcast_to(misfit, foreseen.shape)
    own = np.broadcast_to(read.u**2 + read.step**2 / 12.0 + np.square(slip), foreseen.shape)
    off = read.value - foreseen
    along = (size * off / own).sum(axis=-1)
    shared = 1.0 + (size**2 / own).sum(axis=-1)
    square = (off**2 / own).sum(axis=-1) - along**2 / shared
    return tailed(square, np.log(own).sum(axis=-1) + np.log(shared), len(read), freedom)


def flame_log(outcomes: tuple[str, ...], methane: Reals) -> Reals:
    """Log likelihood of flame tests, as the flame test itself weighs them.

    Parameters
    ----------
    outcomes : tuple of str
        "none", "dies" or "holds".
    methane : array
        Share of methane in the dry gas, shape (..., test) [m3/m3].

    Returns
    -------
    array
        Natural logarithm, shape (...).

    Notes
    -----
    Air thins the gas as carbon dioxide does. Nothing here says that gas is safe to light.

    References
    ----------
    flame_practice
    """
    found = np.zeros(methane.shape[:-1])
    for i, outcome in enumerate(outcomes):
        share = np.clip(methane[..., i], 0.0, 1.0)
        gas = Mixture(share, 1.0 - share, np.zeros_like(share))
        found = found + FlameTest(TESTED_AS[outcome]).log_likelihood(gas, 1.0)
    return np.asarray(found, dtype=np.float64)
