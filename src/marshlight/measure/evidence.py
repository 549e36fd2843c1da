"""Evidence of a gas's composition: what each test would show for each possible gas."""

from dataclasses import dataclass
from typing import ClassVar, Protocol

import numpy as np
from numpy.typing import NDArray

from marshlight.errors import require
from marshlight.estimate import Estimate
from marshlight.matter.gas import (
    GASES,
    NORMAL_PRESSURE_KPA,
    OXYGEN_SHARE_OF_AIR,
    dry_normal_factor,
    vapour_carried_kg_m3,
    water_vapour_fraction,
)
from marshlight.measure.alkali import AlkaliTitration

FloatArray = NDArray[np.float64]

OUTCOMES = ("will_not_light", "lights_and_dies", "holds")
# Half of the burners light at 0.35 and hold at 0.50; one in ten at 0.09 less.
_LIGHTS_AT, _HOLDS_AT, _FLAME_SCALE = 0.35, 0.50, 0.04
_MISREPORTED = 0.03


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


@dataclass(frozen=True)
class FlameTest:
    """What a small flame did at the burner.

    Parameters
    ----------
    outcome : str
        "will_not_light", "lights_and_dies" or "holds".

    Raises
    ------
    InputError
        If the outcome is none of these.

    Notes
    -----
    Chances of lighting and of holding rise with the methane share along logistic
    curves centred at 0.35 and 0.50; three tests in a hundred are taken as misread
    (wind, a wet or wrong jet). Test only a small amount drawn off to a burner,
    outdoors, away from the vessel, never at the vessel itself.

    References
    ----------
    flame_practice; zabetakis_1965.
    """

    SOURCES: ClassVar[tuple[str, ...]] = ("flame_practice", "zabetakis_1965")

    outcome: str

    def __post_init__(self) -> None:
        require(
            self.outcome in OUTCOMES,
            field="flame",
            value=self.outcome,
            allowed=", ".join(OUTCOMES),
            remedy="Say what the flame did at the burner",
        )

    @property
    def says(self) -> str:
        """What it showed, in a few words."""
        return {
            "will_not_light": "the gas would not light",
            "lights_and_dies": "the flame lit and died",
            "holds": "the flame held",
        }[self.outcome]

    def log_likelihood(self, gas: Mixture, widen: float) -> FloatArray:
        """Return the log-likelihood of each gas.

        Parameters
        ----------
        gas : Mixture
            Possible gases.
        widen : float
            Factor on the doubt, 1 or more [-].

        Returns
        -------
        array
            Log-likelihood [-].
        """
        scale = _FLAME_SCALE * widen
        lights = 1.0 / (1.0 + np.exp(-(gas.methane - _LIGHTS_AT) / scale))
        holds = 1.0 / (1.0 + np.exp(-(gas.methane - _HOLDS_AT) / scale))
        chance = {
            "will_not_light": 1.0 - lights,
            "lights_and_dies": lights * (1.0 - holds),
            "holds": lights * holds,
        }[self.outcome]
        misread = min(_MISREPORTED * widen, 0.5)
        return np.asarray(np.log((1.0 - misread) * chance + misread / 3.0))


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
        """Return the log-likelihood of each gas; see ``FlameTest.log_likelihood``."""
        return _normal(gas.co2, self.share, widen)


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
            return _normal(gas.co2, self.share, widen)
        from scipy.special import log_ndtr

        return np.asarray(log_ndtr((gas.co2 - self.share.value) / (self.share.u * widen)))


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
        """Return the log-likelihood of each gas; see ``FlameTest.log_likelihood``."""
        shares = {"CH4": gas.methane, "CO2": gas.co2, "O2": gas.air * OXYGEN_SHARE_OF_AIR}
        return _normal(shares[self.gas], self.share, widen)


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
        """Return the log-likelihood of each gas; see ``FlameTest.log_likelihood``."""
        return _normal(gas.density_kg_m3, self.density_kg_m3, widen)


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
        """Return the log-likelihood of each gas; see ``FlameTest.log_likelihood``."""
        return _normal(gas.air, self.share, widen)


def _normal(share: FloatArray, seen: Estimate, widen: float) -> FloatArray:
    u = max(seen.u, 1e-4) * widen
    return np.asarray(-0.5 * ((share - seen.value) / u) ** 2 - np.log(u))
