"""The white list of units: which quantities exist, what they may be given and shown in."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

# Exact by definition: inch, pound, US gallon (231 cubic inches), standard gravity and atmosphere.
INCH_M = 0.0254
POUND_KG = 0.45359237
GALLON_M3 = 231 * INCH_M**3
GRAVITY = 9.80665
ATMOSPHERE_KPA = 101.325
PSI_KPA = POUND_KG * GRAVITY / INCH_M**2 / 1000.0
# Conventional water column, 1000 kg/m3: what gauges and manuals mean by mmH2O and inH2O.
MM_WATER_KPA = GRAVITY / 1000.0
MM_MERCURY_KPA = 0.133322387415
BTU_KWH = 1.05505585262 / 3600.0


@dataclass(frozen=True)
class Unit:
    """One unit on the white list: base value = number * factor + offset."""

    name: str
    factor: float
    offset: float = 0.0
    also: tuple[str, ...] = ()


@dataclass(frozen=True)
class Quantity:
    """A kind of number: its base unit, what it may be given in, and what it is shown in."""

    name: str
    base: str
    units: tuple[Unit, ...]
    metric: tuple[str, ...]
    us: tuple[str, ...]
    lowest: float | None = None


def _quantity(
    name: str,
    units: list[Unit],
    *,
    metric: tuple[str, ...] = (),
    us: tuple[str, ...] = (),
    lowest: float | None = 0.0,
) -> Quantity:
    base = units[0].name
    shown = metric or (base,)
    return Quantity(name, base, tuple(units), shown, us or shown, lowest)


_VOLUME = [
    Unit(
        "m3", 1.0, also=("m³", "cubic metre", "cubic meter", "cubic metres", "cubic meters", "cbm")
    ),
    Unit("L", 1e-3, also=("l", "litre", "litres", "liter", "liters", "dm3", "dm³")),
    Unit(
        "mL",
        1e-6,
        also=("ml", "cc", "cm3", "cm³", "millilitre", "milliliter", "millilitres", "milliliters"),
    ),
    Unit("gal", GALLON_M3, also=("gallon", "gallons", "us gal", "gals")),
    Unit("qt", GALLON_M3 / 4, also=("quart", "quarts")),
    Unit("pt", GALLON_M3 / 8, also=("pint", "pints")),
    Unit("cup", GALLON_M3 / 16, also=("cups",)),
    Unit("fl oz", GALLON_M3 / 128, also=("floz", "fluid ounce", "fluid ounces")),
    Unit("tbsp", GALLON_M3 / 256, also=("tablespoon", "tablespoons")),
    Unit("tsp", GALLON_M3 / 768, also=("teaspoon", "teaspoons")),
    Unit("ft3", (12 * INCH_M) ** 3, also=("ft³", "cu ft", "cubic foot", "cubic feet", "cf")),
    Unit("in3", INCH_M**3, also=("in³", "cu in", "cubic inch", "cubic inches")),
]
_MASS = [
    Unit("kg", 1.0, also=("kilo", "kilos", "kilogram", "kilograms")),
    Unit("g", 1e-3, also=("gram", "grams", "gramme", "grammes")),
    Unit("mg", 1e-6),
    Unit("t", 1000.0, also=("tonne", "tonnes")),
    Unit("lb", POUND_KG, also=("lbs", "pound", "pounds")),
    Unit("oz", POUND_KG / 16, also=("ounce", "ounces")),
    Unit("short ton", 2000 * POUND_KG, also=("short tons",)),
]
_LENGTH = [
    Unit("m", 1.0, also=("metre", "metres", "meter", "meters")),
    Unit("cm", 0.01),
    Unit("mm", 0.001),
    Unit("in", INCH_M, also=("inch", "inches", '"')),
    Unit("ft", 12 * INCH_M, also=("foot", "feet", "'")),
]
_PRESSURE = [
    Unit("kPa", 1.0, also=("kpa",)),
    Unit("Pa", 1e-3, also=("pa",)),
    Unit("hPa", 0.1, also=("hpa",)),
    Unit("mbar", 0.1, also=("mb", "millibar")),
    Unit("bar", 100.0),
    Unit("atm", ATMOSPHERE_KPA),
    Unit("mmHg", MM_MERCURY_KPA, also=("mm hg", "torr")),
    Unit("inHg", 25.4 * MM_MERCURY_KPA, also=("in hg", '"hg')),
    Unit("mmH2O", MM_WATER_KPA, also=("mm h2o", "mm water", "mmwc", "mm wc")),
    Unit("cmH2O", 10 * MM_WATER_KPA, also=("cm h2o", "cm water", "cmwc", "cm wc")),
    Unit("inH2O", 25.4 * MM_WATER_KPA, also=("in h2o", '"h2o', "in water", "inwc", "in wc")),
    Unit("psi", PSI_KPA),
]
_TIME = [
    Unit("d", 1.0, also=("day", "days")),
    Unit("h", 1 / 24, also=("hr", "hrs", "hour", "hours")),
    Unit("min", 1 / 1440, also=("minute", "minutes")),
    Unit("s", 1 / 86400, also=("sec", "second", "seconds")),
    Unit("week", 7.0, also=("weeks", "wk")),
]
_DEGREES_C = ("°C", "C", "c", "deg c", "degrees c", "celsius", "degc")
_DEGREES_F = ("°F", "F", "f", "deg f", "degrees f", "fahrenheit", "degf")

QUANTITIES: Mapping[str, Quantity] = MappingProxyType(
    {
        q.name: q
        for q in (
            _quantity("volume", _VOLUME, metric=("m3", "L", "mL"), us=("ft3", "gal", "cup", "tsp")),
            _quantity("mass", _MASS, metric=("t", "kg", "g", "mg"), us=("short ton", "lb", "oz")),
            _quantity("length", _LENGTH, metric=("m", "cm", "mm"), us=("ft", "in")),
            _quantity(
                "area",
                [
                    Unit("m2", 1.0, also=("m²",)),
                    Unit("cm2", 1e-4, also=("cm²",)),
                    Unit("ft2", (12 * INCH_M) ** 2, also=("ft²", "sq ft")),
                ],
                us=("ft2",),
            ),
            _quantity("pressure", _PRESSURE, metric=("kPa",), us=("psi",)),
            _quantity(
                "gauge_pressure",
                _PRESSURE,
                metric=("kPa", "mmH2O"),
                us=("psi", "inH2O"),
                lowest=-ATMOSPHERE_KPA,
            ),
            _quantity(
                "temperature",
                [
                    Unit("degC", 1.0, also=_DEGREES_C),
                    Unit("degF", 5 / 9, -160 / 9, also=_DEGREES_F),
                    Unit("K", 1.0, -273.15, also=("kelvin",)),
                ],
                us=("degF",),
                lowest=-273.15,
            ),
            _quantity(
                "temperature_difference",
                [
                    Unit("K", 1.0, also=("kelvin", *_DEGREES_C)),
                    Unit("degF", 5 / 9, also=_DEGREES_F),
                ],
                us=("degF",),
                lowest=None,
            ),
            _quantity("time", _TIME, metric=("d", "h", "min")),
            _quantity(
                "energy",
                [
                    Unit("kWh", 1.0, also=("kwh",)),
                    Unit("Wh", 1e-3, also=("wh",)),
                    Unit("MJ", 1 / 3.6, also=("mj",)),
                    Unit("kJ", 1 / 3600, also=("kj",)),
                    Unit("BTU", BTU_KWH, also=("btu", "Btu")),
                ],
                us=("kWh", "BTU"),
            ),
            _quantity(
                "power",
                [
                    Unit("W", 1.0, also=("watt", "watts")),
                    Unit("kW", 1000.0, also=("kw",)),
                    Unit("BTU/h", BTU_KWH * 1000, also=("btu/h", "btu/hr")),
                ],
                metric=("kW", "W"),
            ),
            _quantity(
                "fraction",
                [
                    Unit("1", 1.0),
                    Unit("%", 0.01, also=("percent", "pct", "per cent")),
                    Unit("ppm", 1e-6),
                ],
                metric=("%",),
            ),
            _quantity(
                "flow",
                [
                    Unit("m3/d", 1.0, also=("m³/d", "m3/day")),
                    Unit("L/d", 1e-3, also=("l/d", "L/day", "l/day")),
                    Unit("mL/d", 1e-6, also=("ml/d",)),
                    Unit("L/h", 0.024, also=("l/h",)),
                    Unit("m3/h", 24.0, also=("m³/h",)),
                    Unit("ft3/d", (12 * INCH_M) ** 3, also=("ft3/day", "cu ft/d")),
                    Unit("gal/d", GALLON_M3, also=("gal/day",)),
                ],
                metric=("m3/d", "L/d", "mL/d"),
                us=("ft3/d", "gal/d"),
            ),
            _quantity(
                "mass_flow",
                [
                    Unit("kg/d", 1.0, also=("kg/day",)),
                    Unit("g/d", 1e-3, also=("g/day",)),
                    Unit("t/d", 1000.0),
                    Unit("lb/d", POUND_KG, also=("lb/day", "lbs/day")),
                ],
                metric=("t/d", "kg/d", "g/d"),
                us=("lb/d",),
            ),
            _quantity(
                "density",
                [
                    Unit("kg/m3", 1.0, also=("kg/m³",)),
                    Unit("kg/L", 1000.0, also=("kg/l", "g/mL", "g/ml", "g/cm3")),
                    Unit("lb/gal", POUND_KG / GALLON_M3),
                    Unit("lb/ft3", POUND_KG / (12 * INCH_M) ** 3, also=("lb/cu ft",)),
                ],
                us=("lb/ft3",),
            ),
            _quantity(
                "concentration",
                [
                    Unit("kg/m3", 1.0, also=("kg/m³",)),
                    Unit("g/L", 1.0, also=("g/l",)),
                    Unit("mg/L", 1e-3, also=("mg/l",)),
                    Unit("oz/gal", POUND_KG / 16 / GALLON_M3),
                ],
                metric=("g/L", "mg/L"),
                us=("g/L", "mg/L"),
            ),
            _quantity(
                "yield",
                [
                    Unit("m3/kg", 1.0, also=("m³/kg",)),
                    Unit(
                        "L/kg",
                        1e-3,
                        also=(
                            "l/kg",
                            "NmL/g",
                            "mL/g",
                            "ml/g",
                            "NL/kg",
                            "L/kg VS",
                            "NmL/g VS",
                            "mL/g VS",
                        ),
                    ),
                    Unit("ft3/lb", (12 * INCH_M) ** 3 / POUND_KG),
                ],
                metric=("L/kg",),
                us=("ft3/lb",),
            ),
            _quantity(
                "loading",
                [
                    Unit("kg/m3/d", 1.0, also=("kg/m³/d", "g/L/d", "g/l/d", "kg/m3 d")),
                    Unit("lb/ft3/d", POUND_KG / (12 * INCH_M) ** 3),
                ],
                us=("lb/ft3/d",),
            ),
            _quantity(
                "rate",
                [Unit("1/d", 1.0, also=("/d", "per day", "d-1")), Unit("1/h", 24.0, also=("/h",))],
            ),
            _quantity("ph", [Unit("pH", 1.0, also=("ph",))], lowest=None),
            _quantity("money", [Unit("", 1.0)], lowest=None),
            _quantity("dimensionless", [Unit("1", 1.0, also=("",))], lowest=None),
            _quantity("count", [Unit("counts", 1.0, also=("count", "pulses", "tips"))]),
        )
    }
)
