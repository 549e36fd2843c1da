"""Kinds of event: what one does to a digester.

The usual ranges are common practice, no source; they only raise a question.
"""

from .advice import ADVICE_KINDS
from .shape import Detail, Kind, Measure, choice, number, text

_MASS = Measure("mass", "kg", usual=(0.0, 20_000.0))
_VOLUME = Measure("volume", "L", usual=(0.0, 20.0))
_LEVEL = Measure("length", "mm", usual=(0.0, 3.0), possible=(-1.0, 20.0))
_PARTS = Detail("parts", "what went in", form="parts")
_WATER = number("water", "water", _VOLUME)

SUBSTANCES = {
    "bicarbonate": "sodium bicarbonate",
    "potassium_bicarbonate": "potassium bicarbonate",
    "soda": "sodium carbonate",
    "lime": "slaked lime",
    "chalk": "chalk or limestone",
    "iron_chloride": "iron chloride",
    "trace_elements": "trace elements",
    "live_slurry": "live slurry from a working digester",
    "other": "something else",
}

_ALL = (
    Kind(
        "charge",
        "charged",
        "What went in at the start?",
        _MASS,
        required=False,
        details=(_PARTS, _WATER, number("filled_to", "slurry volume after", _VOLUME)),
    ),
    Kind(
        "feed",
        "fed",
        "What was fed?",
        _MASS,
        required=False,
        details=(_PARTS, _WATER),
    ),
    Kind(
        "draw_off",
        "drew off",
        "How much slurry was drawn off?",
        _VOLUME,
        details=(text("to", "where it went"),),
    ),
    Kind(
        "mix",
        "mixed",
        "How long was it mixed?",
        Measure("time", "min", usual=(0.0, 1.0)),
        required=False,
    ),
    Kind(
        "dose",
        "dosed",
        "How much was dosed?",
        Measure("mass", "g", usual=(0.0, 50.0)),
        details=(choice("substance", "what was dosed", SUBSTANCES, required=True),),
    ),
    Kind(
        "set_point",
        "set the thermostat",
        "What is the thermostat set to?",
        Measure("temperature", "degC", usual=(10.0, 60.0), possible=(-30.0, 100.0)),
    ),
    Kind(
        "gas_used",
        "used gas",
        "How much gas was used?",
        _VOLUME,
        required=False,
        details=(text("use", "what for"), number("level_after", "level after", _LEVEL)),
    ),
    Kind(
        "gas_vented",
        "vented gas",
        "How much gas was let out?",
        _VOLUME,
        required=False,
        details=(number("level_after", "level after", _LEVEL),),
    ),
    Kind(
        "holder_emptied",
        "emptied the holder",
        "How high did it stand afterwards?",
        _LEVEL,
        required=False,
        details=(number("volume_left", "gas left in it", _VOLUME),),
    ),
    Kind(
        "holder_reset",
        "set the holder to a new mark",
        "Where does it stand now?",
        _LEVEL,
        required=False,
        details=(
            number("level_before", "level before", _LEVEL),
            number("volume_after", "gas in it now", _VOLUME),
        ),
    ),
    Kind("overflow", "holder overflowed", "When did gas escape past the holder?"),
    Kind(
        "seal_opened",
        "opened the seal",
        "What was opened, and for how long?",
        Measure("time", "min", usual=(0.0, 1.0)),
        required=False,
        details=(text("what", "what was opened"),),
    ),
    Kind("note", "note", "What did you see?", says_in_words=True),
    Kind("end", "ended the run", "Why did the run end?"),
    *ADVICE_KINDS,
)
EVENTS = {kind.key: kind for kind in _ALL}
