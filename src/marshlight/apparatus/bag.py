"""Bags and balloons, read by eye, by tape or by emptying them through a meter."""

import math
from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from marshlight.apparatus.held import FloatArray, HeldGas
from marshlight.apparatus.limits import known_way, not_negative, positive
from marshlight.errors import require


@dataclass(frozen=True)
class Bag:
    """A slack bag, a lay-flat tube or a round balloon.

    Parameters
    ----------
    capacity_m3 : float
        Volume when taut, above zero [m3].
    tube_length_m, tube_girth_m : float
        Length and girth of a lay-flat tube, for readings of its thickness; zero
        where it is no tube [m].
    gauge_kpa : float
        Pressure over the outside air's while it fills; a slack bag has none, a
        rubber balloon some [kPa].
    relative_humidity : float
        Moisture of its gas, 0 (dried) to 1 (saturated) [-].
    u_gauge_kpa, u_fill, u_tape_m, u_capacity_relative : float
        Standard uncertainty of pressure [kPa], of a fill fraction judged by eye
        [-], of a tape reading [m], and of the capacity [-].

    Raises
    ------
    InputError
        If a dimension is impossible.

    Notes
    -----
    Girth ``C`` of a round balloon: ``V = C**3/(6 pi**2)``. Thickness ``t`` of a tube
    of girth ``C`` and length ``L``: a flat with round edges,
    ``V = L (t C/2 - pi t**2/4)``; its ends are neglected. An emptied bag measured by
    a meter is entered with the emptying (see ``HolderEvent``).

    References
    ----------
    bag_practice for the default uncertainties; the rest is geometry.

    Examples
    --------
    >>> balloon = Bag(capacity_m3=0.02)
    >>> round(float(balloon.held(np.array([0.6]), way="girth", temperature_c=20.0).volume_m3[0]), 5)
    0.00365
    """

    WAYS: ClassVar[dict[str, str]] = {"fill": "", "volume": "m3", "girth": "m", "thickness": "m"}
    SOURCES: ClassVar[tuple[str, ...]] = ("bag_practice",)

    capacity_m3: float
    tube_length_m: float = 0.0
    tube_girth_m: float = 0.0
    gauge_kpa: float = 0.0
    relative_humidity: float = 1.0
    u_gauge_kpa: float = 0.1
    u_fill: float = 0.07
    u_tape_m: float = 0.01
    u_capacity_relative: float = 0.05

    def __post_init__(self) -> None:
        positive(self, "capacity_m3")
        not_negative(self, "tube_length_m", "tube_girth_m", "gauge_kpa", "u_gauge_kpa")
        not_negative(self, "u_fill", "u_tape_m", "u_capacity_relative")
        require(
            0.0 <= self.relative_humidity <= 1.0,
            field="relative_humidity",
            value=self.relative_humidity,
            allowed="0 to 1",
            remedy="Use 1 unless the gas is dried before the bag",
        )

    @property
    def shared_relative_u(self) -> float:
        """Relative standard uncertainty of every volume through the capacity [-]."""
        return self.u_capacity_relative

    @property
    def shared_gauge_u_kpa(self) -> float:
        """Standard uncertainty of the pressure that all readings share [kPa]."""
        return self.u_gauge_kpa

    @property
    def random_gauge_u_kpa(self) -> float:
        """Standard uncertainty of the pressure fresh at each reading [kPa]."""
        return self.u_gauge_kpa

    @property
    def u_empty_m3(self) -> float:
        """Standard uncertainty of the gas left when emptied: 1 % of the capacity [m3]."""
        return 0.01 * self.capacity_m3

    def held(self, values: FloatArray, *, way: str, temperature_c: float) -> HeldGas:
        """Return what readings say the bag held.

        Parameters
        ----------
        values : array
            Fill fractions, volumes, girths or thicknesses, zero or more [-, m3, m, m].
        way : str
            "fill", "volume", "girth" or "thickness".
        temperature_c : float
            Unused: the bag has no liquid [degC].

        Returns
        -------
        HeldGas
            Volume, gauge pressure and uncertainty of each reading.

        Raises
        ------
        InputError
            If it can't be read that way.
        """
        known_way(way, self.WAYS)
        volumes, u_volumes = self._volumes(values, way)
        return HeldGas(
            volume_m3=volumes,
            gauge_kpa=np.full_like(volumes, self.gauge_kpa),
            u_volume_m3=u_volumes,
            full=volumes >= 0.98 * self.capacity_m3,
        )

    def empty_volume_m3(self, temperature_c: float = 20.0) -> float:
        """Return the gas left in an emptied bag: none [m3]."""
        return 0.0

    def _volumes(self, values: FloatArray, way: str) -> tuple[FloatArray, FloatArray]:
        if way == "fill":
            fills = np.full_like(values, self.u_fill * self.capacity_m3)
            return values * self.capacity_m3, fills
        if way == "girth":
            slope = values**2 / (2.0 * math.pi**2)
            return values**3 / (6.0 * math.pi**2), slope * self.u_tape_m
        if way == "thickness":
            positive(self, "tube_length_m", "tube_girth_m")
            half = self.tube_girth_m / 2.0
            area = values * half - math.pi / 4.0 * values**2
            slope = np.maximum(half - math.pi / 2.0 * values, 0.0)
            return self.tube_length_m * area, self.tube_length_m * slope * self.u_tape_m
        return values, np.full_like(values, 0.01 * self.capacity_m3)
