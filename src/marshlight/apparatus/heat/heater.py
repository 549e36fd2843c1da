"""Heaters: how much heat, where it goes in, and what switches it."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from marshlight.apparatus.heat.body import Body
from marshlight.apparatus.heat.surface import Passage
from marshlight.errors import require

KINDS: Mapping[str, str] = MappingProxyType(
    {
        "none": "no heater",
        "mat": "plant-propagation mat under it",
        "cable": "heating cable or belt around the wall",
        "immersed": "heater made for liquids, in the slurry",
        "bath": "warm water bath it stands in",
        "coil": "hot-water coil in the slurry",
        "sun": "sun collector",
    }
)
PLACE_OF_KIND: Mapping[str, str] = MappingProxyType(
    {
        "none": "slurry",
        "mat": "base",
        "cable": "wall",
        "immersed": "slurry",
        "bath": "slurry",
        "coil": "slurry",
        "sun": "slurry",
    }
)
ELECTRIC = ("mat", "cable", "immersed")
# Plant-propagation mats (source `propagation_mat`).
MAT_W_M2 = 150.0
# "In absence of data", Liu & Liptak 1997, section 7.45: 140 Btu/(h ft2 F).
COIL_W_M2K = 795.0
_MOST_POWER_W = 1e6


@dataclass(frozen=True)
class Heater:
    """What warms a vessel.

    Parameters
    ----------
    kind : str
        A key of ``KINDS``.
    power_w : float
        Rated power of an electric heater, or mean power of the sun over 24 h, zero or more [W].
    set_point_c : float or None
        What a thermostat holds; None if nothing regulates it [degC].
    area_m2 : float or None
        Area of a mat; None takes 150 W to the square metre [m2].
    supply_c : float
        Water temperature of a bath or coil [degC].
    conductance_w_k : float
        From that water to the slurry, zero or more [W/K].
    daylight_h : float
        Hours of sun, above 0 to 24 [h].

    Raises
    ------
    InputError
        If the kind is unknown or a number impossible.
    """

    kind: str = "none"
    power_w: float = 0.0
    set_point_c: float | None = None
    area_m2: float | None = None
    supply_c: float = 0.0
    conductance_w_k: float = 0.0
    daylight_h: float = 10.0

    def __post_init__(self) -> None:
        """Refuse an impossible heater.

        Raises
        ------
        InputError
            If the kind is unknown or a number out of range.
        """
        require(
            self.kind in KINDS,
            field="kind of heater",
            value=self.kind,
            allowed=", ".join(KINDS),
            remedy="Choose the nearest",
        )
        for field, most in (("power_w", _MOST_POWER_W), ("conductance_w_k", 1e6)):
            value = getattr(self, field)
            require(
                math.isfinite(value) and 0.0 <= value <= most,
                field=f"heater, {field}",
                value=value,
                allowed=f"0 to {most:g}",
                remedy="Check the number and its unit",
            )
        require(
            self.area_m2 is None or self.area_m2 > 0.0,
            field="area of the mat",
            value=self.area_m2,
            allowed="above zero",
            remedy="Give length times width, or leave it out",
        )
        require(
            0.0 < self.daylight_h <= 24.0,
            field="hours of sun",
            value=self.daylight_h,
            allowed="above 0 to 24 h",
            remedy="Give the hours between sunrise and sunset",
        )

    @property
    def place(self) -> str:
        """Say where its heat goes in: a key of ``PLACES``."""
        return PLACE_OF_KIND[self.kind]

    @property
    def regulated(self) -> bool:
        """Say whether a thermostat switches it."""
        return self.set_point_c is not None

    @property
    def sheet_m2(self) -> float:
        """Area of a mat, given or from its power [m2]."""
        return self.area_m2 if self.area_m2 is not None else self.power_w / MAT_W_M2

    @property
    def electric(self) -> bool:
        """Say whether it takes electricity."""
        return self.kind in ELECTRIC

    def always_on(self) -> "Heater":
        """Give the same heater with its thermostat stuck."""
        return replace(self, set_point_c=None)

    def share_in(self, body: Body, passages: Mapping[str, Passage]) -> float:
        """Return the share of its power that reaches the slurry.

        Parameters
        ----------
        body : Body
            The vessel, laid out for this heater's place.
        passages : Mapping of str to Passage
            Heat passing each way at the moment.

        Returns
        -------
        float
            0 to 1 [-].

        Notes
        -----
        Heat made between two resistances in series goes inward as the outer over their
        sum. A mat larger than the base gives the rest of its heat to the room.
        """
        if self.kind in ("bath", "coil", "sun", "immersed", "none") or not body.heated:
            return self._touching(body)
        way = next((w for w in body.ways if w.name == body.heated), None)
        if way is None:
            return self._touching(body)
        inward = 1.0 - way.heated_after_kw * passages[way.name].conductance_w_k
        return self._touching(body) * max(inward, 0.0)

    def _touching(self, body: Body) -> float:
        if self.kind != "mat" or body.heated_m2 == 0.0 or self.sheet_m2 == 0.0:
            return 1.0
        return min(1.0, body.heated_m2 / self.sheet_m2)

    def power_at_w(self, day: float) -> float:
        """Give the power it could take at a moment: the sun's half sine, else the rated [W]."""
        if self.kind != "sun":
            return self.power_w
        since_rise = (day % 1.0) * 24.0 - (12.0 - self.daylight_h / 2.0)
        if not 0.0 <= since_rise <= self.daylight_h:
            return 0.0
        peak = self.power_w * 24.0 * math.pi / (2.0 * self.daylight_h)
        return peak * math.sin(math.pi * since_rise / self.daylight_h)

    def hottest_c(self, body: Body, slurry_c: float, share_in: float) -> float:
        """Return the temperature of the wall at the heater while it is on.

        Parameters
        ----------
        body : Body
            The vessel, laid out for this heater's place.
        slurry_c : float
            Slurry temperature [degC].
        share_in : float
            Share of the power that reaches the slurry [-].

        Returns
        -------
        float
            At the heater's side of the vessel wall [degC].

        Notes
        -----
        ``T + q r`` with the heat to the slurry over the heated area and the resistance
        of film, wall and contact. Where no slurry stands behind the wall it gets hotter.
        """
        if self.kind in ("bath", "coil"):
            return max(self.supply_c, slurry_c)
        if not body.heated or self.power_w == 0.0:
            return slurry_c
        area = body.heated_m2
        if self.kind == "mat":
            area = min(area, self.sheet_m2)
        return slurry_c + self.power_w * share_in / area * body.resistance_to_heater_m2kw


def coil(supply_c: float, area_m2: float, *, u_w_m2k: float = COIL_W_M2K) -> Heater:
    """Return a hot-water coil.

    Parameters
    ----------
    supply_c : float
        Mean temperature of its water [degC].
    area_m2 : float
        Outside area of the tube in the slurry, above zero [m2].
    u_w_m2k : float
        Heat transmission; without data 795 [W/(m2 K)].

    Returns
    -------
    Heater
        Without a thermostat; add one with ``dataclasses.replace``.

    Raises
    ------
    InputError
        If area or transmission is not above zero.

    Notes
    -----
    The default is a handbook figure for pumped exchangers; a coil in still slurry,
    or one with a crust, passes much less.

    References
    ----------
    liu_liptak.

    Examples
    --------
    >>> coil(60.0, 0.5).conductance_w_k
    397.5
    """
    for field, value in (("area of the coil", area_m2), ("transmission", u_w_m2k)):
        require(
            value > 0.0,
            field=field,
            value=value,
            allowed="above zero",
            remedy="Give the outside area of the tube in the slurry",
        )
    return Heater("coil", supply_c=supply_c, conductance_w_k=area_m2 * u_w_m2k)
