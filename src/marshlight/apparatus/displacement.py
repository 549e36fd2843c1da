"""Liquid displacement: gas that pushes water or brine out of a closed column."""

import math
from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from marshlight.apparatus.held import FloatArray, HeldGas
from marshlight.apparatus.limits import known_way, not_negative, positive
from marshlight.matter.gas import GRAVITY_M_S2
from marshlight.matter.water import FRESH_WATER, BarrierLiquid, Number, as_given


@dataclass(frozen=True)
class DisplacementColumn:
    """A column or bottle full of liquid, closed at the top, that gas empties.

    Parameters
    ----------
    bore_m : float
        Inside diameter, above zero [m].
    height_m : float
        Length of column that gas can fill before it bubbles out, above zero [m].
    top_above_bath_m : float
        Closed top above the outer liquid surface, or above the spout that lets the
        liquid out; negative if the top is deeper [m].
    bath_area_m2 : float
        Outer liquid surface that rises with what is pushed out; zero means that
        surface stays where it is (a spout or a wide bath) [m2].
    dead_m3 : float
        Gas in tap and hose before any liquid is pushed out [m3].
    liquid : BarrierLiquid
        The liquid.
    liquid_m3 : float
        Liquid that can take up gas; zero means one and a half columns [m3].
    open_area_m2 : float
        Liquid surface open to the air, zero or more [m2].
    u_bore_m, u_level_m : float
        Standard uncertainty of the bore and of one level reading [m].

    Raises
    ------
    InputError
        If a dimension is impossible.

    Notes
    -----
    ``p = rho g (level of the open side - level of the gas side)``: negative while
    the liquid under the gas stands higher. The head changes as gas collects.

    References
    ----------
    walker_2009 for what the liquid does to the gas; hydrostatics for the rest.

    Examples
    --------
    >>> column = DisplacementColumn(bore_m=0.1, height_m=0.5, top_above_bath_m=0.32)
    >>> round(column.gauge_pressure_kpa(0.2), 3)
    -1.175
    """

    WAYS: ClassVar[dict[str, str]] = {"level": "m", "volume": "m3", "liquid_mass": "kg"}
    SOURCES: ClassVar[tuple[str, ...]] = ("walker_2009",)

    bore_m: float
    height_m: float
    top_above_bath_m: float
    bath_area_m2: float = 0.0
    dead_m3: float = 0.0
    liquid: BarrierLiquid = FRESH_WATER
    liquid_m3: float = 0.0
    open_area_m2: float = 0.0
    u_bore_m: float = 0.0005
    u_level_m: float = 0.001

    def __post_init__(self) -> None:
        positive(self, "bore_m", "height_m")
        not_negative(self, "bath_area_m2", "dead_m3", "liquid_m3", "open_area_m2")
        not_negative(self, "u_bore_m", "u_level_m")

    @property
    def area_m2(self) -> float:
        """Inside section [m2]."""
        return math.pi / 4.0 * self.bore_m**2

    @property
    def capacity_m3(self) -> float:
        """Gas held when it begins to bubble out [m3]."""
        return self.dead_m3 + self.area_m2 * self.height_m

    @property
    def bath_m3(self) -> float:
        """Liquid that can take up gas [m3]."""
        return self.liquid_m3 or 1.5 * self.area_m2 * self.height_m

    @property
    def relative_humidity(self) -> float:
        """Moisture of gas at rest over the liquid [-]."""
        return self.liquid.water_activity

    @property
    def shared_relative_u(self) -> float:
        """Relative standard uncertainty of every volume through the bore [-]."""
        return 2.0 * self.u_bore_m / self.bore_m

    @property
    def shared_gauge_u_kpa(self) -> float:
        """Standard uncertainty of every pressure: one millimetre of where the top is [kPa]."""
        return self.u_level_m * self.liquid.density_kg_m3(20.0) * GRAVITY_M_S2 / 1e3

    @property
    def random_gauge_u_kpa(self) -> float:
        """Standard uncertainty of the pressure fresh at each reading [kPa]."""
        return self.shared_gauge_u_kpa

    @property
    def u_empty_m3(self) -> float:
        """Standard uncertainty of the gas left when emptied [m3]."""
        return self.area_m2 * self.u_level_m

    def gauge_pressure_kpa(self, level_m: Number, temperature_c: float = 20.0) -> Number:
        """Return the gas pressure over the outside air's.

        Parameters
        ----------
        level_m : float or array
            Height of the gas below the closed top, 0 to the height [m].
        temperature_c : float
            Temperature of the liquid [degC].

        Returns
        -------
        float or array
            Gauge pressure, negative while the inner liquid stands higher [kPa].
        """
        rise = level_m * self.area_m2 / self.bath_area_m2 if self.bath_area_m2 else 0.0
        head = rise - (self.top_above_bath_m - level_m)
        density = self.liquid.density_kg_m3(temperature_c)
        return as_given(level_m, np.asarray(head * density * GRAVITY_M_S2 / 1e3))

    def gas_volume_m3(
        self, value: Number, *, way: str = "level", temperature_c: float = 20.0
    ) -> Number:
        """Return the gas volume as it stands in the column.

        Parameters
        ----------
        value : float or array
            Height of the gas, volume or mass of liquid pushed out [m, m3 or kg].
        way : str
            "level", "volume" or "liquid_mass".
        temperature_c : float
            Temperature of the liquid [degC].

        Returns
        -------
        float or array
            Volume at the gas's own temperature and pressure [m3].

        Raises
        ------
        InputError
            If it can't be read that way.
        """
        known_way(way, self.WAYS)
        if way == "volume":
            return self.dead_m3 + value
        if way == "liquid_mass":
            return self.dead_m3 + value / self.liquid.density_kg_m3(temperature_c)
        return self.dead_m3 + self.area_m2 * value

    def level_of(self, volume_m3: Number) -> Number:
        """Return the height of gas that a volume makes.

        Parameters
        ----------
        volume_m3 : float or array
            Gas volume with the dead volume, at the gas's own state [m3].

        Returns
        -------
        float or array
            Height of the gas below the closed top [m].
        """
        return (volume_m3 - self.dead_m3) / self.area_m2

    def volume_u_m3(self, value: Number, *, way: str = "level") -> Number:
        """Return the standard uncertainty of one volume that is fresh at each reading.

        Parameters
        ----------
        value : float or array
            The reading [m, m3 or kg].
        way : str
            "level", "volume" or "liquid_mass".

        Returns
        -------
        float or array
            Standard uncertainty [m3].

        Raises
        ------
        InputError
            If it can't be read that way.
        """
        known_way(way, self.WAYS)
        values = np.asarray(value, dtype=np.float64)
        return as_given(value, np.full_like(values, self.area_m2 * self.u_level_m))

    def held(self, values: FloatArray, *, way: str, temperature_c: float) -> HeldGas:
        """Return what readings say the column held.

        Parameters
        ----------
        values : array
            Heights of gas, volumes or masses of liquid pushed out [m, m3 or kg].
        way : str
            "level", "volume" or "liquid_mass".
        temperature_c : float
            Temperature of the liquid [degC].

        Returns
        -------
        HeldGas
            Volume, gauge pressure and uncertainty of each reading.

        Raises
        ------
        InputError
            If it can't be read that way.
        """
        volumes = self.gas_volume_m3(values, way=way, temperature_c=temperature_c)
        levels = self.level_of(volumes)
        return HeldGas(
            volume_m3=volumes,
            gauge_kpa=self.gauge_pressure_kpa(levels, temperature_c),
            u_volume_m3=self.volume_u_m3(values, way=way),
            full=levels >= self.height_m - self.u_level_m,
        )

    def empty_volume_m3(self, temperature_c: float = 20.0) -> float:
        """Return the gas left when the column is full of liquid [m3]."""
        return self.dead_m3
