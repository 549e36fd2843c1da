"""Theoretical gas from a formula (Buswell-Boyle), and the oxygen demand behind it."""

from dataclasses import dataclass

from marshlight.errors import require
from marshlight.matter.elements import ATOMIC_MASS, Formula
from marshlight.matter.gas import GAS_CONSTANT_J_MOL_K, NORMAL_PRESSURE_KPA
from marshlight.matter.water import KELVIN

# Ideal molar volume at 0 degC and 101.325 kPa [m3/kmol]. The usual theoretical yields (415, 496,
# 1014 NmL/g) are ideal ones; real methane takes 0.24 % less room.
IDEAL_MOLAR_VOLUME = GAS_CONSTANT_J_MOL_K * KELVIN / NORMAL_PRESSURE_KPA
OXYGEN_MOLAR_MASS = 2.0 * ATOMIC_MASS["O"]

# Methane takes two O2, so its volume per oxygen demand is a constant of the convention [m3/kg].
METHANE_PER_COD = IDEAL_MOLAR_VOLUME / (2.0 * OXYGEN_MOLAR_MASS)


@dataclass(frozen=True)
class TheoreticalGas:
    """All the gas one kilogram could give if every bit of it were digested.

    Amounts are in kmol per kg of the substance; volumes are ideal, dry, at 0 degC and
    101.325 kPa. ``ammonia`` is what nitrogen turns into, wherever it ends up;
    ``bicarbonate`` is the carbon dioxide that ammonia holds in the liquid.
    """

    methane: float
    carbon_dioxide: float
    ammonia: float
    hydrogen_sulphide: float
    water_taken_up: float
    bicarbonate: float = 0.0

    @property
    def methane_m3_per_kg(self) -> float:
        """Give the theoretical methane potential [m3/kg]."""
        return self.methane * IDEAL_MOLAR_VOLUME

    @property
    def carbon_dioxide_m3_per_kg(self) -> float:
        """Give the carbon dioxide that reaches the gas [m3/kg]."""
        return (self.carbon_dioxide - self.bicarbonate) * IDEAL_MOLAR_VOLUME

    @property
    def biogas_m3_per_kg(self) -> float:
        """Give methane and carbon dioxide that reach the gas [m3/kg]."""
        return self.methane_m3_per_kg + self.carbon_dioxide_m3_per_kg

    @property
    def methane_share(self) -> float:
        """Give methane over methane and carbon dioxide in the gas [m3/m3], 0 to 1."""
        return self.methane_m3_per_kg / self.biogas_m3_per_kg

    @property
    def shares_of_four(self) -> tuple[float, float, float, float]:
        """Give CH4, CO2, NH3 and H2S as shares of their sum [kmol/kmol], nothing dissolved."""
        total = self.methane + self.carbon_dioxide + self.ammonia + self.hydrogen_sulphide
        return (
            self.methane / total,
            self.carbon_dioxide / total,
            self.ammonia / total,
            self.hydrogen_sulphide / total,
        )


