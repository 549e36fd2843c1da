"""Evidence of a gas's composition: what a test would show for each possible gas."""

from dataclasses import dataclass
from typing import ClassVar, Protocol

import numpy as np
from numpy.typing import NDArray

from marshlight.estimate import Estimate
from marshlight.matter.gas import GASES

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class Mixture:
    """Possible gases, as dry shares of methane, carbon dioxide and air [-]."""

    methane: FloatArray
    co2: FloatArray
    air: FloatArray

    @property
    def density_kg_m3(self) -> FloatArray:
        """Density of each at 0 degC and 101.325 kPa, dry [kg/m3]."""
        return (
            self.methane * GASES["CH4"].density_kg_m3
            + self.co2 * GASES["CO2"].density_kg_m3
            + self.air * GASES["air"].density_kg_m3
        )


class Evidence(Protocol):
    """Anything that makes some gases likelier than others."""

    SOURCES: ClassVar[tuple[str, ...]]

    @property
    def says(self) -> str:
        """What it showed, in a few words."""
        ...

    def log_likelihood(self, gas: Mixture, widen: float) -> FloatArray:
        """Return the log-likelihood of each gas, its doubt widened by a factor."""
        ...


def normal_log_likelihood(share: FloatArray, seen: Estimate, widen: float) -> FloatArray:
    """Return the log-likelihood of shares given one normal reading.

    Parameters
    ----------
    share : array
        What the reading would be for each possible gas.
    seen : Estimate
        The reading.
    widen : float
        Factor on its doubt, 1 or more [-].

    Returns
    -------
    array
        Log-likelihood [-].
    """
    u = max(seen.u, 1e-4) * widen
    return np.asarray(-0.5 * ((share - seen.value) / u) ** 2 - np.log(u))
