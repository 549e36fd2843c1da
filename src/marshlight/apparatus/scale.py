"""Mass loss: a vessel that gets lighter by the gas that leaves it."""

from dataclasses import dataclass
from typing import ClassVar

from marshlight.apparatus.limits import not_negative, positive


@dataclass(frozen=True)
class MassLoss:
    """A vessel weighed on a scale, whose gas leaves freely or is vented.

    Parameters
    ----------
    exit_temperature_c : float
        Temperature at which the leaving gas was last over liquid [degC].
    exit_gauge_kpa : float
        Gauge pressure in the head-space before it left; zero if it leaves freely [kPa].
    u_mass_kg : float
        Standard uncertainty of one weighing, above zero [kg].
    u_relative : float
        Relative standard uncertainty of the scale's span, shared by all weighings [-].

    Raises
    ------
    InputError
        If a value is impossible.

    Notes
    -----
    The first gas is mostly the head-space's air, which weighs as much as gas with 54 %
    methane: while it leaves, a richer share overrates the volume by a few per cent.

    References
    ----------
    hafner_2020_doc_203 for the method.

    Examples
    --------
    >>> MassLoss(exit_temperature_c=37.0, u_mass_kg=1e-5).exit_gauge_kpa
    0.0
    """

    WAYS: ClassVar[dict[str, str]] = {"mass": "kg"}
    SOURCES: ClassVar[tuple[str, ...]] = ("hafner_2020_doc_203",)

    exit_temperature_c: float
    u_mass_kg: float
    exit_gauge_kpa: float = 0.0
    u_relative: float = 0.0005

    def __post_init__(self) -> None:
        positive(self, "u_mass_kg")
        not_negative(self, "exit_gauge_kpa", "u_relative")