def gas_from_formula(substance: Formula, *, ammonia_in_liquid: bool = False) -> TheoreticalGas:
    """Compute the gas from complete digestion of a substance (Buswell-Boyle).

    Parameters
    ----------
    substance : Formula
        Its elements [kmol/kmol]; carbon more than nothing.
    ammonia_in_liquid : bool
        Whether the ammonia stays in the liquid as ammonium bicarbonate, holding one carbon
        dioxide each. At the pH of a working digester nearly all of it does; at most all the
        carbon dioxide there is can be held.

    Returns
    -------
    TheoreticalGas
        Amounts per kilogram of the substance [kmol/kg].

    Raises
    ------
    InputError
        When the substance is so rich in oxygen that it can give no methane, or so rich in
        hydrogen that the balance asks for less than no carbon dioxide.

    Notes
    -----
    CaHbOcNdSe + (a - b/4 - c/2 + 3d/4 + e/2) H2O -> (a/2 + b/8 - c/4 - 3d/8 - e/4) CH4
    + (a/2 - b/8 + c/4 + 3d/8 + e/4) CO2 + d NH3 + e H2S. New cells, inert matter and dissolved
    gas are neglected, so a real digester stays below it.

    References
    ----------
    Source ``buswell_boyle_1977``.

    Examples
    --------
    >>> from marshlight.matter.elements import formula
    >>> cellulose = gas_from_formula(formula("C6H10O5"))
    >>> round(cellulose.methane_m3_per_kg * 1000, 1), round(cellulose.methane_share, 3)
    (414.7, 0.5)
    """
    a, b, c, d, e = substance.C, substance.H, substance.O, substance.N, substance.S
    methane = a / 2 + b / 8 - c / 4 - 3 * d / 8 - e / 4
    carbon_dioxide = a - methane
    require(
        a > 0.0 and methane > 0.0 and carbon_dioxide >= 0.0,
        field="formula",
        value=(a, b, c, d, e),
        allowed="an organic substance that can give methane and carbon dioxide",
        remedy="Check the formula; an analysis must be of the ash-free organic matter",
    )
    mass = substance.molar_mass
    held = min(d, carbon_dioxide) if ammonia_in_liquid else 0.0
    return TheoreticalGas(
        methane=methane / mass,
        carbon_dioxide=carbon_dioxide / mass,
        ammonia=d / mass,
        hydrogen_sulphide=e / mass,
        water_taken_up=(a - b / 4 - c / 2 + 3 * d / 4 + e / 2) / mass,
        bicarbonate=held / mass,
    )


def chemical_oxygen_demand(substance: Formula, *, sulphur_to_sulphate: bool = False) -> float:
    """Compute the theoretical oxygen demand, nitrogen left as ammonia.

    Parameters
    ----------
    substance : Formula
        Its elements [kmol/kmol].
    sulphur_to_sulphate : bool
        Whether sulphur is burnt to sulphate; otherwise it is left as hydrogen sulphide, which
        is what goes with methane.

    Returns
    -------
    float
        Oxygen demand [kg O2/kg].

    Notes
    -----
    32 (a + b/4 - c/2 - 3d/4 - e/2) / M; to sulphate takes two more O2 for each sulphur. With
    sulphur left as sulphide, methane from Buswell-Boyle over oxygen demand is the same for every
    substance: 0.35024 m3/kg.

    References
    ----------
    Source ``buswell_boyle_1977``.

    Examples
    --------
    >>> from marshlight.matter.elements import formula
    >>> round(chemical_oxygen_demand(formula("C6H12O6")), 4)
    1.0657
    """
    oxygen = (
        substance.C
        + substance.H / 4
        - substance.O / 2
        - 3 * substance.N / 4
        - substance.S / 2
        + (2 * substance.S if sulphur_to_sulphate else 0.0)
    )
    return oxygen * OXYGEN_MOLAR_MASS / substance.molar_mass


def digestible_share(methane_potential: float, theoretical: float) -> float:
    """Compare a measured methane potential with what the elements could give.

    Parameters
    ----------
    methane_potential : float
        Measured ultimate methane, dry normal [m3/kg VS], zero or more.
    theoretical : float
        Theoretical methane on the same basis [m3/kg VS], more than zero.

    Returns
    -------
    float
        The share digested [kg/kg], not cut off: above 1 one of the two numbers is wrong.

    Raises
    ------
    InputError
        When the potential is negative or the theoretical value not positive.

    Examples
    --------
    >>> round(digestible_share(0.240, 0.469), 2)
    0.51
    """
    require(
        methane_potential >= 0.0 and theoretical > 0.0,
        field="methane potential and theoretical methane",
        value=(methane_potential, theoretical),
        allowed="zero or more, over more than zero",
        remedy="Give both in m3 of methane per kg of volatile solids",
    )
    return methane_potential / theoretical
