"""Between vessel and burner: seals, relief, traps, and the pressure the vessel feels."""

from dataclasses import dataclass

from marshlight.apparatus.limits import not_negative, positive
from marshlight.errors import require
from marshlight.matter.gas import GRAVITY_M_S2, NORMAL_PRESSURE_KPA, vapour_carried_kg_m3
from marshlight.matter.water import KELVIN, water_density_kg_m3

# The leg of a condensate trap over the relief's depth (source `relief_practice`).
TRAP_OVER_RELIEF = 1.5
# The relief over the pressure of ordinary use, so that it does not blow all day.
RELIEF_OVER_HOLDER = 1.25
# Rigid vessels of plastic and drums are not made for pressure: a water column of half a metre.
MOST_RELIEF_KPA = 5.0


def seal_depth_m(pressure_kpa: float, *, liquid_kg_m3: float | None = None) -> float:
    """Return how deep a tube must dip to hold back a pressure.

    Parameters
    ----------
    pressure_kpa : float
        Pressure over the air's, zero or more [kPa].
    liquid_kg_m3 : float, optional
        Density of the liquid; water at 20 degC if left out [kg/m3].

    Returns
    -------
    float
        Depth [m].

    Raises
    ------
    InputError
        If the pressure is negative or the density not above zero.

    References
    ----------
    hydrostatics.

    Examples
    --------
    >>> round(seal_depth_m(1.0), 4)
    0.1022
    """
    density = float(water_density_kg_m3(20.0)) if liquid_kg_m3 is None else liquid_kg_m3
    require(
        pressure_kpa >= 0.0 and density > 0.0,
        field="pressure or density",
        value=(pressure_kpa, density),
        allowed="zero or more; above zero",
        remedy="Give pressure over the air's in kPa, density in kg/m3",
    )
    return 1e3 * pressure_kpa / (density * GRAVITY_M_S2)


def seal_pressure_kpa(depth_m: float, *, liquid_kg_m3: float | None = None) -> float:
    """Return the pressure at which gas bubbles out of a dipped tube.

    Parameters
    ----------
    depth_m : float
        Depth of the tube's end below the liquid, zero or more [m].
    liquid_kg_m3 : float, optional
        Density of the liquid; water at 20 degC if left out [kg/m3].

    Returns
    -------
    float
        Pressure over the air's [kPa].

    Raises
    ------
    InputError
        If the depth is negative.

    References
    ----------
    hydrostatics.

    Examples
    --------
    >>> round(seal_pressure_kpa(0.1), 3)
    0.979
    """
    require(
        depth_m >= 0.0,
        field="depth",
        value=depth_m,
        allowed="zero or more",
        remedy="Measure from the liquid's surface to the end of the tube",
    )
    density = float(water_density_kg_m3(20.0)) if liquid_kg_m3 is None else liquid_kg_m3
    return depth_m * density * GRAVITY_M_S2 / 1e3


@dataclass(frozen=True)
class DipTube:
    """A tube dipping into a jar: bore, outside and the jar's inside diameter, above zero [m]."""

    tube_inside_m: float
    tube_outside_m: float
    jar_m: float

    def __post_init__(self) -> None:
        """Refuse a tube that does not fit its jar.

        Raises
        ------
        InputError
            If a size is not above zero, or the tube not inside the jar.
        """
        positive(self, "tube_inside_m", "tube_outside_m", "jar_m")
        require(
            self.tube_inside_m < self.tube_outside_m < self.jar_m,
            field="dip tube",
            value=(self.tube_inside_m, self.tube_outside_m, self.jar_m),
            allowed="bore, outside and jar, each larger than the one before",
            remedy="Give inside and outside of the tube, then the inside of the jar",
        )

    @property
    def rise_factor(self) -> float:
        """Head held over depth at rest: gas pushes the tube's liquid up into the jar [-]."""
        return 1.0 + self.tube_inside_m**2 / (self.jar_m**2 - self.tube_outside_m**2)


