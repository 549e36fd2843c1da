"""When methane, carbon dioxide and air burn: two published boundaries and the doubt between."""

from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from marshlight.errors import require
from marshlight.matter.gas import OXYGEN_SHARE_OF_AIR

Floats = NDArray[np.float64]

# Words for a mixture; there is no word for safe.
EXPLOSIVE, UNCERTAIN = "explosive", "uncertain"
TOO_RICH, TOO_LITTLE, TOO_MUCH_CO2 = "too rich", "too little gas", "too much carbon dioxide"
# Least oxygen in which methane burned in vessels of 20 L and more (source astm_e2079).
LEAST_OXYGEN = 0.107
_ROUNDING = 1e-12


@dataclass(frozen=True)
class Boundary:
    """A flammable region in the triangle of methane, carbon dioxide and air, as two lines.

    Parameters
    ----------
    name : str
        What it rests on.
    lean, rich : float
        Methane limits in air without carbon dioxide [m3/m3].
    nose_co2, nose_methane : float
        The point where both lines meet: beyond it nothing burns [m3/m3].
    sources : tuple of str
        Keys of the sources.
    """

    name: str
    lean: float
    rich: float
    nose_co2: float
    nose_methane: float
    sources: tuple[str, ...]

    @property
    def nose_oxygen(self) -> float:
        """Oxygen at the nose [m3/m3]."""
        return OXYGEN_SHARE_OF_AIR * (1.0 - self.nose_co2 - self.nose_methane)

    @property
    def poorest_gas(self) -> float:
        """Methane share below which gas of methane and carbon dioxide burns in no mixture."""
        return self.nose_methane / (self.nose_methane + self.nose_co2)

    def lower(self, co2: Floats) -> Floats:
        """Give the lower line at a carbon dioxide share [m3/m3]."""
        return self.lean + (self.nose_methane - self.lean) / self.nose_co2 * co2

    def upper(self, co2: Floats) -> Floats:
        """Give the upper line at a carbon dioxide share [m3/m3]."""
        return self.rich + (self.nose_methane - self.rich) / self.nose_co2 * co2

    def contains(self, methane: Floats, co2: Floats) -> NDArray[np.bool_]:
        """Say which mixtures lie within or on the lines."""
        inside = (co2 <= self.nose_co2 + _ROUNDING) & (methane >= self.lower(co2) - _ROUNDING)
        return np.asarray(inside & (methane <= self.upper(co2) + _ROUNDING))

    def gas_limits(self, methane: float) -> tuple[float, float] | None:
        """Give the least and most of a gas that burns in air, or None if none does.

        Parameters
        ----------
        methane : float
            Methane share of the gas, the rest carbon dioxide, 0 to 1 [m3/m3].

        Returns
        -------
        tuple of float or None
            Shares of the gas in its mixture with air [m3/m3].
        """
        rest = 1.0 - methane
        below = methane - (self.nose_methane - self.lean) / self.nose_co2 * rest
        above = methane + (self.rich - self.nose_methane) / self.nose_co2 * rest
        if below <= 0.0:
            return None
        low, high = self.lean / below, self.rich / above
        beyond = low * rest > self.nose_co2 + _ROUNDING
        return None if beyond or low > high else (low, high)


TUBE = Boundary(
    "limits from 5 cm tubes", 0.05, 0.15, 0.24, 0.065, ("coward_jones_1952", "inert_nose_memory")
)
MODEL = Boundary(
    "tube limits with the wider nose of a flame-temperature model",
    0.05,
    0.15,
    0.303,
    0.066,
    ("coward_jones_1952", "flame_temperature_envelope"),
)
WIDEST = Boundary(
    "widest limits that any source gives",
    0.044,
    0.17,
    0.303,
    0.066,
    ("european_limits", "iec_60079_20_1_memory", "flame_temperature_envelope"),
)


