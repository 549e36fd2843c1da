"""How a lot is kept: the rates at which its live microbes die and its organic matter goes."""

from collections.abc import Mapping
from math import exp
from types import MappingProxyType
from typing import NamedTuple

from marshlight.estimate import Range

# Above this share of dry matter nothing rots (common practice, no source: hay keeps at 85 %).
TOO_DRY_TO_ROT = 0.85
COLD_LIMIT_C = 10.0


class Decay(NamedTuple):
    """A first-order rate [1/d] at a temperature, its range, its change per degC, its source."""

    rate: float
    low: float
    high: float
    at_c: float
    per_degree: float
    source: str

    def left(self, age_d: float, temperature_c: float) -> Range:
        """Give the share left after a time: best value and 95 % range; frost stops it."""
        factor = self.per_degree ** (temperature_c - self.at_c) if temperature_c > 0.0 else 0.0
        slow, best, fast = (
            exp(-rate * factor * age_d) for rate in (self.low, self.rate, self.high)
        )
        return Range(low=fast, value=best, high=slow, level=0.95)


class Storage(NamedTuple):
    """A way to keep a lot: in words, how its microbes die, how its organic matter goes."""

    words: str
    live: Decay
    easy: Decay
    fibre: Decay


# Starved microbes without air: 0.02 /d at 35 degC, a third to three times, 3.5 % per degree.
_STARVED = Decay(0.02, 0.007, 0.06, 35.0, 1.035, "starved_decay_memory")
# Pig slurry lost 50.3 % of its potential in 90 d at 20 degC and 69.3 % at 25 degC, hence
# -ln(0.497)/90 and the fifth root of the ratio of the two rates; dairy slurry far less.
_AIRLESS = Decay(0.0078, 0.002, 0.016, 20.0, 1.11, "hilgert_2022")
_KEPT = Decay(0.0, 0.0, 0.0, 20.0, 1.0, "storage_practice")
# In air a rate doubles with each 10 degC: 2 ** 0.1.
_DOUBLING = 1.072

STORAGE: Mapping[str, Storage] = MappingProxyType(
    {
        "covered": Storage("in a covered, airless store", _STARVED, _AIRLESS, _KEPT),
        "cold": Storage("in a cold, airless store", _STARVED, _AIRLESS, _KEPT),
        "open": Storage(
            "in an open heap",
            Decay(0.15, 0.05, 0.5, 20.0, 1.0, "storage_practice"),
            Decay(0.04, 0.015, 0.10, 20.0, _DOUBLING, "storage_practice"),
            Decay(0.003, 0.0005, 0.012, 20.0, _DOUBLING, "storage_practice"),
        ),
        "dry": Storage(
            "spread out to dry",
            Decay(0.25, 0.05, 0.8, 20.0, 1.0, "dry_manure_practice"),
            Decay(0.01, 0.0, 0.04, 20.0, _DOUBLING, "storage_practice"),
            Decay(0.0005, 0.0, 0.003, 20.0, _DOUBLING, "storage_practice"),
        ),
    }
)
