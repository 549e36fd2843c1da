"""The explanations that compete: what each means, how often it comes, what could show it."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

HEALTHY = "healthy"
LEAK, AIR, COLD, SOURING = "leak", "air", "cold", "souring"
AMMONIA, SPENT, LAYER, WEAK = "ammonia", "spent", "layer", "weak"
RULER, STUCK, DOSE_GAS = "ruler", "stuck", "dose_gas"

# Kinds of reading, as the evidence is kept apart by.
GAS, PH, FLAME, WARMTH = "gas", "pH", "flame", "warmth"
METHANE, CARBON_DIOXIDE, OXYGEN = "methane", "carbon dioxide", "oxygen"
ACIDS, ALKALINITY, NITROGEN = "acids", "alkalinity", "ammonia nitrogen"
ANALYSED = (METHANE, CARBON_DIOXIDE, OXYGEN)


@dataclass(frozen=True)
class Cause:
    """One explanation in plain words.

    ``per_day`` is how often it sets in, a day of a digester's life [1/d]. ``shown_by`` are the
    kinds of reading of which at least one must have been taken for the log to speak about it.
    ``words`` follow "It looks like"; ``by_when`` says how fast it matters.
    """

    words: str
    per_day: float
    shown_by: tuple[str, ...]
    by_when: str
    caution: tuple[str, ...] = ()


# How often each sets in is our choice, source `trouble_rates`: nobody has counted. Together they
# make about one trouble in two months; gas lost and things misread come first because every
# joint, tap and ruler is a chance for them; ammonia and air come last because they take an
# unusual feed or a seal that ran dry. Where the model itself can foresee a state (sour, spent),
# the lives bring their own odds, and the rate here covers only what was never logged.
CAUSES: Mapping[str, Cause] = MappingProxyType(
    {
        HEALTHY: Cause("all is well", 0.0, (), "nothing to do"),
        LEAK: Cause(
            "gas is being lost: a leak or an open tap",
            0.003,
            (GAS,),
            "now: lost gas gathers somewhere and can explode",
            ("explosive_gas", "hydrogen_sulfide"),
        ),
        AIR: Cause(
            "air is drawn in",
            0.001,
            (FLAME, *ANALYSED),
            "now: air in the gas can make it explode",
            ("explosive_gas",),
        ),
        COLD: Cause(
            "it is too cold, or the heater is off",
            0.003,
            (WARMTH, GAS),
            "within a day or two: cold gas comes later, but acids can gather if it is fed on",
            ("mains_heater",),
        ),
        SOURING: Cause(
            "it is turning sour from too much feed",
            0.002,
            (PH, GAS, ACIDS, METHANE, FLAME),
            "today: each further feed makes it harder to bring back",
            ("souring",),
        ),
        AMMONIA: Cause(
            "ammonia holds the methane formers back",
            0.0005,
            (PH, ACIDS, NITROGEN),
            "within the week: it builds up with the feed, not from one day to the next",
            ("ammonia", "inhibition"),
        ),
        SPENT: Cause(
            "its food is used up",
            0.001,
            (GAS,),
            "when it suits: nothing is lost by waiting",
        ),
        LAYER: Cause(
            "a floating layer, or poor mixing, keeps food from the microbes",
            0.002,
            (GAS,),
            "within days: a crust can also block the outlet",
            ("blockage", "sealed_pressure"),
        ),
        WEAK: Cause(
            "too few live microbes came with the charge",
            0.0,
            (GAS, FLAME, METHANE, PH),
            "within days: feed it nothing until it makes gas",
            ("pathogens",),
        ),
        RULER: Cause(
            "a reading or an instrument is wrong",
            0.002,
            (GAS, PH, WARMTH),
            "with the next look: until then act on nothing that hangs on it alone",
        ),
        STUCK: Cause(
            "the holder is stuck",
            0.0015,
            (GAS,),
            "now: pressure builds up behind it",
            ("sealed_pressure", "explosive_gas"),
        ),
        DOSE_GAS: Cause(
            "the gas came from the dose of bicarbonate, not from recovery",
            0.0,
            (GAS,),
            "before the next feed: it is not well yet",
            ("souring",),
        ),
    }
)

# A single reading taken or written down wrongly: our choice, source `trouble_rates`.
MISREAD_SHARE = 0.01
# How often a charge brings far fewer live microbes than its kind usually does, once a start.
WEAK_SHARE = 0.10
# A charge counts as weak below this share of the low end its record allows for, our choice.
WEAK_BELOW = 0.6
# What is no trouble: nothing is lost by waiting.
NO_TROUBLE = (HEALTHY, SPENT)
