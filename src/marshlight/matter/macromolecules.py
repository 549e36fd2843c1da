"""Carbohydrate, protein, lipid, fibre and lignin as model compounds: gas, oxygen, N, density."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from marshlight.errors import require
from marshlight.matter.elements import Formula, formula
from marshlight.matter.stoichiometry import (
    TheoreticalGas,
    chemical_oxygen_demand,
    gas_from_formula,
)


@dataclass(frozen=True)
class Macromolecule:
    """A model compound and its dry density, ``density_0 + slope * t`` [kg/m3], t in degC."""

    name: str
    elements: Formula
    density_0: float
    density_slope: float
    digestible: bool = True

    def density(self, temperature_c: float) -> float:
        """Give the density of the dry compound [kg/m3] at a temperature [degC]."""
        return self.density_0 + self.density_slope * temperature_c


# Model compounds: source angelidaki_sanders_2004, lignin moller_2004. Densities: source
# choi_okos_1986; lignin shares the fibre line, there is none of its own.
MACROMOLECULES: Mapping[str, Macromolecule] = MappingProxyType(
    {
        part.name: part
        for part in (
            Macromolecule("carbohydrate", formula("C6H10O5"), 1599.1, -0.31046),
            Macromolecule("protein", formula("C5H7NO2"), 1329.9, -0.51840),
            Macromolecule("lipid", formula("C57H104O6"), 925.59, -0.41757),
            Macromolecule("fibre", formula("C6H10O5"), 1311.5, -0.36589),
            Macromolecule("lignin", formula("C10H13O3"), 1311.5, -0.36589, digestible=False),
        )
    }
)

# Ash of foods, source choi_okos_1986 [kg/m3, degC].
ASH_DENSITY_0, ASH_DENSITY_SLOPE = 2423.8, -0.28063

METHANE_POTENTIAL: Mapping[str, float] = MappingProxyType(
    {name: gas_from_formula(m.elements).methane_m3_per_kg for name, m in MACROMOLECULES.items()}
)
OXYGEN_DEMAND: Mapping[str, float] = MappingProxyType(
    {name: chemical_oxygen_demand(m.elements) for name, m in MACROMOLECULES.items()}
)


def theoretical_methane(
    *,
    carbohydrate: float = 0.0,
    protein: float = 0.0,
    lipid: float = 0.0,
    fibre: float = 0.0,
    lignin: float = 0.0,
) -> float:
    """Compute the theoretical methane of a mixture of macromolecules.

    Parameters
    ----------
    carbohydrate, protein, lipid, fibre, lignin : float
        Shares of the volatile solids [kg/kg VS], 0 to 1, together 1.02 at the most.

    Returns
    -------
    float
        Methane, ideal, dry, normal [m3/kg VS], if all of it were digested, lignin included.

    Raises
    ------
    InputError
        When a share is negative or they sum to more than 1.02.

    Notes
    -----
    Sum of share times the Buswell-Boyle methane of the model compound: 0.4147 carbohydrate and
    fibre, 0.4954 protein, 1.0125 lipid, 0.727 lignin [m3/kg]. Lignin is counted because oxygen
    demand counts it; pass 0 to leave it out.

    References
    ----------
    Sources ``angelidaki_sanders_2004``, ``moller_2004``.

    Examples
    --------
    >>> round(theoretical_methane(carbohydrate=0.7, protein=0.2, lipid=0.1) * 1000, 1)
    490.6
    """
    shares = {
        "carbohydrate": carbohydrate,
        "protein": protein,
        "lipid": lipid,
        "fibre": fibre,
        "lignin": lignin,
    }
    _check(shares)
    return sum(METHANE_POTENTIAL[name] * share for name, share in shares.items())


def gas_from_macromolecules(
    shares: Mapping[str, float], *, ammonia_in_liquid: bool = False
) -> TheoreticalGas:
    """Compute the gas of the digestible part of a mixture of macromolecules.

    Parameters
    ----------
    shares : Mapping[str, float]
        Shares by name of ``MACROMOLECULES`` [kg/kg], 0 to 1; lignin is taken as undigested.
    ammonia_in_liquid : bool
        Whether ammonia holds carbon dioxide in the liquid as bicarbonate.

    Returns
    -------
    TheoreticalGas
        Amounts per kilogram of the whole mixture [kmol/kg].

    Raises
    ------
    InputError
        When a share is negative, they sum to more than 1.02, or nothing can be digested.

    Examples
    --------
    >>> beans = {"carbohydrate": 0.6, "protein": 0.3, "lipid": 0.1}
    >>> round(gas_from_macromolecules(beans).methane_share, 3)
    0.531
    >>> round(gas_from_macromolecules(beans, ammonia_in_liquid=True).methane_share, 3)
    0.567
    """
    _check(shares)
    digested = {
        name: share
        for name, share in shares.items()
        if share > 0.0 and MACROMOLECULES[name].digestible
    }
    require(
        bool(digested),
        field="shares",
        value=dict(shares),
        allowed="some carbohydrate, protein, lipid or fibre",
        remedy="Give the make-up of the organic matter",
    )
    gases = {
        name: gas_from_formula(MACROMOLECULES[name].elements, ammonia_in_liquid=ammonia_in_liquid)
        for name in digested
    }
    return TheoreticalGas(
        methane=sum(s * gases[n].methane for n, s in digested.items()),
        carbon_dioxide=sum(s * gases[n].carbon_dioxide for n, s in digested.items()),
        ammonia=sum(s * gases[n].ammonia for n, s in digested.items()),
        hydrogen_sulphide=sum(s * gases[n].hydrogen_sulphide for n, s in digested.items()),
        water_taken_up=sum(s * gases[n].water_taken_up for n, s in digested.items()),
        bicarbonate=sum(s * gases[n].bicarbonate for n, s in digested.items()),
    )


def _check(shares: Mapping[str, float]) -> None:
    require(
        set(shares) <= set(MACROMOLECULES)
        and all(share >= 0.0 for share in shares.values())
        and sum(shares.values()) <= 1.02,
        field="shares of carbohydrate, protein, lipid, fibre and lignin",
        value=dict(shares),
        allowed="shares of the volatile solids, 0 to 1, together 1 at the most",
        remedy="Give each as a share of the volatile solids",
    )
