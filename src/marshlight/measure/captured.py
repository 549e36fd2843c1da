"""Carbon dioxide taken out of a gas, by lye or by titrated alkali, as evidence."""

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from marshlight.errors import require
from marshlight.estimate import Estimate
from marshlight.matter.gas import GASES, dry_normal_factor
from marshlight.measure.alkali import AlkaliTitration
from marshlight.measure.evidence import FloatArray, Mixture, normal_log_likelihood


@dataclass(frozen=True)
class Co2Absorption:
    """Carbon dioxide taken out by a lye in a syringe or burette.

    Parameters
    ----------
    share : Estimate
        Dry share absorbed, from ``absorbed_share`` [-].

    Notes
    -----
    Says nothing of what is left: methane, with any air.
    """

    SOURCES: ClassVar[tuple[str, ...]] = ("hafner_2020_doc_201", "absorption_practice")

    share: Estimate

    @property
    def says(self) -> str:
        """What it showed, in a few words."""
        return f"lye took out {100.0 * self.share.value:.0f} %"

    def log_likelihood(self, gas: Mixture, widen: float) -> FloatArray:
        """Return the log-likelihood of each gas; see ``FlameTest``."""
        return normal_log_likelihood(gas.co2, self.share, widen)


@dataclass(frozen=True)
class AlkaliCapture:
    """Carbon dioxide caught in alkali from a known amount of gas.

    Parameters
    ----------
    titration : AlkaliTitration
        The two end points.
    volume_m3 : float
        Gas bubbled through, at its own state, above zero [m3].
    temperature_c, pressure_kpa : float
        State of that gas, saturated [degC, kPa].
    u_volume_relative : float
        Relative standard uncertainty of the volume [-].

    Raises
    ------
    InputError
        If the volume is not above zero.
    """

    SOURCES: ClassVar[tuple[str, ...]] = ("warder_1881", "winkler_barium")

    titration: AlkaliTitration
    volume_m3: float
    temperature_c: float
    pressure_kpa: float
    u_volume_relative: float = 0.02

    def __post_init__(self) -> None:
        require(
            self.volume_m3 > 0.0,
            field="volume_m3",
            value=self.volume_m3,
            allowed="above zero",
            remedy="Give the gas that was bubbled through the alkali",
        )

    @property
    def share(self) -> Estimate:
        """Dry share of carbon dioxide [-]."""
        normal = self.volume_m3 * dry_normal_factor(self.temperature_c, self.pressure_kpa)
        per_mol = GASES["CO2"].molar_volume_m3_mol / normal
        value = self.titration.carbon_mol * per_mol
        u_titre = self.titration.u_carbon_mol * per_mol
        return Estimate(value, float(np.hypot(u_titre, value * self.u_volume_relative)))

    @property
    def says(self) -> str:
        """What it showed, in a few words."""
        least = "at least " if self.titration.spent else ""
        return f"alkali caught {least}{100.0 * self.share.value:.0f} % CO2"

    def log_likelihood(self, gas: Mixture, widen: float) -> FloatArray:
        """Return the log-likelihood of each gas; spent alkali gives only a lower bound."""
        if not self.titration.spent:
            return normal_log_likelihood(gas.co2, self.share, widen)
        from scipy.special import log_ndtr

        return np.asarray(log_ndtr((gas.co2 - self.share.value) / (self.share.u * widen)))
