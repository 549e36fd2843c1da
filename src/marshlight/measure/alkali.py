"""Carbon dioxide caught in alkali, from a titration with two indicators."""

import math
from dataclasses import dataclass

from marshlight.errors import require


@dataclass(frozen=True)
class AlkaliTitration:
    """Two end points of acid run into alkali that has absorbed carbon dioxide.

    Parameters
    ----------
    first_m3 : float
        Acid to the first end point: phenolphthalein turning colourless, or in the
        barium method the same indicator after precipitating the carbonate [m3].
    total_m3 : float
        Acid from the beginning to methyl orange, at least ``first_m3`` [m3].
    acid_mol_m3 : float
        Strength of the acid in equivalents, above zero [mol/m3].
    blank_mol : float
        Carbonate in the same amount of unused alkali, zero or more [mol].
    barium : bool
        True if barium chloride was added before the first end point.
    u_burette_m3 : float
        Standard uncertainty of one end point, zero or more [m3].

    Raises
    ------
    InputError
        If the end points are out of order or a value impossible.

    Notes
    -----
    Two indicators: to the first end point hydroxide is neutralised and carbonate
    becomes bicarbonate; from there to methyl orange each mole of carbon takes one
    mole of acid. ``n = c (T - P)``, with or without hydroxide left. Barium: the
    first end point is hydroxide alone, so ``n = c (T - W)/2``. With less than half
    of the acid used at the first end point the hydroxide was spent, and carbon
    dioxide may have passed unabsorbed. Alkali burns eyes and skin: goggles, gloves.

    References
    ----------
    warder_1881; winkler_barium.

    Examples
    --------
    >>> run = AlkaliTitration(first_m3=12e-6, total_m3=16e-6, acid_mol_m3=100.0)
    >>> round(run.carbon_mol * 1e3, 3), run.spent
    (0.4, False)
    """

    first_m3: float
    total_m3: float
    acid_mol_m3: float
    blank_mol: float = 0.0
    barium: bool = False
    u_burette_m3: float = 5e-8

    def __post_init__(self) -> None:
        require(
            0.0 <= self.first_m3 <= self.total_m3,
            field="first_m3",
            value=self.first_m3,
            allowed="zero to the total to methyl orange",
            remedy="Give the second end point counted from the beginning, not from the first",
        )
        for name in ("acid_mol_m3", "blank_mol", "u_burette_m3"):
            value = getattr(self, name)
            require(
                value > 0.0 if name == "acid_mol_m3" else value >= 0.0,
                field=name,
                value=value,
                allowed="above zero" if name == "acid_mol_m3" else "zero or more",
                remedy="Check the titration sheet",
            )

    @property
    def carbon_mol(self) -> float:
        """Carbon dioxide absorbed [mol]."""
        step = (self.total_m3 - self.first_m3) * self.acid_mol_m3
        return (step / 2.0 if self.barium else step) - self.blank_mol

    @property
    def u_carbon_mol(self) -> float:
        """Standard uncertainty of it through the burette [mol]."""
        both = math.sqrt(2.0) * self.u_burette_m3 * self.acid_mol_m3
        return both / 2.0 if self.barium else both

    @property
    def spent(self) -> bool:
        """Whether no hydroxide was left, so that more may have passed by."""
        if self.barium:
            return self.first_m3 <= self.u_burette_m3
        return self.first_m3 < self.total_m3 / 2.0
