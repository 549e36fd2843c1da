"""The pressure of the outside air, from a barometer, a weather station or the altitude."""

import math
from dataclasses import dataclass

import numpy as np

from marshlight.errors import require
from marshlight.matter.gas import GRAVITY_M_S2, NORMAL_PRESSURE_KPA
from marshlight.matter.water import KELVIN, Number, as_given

EARTH_RADIUS_M = 6_356_766.0
LAPSE_K_M = 0.0065
SEA_LEVEL_K = 288.15
AIR_GAS_CONSTANT_J_KG_K = 287.05287
EXPONENT = GRAVITY_M_S2 / (AIR_GAS_CONSTANT_J_KG_K * LAPSE_K_M)

# Weather moves the pressure by 2 to 3 % to either side; read as a 95 % range.
WEATHER_RELATIVE_U = 0.0125
PHONE_BAROMETER_U_KPA = 0.2
REDUCED_VALUE_U_KPA = 0.1


@dataclass(frozen=True)
class AirPressure:
    """The absolute pressure of the outside air where the gas is read.

    Parameters
    ----------
    pressure_kpa : float
        Best value [kPa].
    u_shared_kpa : float
        Standard uncertainty that all readings share, such as a calibration [kPa].
    u_random_kpa : float
        Standard uncertainty fresh at each reading, such as the weather [kPa].
    route : str
        How it was found, in words.
    covers_weather : bool
        True if the uncertainties already hold for any moment, not only one.
    sources : tuple of str
        Keys of the sources it rests on.
    """

    pressure_kpa: float
    u_shared_kpa: float
    u_random_kpa: float
    route: str
    covers_weather: bool = False
    sources: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        require(
            30.0 <= self.pressure_kpa <= 115.0,
            field="pressure_kpa",
            value=self.pressure_kpa,
            allowed="30 to 115 kPa absolute",
            remedy="Give the absolute pressure of the air; 1 hPa is 0.1 kPa",
        )
        require(
            self.u_shared_kpa >= 0.0 and self.u_random_kpa >= 0.0,
            field="u_shared_kpa",
            value=min(self.u_shared_kpa, self.u_random_kpa),
            allowed="zero or more",
            remedy="Give both uncertainties as positive pressures",
        )

    @property
    def u_kpa(self) -> float:
        """Whole standard uncertainty of one reading [kPa]."""
        return math.hypot(self.u_shared_kpa, self.u_random_kpa)


def geopotential_height_m(altitude_m: Number) -> Number:
    """Return the geopotential height of a geometric altitude.

    Parameters
    ----------
    altitude_m : float or array
        Altitude above mean sea level, -1000 to 11 000 [m].

    Returns
    -------
    float or array
        Geopotential height [m].

    Notes
    -----
    ``H = r0 z/(r0 + z)``.

    References
    ----------
    icao_7488.

    Examples
    --------
    >>> round(geopotential_height_m(3000.0), 1)
    2998.6
    """
    return EARTH_RADIUS_M * altitude_m / (EARTH_RADIUS_M + altitude_m)


def standard_pressure_kpa(altitude_m: Number, *, geopotential: bool = False) -> Number:
    """Return the pressure of the standard atmosphere at an altitude.

    Parameters
    ----------
    altitude_m : float or array
        Altitude above mean sea level, -1000 to 11 000 [m].
    geopotential : bool
        True if the altitude is already geopotential.

    Returns
    -------
    float or array
        Absolute pressure [kPa].

    Raises
    ------
    InputError
        If the altitude lies outside the range.

    Notes
    -----
    ``p = 101.325 (1 - 0.0065 H/288.15)**5.25588``. Weather moves the true
    pressure 2 to 3 % to either side; a barometer beats this.

    References
    ----------
    icao_7488; ussa_1976.

    Examples
    --------
    >>> round(standard_pressure_kpa(640.0), 2)
    93.87
    """
    _require_altitude(altitude_m)
    height = altitude_m if geopotential else geopotential_height_m(altitude_m)
    ratio = (1.0 - LAPSE_K_M * height / SEA_LEVEL_K) ** EXPONENT
    return as_given(altitude_m, NORMAL_PRESSURE_KPA * ratio)


def standard_height_m(pressure_kpa: Number) -> Number:
    """Return the geopotential height at which the standard atmosphere has a pressure.

    Parameters
    ----------
    pressure_kpa : float or array
        Absolute pressure, above zero [kPa].

    Returns
    -------
    float or array
        Geopotential height [m].

    References
    ----------
    icao_7488.

    Examples
    --------
    >>> round(standard_height_m(90.0), 1)
    988.5
    """
    ratio = (pressure_kpa / NORMAL_PRESSURE_KPA) ** (1.0 / EXPONENT)
    return as_given(pressure_kpa, SEA_LEVEL_K / LAPSE_K_M * (1.0 - ratio))


