"""Gas let out into a room: how concentrations rise, what binds first, how much air it takes."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from marshlight.decide.safety.exposure import LEAST_OXYGEN_BREATHED, NAMES, exposure_limits
from marshlight.errors import require
from marshlight.matter.gas import OXYGEN_SHARE_OF_AIR

RELEASED = ("CH4", "CO2", "H2S")


@dataclass(frozen=True)
class Room:
    """A room: its air volume [m3] and how often its air changes [1/h]."""

    volume_m3: float
    changes_per_h: float

    def __post_init__(self) -> None:
        """Refuse a room that cannot be.

        Raises
        ------
        InputError
            If a number lies outside its range.
        """
        require(
            0.0 < self.volume_m3 <= 1e6 and 0.0 <= self.changes_per_h <= 100.0,
            field="room",
            value=(self.volume_m3, self.changes_per_h),
            allowed="above 0 m3, 0 to 100 air changes an hour",
            remedy="Give length times width times height; a closed room has about 0.5 changes",
        )

    @property
    def ventilation_m3_h(self) -> float:
        """Fresh air [m3/h]."""
        return self.volume_m3 * self.changes_per_h


@dataclass(frozen=True)
class RoomGas:
    """One gas in the room after a release.

    ``steady`` is where it ends up [m3/m3], ``limit`` what it may reach, ``times_over`` their
    ratio, ``hours`` when the limit is reached (None: it isn't), ``air_m3_h`` the fresh air that
    would keep it there.
    """

    gas: str
    name: str
    steady: float
    limit: float
    limit_words: str
    source: str
    hours: float | None
    times_over: float
    air_m3_h: float


@dataclass(frozen=True)
class RoomRelease:
    """All gases, whichever binds first in front."""

    SOURCES: ClassVar[tuple[str, ...]] = (
        "room_dilution",
        "h2s_limits",
        "co2_limits",
        "osha_1910_146",
    )

    room: Room
    gas_m3_h: float
    gases: tuple[RoomGas, ...]
    oxygen_steady: float

    @property
    def air_needed_m3_h(self) -> float:
        """Fresh air that keeps every gas within its limit [m3/h]."""
        return max(row.air_m3_h for row in self.gases)

    @property
    def first(self) -> RoomGas:
        """The gas that reaches its limit first, or comes nearest to it."""
        return self.gases[0]


def steady_share(room: Room, gas_m3_h: float, share: float = 1.0) -> float:
    """Return where a gas ends up in a well-mixed room.

    Parameters
    ----------
    room : Room
        The room.
    gas_m3_h : float
        Gas let out, 0 or more [m3/h].
    share : float
        Share of the one in question in it [m3/m3].

    Returns
    -------
    float
        Share in the room's air after a long time [m3/m3].

    References
    ----------
    room_dilution.

    Examples
    --------
    >>> round(steady_share(Room(30.0, 0.5), 0.45) * 1e6, -2)
    29100.0
    """
    if gas_m3_h <= 0.0:
        return 0.0
    return share * gas_m3_h / (gas_m3_h + room.ventilation_m3_h)


def share_after(room: Room, gas_m3_h: float, *, share: float, hours: float) -> float:
    """Return the share of a gas in a well-mixed room some time after a release begins.

    Parameters
    ----------
    room : Room
        The room, fresh at first.
    gas_m3_h : float
        Gas let out, 0 or more [m3/h].
    share : float
        Share of the one in question in it [m3/m3].
    hours : float
        Time since it began, 0 or more [h].

    Returns
    -------
    float
        Share in the room's air [m3/m3].

    Notes
    -----
    ``C = C_ss (1 - exp(-lambda t))``, ``lambda = (q + Q)/V``. Mixed evenly; in cupboards, pits
    and under ceilings gas gathers and is far stronger.

    References
    ----------
    room_dilution.

    Examples
    --------
    >>> round(share_after(Room(30.0, 0.5), 0.45, share=0.6, hours=1.0), 4)
    0.007
    """
    rate = (gas_m3_h + room.ventilation_m3_h) / room.volume_m3
    return steady_share(room, gas_m3_h, share) * -math.expm1(-rate * hours)


def room_release(room: Room, gas_m3_h: float, shares: Mapping[str, float]) -> RoomRelease:
    """Say what a release of unburnt gas does to a room.

    Parameters
    ----------
    room : Room
        The room.
    gas_m3_h : float
        Gas let out, above 0 to the room's volume [m3/h].
    shares : mapping
        Shares of "CH4", "CO2" and "H2S" in it, 0 to 1 [m3/m3].

    Returns
    -------
    RoomRelease
        Gases in the order in which they reach the strictest limit for people, oxygen too.

    Raises
    ------
    InputError
        If a share is impossible or nothing is let out.

    References
    ----------
    room_dilution; h2s_limits; co2_limits; osha_1910_146.

    Examples
    --------
    >>> made = room_release(Room(30.0, 0.5), 0.45, {"CH4": 0.6, "CO2": 0.4, "H2S": 2000e-6})
    >>> made.first.name, round(made.first.times_over)
    ('hydrogen sulphide', 58)
    """
    require(
        0.0 < gas_m3_h <= room.volume_m3,
        field="gas let out",
        value=gas_m3_h,
        allowed="above 0, no more than the room holds in an hour",
        remedy="Give the flow of the leak or burner",
    )
    require(
        set(shares) <= set(RELEASED)
        and all(0.0 <= share <= 1.0 for share in shares.values())
        and sum(shares.get(gas, 0.0) for gas in ("CH4", "CO2")) <= 1.0 + 1e-9,
        field="gas shares",
        value=dict(shares),
        allowed="methane, carbon dioxide, hydrogen sulphide, 0 to 1, together no more than 1",
        remedy="Give the shares of the raw gas",
    )
    rows = [_row(room, gas_m3_h, gas, shares.get(gas, 0.0)) for gas in RELEASED if shares.get(gas)]
    rows.append(_oxygen(room, gas_m3_h))
    rows.sort(key=lambda row: (math.inf if row.hours is None else row.hours, -row.times_over))
    oxygen = OXYGEN_SHARE_OF_AIR * (1.0 - steady_share(room, gas_m3_h))
    return RoomRelease(room, gas_m3_h, tuple(rows), oxygen)


def _row(room: Room, gas_m3_h: float, gas: str, share: float) -> RoomGas:
    limit = exposure_limits(gas)[0]
    if gas == "CH4":
        limit = exposure_limits(gas)[-1]
    steady = steady_share(room, gas_m3_h, share)
    return RoomGas(
        gas,
        NAMES[gas],
        steady,
        limit.share,
        f"{limit.authority}: {limit.kind}",
        limit.source,
        _hours(room, gas_m3_h, limit.share, steady),
        steady / limit.share,
        max(gas_m3_h * (share / limit.share - 1.0), 0.0),
    )


def _oxygen(room: Room, gas_m3_h: float) -> RoomGas:
    """Displaced air takes its oxygen along: in the same words as a gas that rises."""
    most = 1.0 - LEAST_OXYGEN_BREATHED / OXYGEN_SHARE_OF_AIR
    displaced = steady_share(room, gas_m3_h)
    return RoomGas(
        "O2",
        "oxygen displaced",
        OXYGEN_SHARE_OF_AIR * (1.0 - displaced),
        LEAST_OXYGEN_BREATHED,
        "US OSHA, confined spaces: hazardous below",
        "osha_1910_146",
        _hours(room, gas_m3_h, most, displaced),
        displaced / most,
        max(gas_m3_h * (1.0 / most - 1.0), 0.0),
    )


def _hours(room: Room, gas_m3_h: float, limit: float, steady: float) -> float | None:
    if steady <= limit:
        return None
    rate = (gas_m3_h + room.ventilation_m3_h) / room.volume_m3
    return -math.log1p(-limit / steady) / rate


def burning_adds_co2(room: Room, gas_m3_h: float) -> float:
    """Return the carbon dioxide that a burning stove adds to a room's air in the long run.

    Parameters
    ----------
    room : Room
        The room.
    gas_m3_h : float
        Gas burnt, 0 or more [m3/h].

    Returns
    -------
    float
        Share on top of what air has [m3/m3].

    Notes
    -----
    All carbon of the gas leaves as carbon dioxide: one volume per volume of methane or
    carbon dioxide burnt or passed through.

    References
    ----------
    room_dilution.

    Examples
    --------
    >>> round(burning_adds_co2(Room(30.0, 0.5), 0.45) * 1e6, -3)
    29000.0
    """
    return steady_share(room, gas_m3_h)
