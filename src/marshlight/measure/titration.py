"""Two-point titration of digester liquid: alkalinity, volatile acids and their ratio."""

from dataclasses import dataclass

from marshlight.errors import require

_REFERENCE_SAMPLE_M3 = 20e-6
_REFERENCE_ACID_MOL_M3 = 100.0
_CACO3_KG_PER_EQUIVALENT = 0.050045


@dataclass(frozen=True)
class Buffer:
    """What a two-point titration says of a digester's liquid.

    Parameters
    ----------
    alkalinity_kg_m3 : float
        Alkalinity to pH 5.0, as calcium carbonate [kg/m3].
    volatile_acids_kg_m3 : float
        Volatile acids, as acetic acid; never below zero [kg/m3].
    u_volatile_acids_kg_m3 : float
        Standard uncertainty, mostly of the method itself [kg/m3].
    """

    alkalinity_kg_m3: float
    volatile_acids_kg_m3: float
    u_volatile_acids_kg_m3: float

    @property
    def ratio(self) -> float:
        """Volatile acids over alkalinity, as practice compares them [-].

        Raises
        ------
        InputError
            If there is no alkalinity to divide by.
        """
        require(
            self.alkalinity_kg_m3 > 0.0,
            field="alkalinity",
            value=self.alkalinity_kg_m3,
            allowed="above zero",
            remedy="The sample was already at or below pH 5: read the pH alone",
        )
        return self.volatile_acids_kg_m3 / self.alkalinity_kg_m3


def two_point_titration(
    acid_to_ph5_m3: float, acid_to_ph44_m3: float, *, sample_m3: float, acid_mol_m3: float
) -> Buffer:
    """Work out alkalinity and volatile acids from acid run in to pH 5.0 and to pH 4.4.

    Parameters
    ----------
    acid_to_ph5_m3 : float
        Acid to pH 5.0, zero or more [m3].
    acid_to_ph44_m3 : float
        Acid from the beginning to pH 4.4, at least as much [m3].
    sample_m3 : float
        Strained sample, above zero [m3].
    acid_mol_m3 : float
        Strength of the acid in equivalents; 0.05 mol/L sulfuric acid is 100 [mol/m3].

    Returns
    -------
    Buffer
        Alkalinity and volatile acids.

    Raises
    ------
    InputError
        If the volumes are out of order or not above zero.

    Notes
    -----
    With ``A`` mL to pH 5.0 and ``B`` mL on to 4.4, for 20 mL and 0.1 N:
    ``(1.66 B - 0.15) 500`` mg/L acids as acetic, ``A N 50045/V`` mg/L alkalinity.
    Other samples and strengths are scaled to that. An empirical rule: carbon dioxide
    kept in the sample biases the acids by +0.4 to +1.9 kg/m3, which the uncertainty
    reflects as a tenth of the alkalinity.

    References
    ----------
    nordmann_1977; liu_2021 for its limits.

    Examples
    --------
    >>> found = two_point_titration(8.97e-6, 9.81e-6, sample_m3=20e-6, acid_mol_m3=100.0)
    >>> round(found.volatile_acids_kg_m3, 4), round(found.ratio, 3)
    (0.6222, 0.277)
    """
    require(
        sample_m3 > 0.0 and acid_mol_m3 > 0.0,
        field="sample_m3",
        value=min(sample_m3, acid_mol_m3),
        allowed="above zero",
        remedy="Give the sample's volume and the acid's strength",
    )
    require(
        0.0 <= acid_to_ph5_m3 <= acid_to_ph44_m3,
        field="acid_to_ph44_m3",
        value=acid_to_ph44_m3,
        allowed="at least the acid to pH 5.0",
        remedy="Give both volumes counted from the beginning",
    )
    strength = acid_mol_m3 / _REFERENCE_ACID_MOL_M3 * _REFERENCE_SAMPLE_M3 / sample_m3
    further_ml = (acid_to_ph44_m3 - acid_to_ph5_m3) * 1e6 * strength
    acids = max((1.66 * further_ml - 0.15) * 0.5, 0.0)
    alkalinity = acid_to_ph5_m3 * acid_mol_m3 * _CACO3_KG_PER_EQUIVALENT / sample_m3
    return Buffer(alkalinity, acids, 0.1 * alkalinity)
