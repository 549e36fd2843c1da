"""Pure fuels: heat by mole, mass and volume, and the air they burn in."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from marshlight.matter.gas import (
    GAS_CONSTANT_J_MOL_K,
    GASES,
    NORMAL_PRESSURE_KPA,
    OXYGEN_SHARE_OF_AIR,
)
from marshlight.matter.water import KELVIN

# Heat of vaporisation of water by temperature [degC], in kJ/mol, source iso_6976_2016.
VAPORISATION_KJ_MOL: Mapping[float, float] = MappingProxyType(
    {0.0: 45.064, 15.0: 44.431, 15.55: 44.408, 20.0: 44.222, 25.0: 44.013}
)


@dataclass(frozen=True)
class Fuel:
    """A pure fuel: molar mass [kg/mol], gross heat at 25 degC [kJ/mol], water made, oxygen need."""

    name: str
    molar_mass_kg_mol: float
    gross_kj_mol: float
    water_mol_mol: float
    oxygen_mol_mol: float
    source: str = "iso_6976_2016"

    @property
    def net_kj_mol(self) -> float:
        """Net heat at 25 degC: the water leaves as vapour [kJ/mol]."""
        return self.gross_kj_mol - self.water_mol_mol * VAPORISATION_KJ_MOL[25.0]

    @property
    def gross_mj_kg(self) -> float:
        """Gross heat at 25 degC [MJ/kg]."""
        return self.gross_kj_mol / self.molar_mass_kg_mol / 1e3

    @property
    def net_mj_kg(self) -> float:
        """Net heat at 25 degC [MJ/kg]."""
        return self.net_kj_mol / self.molar_mass_kg_mol / 1e3

    @property
    def wobbe_gross_mj_m3(self) -> float:
        """Gross Wobbe index, volume at 15 degC, 101.325 kPa, ideal gas [MJ/m3]."""
        density = self.molar_mass_kg_mol / GASES["air"].molar_mass_kg_mol
        heat = self.gross_kj_mol / molar_volume_m3_mol(15.0) / 1e3
        return float(heat / density**0.5)

    @property
    def air_need_m3_m3(self) -> float:
        """Air for complete burning, by volume [m3/m3]."""
        return self.oxygen_mol_mol / OXYGEN_SHARE_OF_AIR


FUELS: Mapping[str, Fuel] = MappingProxyType(
    {
        "CH4": Fuel("natural gas, as methane", 0.01604246, 890.58, 2.0, 2.0),
        "C3H8": Fuel("propane", 0.0440956, 2219.17, 4.0, 5.0),
        "C4H10": Fuel("butane", 0.0581222, 2877.40, 5.0, 6.5),
        "H2": Fuel("hydrogen", 0.00201588, 285.83, 1.0, 0.5),
        "H2S": Fuel("hydrogen sulphide", 0.0340809, 562.01, 1.0, 1.5),
        "CO": Fuel("carbon monoxide", 0.0280101, 282.98, 0.0, 0.5),
    }
)


def molar_volume_m3_mol(temperature_c: float) -> float:
    """Return the ideal molar volume at 101.325 kPa.

    Parameters
    ----------
    temperature_c : float
        Temperature of the volume, above -273.15 [degC].

    Returns
    -------
    float
        Volume of a mole [m3/mol].

    References
    ----------
    codata_2018.

    Examples
    --------
    >>> round(molar_volume_m3_mol(15.0) * 1e3, 3)
    23.645
    """
    return GAS_CONSTANT_J_MOL_K * (temperature_c + KELVIN) / (NORMAL_PRESSURE_KPA * 1e3)
