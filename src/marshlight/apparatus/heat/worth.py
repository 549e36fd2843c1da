"""Is heating worth its energy? Heat bought beside the energy of the gas it brings."""

from dataclasses import dataclass

from marshlight.errors import require
from marshlight.matter.combustion import METHANE_KWH_PER_NORMAL_M3


@dataclass(frozen=True)
class Worth:
    """Energy a day [kWh/d]: taken by the heater, held by the gas, and the gas without heating."""

    taken_kwh_per_d: float
    gas_kwh_per_d: float
    unheated_gas_kwh_per_d: float

    @property
    def gained_kwh_per_d(self) -> float:
        """Gas energy that the heating brings [kWh/d]."""
        return self.gas_kwh_per_d - self.unheated_gas_kwh_per_d

    @property
    def pays(self) -> bool:
        """Say whether heating brings more energy than it takes."""
        return self.gained_kwh_per_d > self.taken_kwh_per_d

    @property
    def sentence(self) -> str:
        """Say it plainly."""
        if self.taken_kwh_per_d <= 0.0:
            return "The heater takes no bought energy, so any gas it brings is a gain."
        if self.gas_kwh_per_d <= 0.0:
            return "No gas is counted here, so heating takes energy and nothing is set against it."
        times = self.taken_kwh_per_d / self.gas_kwh_per_d
        if times > 1.0:
            return (
                f"This digester uses more energy than it makes: its heater takes {times:.3g} times "
                "the energy of its gas. Its worth is in what it teaches, tests or cleans, not in "
                "the gas."
            )
        if not self.pays:
            return (
                "The gas holds more energy than the heater takes, but most of it would come "
                "without heating as well: the heat brings less gas than it costs."
            )
        return (
            f"Heating takes {times:.0%} of the energy in the gas and brings more gas than it costs."
        )


def worth(
    taken_kwh_per_d: float, methane_m3_per_d: float, *, unheated_methane_m3_per_d: float
) -> Worth:
    """Return the heat taken beside the energy of the gas.

    Parameters
    ----------
    taken_kwh_per_d : float
        Energy the heater takes, zero or more [kWh/d].
    methane_m3_per_d, unheated_methane_m3_per_d : float
        Dry normal methane with and without heating, zero or more [m3/d].

    Returns
    -------
    Worth
        Energies and the verdict.

    Raises
    ------
    InputError
        If a number is negative.

    Notes
    -----
    Net heating value. Electricity is worth more than the same energy as gas: a kilowatt-hour
    of it took two to three of fuel, so this comparison favours the heater.

    References
    ----------
    iso_6976_2016.

    Examples
    --------
    >>> worth(0.5, 0.006, unheated_methane_m3_per_d=0.002).pays
    False
    """
    for field, value in (
        ("energy taken", taken_kwh_per_d),
        ("methane", methane_m3_per_d),
        ("methane without heating", unheated_methane_m3_per_d),
    ):
        require(
            value >= 0.0,
            field=field,
            value=value,
            allowed="zero or more",
            remedy="Give the mean of a day",
        )
    return Worth(
        taken_kwh_per_d,
        methane_m3_per_d * METHANE_KWH_PER_NORMAL_M3,
        unheated_methane_m3_per_d * METHANE_KWH_PER_NORMAL_M3,
    )
