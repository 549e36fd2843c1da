"""Analysers, a scale with a volume, and known air, as evidence of a gas's composition."""

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from marshlight.errors import require
from marshlight.estimate import Estimate
from marshlight.matter.gas import (
    GASES,
    NORMAL_PRESSURE_KPA,
    OXYGEN_SHARE_OF_AIR,
    vapour_carried_kg_m3,
    water_vapour_fraction,
)
from marshlight.measure.evidence import FloatArray, Mixture, normal_log_likelihood


@dataclass(frozen=True)
class Analyser:
    """A reading of an instrument for one gas.

    Parameters
    ----------
    gas : str
        "CH4", "CO2" or "O2".
    reading : float
        Share it showed, 0 to 1 [-].
    wet : bool
        True if it measures the moist gas as it comes; False for dry or dried gas.
    temperature_c, pressure_kpa : float
        State of moist gas in the cell [degC, kPa].
    u_absolute, u_relative : float
        Standard uncertainty by its specification: in shares, and of the reading [-].

    Raises
    ------
    InputError
        If the gas is unknown or the reading no share.

    Notes
    -----
    ``x_dry = x_wet / (1 - p_w/p)``. Oxygen stands for air at 20.946 %; microbes may
    have used some of it and left the nitrogen, so air is then underrated.
    """

    SOURCES: ClassVar[tuple[str, ...]] = ("iapws_sr1_86",)

    gas: str
    reading: float
    u_absolute: float
    wet: bool = False
    temperature_c: float = 25.0
    pressure_kpa: float = NORMAL_PRESSURE_KPA
    u_relative: float = 0.0

    def __post_init__(self) -> None:
        require(
            self.gas in ("CH4", "CO2", "O2"),
            field="gas",
            value=self.gas,
            allowed="CH4, CO2, O2",
            remedy="Choose the gas the analyser shows",
        )
        require(
            0.0 <= self.reading <= 1.0 and self.u_absolute > 0.0,
            field="reading",
            value=self.reading,
            allowed="0 to 1, with an uncertainty above zero",
            remedy="Give the share as a fraction: 58 % is 0.58",
        )

    @property
    def share(self) -> Estimate:
        """Dry share of the gas [-]."""
        vapour = water_vapour_fraction(self.temperature_c, self.pressure_kpa) if self.wet else 0.0
        u = float(np.hypot(self.u_absolute, self.u_relative * self.reading))
        return Estimate(self.reading, u).scaled(1.0 / (1.0 - vapour))

    @property
    def says(self) -> str:
        """What it showed, in a few words."""
        return f"the analyser showed {100.0 * self.share.value:.1f} % {self.gas} (dry)"

    def log_likelihood(self, gas: Mixture, widen: float) -> FloatArray:
        """Return the log-likelihood of each gas; see ``FlameTest``."""
        shares = {"CH4": gas.methane, "CO2": gas.co2, "O2": gas.air * OXYGEN_SHARE_OF_AIR}
        return normal_log_likelihood(shares[self.gas], self.share, widen)


@dataclass(frozen=True)
class GasDensity:
    """Density of the gas from a mass lost and the volume that left.

    Parameters
    ----------
    mass_kg : Estimate
        Mass lost by the vessel [kg].
    volume_dry_normal_m3 : Estimate
        Gas that left, dry normal [m3].
    temperature_c, pressure_kpa : float
        State in which the gas was last over liquid: the vapour left with it [degC, kPa].

    Raises
    ------
    InputError
        If the volume is not above zero.

    References
    ----------
    hafner_2020_doc_204, equation 1.

    Examples
    --------
    >>> run = GasDensity(Estimate(1.07e-3, 1e-5), Estimate(779.2e-6, 4e-6), 30.0, 150.0)
    >>> round(run.methane_if_air_free.value, 3)
    0.498
    """

    SOURCES: ClassVar[tuple[str, ...]] = ("hafner_2020_doc_204", "coolprop_2014")

    mass_kg: Estimate
    volume_dry_normal_m3: Estimate
    temperature_c: float
    pressure_kpa: float

    def __post_init__(self) -> None:
        require(
            self.volume_dry_normal_m3.value > 0.0,
            field="volume_dry_normal_m3",
            value=self.volume_dry_normal_m3.value,
            allowed="above zero",
            remedy="Weigh before and after a volume of gas large enough to measure",
        )

    @property
    def density_kg_m3(self) -> Estimate:
        """Density of the dry gas at 0 degC and 101.325 kPa [kg/m3]."""
        moist = self.mass_kg.value / self.volume_dry_normal_m3.value
        u = moist * float(np.hypot(self.mass_kg.relative_u, self.volume_dry_normal_m3.relative_u))
        return Estimate(moist - vapour_carried_kg_m3(self.temperature_c, self.pressure_kpa), u)

    @property
    def methane_if_air_free(self) -> Estimate:
        """Methane share if the rest is carbon dioxide [-]."""
        heavy, light = GASES["CO2"].density_kg_m3, GASES["CH4"].density_kg_m3
        found = self.density_kg_m3
        return Estimate((heavy - found.value) / (heavy - light), found.u / (heavy - light))

    @property
    def says(self) -> str:
        """What it showed, in a few words."""
        return f"the gas weighed {self.density_kg_m3.value:.3f} kg/m3"

    def log_likelihood(self, gas: Mixture, widen: float) -> FloatArray:
        """Return the log-likelihood of each gas; see ``FlameTest``."""
        return normal_log_likelihood(gas.density_kg_m3, self.density_kg_m3, widen)


@dataclass(frozen=True)
class AirShare:
    """Air known to be in the gas, from the ledger's head-space account or otherwise.

    Parameters
    ----------
    share : Estimate
        Dry share of air [-].
    """

    SOURCES: ClassVar[tuple[str, ...]] = ("mixed_headspace",)

    share: Estimate

    @property
    def says(self) -> str:
        """What it showed, in a few words."""
        return f"about {100.0 * self.share.value:.0f} % of it is air"

    def log_likelihood(self, gas: Mixture, widen: float) -> FloatArray:
        """Return the log-likelihood of each gas; see ``FlameTest``."""
        return normal_log_likelihood(gas.air, self.share, widen)
