"""What a reading says a gas holder held, before it is brought to normal conditions."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class HeldGas:
    """Gas as it stood in a holder at each of n readings.

    Parameters
    ----------
    volume_m3 : array, shape (n,)
        Volume at the gas's own temperature and pressure [m3].
    gauge_kpa : array, shape (n,)
        Pressure over the outside air's [kPa].
    u_volume_m3 : array, shape (n,)
        Standard uncertainty of the volume, fresh at each reading [m3].
    full : array of bool, shape (n,)
        True where the holder could take no more, so that gas may have escaped.
    """

    volume_m3: FloatArray
    gauge_kpa: FloatArray
    u_volume_m3: FloatArray
    full: NDArray[np.bool_]
