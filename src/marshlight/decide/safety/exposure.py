"""What gas in the air does to people, and whose limit says so."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from marshlight.errors import require
from marshlight.packaged import read_toml

LEAST_OXYGEN_BREATHED, MOST_OXYGEN_BREATHED = 0.195, 0.235
NAMES: Mapping[str, str] = MappingProxyType(
    {
        "CH4": "methane",
        "H2S": "hydrogen sulphide",
        "CO2": "carbon dioxide",
        "CO": "carbon monoxide",
        "O2": "oxygen",
    }
)
# Raw biogas, by volume (source dti_2014).
USUAL_H2S = (80e-6, 4000e-6)


@dataclass(frozen=True)
class ExposureLimit:
    """One authority's limit: ``ppm`` by volume over ``minutes`` (0: never above)."""

    gas: str
    authority: str
    kind: str
    ppm: float
    minutes: float
    as_of: str
    source: str

    @property
    def share(self) -> float:
        """The limit as a share [m3/m3]."""
        return self.ppm * 1e-6


@cache
def exposure_limits(gas: str) -> tuple[ExposureLimit, ...]:
    """Give the limits for a gas, strictest first.

    Parameters
    ----------
    gas : str
        "CH4", "H2S", "CO2" or "CO".

    Returns
    -------
    tuple of ExposureLimit
        Each with its authority and date.

    Raises
    ------
    InputError
        For a gas without limits here.

    Examples
    --------
    >>> exposure_limits("H2S")[0].ppm
    1.0
    """
    rows = read_toml("exposure_limits.toml")
    require(
        gas in rows,
        field="gas",
        value=gas,
        allowed=", ".join(rows),
        remedy="Name one of these gases",
    )
    return tuple(
        sorted((ExposureLimit(gas, **row) for row in rows[gas]), key=lambda limit: limit.ppm)
    )


@dataclass(frozen=True)
class Exposure:
    """What a concentration in the air that is breathed means.

    ``over`` lists the limits it exceeds; ``times_over`` is against the strictest [-].
    """

    gas: str
    share: float
    over: tuple[ExposureLimit, ...]
    times_over: float
    effect: str


def exposure(gas: str, share: float) -> Exposure:
    """Say what a concentration in air means for people.

    Parameters
    ----------
    gas : str
        "CH4", "H2S", "CO2" or "CO".
    share : float
        Share in the air that is breathed, 0 to 1 [m3/m3].

    Returns
    -------
    Exposure
        Limits exceeded, and for hydrogen sulphide what it does.

    Raises
    ------
    InputError
        For a gas without limits here, or a share outside 0 to 1.

    References
    ----------
    h2s_limits; co2_limits; co_limits; osha_1910_146.

    Examples
    --------
    >>> found = exposure("H2S", 120e-6)
    >>> len(found.over), found.effect[:17]
    (9, 'the sense of smel')
    """
    require(
        0.0 <= share <= 1.0,
        field=NAMES.get(gas, gas),
        value=share,
        allowed="0 to 1,000,000 ppm",
        remedy="Give the share in the air that is breathed",
    )
    limits = exposure_limits(gas)
    over = tuple(limit for limit in limits if share >= limit.share)
    effect = ""
    if gas == "H2S":
        steps = read_toml("h2s_effects.toml")["effect"]
        reached = [row["text"] for row in steps if share * 1e6 >= row["from_ppm"]]
        effect = reached[-1] if reached else ""
    return Exposure(gas, share, over, share / limits[0].share, effect)


def dilution_needed(share: float, *, gas: str = "H2S") -> float:
    """Return how many volumes of fresh air thin one volume of gas to the strictest limit.

    Parameters
    ----------
    share : float
        Share in the raw gas, 0 to 1 [m3/m3].
    gas : str
        Which gas.

    Returns
    -------
    float
        Volumes of air per volume of gas [-].

    References
    ----------
    h2s_limits.

    Examples
    --------
    >>> round(dilution_needed(2000e-6))
    1999
    """
    return max(share / exposure_limits(gas)[0].share - 1.0, 0.0)
