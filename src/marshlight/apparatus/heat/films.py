"""Heat through the air film on a surface: natural convection and radiation."""

from collections.abc import Callable, Mapping
from types import MappingProxyType

from marshlight.apparatus.heat.air import STANDARD_KPA, Air, air_at
from marshlight.errors import require
from marshlight.matter.water import KELVIN

STEFAN_BOLTZMANN_W_M2K4 = 5.670374419e-8


def _wall(rayleigh: float, prandtl: float) -> float:
    spread = (1.0 + (0.492 / prandtl) ** (9.0 / 16.0)) ** (8.0 / 27.0)
    return float((0.825 + 0.387 * rayleigh ** (1.0 / 6.0) / spread) ** 2)


def _upward(rayleigh: float, prandtl: float) -> float:
    # The two published branches meet at 4.7e6 rather than at the printed 1e7: the larger of both
    # is continuous, so that more insulation can never seem to lose more.
    return float(max(0.54 * rayleigh**0.25, 0.15 * rayleigh ** (1.0 / 3.0)))


def _downward(rayleigh: float, prandtl: float) -> float:
    return float(0.27 * rayleigh**0.25)


def _lying(rayleigh: float, prandtl: float) -> float:
    spread = (1.0 + (0.559 / prandtl) ** (9.0 / 16.0)) ** (8.0 / 27.0)
    return float((0.60 + 0.387 * rayleigh ** (1.0 / 6.0) / spread) ** 2)


def _round(rayleigh: float, prandtl: float) -> float:
    base = 1.0 + (0.469 / prandtl) ** (9.0 / 16.0)
    stirred = (1.0 + 7.44e-8 * rayleigh / base ** (16.0 / 9.0)) ** (1.0 / 12.0)
    return float(2.0 + 0.589 * rayleigh**0.25 / base ** (4.0 / 9.0) * stirred)


_NUSSELT: Mapping[str, Callable[[float, float], float]] = MappingProxyType(
    {"wall": _wall, "up": _upward, "down": _downward, "lying": _lying, "round": _round}
)
FORMS: Mapping[str, str] = MappingProxyType(
    {
        "wall": "upright wall, of its height",
        "up": "flat, air above it, of area over perimeter",
        "down": "flat, air below it, of area over perimeter",
        "lying": "lying cylinder, of its diameter",
        "round": "sphere or dome, of its diameter",
    }
)
SOURCE_OF_FORM: Mapping[str, str] = MappingProxyType(
    {
        "wall": "churchill_chu_1975",
        "up": "mcadams_1954",
        "down": "mcadams_1954",
        "lying": "churchill_chu_1975_cylinder",
        "round": "churchill_1983",
    }
)


def convection_w_m2k(
    form: str,
    surface_c: float,
    air_c: float,
    *,
    length_m: float,
    pressure_kpa: float = STANDARD_KPA,
) -> float:
    """Return the film coefficient of natural convection in still air.

    Parameters
    ----------
    form : str
        A key of ``FORMS``.
    surface_c, air_c : float
        Temperature of the surface and of the air away from it [degC].
    length_m : float
        Characteristic length of the form, above zero [m].
    pressure_kpa : float
        Air pressure, above zero [kPa].

    Returns
    -------
    float
        Film coefficient [W/(m2 K)].

    Raises
    ------
    InputError
        If the form is unknown or the length not above zero.

    Notes
    -----
    ``h = Nu k / L`` with air at the mean of both temperatures. Wall: Churchill and
    Chu; flat, hot above or cold below: 0.54 Ra^(1/4) or 0.15 Ra^(1/3), whichever is
    more; the other way round 0.27 Ra^(1/4); lying cylinder: Churchill and Chu;
    sphere: Churchill. A cold surface turns "up" into "down" and back. The wall's
    formula serves upright cylinders that are not slender (``is_slender``). Wind
    and draughts are not in it.

    References
    ----------
    churchill_chu_1975; churchill_chu_1975_cylinder; churchill_1983; mcadams_1954.

    Examples
    --------
    >>> round(convection_w_m2k("wall", 38.0, 20.0, length_m=0.263), 2)
    4.29
    """
    require(
        form in FORMS,
        field="form of the surface",
        value=form,
        allowed=", ".join(FORMS),
        remedy="Choose the nearest form",
    )
    require(
        length_m > 0.0,
        field="length_m",
        value=length_m,
        allowed="above zero",
        remedy="Give the size of the surface in metres",
    )
    air = air_at(0.5 * (surface_c + air_c), pressure_kpa)
    return film(form, air, surface_c - air_c, length_m)


def film(form: str, air: Air, difference_k: float, length_m: float) -> float:
    """Give the film coefficient from air properties already at hand [W/(m2 K)]."""
    if difference_k < 0.0 and form in ("up", "down"):
        form = "down" if form == "up" else "up"
    rayleigh = air.rayleigh(difference_k, length_m)
    return _NUSSELT[form](rayleigh, air.prandtl) * air.conductivity_w_mk / length_m


def radiation_w_m2k(surface_c: float, around_c: float, emissivity: float) -> float:
    """Return the film coefficient of heat radiation to surroundings at air temperature.

    Parameters
    ----------
    surface_c, around_c : float
        Temperature of the surface and of what it sees [degC].
    emissivity : float
        Emissivity of the surface, 0 to 1 [-].

    Returns
    -------
    float
        Film coefficient [W/(m2 K)].

    Raises
    ------
    InputError
        If the emissivity is not a share.

    Notes
    -----
    ``eps sigma (Ts^2 + Ta^2)(Ts + Ta)`` in kelvin. Out of doors a clear sky is
    colder than the air; that is neglected.

    References
    ----------
    stefan_boltzmann.

    Examples
    --------
    >>> round(radiation_w_m2k(38.0, 20.0, 0.9), 3)
    5.636
    """
    require(
        0.0 <= emissivity <= 1.0,
        field="emissivity",
        value=emissivity,
        allowed="0 to 1",
        remedy="Use 0.9 for paint, plastic and cloth, 0.05 for clean foil",
    )
    return radiating(surface_c, around_c, emissivity)


def radiating(surface_c: float, around_c: float, emissivity: float) -> float:
    """Give the radiation film without looking at the range: for loops that stay inside it."""
    warm, cool = surface_c + KELVIN, around_c + KELVIN
    return emissivity * STEFAN_BOLTZMANN_W_M2K4 * (warm * warm + cool * cool) * (warm + cool)


def is_slender(diameter_m: float, height_m: float, difference_k: float, air_c: float) -> bool:
    """Say whether an upright cylinder is too slender for the formula of a flat wall.

    Parameters
    ----------
    diameter_m, height_m : float
        Outside size, above zero [m].
    difference_k : float
        Surface less air [K].
    air_c : float
        Temperature of the air [degC].

    Returns
    -------
    bool
        True where ``D/H < 35/Gr^(1/4)``: the film is then thick against the radius and
        the wall formula gives too little loss.

    References
    ----------
    incropera_2007, section 9.6.1.

    Examples
    --------
    >>> is_slender(0.22, 0.263, 18.0, 20.0), is_slender(0.02, 1.0, 18.0, 20.0)
    (False, True)
    """
    air = air_at(air_c + 0.5 * difference_k)
    grashof = air.rayleigh(difference_k, height_m) / air.prandtl
    return grashof > 0.0 and diameter_m / height_m < 35.0 / grashof**0.25