@dataclass(frozen=True)
class GasTrain:
    """What stands between vessel and holder.

    Parameters
    ----------
    holder_kpa : float
        Pressure of the holder over the air's [kPa].
    dips_m : tuple of float
        Depth of every liquid the gas must bubble through, zero or more [m].
    relief_m : float or None
        Depth of the relief's water seal; None if there is none [m].
    trap_leg_m : float or None
        Depth of the condensate trap's leg; None if there is none [m].
    rigid : bool
        Whether vessel and holder together cannot give way.
    line_kpa : float
        Further loss along the pipe, zero or more [kPa].

    Raises
    ------
    InputError
        If a rigid vessel has no relief, or a number is impossible.
    """

    holder_kpa: float
    dips_m: tuple[float, ...] = ()
    relief_m: float | None = None
    trap_leg_m: float | None = None
    rigid: bool = True
    line_kpa: float = 0.0

    def __post_init__(self) -> None:
        """Refuse a rigid vessel that cannot breathe.

        Raises
        ------
        InputError
            If there is no relief on it, or a number is impossible.
        """
        not_negative(self, "line_kpa")
        require(
            all(dip >= 0.0 for dip in self.dips_m),
            field="depth of a seal",
            value=self.dips_m,
            allowed="zero or more",
            remedy="Measure below the liquid's surface",
        )
        require(
            self.relief_m is not None or not self.rigid,
            field="relief",
            value="none",
            allowed="a water seal or relief valve that cannot block, freeze or be shut off",
            remedy="Never close a rigid vessel without one: digestion goes on until it bursts. "
            "Fit it first, before any valve",
        )

    @property
    def vessel_kpa(self) -> float:
        """Pressure the vessel's gas space feels while gas flows [kPa]."""
        return self.holder_kpa + self.line_kpa + sum(map(seal_pressure_kpa, self.dips_m))

    @property
    def relief_kpa(self) -> float | None:
        """Pressure at which the relief blows [kPa]."""
        return None if self.relief_m is None else seal_pressure_kpa(self.relief_m)

    @property
    def relief_depth_advised_m(self) -> float:
        """Depth of relief that leaves ordinary use alone [m]."""
        return seal_depth_m(max(self.vessel_kpa, 0.0) * RELIEF_OVER_HOLDER)

    @property
    def trap_leg_advised_m(self) -> float:
        """Leg of a condensate trap that the relief protects from blowing [m]."""
        relief = self.relief_depth_advised_m if self.relief_m is None else self.relief_m
        return TRAP_OVER_RELIEF * relief

    def faults(self) -> tuple[str, ...]:
        """Name what does not go together, gravest first.

        Returns
        -------
        tuple of str
            Sentences; empty if all is well.

        References
        ----------
        relief_practice; hydrostatics.
        """
        found = []
        relief = self.relief_kpa
        if relief is not None and relief > MOST_RELIEF_KPA:
            found.append(
                f"The relief blows at {relief:.2g} kPa only. Drums, barrels and jugs are not "
                "pressure vessels: make it shallower, or ask a competent engineer."
            )
        if relief is not None and relief <= self.vessel_kpa:
            found.append(
                f"The relief blows at {relief:.2g} kPa, but pushing gas into the holder takes "
                f"{self.vessel_kpa:.2g} kPa: the gas leaves by the relief. Dip it at least "
                f"{self.relief_depth_advised_m * 1e3:.0f} mm, or lighten the holder."
            )
        if (
            self.trap_leg_m is not None
            and self.relief_m is not None
            and self.trap_leg_m < TRAP_OVER_RELIEF * self.relief_m
        ):
            found.append(
                f"The condensate trap's leg of {self.trap_leg_m * 1e3:.0f} mm may blow empty "
                f"before the relief does: make it {self.trap_leg_advised_m * 1e3:.0f} mm or more."
            )
        if self.holder_kpa < 0.0:
            found.append(
                "The holder pulls: a leak then draws air in, and air with gas explodes. Take "
                "weight off its counterweight."
            )
        return tuple(found)


def closed_rise_kpa_per_d(gas_m3_per_d: float, gas_space_m3: float, temperature_c: float) -> float:
    """Return how fast pressure rises in a rigid vessel that is shut.

    Parameters
    ----------
    gas_m3_per_d : float
        Dry normal gas made, zero or more [m3/d].
    gas_space_m3 : float
        Gas space, above zero [m3].
    temperature_c : float
        Its temperature [degC].

    Returns
    -------
    float
        Rise [kPa/d].

    Raises
    ------
    InputError
        If the gas space is not above zero.

    References
    ----------
    pressure_decay.

    Examples
    --------
    >>> round(closed_rise_kpa_per_d(0.010, 0.008, 38.0), 1)
    144.3
    """
    require(
        gas_space_m3 > 0.0 and gas_m3_per_d >= 0.0,
        field="gas space and gas",
        value=(gas_space_m3, gas_m3_per_d),
        allowed="above zero; zero or more",
        remedy="Give the space above the slurry and the gas of a day",
    )
    warm = (temperature_c + KELVIN) / KELVIN
    return gas_m3_per_d * NORMAL_PRESSURE_KPA * warm / gas_space_m3


def condensate_kg_per_m3(from_c: float, to_c: float, pressure_kpa: float = 101.325) -> float:
    """Return the water that drops out of gas as it cools in the pipe.

    Parameters
    ----------
    from_c, to_c : float
        Temperature where it was last saturated, and the coldest on its way [degC].
    pressure_kpa : float
        Absolute pressure [kPa].

    Returns
    -------
    float
        Water per dry normal gas, zero or more [kg/m3].

    References
    ----------
    hafner_2020_doc_203.

    Examples
    --------
    >>> round(1e3 * condensate_kg_per_m3(38.0, 20.0), 1)
    37.5
    """
    before = float(vapour_carried_kg_m3(from_c, pressure_kpa))
    return max(before - float(vapour_carried_kg_m3(to_c, pressure_kpa)), 0.0)
