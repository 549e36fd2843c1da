"""Kinds of reading: what one can see on a digester, a holder, a meter or a lab sheet.

The usual ranges are common practice, no source; they only raise a question.
"""

from .shape import Kind, Measure, choice, number, text

_GAS_VOLUME = Measure("volume", "L", usual=(0.0, 100.0))
_SMALL_VOLUME = Measure("volume", "mL", usual=(0.0, 2e-3))
_SHARE = Measure("fraction", "%", possible=(0.0, 1.0))
_PPM = Measure("fraction", "ppm", usual=(0.0, 0.01), possible=(0.0, 1.0))
_GRAMS_A_LITRE = Measure("concentration", "mg/L", usual=(0.0, 100.0), possible=(0.0, 2000.0))

FLAME = {
    "will_not_light": "will not light",
    "lights_and_dies": "lights and dies",
    "holds": "holds a flame",
}
LAB = {
    "TS": "solids (TS)",
    "VS": "volatile share of the solids (VS)",
    "COD": "chemical oxygen demand (COD)",
    "acids": "volatile acids, as acetic acid",
    "alkalinity": "alkalinity, as CaCO3",
    "TAN": "ammonia nitrogen (TAN)",
    "TKN": "Kjeldahl nitrogen (TKN)",
    "methane_potential": "methane potential, NmL per g VS",
    "methane": "methane in the gas",
    "carbon_dioxide": "carbon dioxide in the gas",
    "hydrogen_sulfide": "hydrogen sulfide in the gas",
}
_LAB_MEASURES = {
    "TS": Measure("fraction", "%", usual=(0.001, 0.5), possible=(0.0, 1.0)),
    "VS": Measure("fraction", "%", usual=(0.3, 1.0), possible=(0.0, 1.0)),
    "COD": _GRAMS_A_LITRE,
    "acids": _GRAMS_A_LITRE,
    "alkalinity": _GRAMS_A_LITRE,
    "TAN": _GRAMS_A_LITRE,
    "TKN": _GRAMS_A_LITRE,
    "methane_potential": Measure("yield", "NmL/g VS", usual=(0.02, 1.1), possible=(0.0, 2.0)),
    "methane": _SHARE,
    "carbon_dioxide": _SHARE,
    "hydrogen_sulfide": _PPM,
}
TUBE_GASES = {
    "hydrogen_sulfide": "hydrogen sulfide",
    "carbon_dioxide": "carbon dioxide",
    "ammonia": "ammonia",
    "carbon_monoxide": "carbon monoxide",
}

_ALL = (
    Kind(
        "level",
        "holder level",
        "How high does the holder stand?",
        Measure("length", "mm", usual=(0.0, 3.0), possible=(-1.0, 20.0)),
    ),
    Kind("volume", "gas in the holder", "How much gas is in the holder?", _GAS_VOLUME),
    Kind(
        "counter",
        "gas counter",
        "What does the counter show?",
        Measure("volume", "L"),
        only_rises=True,
    ),
    Kind(
        "collected",
        "gas since the last look",
        "How much gas came since the last reading?",
        _GAS_VOLUME,
    ),
    Kind(
        "gas_temperature",
        "gas temperature",
        "How warm is the gas?",
        Measure("temperature", "degC", usual=(-10.0, 60.0), possible=(-60.0, 150.0)),
        jump=20.0,
    ),
    Kind(
        "slurry_temperature",
        "slurry temperature",
        "How warm is the slurry?",
        Measure("temperature", "degC", usual=(5.0, 60.0), possible=(-30.0, 110.0)),
        jump=8.0,
    ),
    Kind(
        "room_temperature",
        "room temperature",
        "How warm is it around the vessel?",
        Measure("temperature", "degC", usual=(-30.0, 45.0), possible=(-60.0, 80.0)),
        jump=20.0,
    ),
    Kind(
        "pressure",
        "gas pressure above the air's",
        "What does the gauge show?",
        Measure("gauge_pressure", "mmH2O", usual=(-2.0, 200.0), possible=(-101.325, 2000.0)),
    ),
    Kind(
        "barometer",
        "air pressure",
        "What does the barometer show, not corrected to sea level?",
        Measure("pressure", "kPa", usual=(60.0, 106.0), possible=(30.0, 120.0)),
        jump=4.0,
    ),
    Kind(
        "ph",
        "pH",
        "What is the pH of the slurry?",
        Measure("ph", "pH", usual=(4.5, 9.0), possible=(0.0, 14.0)),
        jump=0.7,
    ),
    Kind(
        "titration",
        "titration for acids and buffer",
        "How much acid did the sample take?",
        details=(
            number("sample", "sample volume", _SMALL_VOLUME, required=True),
            number(
                "acid_normality",
                "strength of the acid, equivalents per litre",
                Measure("dimensionless", "1", usual=(0.01, 1.0), possible=(0.0, 36.0)),
                required=True,
            ),
            number("acid_to_5_0", "acid to pH 5.0", _SMALL_VOLUME),
            number("acid_to_4_4", "acid to pH 4.4", _SMALL_VOLUME),
            number("acid_to_4_3", "acid to pH 4.3", _SMALL_VOLUME),
        ),
    ),
    Kind(
        "co2_absorption",
        "carbon dioxide absorbed in alkali",
        "How much of the gas did the alkali take?",
        Measure("fraction", "%", possible=(0.0, 1.0)),
        required=False,
        details=(
            number("before", "gas before", _SMALL_VOLUME),
            number("after", "gas after", _SMALL_VOLUME),
        ),
    ),
    Kind(
        "flame",
        "flame test",
        "Will it burn?",
        details=(choice("answer", "flame", FLAME, required=True),),
    ),
    Kind(
        "analyser",
        "gas analyser, methane",
        "How much methane does the analyser show?",
        _SHARE,
        required=False,
        details=(
            number("carbon_dioxide", "carbon dioxide", _SHARE),
            number("oxygen", "oxygen", _SHARE),
            number("hydrogen_sulfide", "hydrogen sulfide", _PPM),
            number("hydrogen", "hydrogen", _PPM),
        ),
    ),
    Kind(
        "tube",
        "gas detector tube",
        "What does the tube show?",
        details=(choice("gas", "gas of the tube", TUBE_GASES, required=True),),
        measure_by="gas",
        measures=dict.fromkeys(TUBE_GASES, _PPM),
    ),
    Kind(
        "lab",
        "lab result",
        "What did the lab find?",
        details=(
            choice("analyte", "what was measured", LAB, required=True),
            text("method", "method or standard"),
        ),
        measure_by="analyte",
        measures=_LAB_MEASURES,
    ),
    Kind(
        "mass",
        "mass of the vessel with its contents",
        "What does the scale show?",
        Measure("mass", "g", usual=(0.001, 500.0)),
    ),
    Kind(
        "weighed_gas",
        "gas weighed at a known volume",
        "How heavy was the gas, bag and air lift taken off?",
        Measure("mass", "g", usual=(0.0, 0.5)),
        details=(number("gas_volume", "gas volume", _GAS_VOLUME, required=True),),
    ),
    Kind(
        "slurry_level",
        "slurry level in the vessel",
        "How high does the slurry stand?",
        Measure("length", "mm", usual=(0.0, 6.0), possible=(0.0, 50.0)),
    ),
    Kind(
        "energy_meter",
        "heater's energy meter",
        "What does the meter show?",
        Measure("energy", "kWh"),
        only_rises=True,
    ),
)
READINGS = {kind.key: kind for kind in _ALL}