def station_pressure_kpa(
    sea_level_kpa: float, altitude_m: float, *, air_temperature_c: float | None = None
) -> float:
    """Return the true pressure at a place from the sea-level value a forecast prints.

    Parameters
    ----------
    sea_level_kpa : float
        Pressure reduced to sea level, 85 to 110 [kPa].
    altitude_m : float
        Altitude of the place, -1000 to 11 000 [m].
    air_temperature_c : float, optional
        Outside air temperature, for values reduced with the actual temperature [degC].

    Returns
    -------
    float
        Absolute pressure at the place [kPa].

    Raises
    ------
    InputError
        If the altitude or the pressure lies outside its range.

    Notes
    -----
    Without a temperature the standard atmosphere is undone (aviation's reduction):
    ``p**k = p0**k - 101.325**k L H/T0``, ``k = 1/5.25588``. With one, a column of
    air of that temperature and the standard lapse is taken off.

    References
    ----------
    icao_7488.

    Examples
    --------
    >>> round(station_pressure_kpa(101.325, 640.0), 2)
    93.87
    """
    _require_altitude(altitude_m)
    require(
        85.0 <= sea_level_kpa <= 110.0,
        field="sea_level_kpa",
        value=sea_level_kpa,
        allowed="85 to 110 kPa",
        remedy="Weather reports print hectopascals: 1013 hPa is 101.3 kPa",
    )
    height = geopotential_height_m(altitude_m)
    if air_temperature_c is None:
        power = 1.0 / EXPONENT
        lost = NORMAL_PRESSURE_KPA**power * LAPSE_K_M * height / SEA_LEVEL_K
        return float((sea_level_kpa**power - lost) ** EXPONENT)
    base = air_temperature_c + KELVIN + LAPSE_K_M * height
    return float(sea_level_kpa * (1.0 - LAPSE_K_M * height / base) ** EXPONENT)


def pressure_from_barometer(reading_kpa: float, *, u_kpa: float) -> AirPressure:
    """Take the pressure from a barometer that stands beside the holder.

    Parameters
    ----------
    reading_kpa : float
        Absolute pressure as the barometer shows it, 30 to 115 [kPa].
    u_kpa : float
        Standard uncertainty of its calibration, zero or more [kPa].

    Returns
    -------
    AirPressure
        The pressure; its calibration is shared by all readings.

    Raises
    ------
    InputError
        If the reading is no absolute air pressure.

    Notes
    -----
    A reading of one moment. Where it stands in for others, the weather is added
    by the ledger.

    Examples
    --------
    >>> pressure_from_barometer(94.1, u_kpa=0.2).u_kpa
    0.2
    """
    return AirPressure(reading_kpa, u_kpa, 0.0, "barometer at the place")


def pressure_from_station(
    value_kpa: float,
    altitude_m: float,
    *,
    reduced_to_sea_level: bool,
    air_temperature_c: float | None = None,
) -> AirPressure:
    """Take the pressure from a weather report, reduced to sea level or not.

    Parameters
    ----------
    value_kpa : float
        Pressure as reported [kPa].
    altitude_m : float
        Altitude of the holder, -1000 to 11 000 [m].
    reduced_to_sea_level : bool
        True for nearly every phone application and forecast.
    air_temperature_c : float, optional
        Outside air temperature, which fixes the reduction better [degC].

    Returns
    -------
    AirPressure
        The pressure at the holder.

    Raises
    ------
    InputError
        If the value or the altitude lies outside its range.

    Notes
    -----
    Which reduction a report used is seldom said. The uncertainty covers the
    difference between the standard one and one with air 15 K off standard.

    References
    ----------
    icao_7488; station_value_uncertainty.

    Examples
    --------
    >>> found = pressure_from_station(101.3, 640.0, reduced_to_sea_level=True)
    >>> round(found.pressure_kpa, 1)
    93.8
    """
    if not reduced_to_sea_level:
        plain, u = "station value, not reduced", REDUCED_VALUE_U_KPA
        return AirPressure(value_kpa, u, u, plain, sources=("station_value_uncertainty",))
    best = station_pressure_kpa(value_kpa, altitude_m, air_temperature_c=air_temperature_c)
    warm = station_pressure_kpa(value_kpa, altitude_m, air_temperature_c=30.0)
    cold = station_pressure_kpa(value_kpa, altitude_m, air_temperature_c=0.0)
    # A known temperature leaves only the doubt whether the report used it at all.
    spread = abs(warm - cold) / (4.0 if air_temperature_c is None else 8.0)
    shared = math.hypot(spread, REDUCED_VALUE_U_KPA)
    return AirPressure(
        best,
        shared,
        REDUCED_VALUE_U_KPA,
        "sea-level value brought to the altitude",
        sources=("icao_7488", "station_value_uncertainty"),
    )


def pressure_from_altitude(altitude_m: float, *, u_altitude_m: float = 0.0) -> AirPressure:
    """Take the pressure from the altitude alone, when nothing better is known.

    Parameters
    ----------
    altitude_m : float
        Altitude of the holder, -1000 to 11 000 [m].
    u_altitude_m : float
        Standard uncertainty of the altitude, zero or more [m].

    Returns
    -------
    AirPressure
        The standard atmosphere's pressure with the weather as uncertainty.

    Raises
    ------
    InputError
        If the altitude lies outside its range.

    Notes
    -----
    Half of the weather's variance is taken as slow (shared by all readings of a
    run) and half as fresh at each reading.

    References
    ----------
    icao_7488; weather_pressure_spread.

    Examples
    --------
    >>> found = pressure_from_altitude(640.0)
    >>> round(found.pressure_kpa, 2), round(found.u_kpa, 1)
    (93.87, 1.2)
    """
    pressure = standard_pressure_kpa(altitude_m)
    weather = WEATHER_RELATIVE_U * pressure / math.sqrt(2.0)
    slope = GRAVITY_M_S2 * pressure / (AIR_GAS_CONSTANT_J_KG_K * SEA_LEVEL_K)
    return AirPressure(
        pressure,
        math.hypot(weather, slope * u_altitude_m),
        weather,
        "standard atmosphere at the altitude",
        covers_weather=True,
        sources=("icao_7488", "weather_pressure_spread"),
    )


def _require_altitude(altitude_m: object) -> None:
    values = np.asarray(altitude_m, dtype=np.float64)
    require(
        bool(np.all((values >= -1000.0) & (values <= 11_000.0))),
        field="altitude_m",
        value=altitude_m,
        allowed="-1000 to 11 000 m",
        remedy="Give the height above mean sea level in metres",
    )
