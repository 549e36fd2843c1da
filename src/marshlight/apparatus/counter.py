"""Gas counters: wet meters and tipping cells that add up what passed."""

from dataclasses import dataclass
from typing import ClassVar

from marshlight.apparatus.limits import not_negative, positive
from marshlight.errors import require


@dataclass(frozen=True)
class Counter:
    """A meter that counts gas as it passes.

    Parameters
    ----------
    per_count_m3 : float
        Gas in one count at the meter's own temperature and pressure; use 1 for a
        register that already shows cubic metres [m3].
    roll_over_at : float
        Count after which the register starts again from zero; zero if never.
    gauge_kpa : float
        Pressure over the outside air's inside the meter, zero or more [kPa].
    relative_humidity : float
        Moisture of the gas it counts: 1 over water, 0 dried [-].
    u_relative : float
        Relative standard uncertainty of the calibration [-].
    u_counts : float
        Standard uncertainty of one reading, in counts: a cell part filled.
    u_gauge_kpa : float
        Standard uncertainty of the gauge pressure [kPa].

    Raises
    ------
    InputError
        If a value is impossible.

    References
    ----------
    counter_practice for the default uncertainties.

    Examples
    --------
    >>> Counter(per_count_m3=1e-5, roll_over_at=100000).roll_over_at
    100000
    """

    WAYS: ClassVar[dict[str, str]] = {"counts": "", "volume": "m3"}
    SOURCES: ClassVar[tuple[str, ...]] = ("counter_practice",)

    per_count_m3: float
    roll_over_at: float = 0.0
    gauge_kpa: float = 0.0
    relative_humidity: float = 1.0
    u_relative: float = 0.02
    u_counts: float = 0.5
    u_gauge_kpa: float = 0.05

    def __post_init__(self) -> None:
        positive(self, "per_count_m3")
        not_negative(self, "roll_over_at", "gauge_kpa", "u_relative", "u_counts", "u_gauge_kpa")
        require(
            0.0 <= self.relative_humidity <= 1.0,
            field="relative_humidity",
            value=self.relative_humidity,
            allowed="0 to 1",
            remedy="Use 1 for a wet meter or a tipping cell",
        )