@dataclass(frozen=True)
class Mixture:
    """A gas of methane, carbon dioxide and air [m3/m3], with what the limits say of it."""

    SOURCES: ClassVar[tuple[str, ...]] = tuple(dict.fromkeys((*TUBE.sources, *WIDEST.sources)))

    methane: float
    co2: float

    def __post_init__(self) -> None:
        """Refuse shares that no gas can have.

        Raises
        ------
        InputError
            If a share is negative or both exceed the whole.
        """
        require(
            min(self.methane, self.co2) >= -1e-9 and self.methane + self.co2 <= 1.0 + 1e-9,
            field="gas",
            value=(self.methane, self.co2),
            allowed="shares of 0 or more that don't exceed the whole",
            remedy="Give methane and carbon dioxide as shares of the dry gas, air the rest",
        )

    @property
    def air(self) -> float:
        """Share of air [m3/m3]."""
        return 1.0 - self.methane - self.co2

    @property
    def oxygen(self) -> float:
        """Share of oxygen [m3/m3]."""
        return OXYGEN_SHARE_OF_AIR * self.air

    @property
    def gas_methane(self) -> float | None:
        """Methane share of the part that isn't air; None for air alone."""
        gas = self.methane + self.co2
        return self.methane / gas if gas > 1e-9 else None

    @property
    def word(self) -> str:
        """What the limits say: explosive, uncertain, or on which side it lies."""
        return str(words(np.array([self.methane]), np.array([self.co2]))[0])


def words(methane: Floats, co2: Floats) -> NDArray[np.str_]:
    """Say of each mixture what the limits say.

    Parameters
    ----------
    methane, co2 : array
        Shares, the rest air [m3/m3].

    Returns
    -------
    array of str
        "explosive" within the narrow boundary, "uncertain" between the boundaries; outside
        both "too rich", "too little gas" or "too much carbon dioxide". None of them means safe:
        with air let in, or gas let out into it, every one can become explosive.

    References
    ----------
    coward_jones_1952; european_limits; inert_nose_memory; flame_temperature_envelope.

    Examples
    --------
    >>> words(np.array([0.10, 0.60, 0.01]), np.array([0.07, 0.40, 0.01])).tolist()
    ['explosive', 'too rich', 'too little gas']
    """
    narrow, wide = TUBE.contains(methane, co2), WIDEST.contains(methane, co2)
    lean = methane < WIDEST.lower(co2)
    beyond = co2 > WIDEST.nose_co2
    poor = beyond & (methane < WIDEST.nose_methane / WIDEST.nose_co2 * co2)
    conditions = [narrow, wide, poor, lean]
    return np.select(conditions, [EXPLOSIVE, UNCERTAIN, TOO_MUCH_CO2, TOO_LITTLE], TOO_RICH)


@dataclass(frozen=True)
class LetAirIn:
    """What happens as air mixes into a gas.

    ``crosses`` says whether it passes a mixture that explodes or may; then ``from_air`` to
    ``to_air`` are the shares of air between which it does [m3/m3].
    """

    crosses: bool
    from_air: float = 0.0
    to_air: float = 0.0

    @property
    def sentence(self) -> str:
        """Say it."""
        if not self.crosses:
            return (
                "By these figures air mixed into this gas would not make it explosive; they may be"
                " wrong, and the next gas may be richer: treat it as explosive all the same."
            )
        return (
            "Opening the lid lets air in: between"
            f" {100 * self.from_air:.0f} and {100 * self.to_air:.0f} % air the gas inside is"
            " explosive or may be."
        )


def let_air_in(gas: Mixture) -> LetAirIn:
    """Say what opening the lid does to a gas space.

    Parameters
    ----------
    gas : Mixture
        What is inside now.

    Returns
    -------
    LetAirIn
        By the widest limits.

    Notes
    -----
    Air added to a gas moves it straight to the triangle's corner of pure air.

    Examples
    --------
    >>> let_air_in(Mixture(0.6, 0.4)).crosses
    True
    """
    share = gas.gas_methane
    limits = None if share is None else WIDEST.gas_limits(share)
    now = gas.methane + gas.co2
    if limits is None or now < limits[0]:
        return LetAirIn(False)
    return LetAirIn(True, max(1.0 - limits[1], gas.air), 1.0 - limits[0])


def lower_limit_at(temperature_c: float) -> float:
    """Return the lower limit of methane in warm air.

    Parameters
    ----------
    temperature_c : float
        Gas, 0 to 100 [degC].

    Returns
    -------
    float
        Methane share [m3/m3].

    Raises
    ------
    InputError
        If the temperature lies outside the range.

    Notes
    -----
    ``LFL25 (1 - 0.75 (T - 25)/(LFL25 191.8))`` in percent: warmth widens the range a little,
    less than the difference between the published limits.

    References
    ----------
    zabetakis_1965.

    Examples
    --------
    >>> round(lower_limit_at(38.0) * 100, 2)
    4.95
    """
    require(
        0.0 <= temperature_c <= 100.0,
        field="temperature_c",
        value=temperature_c,
        allowed="0 to 100 degC",
        remedy="Give the temperature of the gas",
    )
    at_25 = 100.0 * TUBE.lean
    return (at_25 - 0.75 * (temperature_c - 25.0) / 191.8) / 100.0
