"""Methane of a bottle by the two published ways, from its gas and its analyses."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from marshlight.errors import require
from marshlight.matter.gas import GASES

Floats = NDArray[np.float64]
AS_MADE, BY_CONTENT = "as_made", "by_content"
WAYS = (AS_MADE, BY_CONTENT)


@dataclass(frozen=True)
class BottleGas:
    """Gas of one bottle at n readings, dry normal.

    ``passed_m3`` has left the head-space up to each reading, ``held_m3`` is in it then [m3].
    ``let_off`` is true where gas is let off after each reading, as from a sealed bottle: what
    leaves has the make-up just read; elsewhere it has the make-up read at the end of the interval.
    """

    passed_m3: Floats
    held_m3: Floats
    let_off: bool


def methane_as_made(gas_m3: ArrayLike, share: ArrayLike) -> Floats:
    """Methane of the gas as it was made, air left aside (method 1 of the reference).

    Parameters
    ----------
    gas_m3 : array_like
        Cumulative biogas [m3 dry normal], shape n.
    share : array_like
        Methane over methane and carbon dioxide at each reading [1], shape n.

    Returns
    -------
    ndarray
        Cumulative methane [m3], shape n.

    Notes
    -----
    The reference gives an interval the share at its end; the mean of both ends is taken here,
    because the share drifts while the gas is made.  Not valid where the bottle was flushed with
    a gas that holds carbon dioxide.

    References
    ----------
    hafner_2020_doc_201
    """
    gas = np.asarray(gas_m3, dtype=np.float64)
    made = np.asarray(share, dtype=np.float64)
    between = np.concatenate([made[:1], (made[1:] + made[:-1]) / 2.0])
    return np.asarray(np.cumsum(np.diff(gas, prepend=0.0) * between))


def methane_by_content(gas: BottleGas, share: ArrayLike) -> Floats:
    """Methane that left a bottle and methane still in it (method 2 of the references).

    Parameters
    ----------
    gas : BottleGas
        What left the head-space and what it held.
    share : array_like
        Methane share of the dry head-space gas at each reading, air counted in [1], shape n.

    Returns
    -------
    ndarray
        Cumulative methane since the first point [m3], shape n.

    Notes
    -----
    A balance over the gas space: ``sum of x V_left + x_i V_held,i - x_0 V_held,0``.  With gas let
    off after each reading this is the references' ``x_i V_before,i - x_(i-1) V_after,(i-1)``.

    References
    ----------
    hafner_2020_doc_201, hafner_2020_doc_202

    Examples
    --------
    >>> import numpy as np
    >>> gas = BottleGas(np.array([0.0, 0.0, 60.0]), np.array([80.0, 140.0, 130.0]), let_off=True)
    >>> [round(float(v), 1) for v in methane_by_content(gas, [0.0, 0.30, 0.45])]
    [0.0, 42.0, 76.5]
    """
    x = np.asarray(share, dtype=np.float64)
    left = np.diff(gas.passed_m3, prepend=gas.passed_m3[:1])
    leaving = np.concatenate([x[:1], x[:-1]]) if gas.let_off else x
    return np.asarray(np.cumsum(left * leaving) + x * gas.held_m3 - x[:1] * gas.held_m3[:1])


def mass_loss_volume(
    lost_kg: ArrayLike, density_kg_m3: ArrayLike, vapour_kg_m3: ArrayLike
) -> Floats:
    """Dry normal gas of a loss of mass.

    Parameters
    ----------
    lost_kg : array_like
        Mass lost [kg].
    density_kg_m3 : array_like
        Dry normal density of the gas that left [kg/m3]: `mixture_density_kg_m3`.
    vapour_kg_m3 : array_like
        Water vapour that left with it [kg per m3 dry normal gas].

    Returns
    -------
    ndarray
        Gas [m3 dry normal].

    Notes
    -----
    ``V = lost / (density + vapour)``.  The reference prints a minus before the vapour; the mass
    balance, and equation 1 of its sister document on density, need the plus.

    References
    ----------
    hafner_2020_doc_203, hafner_2020_doc_204

    Examples
    --------
    >>> round(float(mass_loss_volume(1e-3, mixture_density_kg_m3(0.60, 0.40), 2.3487e-2)) * 1e6, 1)
    803.4
    """
    rho = np.asarray(density_kg_m3, dtype=np.float64)
    vapour = np.asarray(vapour_kg_m3, dtype=np.float64)
    return np.asarray(np.asarray(lost_kg, dtype=np.float64) / (rho + vapour))


def mixture_density_kg_m3(methane: ArrayLike, carbon_dioxide: ArrayLike) -> Floats:
    """Dry normal density of head-space gas; what is neither of the two counts as nitrogen.

    Parameters
    ----------
    methane, carbon_dioxide : array_like
        Shares of the dry gas, 0 to 1 together [1].

    Returns
    -------
    ndarray
        Density [kg/m3].

    Raises
    ------
    InputError
        If the shares add up to more than 1 by more than reading error explains.

    References
    ----------
    hafner_2020_doc_203
    """
    x = np.asarray(methane, dtype=np.float64)
    y = np.asarray(carbon_dioxide, dtype=np.float64)
    together = x + y
    require(
        bool(np.all(together <= 1.05) and np.all(x >= 0.0) and np.all(y >= 0.0)),
        field="methane and carbon dioxide",
        value=float(np.max(together, initial=0.0)),
        allowed="0 to 1 together",
        remedy="Check the analysis of the gas",
    )
    rest = np.maximum(1.0 - together, 0.0)
    return np.asarray(
        x * GASES["CH4"].density_kg_m3
        + y * GASES["CO2"].density_kg_m3
        + rest * GASES["N2"].density_kg_m3
    )
