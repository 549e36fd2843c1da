"""The floating cylinder: an open-bottomed drum that gas lifts out of a liquid."""

import math
from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from marshlight.apparatus.held import FloatArray, HeldGas
from marshlight.apparatus.limits import known_way, not_negative, positive
from marshlight.errors import require
from marshlight.matter.gas import GRAVITY_M_S2
from marshlight.matter.water import FRESH_WATER, BarrierLiquid, Number, as_given


@dataclass(frozen=True)
class FloatingCylinder:
    """A cylinder closed at the top that floats on the gas inside it.

    Parameters
    ----------
    bore_m : float
        Inside diameter, above zero [m].
    mass_kg : float
        Mass of the cylinder with any weights on it, zero or more [kg].
    travel_m : float
        Rise from its rest to its upper stop or to where gas escapes, above zero [m].
    wall_m : float
        Wall thickness, zero or more; zero neglects the buoyancy of the wall [m].
    skirt_m : float
        Length of wall below the outer liquid level when the cylinder rests; zero
        means the same as the travel [m].
    counterweight_kg : float
        Mass that pulls the cylinder upward over a pulley, zero or more [kg].
    dead_m3 : float
        Gas in crown, tap and hose when the cylinder rests with its outlet open [m3].
    liquid : BarrierLiquid
        What it floats in.
    liquid_m3 : float
        Liquid in the bath; zero means one and a half times the travelled volume [m3].
    open_area_m2 : float
        Liquid surface open to the air around the cylinder, zero or more [m2].
    u_bore_m, u_mass_kg, u_level_m, u_guide_kpa : float
        Standard uncertainty of bore, of mass, of one level reading and of the
        pressure through friction in the guide [m, kg, m, kPa].

    Raises
    ------
    InputError
        If a dimension is impossible.

    Notes
    -----
    At rest and free to move, ``p = (m - m_counter - rho A_wall s) g / A_bore`` with
    ``s`` the wall still immersed. Inside, the liquid stands lower by ``p/(rho g)``,
    so a floating cylinder holds more than its rise shows. The bath level is taken as
    constant. A cylinder lighter than its own buoyancy floats by itself; below that
    height its gas is under suction.

    References
    ----------
    sasse_1988, section 5.6; floating_cylinder_practice for the default uncertainties.

    Examples
    --------
    >>> drum = FloatingCylinder(bore_m=0.6, mass_kg=20.0, travel_m=0.5)
    >>> round(drum.gauge_pressure_kpa(0.2), 5)
    0.69368
    """

    WAYS: ClassVar[dict[str, str]] = {"level": "m", "volume": "m3"}
    SOURCES: ClassVar[tuple[str, ...]] = ("sasse_1988", "floating_cylinder_practice")

    bore_m: float
    mass_kg: float
    travel_m: float
    wall_m: float = 0.0
    skirt_m: float = 0.0
    counterweight_kg: float = 0.0
    dead_m3: float = 0.0
    liquid: BarrierLiquid = FRESH_WATER
    liquid_m3: float = 0.0
    open_area_m2: float = 0.0
    u_bore_m: float = 0.0005
    u_mass_kg: float = 0.01
    u_level_m: float = 0.001
    u_guide_kpa: float = 0.02

    def __post_init__(self) -> None:
        positive(self, "bore_m", "travel_m")
        not_negative(
            self, "mass_kg", "wall_m", "skirt_m", "counterweight_kg", "dead_m3", "liquid_m3"
        )
        not_negative(self, "open_area_m2", "u_bore_m", "u_mass_kg", "u_level_m", "u_guide_kpa")
        require(
            self.skirt_m == 0.0 or self.skirt_m >= self.travel_m,
            field="skirt_m",
            value=self.skirt_m,
            allowed="at least the travel",
            remedy="The wall must still dip into the liquid at the upper stop",
        )

    @property
    def area_m2(self) -> float:
        """Inside section [m2]."""
        return math.pi / 4.0 * self.bore_m**2

    @property
    def wall_area_m2(self) -> float:
        """Section of the wall [m2]."""
        return math.pi * self.wall_m * (self.bore_m + self.wall_m)

    @property
    def immersed_at_rest_m(self) -> float:
        """Wall under the liquid when the cylinder rests [m]."""
        return self.skirt_m or self.travel_m

    @property
    def capacity_m3(self) -> float:
        """Gas held at the upper stop with the liquid at 20 degC [m3]."""
        return self.gas_volume_m3(self.travel_m)

    @property
    def bath_m3(self) -> float:
        """Liquid that can take up gas [m3]."""
        return self.liquid_m3 or 1.5 * self.area_m2 * self.travel_m

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
        """Standard uncertainty of every pressure through the mass [kPa]."""
        return self.u_mass_kg * GRAVITY_M_S2 / self.area_m2 / 1e3

    @property
    def random_gauge_u_kpa(self) -> float:
        """Standard uncertainty of the pressure fresh at each reading [kPa]."""
        return self.u_guide_kpa

    @property
    def u_empty_m3(self) -> float:
        """Standard uncertainty of the gas left when emptied [m3]."""
        return self.area_m2 * self.u_level_m

    def free_level_m(self, temperature_c: float = 20.0) -> float:
        """Return the rise at which the cylinder floats by itself, 0 if it rests.

        Parameters
        ----------
        temperature_c : float
            Temperature of the liquid [degC].

        Returns
        -------
        float
            Rise with the outlet open [m].
        """
        if self.wall_m == 0.0:
            return 0.0 if self.mass_kg >= self.counterweight_kg else self.travel_m
        carried = self.liquid.density_kg_m3(temperature_c) * self.wall_area_m2
        rise = self.immersed_at_rest_m - (self.mass_kg - self.counterweight_kg) / carried
        return min(max(rise, 0.0), self.travel_m)

    def gauge_pressure_kpa(self, level_m: Number, temperature_c: float = 20.0) -> Number:
        """Return the gas pressure over the outside air's while the cylinder floats.

        Parameters
        ----------
        level_m : float or array
            Rise above its rest, 0 to the travel [m].
        temperature_c : float
            Temperature of the liquid [degC].

        Returns
        -------
        float or array
            Gauge pressure; negative where the cylinder hangs on its gas [kPa].
        """
        density = self.liquid.density_kg_m3(temperature_c)
        immersed = np.maximum(self.immersed_at_rest_m - np.asarray(level_m), 0.0)
        weight = self.mass_kg - self.counterweight_kg - density * self.wall_area_m2 * immersed
        return as_given(level_m, weight * GRAVITY_M_S2 / self.area_m2 / 1e3)

    def gas_volume_m3(
        self, value: Number, *, way: str = "level", temperature_c: float = 20.0
    ) -> Number:
        """Return the gas volume as it stands in the cylinder.

        Parameters
        ----------
        value : float or array
            Rise above its rest, or the volume itself, zero or more [m or m3].
        way : str
            "level" or "volume".
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

        Notes
        -----
        A cylinder on its rest may hold anything from its dead volume to what is just
        enough to lift it; the middle is returned, and ``volume_u_m3`` covers the rest.
        """
        known_way(way, self.WAYS)
        if way == "volume":
            return value
        levels = np.asarray(value, dtype=np.float64)
        hidden = self._hidden_m(levels, temperature_c)
        hidden = np.where(self._resting(levels), hidden / 2.0, hidden)
        return as_given(value, self.dead_m3 + self.area_m2 * (levels + hidden))

    def volume_u_m3(self, value: Number, *, way: str = "level") -> Number:
        """Return the standard uncertainty of one volume that is fresh at each reading.

        Parameters
        ----------
        value : float or array
            Rise above its rest, or the volume itself [m or m3].
        way : str
            "level" or "volume".

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
        ruler = self.area_m2 * self.u_level_m
        if way == "volume":
            return as_given(value, np.full_like(values, ruler))
        unseen = np.where(self._resting(values), self._hidden_m(values, 20.0), 0.0)
        return as_given(value, np.hypot(ruler, self.area_m2 * unseen / math.sqrt(12.0)))

    def level_of(self, volume_m3: Number, temperature_c: float = 20.0) -> Number:
        """Return the rise at which the floating cylinder holds a volume.

        Parameters
        ----------
        volume_m3 : float or array
            Gas volume at its own temperature and pressure [m3].
        temperature_c : float
            Temperature of the liquid [degC].

        Returns
        -------
        float or array
            Rise above its rest, never below 0 [m].
        """
        carried = (self.mass_kg - self.counterweight_kg) / self.liquid.density_kg_m3(temperature_c)
        lifted = volume_m3 - self.dead_m3 - carried + self.wall_area_m2 * self.immersed_at_rest_m
        level = np.maximum(np.asarray(lifted) / (self.area_m2 + self.wall_area_m2), 0.0)
        return as_given(volume_m3, level)

    def held(self, values: FloatArray, *, way: str, temperature_c: float) -> HeldGas:
        """Return what readings say the cylinder held.

        Parameters
        ----------
        values : array
            Rises above its rest, or volumes [m or m3].
        way : str
            "level" or "volume".
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
        levels = self.level_of(values, temperature_c) if way == "volume" else values
        gauge = self.gauge_pressure_kpa(levels, temperature_c)
        return HeldGas(
            volume_m3=volumes,
            gauge_kpa=np.where(self._resting(levels), gauge / 2.0, gauge),
            u_volume_m3=self.volume_u_m3(values, way=way),
            full=levels >= self.travel_m - self.u_level_m,
        )

    def empty_volume_m3(self, temperature_c: float = 20.0) -> float:
        """Return the gas left when the outlet stands open.

        Parameters
        ----------
        temperature_c : float
            Temperature of the liquid [degC].

        Returns
        -------
        float
            Volume at the outside air's pressure [m3].
        """
        return self.dead_m3 + self.area_m2 * self.free_level_m(temperature_c)

    def _hidden_m(self, levels: FloatArray, temperature_c: float) -> FloatArray:
        density = self.liquid.density_kg_m3(temperature_c)
        pressure = self.gauge_pressure_kpa(levels, temperature_c)
        return np.asarray(pressure * 1e3 / (density * GRAVITY_M_S2))

    def _resting(self, levels: FloatArray) -> NDArray[np.bool_]:
        return np.asarray((levels <= self.u_level_m) & (self.free_level_m() == 0.0))
