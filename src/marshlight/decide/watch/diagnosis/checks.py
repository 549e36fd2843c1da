"""The cheapest test that tells two explanations apart: what, how long, what result means what."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from marshlight.decide.watch.diagnosis.explanations import (
    AIR,
    AMMONIA,
    COLD,
    DOSE_GAS,
    HEALTHY,
    LAYER,
    LEAK,
    RULER,
    SOURING,
    SPENT,
    STUCK,
    WEAK,
)


@dataclass(frozen=True)
class Check:
    """A test anyone can do: ``shows`` maps a result in words to the explanations it speaks for.

    ``effort`` ranks them, cheapest first; ``caution`` are caution keys, ``never`` an act to
    leave, in words; ``burns`` true for a test with a flame.
    """

    key: str
    what: str
    how_long: str
    effort: int
    shows: Mapping[str, tuple[str, ...]]
    caution: tuple[str, ...]
    never: str = ""
    burns: bool = False

    def tells_apart(self, one: str, other: str) -> bool:
        """Whether the two give different results."""
        first, second = self.result_for(one), self.result_for(other)
        return first is not None and second is not None and first != second

    def finds(self, key: str) -> bool:
        """Whether one of its results speaks for this explanation and for no other."""
        return (key,) in self.shows.values()

    def result_for(self, key: str) -> str | None:
        """Result to be expected under an explanation; None where it may be either."""
        found = (words for words, keys in self.shows.items() if key in keys)
        return next(found, None)


_NO_FLAME = (
    "Never look for a leak with a flame, and never open a vessel near a flame, a spark or a "
    "hot wire"
)

# What can burst, burn or choke: looked for itself, since a cheaper test that clears something
# harmless leaves it where it is. Our choice.
HARMFUL = (LEAK, AIR, STUCK)

# Efforts and results are common practice of the trade, no source.
CHECKS: tuple[Check, ...] = (
    Check(
        "read_again",
        "Read the same thing again, by another person or with another instrument: pH with the "
        "probe checked in a buffer, the holder's level on both of its sides",
        "5 minutes",
        1,
        MappingProxyType(
            {
                "the second reading is far from the first": (RULER,),
                "both agree": (
                    *(HEALTHY, LEAK, AIR, COLD, SOURING, AMMONIA, SPENT, LAYER),
                    *(WEAK, STUCK, DOSE_GAS),
                ),
            }
        ),
        (),
    ),
    Check(
        "read_warmth",
        "Read the slurry's temperature with another thermometer, and feel whether the heater is on",
        "5 minutes",
        2,
        MappingProxyType(
            {
                "colder than it should be": (COLD,),
                "as warm as it should be": (
                    *(HEALTHY, LEAK, AIR, SOURING, AMMONIA, SPENT, LAYER),
                    *(WEAK, STUCK, DOSE_GAS, RULER),
                ),
            }
        ),
        ("mains_heater",),
    ),
    Check(
        "nudge_holder",
        "Rock the holder gently by hand, from the side, outdoors and upwind; gas may come out past "
        "it, so do not lean over it",
        "2 minutes",
        3,
        MappingProxyType(
            {
                "it sticks, jumps or stands crooked": (STUCK,),
                "it floats freely": (
                    *(HEALTHY, AIR, COLD, SOURING, AMMONIA, SPENT, LAYER, WEAK),
                    *(DOSE_GAS, RULER, LEAK),
                ),
            }
        ),
        ("explosive_gas", "sealed_pressure", "hydrogen_sulfide"),
        "Never free a jammed holder with a blow, a spark or a flame near",
    ),
    Check(
        "read_ph",
        "Read the pH of a fresh sample, with a meter checked in a buffer or a fresh strip",
        "10 minutes",
        4,
        MappingProxyType(
            {
                "below 6.6": (SOURING, DOSE_GAS),
                "7.6 or more": (AMMONIA,),
                "between 6.8 and 7.5": (HEALTHY, LEAK, AIR, SPENT, LAYER, STUCK, COLD),
            }
        ),
        ("pathogens",),
    ),
    Check(
        "soapy_water",
        "Shut the tap to the burner only: the way from vessel to holder stays open. Then brush "
        "soapy water on lid, joints, hose and holder, outdoors or with the room aired, and look "
        "for bubbles that grow",
        "20 minutes",
        5,
        MappingProxyType(
            {
                "bubbles, or a tap stood open": (LEAK,),
                "no bubbles, and no tap stood open": (
                    *(HEALTHY, COLD, SOURING, AMMONIA, SPENT, LAYER, WEAK),
                    *(STUCK, DOSE_GAS, RULER),
                ),
            }
        ),
        ("explosive_gas", "hydrogen_sulfide", "sealed_pressure"),
        _NO_FLAME,
    ),
    Check(
        "seal_and_suction",
        "Look whether the water seal is full and the holder's weight keeps the gas above the "
        "room's pressure while gas is drawn; measure oxygen if a meter is at hand",
        "20 minutes",
        6,
        MappingProxyType(
            {
                "a dry seal, a slack hose drawn flat, or oxygen above 1 %": (AIR,),
                "seal full, pressure stays, oxygen below 1 %": (
                    *(HEALTHY, LEAK, COLD, SOURING, AMMONIA, SPENT, LAYER, WEAK),
                    *(STUCK, DOSE_GAS, RULER),
                ),
            }
        ),
        ("explosive_gas", "hydrogen_sulfide"),
        "Never test by a flame while air may be in the gas; "
        + _NO_FLAME[0].lower()
        + _NO_FLAME[1:],
    ),
    Check(
        "stir",
        "Stir or rock the contents well for ten minutes, vessel closed, outlet open, and count the "
        "gas of the next day",
        "10 minutes, then a day",
        7,
        MappingProxyType(
            {
                "clearly more gas than the day before": (LAYER,),
                "no more than before": (HEALTHY, LEAK, COLD, SPENT, WEAK, AMMONIA, STUCK, SOURING),
            }
        ),
        ("foaming", "hydrogen_sulfide", "explosive_gas"),
        "Never open the vessel to break a crust near a flame or a spark",
    ),
    Check(
        "night_mark",
        "Mark the holder in the evening, use no gas, and read it in the morning; the way from "
        "vessel to holder stays open",
        "one night",
        8,
        MappingProxyType(
            {
                "it stands or sinks": (LEAK, STUCK, SPENT, WEAK),
                "it rises as it used to": (HEALTHY, RULER),
            }
        ),
        ("explosive_gas", "sealed_pressure"),
    ),
    Check(
        "small_flame",
        "Test a small flame at a burner, outdoors, well away from vessel and holder",
        "10 minutes",
        9,
        MappingProxyType(
            {
                "it holds": (HEALTHY, LEAK, STUCK, RULER, LAYER, SPENT, COLD),
                "it dies or will not light": (SOURING, DOSE_GAS, WEAK),
            }
        ),
        ("explosive_gas", "first_gas", "pale_flame"),
        "Never light gas at the vessel",
        burns=True,
    ),
    Check(
        "titrate",
        "Titrate acids and alkalinity of a sample",
        "an hour",
        10,
        MappingProxyType(
            {
                "acids well above 2 kg/m3, alkalinity low": (SOURING, DOSE_GAS),
                "acids above 2 kg/m3, alkalinity above 8 kg/m3": (AMMONIA,),
                "acids below 1 kg/m3": (HEALTHY, LEAK, SPENT, LAYER, STUCK, AIR, RULER),
            }
        ),
        ("alkali", "pathogens"),
    ),
    Check(
        "small_meal",
        "Give one small meal, a hundredth of the liquid, and count gas for two days",
        "two days",
        11,
        MappingProxyType(
            {
                "gas rises within a day": (SPENT, HEALTHY),
                "gas does not follow": (LEAK, WEAK, COLD, AMMONIA, STUCK),
            }
        ),
        ("souring",),
    ),
    Check(
        "wait_two_days",
        "Leave it warm and unfed, and read gas and pH for two days",
        "two days",
        12,
        MappingProxyType(
            {
                "gas picks up by itself": (WEAK, HEALTHY),
                "gas and pH go down": (SOURING, DOSE_GAS),
                "gas stays where it is": (LEAK, LAYER, AMMONIA, SPENT, COLD, STUCK),
            }
        ),
        (),
    ),
)


def cheapest_check(one: str, other: str, *, air_possible: bool) -> Check | None:
    """Give the cheapest test of an explanation that tells it from another.

    Parameters
    ----------
    one : str
        Key of the explanation that is tested.
    other : str
        Key of the one that it is told from.
    air_possible : bool
        True keeps flames away: gas with air in it can explode.

    Returns
    -------
    Check or None
        None where no test of the list does.

    Notes
    -----
    One that can do harm by itself (gas lost, air drawn in, a stuck holder) is looked for itself
    where any test does so: that a ruler reads the same twice does not close a leak.

    Examples
    --------
    >>> cheapest_check("souring", "leak", air_possible=False).key
    'read_ph'
    >>> cheapest_check("leak", "ruler", air_possible=False).key
    'soapy_water'
    """
    telling = [
        check
        for check in sorted(CHECKS, key=lambda check: check.effort)
        if check.tells_apart(one, other)
        and not (check.burns and (air_possible or AIR in (one, other)))
    ]
    direct = [check for check in telling if one in HARMFUL and check.finds(one)]
    return next(iter(direct or telling), None)
