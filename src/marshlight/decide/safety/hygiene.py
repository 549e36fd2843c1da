"""Pathogens: time and temperature that law accepts, and what warm digestion really does."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from marshlight.errors import InputError, require
from marshlight.packaged import read_toml

LOWEST_C, HIGHEST_C = 50.0, 95.0
# 40 CFR 503.32(a)(3): days = factor / 10^(0.14 t).
_FACTOR_THICK, _FACTOR_THIN = 131_700_000.0, 50_070_000.0
_PER_DEGREE = 0.1400
THICK_TS = 0.07
_THICK_LEAST_MIN, _THIN_LEAST_MIN, _SHORT_LEAST_MIN = 20.0, 30.0, 0.25
_MINUTES_A_DAY = 1440.0


@dataclass(frozen=True)
class HoldTime:
    """Time at temperature that the rule asks: by its equation, and with its floor [d]."""

    by_equation_d: float
    asked_d: float
    rule: str
    source: str = "cfr_503_32"

    @property
    def floored(self) -> bool:
        """Say whether the rule's shortest time is more than its equation."""
        return self.asked_d > self.by_equation_d * (1.0 + 1e-9)


def hold_time(temperature_c: float, *, solids: float) -> HoldTime:
    """Return how long every part must be held hot by the US rule for sludge.

    Parameters
    ----------
    temperature_c : float
        Coldest part during the whole time, 50 to 95 [degC].
    solids : float
        TS of the slurry, 0 to 0.4 [kg/kg].

    Returns
    -------
    HoldTime
        Days, by the equation and with the rule's floor [d].

    Raises
    ------
    InputError
        Below 50 degC: the rule doesn't reach there and is not stretched.

    Notes
    -----
    ``D = 131,700,000/10**(0.14 t)`` days for TS of 7 % and more (20 minutes at least), and for
    thinner sludge held under 30 minutes; ``50,070,000/10**(0.14 t)`` for thinner sludge held 30
    minutes and more. Fecal indicators must be met besides. The rule is for sewage sludge.

    References
    ----------
    cfr_503_32.

    Examples
    --------
    >>> round(hold_time(55.0, solids=0.08).asked_d, 3)
    2.628
    >>> round(hold_time(70.0, solids=0.05).asked_d * 1440)
    30
    """
    if not LOWEST_C <= temperature_c <= HIGHEST_C:
        raise InputError(
            "temperature",
            temperature_c,
            f"{LOWEST_C:g} to {HIGHEST_C:g} degC",
            "No time-temperature rule reaches below 50 degC: warm digestion thins germs out but"
            " does not make digestate safe",
        )
    require(
        0.0 <= solids <= 0.4,
        field="solids (TS)",
        value=solids,
        allowed="0 to 40 %",
        remedy="Give the solids of the slurry",
    )
    long_d = _FACTOR_THICK / 10.0 ** (_PER_DEGREE * temperature_c)
    if solids >= THICK_TS:
        floor = _THICK_LEAST_MIN / _MINUTES_A_DAY
        return HoldTime(long_d, max(long_d, floor), "solids of 7 % and more")
    if long_d * _MINUTES_A_DAY < _THIN_LEAST_MIN:
        floor = _SHORT_LEAST_MIN / _MINUTES_A_DAY
        return HoldTime(long_d, max(long_d, floor), "thin slurry held under 30 minutes")
    thin_d = _FACTOR_THIN / 10.0 ** (_PER_DEGREE * temperature_c)
    floor = _THIN_LEAST_MIN / _MINUTES_A_DAY
    return HoldTime(thin_d, max(thin_d, floor), "thin slurry held 30 minutes and more")


@dataclass(frozen=True)
class Treatment:
    """A treatment that a law accepts: every part at ``celsius`` for ``hours``, pieces to a size."""

    name: str
    celsius: float
    hours: float
    piece_m: float
    source: str
    note: str

    def met_by(self, temperature_c: float, hours: float, piece_m: float) -> bool:
        """Say whether a hold reaches its figures; only an authority says that it counts."""
        hot = temperature_c >= self.celsius and hours >= self.hours
        return hot and piece_m <= self.piece_m + 1e-9


@cache
def treatments() -> tuple[Treatment, ...]:
    """Give the treatments that laws accept, as data."""
    return tuple(Treatment(**row) for row in read_toml("hygiene_rules.toml")["treatment"])


@dataclass(frozen=True)
class CropRule:
    """What a law asks before digestate or manure meets food: days to wait, or a condition."""

    name: str
    text: str
    source: str
    days: int = 0


@cache
def crop_rules() -> tuple[CropRule, ...]:
    """Give the rules on food crops, as data."""
    return tuple(CropRule(**row) for row in read_toml("hygiene_rules.toml")["crop"])


@dataclass(frozen=True)
class Germ:
    """Measured times for a tenfold fall: days at 35 degC, hours at 53 degC where known."""

    key: str
    name: str
    at_35_d: float
    at_53_h: float | None = None
    source: str = "olsen_larsen_1987"

    @property
    def z_k(self) -> float | None:
        """Warming that makes it fall ten times faster, from the two measurements [K]."""
        if self.at_53_h is None:
            return None
        return 18.0 / math.log10(self.at_35_d * 24.0 / self.at_53_h)

    def tenfold_d(self, temperature_c: float) -> float | None:
        """Time for a tenfold fall [d], log-linear between both measurements, None elsewhere.

        Parameters
        ----------
        temperature_c : float
            Slurry, 35 to 53 [degC].

        Returns
        -------
        float or None
            Days; not extrapolated.
        """
        if temperature_c == 35.0:
            return self.at_35_d
        if self.z_k is None or not 35.0 <= temperature_c <= 53.0:
            return None
        return float(self.at_35_d * 10.0 ** ((35.0 - temperature_c) / self.z_k))


@cache
def germs() -> Mapping[str, Germ]:
    """Give the germs whose fall in digestion was measured."""
    rows = read_toml("decimal_reduction.toml")
    return MappingProxyType({key: Germ(key, **row) for key, row in rows.items()})


def log_reduction(days: float, tenfold_d: float, *, mixed: bool) -> float:
    """Return by how many powers of ten a germ is thinned out.

    Parameters
    ----------
    days : float
        Time every part stays (batch), or the mean stay in a stirred, fed vessel, 0 or more [d].
    tenfold_d : float
        Time for a tenfold fall, above 0 [d].
    mixed : bool
        Whether the vessel is stirred and fed: then some of today's feed leaves today.

    Returns
    -------
    float
        Powers of ten [-].

    Raises
    ------
    InputError
        If a time is impossible.

    Notes
    -----
    Batch ``t/T90``; stirred and fed ``log10(1 + k HRT)`` with ``k = ln 10/T90``. Short cuts,
    dead corners, spores, worm eggs and regrowth are not in it.

    References
    ----------
    olsen_larsen_1987; first_order_cstr.

    Examples
    --------
    >>> round(log_reduction(20.0, 2.4, mixed=True), 3)
    1.305
    >>> round(log_reduction(20.0, 2.4, mixed=False), 2)
    8.33
    """
    require(
        days >= 0.0 and tenfold_d > 0.0,
        field="days",
        value=(days, tenfold_d),
        allowed="0 days or more, a tenfold time above 0",
        remedy="Give the time the slurry stays in the vessel",
    )
    if not mixed:
        return days / tenfold_d
    return math.log10(1.0 + math.log(10.0) / tenfold_d * days)
