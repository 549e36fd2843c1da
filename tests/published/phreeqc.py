"""PHREEQC, asked live: water with bicarbonate, ammonia and acetic acid under carbon dioxide.

Database phreeqc.dat, with acetate and an ammonia that redox does not touch added: constants at
25 degC and enthalpies from memory (CRC handbook, NIST), ion sizes as for like ions in the database.
"""

from dataclasses import dataclass
from math import log10

from phreeqpython import PhreeqPython

ATMOSPHERE_BAR = 1.01325
SODA_KG, ACETIC_KG, NITROGEN_KG = 84.0066, 60.052, 14.007

_SPECIES = """
SOLUTION_MASTER_SPECIES
Acet Acet- 1.0 59.045 59.045
Tan TanH+ 0.0 18.038 14.007
SOLUTION_SPECIES
Acet- = Acet-
 log_k 0
 -gamma 4.5 0
Acet- + H+ = HAcet
 log_k 4.756
 delta_h 0.41 kJ
TanH+ = TanH+
 log_k 0
 -gamma 2.5 0
TanH+ = Tan + H+
 log_k -9.252
 delta_h 52.09 kJ
END
"""


@dataclass(frozen=True)
class Mixture:
    """Grams to a kilogram of water, temperature [degC] and carbon dioxide [bar]."""

    celsius: float
    carbon_dioxide_bar: float
    soda: float = 0.0
    nitrogen: float = 0.0
    acid: float = 0.0


@dataclass(frozen=True)
class Found:
    """What PHREEQC says; molalities."""

    ph: float
    ionic_strength: float
    bicarbonate: float
    ammonia: float


class Phreeqc:
    """One instance with its database, asked again and again."""

    def __init__(self, database: str = "phreeqc.dat") -> None:
        """Load the database."""
        self._solver = PhreeqPython(database=database).ip
        # Pitzer's own database has no place for ions it holds no coefficients of.
        self._plain = database != "phreeqc.dat"
        if not self._plain:
            self._solver.run_string(_SPECIES)

    def settle(self, mixture: Mixture) -> Found:
        """Bring a mixture into equilibrium with its carbon dioxide."""
        poured = [f" NaHCO3 {mixture.soda / SODA_KG}"]
        if not self._plain:
            poured += [
                f" Tan {mixture.nitrogen / NITROGEN_KG}",
                f" HAcet {mixture.acid / ACETIC_KG}",
            ]
        pressure = log10(mixture.carbon_dioxide_bar / ATMOSPHERE_BAR)
        lines = [
            "SOLUTION 1",
            f" temp {mixture.celsius}",
            " pressure 1",
            " pH 7 charge",
            "REACTION 1",
            *poured,
            " 1 mol",
            "EQUILIBRIUM_PHASES 1",
            f" CO2(g) {pressure} 1000",
            "SAVE solution 1",
            "END",
        ]
        self._solver.run_string("\n".join(lines))
        return Found(
            self._solver.get_ph(1),
            self._solver.get_mu(1),
            self._solver.get_molality(1, "HCO3-"),
            0.0 if self._plain else self._solver.get_molality(1, "Tan"),
        )

    def soda_for(self, mixture: Mixture, ph: float, *, most: float = 60.0) -> float:
        """Find the bicarbonate that brings a mixture to a pH, in grams a kilogram of water."""
        low, high = 0.0, most
        while high - low > 1e-4:
            middle = 0.5 * (low + high)
            trial = Mixture(
                mixture.celsius,
                mixture.carbon_dioxide_bar,
                mixture.soda + middle,
                mixture.nitrogen,
                mixture.acid,
            )
            low, high = (middle, high) if self.settle(trial).ph < ph else (low, middle)
        return 0.5 * (low + high)
