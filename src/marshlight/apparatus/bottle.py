"""Sealed bottles: gas that gathers as pressure in a fixed space."""

from dataclasses import dataclass
from typing import ClassVar

from marshlight.apparatus.limits import not_negative, positive
from marshlight.errors import require


@dataclass(frozen=True)
class SealedBottle:
    """A bottle closed gas-tight, read by its pressure and vented now and then.

    Parameters
    ----------
    headspace_m3 : float
        Gas space above the liquid, above zero [m3].
    relative_humidity : float
        Moisture of the gas, 1 over a liquid [-].
    max_gauge_kpa : float
        Gauge pressure at which its stopper or relief lets go, above zero [kPa].
    u_headspace_m3 : float
        Standard uncertainty of the gas space [m3].
    u_gauge_kpa : float
        Standard uncertainty of one pressure reading [kPa].
    u_gauge_shared_kpa : float
        Standard uncertainty of the gauge's zero, shared by all readings [kPa].

    Raises
    ------
    InputError
        If a value is impossible.

    Notes
    -----
    A closed glass bottle under pressure can burst: the pressure limit is the
    apparatus's own, never a target.

    References
    ----------
    hafner_2020_doc_202; bottle_practice for the default uncertainties.

    Examples
    --------
    >>> SealedBottle(headspace_m3=0.4e-3).max_gauge_kpa
    200.0
    """

    WAYS: ClassVar[dict[str, str]] = {"gauge": "kPa"}
    SOURCES: ClassVar[tuple[str, ...]] = ("hafner_2020_doc_202", "bottle_practice")

    headspace_m3: float
    relative_humidity: float = 1.0
    max_gauge_kpa: float = 200.0
    u_headspace_m3: float = 2e-6
    u_gauge_kpa: float = 0.3
    u_gauge_shared_kpa: float = 0.3

    def __post_init__(self) -> None:
        positive(self, "headspace_m3", "max_gauge_kpa")
        not_negative(self, "u_headspace_m3", "u_gauge_kpa", "u_gauge_shared_kpa")
        require(
            0.0 <= self.relative_humidity <= 1.0,
            field="relative_humidity",
            value=self.relative_humidity,
            allowed="0 to 1",
            remedy="Use 1 for gas over a liquid",
        )
