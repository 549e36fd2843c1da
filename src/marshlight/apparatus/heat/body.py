"""A vessel with its wraps and its stand as ways for heat, and the heat its slurry holds."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from marshlight.apparatus.heat.ground import slab_transmittance_w_m2k
from marshlight.apparatus.heat.layers import Layer, flat_resistance_m2kw, round_resistance_kw
from marshlight.apparatus.heat.surface import Surface, Through, Way
from marshlight.apparatus.vessel import Vessel
from marshlight.errors import require

WATER_J_KG_K = 4186.0
SLURRY_KG_M3 = 1000.0
# Inside surface resistances: liquid on a wall (source `slurry_film`), gas under a lid (`iso_6946`).
LIQUID_FILM_M2KW = 1.0 / 300.0
GAS_FILM_M2KW = 0.10
# Half a millimetre of air between heater and vessel (source `mat_contact`).
CONTACT_M2KW = 0.02
STANDS: Mapping[str, str] = MappingProxyType(
    {
        "table": "on a table, shelf or stand",
        "ground": "on the ground or a floor slab",
        "none": "no loss through the base",
    }
)
PLACES: Mapping[str, str] = MappingProxyType(
    {"base": "under the base", "wall": "around the wall", "slurry": "in the slurry"}
)
# A vessel known by its volume alone counts as an upright cylinder a fifth taller than wide.
_SLENDERNESS = 1.2


@dataclass(frozen=True)
class Wrap:
    """What is around a vessel: its own wall, and insulation at side, lid and base.

    ``films`` counts the inside surface resistances; ``outer_film_w_m2k`` replaces still air,
    as in wind [W/(m2 K)].
    """

    wall: tuple[Layer, ...] = ()
    side: tuple[Layer, ...] = ()
    lid: tuple[Layer, ...] = ()
    base: tuple[Layer, ...] = ()
    emissivity: float = 0.9
    films: bool = True
    outer_film_w_m2k: float | None = None


@dataclass(frozen=True)
class Stand:
    """What the vessel stands on: a key of ``STANDS``, the board's layers or the ground's k."""

    kind: str = "table"
    board: tuple[Layer, ...] = ()
    ground_k_w_mk: float = 1.5

    def __post_init__(self) -> None:
        """Refuse an unknown stand.

        Raises
        ------
        InputError
            If the kind is none of ``STANDS``.
        """
        require(
            self.kind in STANDS,
            field="stands on",
            value=self.kind,
            allowed=", ".join(STANDS),
            remedy="Choose the nearest",
        )


@dataclass(frozen=True)
class Body:
    """A vessel as the heat balance sees it.

    Parameters
    ----------
    ways : tuple of Surface or Through
        All ways for heat.
    slurry_kg : float
        Mass that is kept warm, above zero [kg].
    heated : str
        Name of the way a heater lies in, or "" for a heater in the slurry.
    heated_m2 : float
        Area of that way on the slurry's side [m2].
    """

    ways: tuple[Way, ...]
    slurry_kg: float
    heated: str = ""
    heated_m2: float = 0.0
    resistance_to_heater_m2kw: float = field(default=0.0)

    def __post_init__(self) -> None:
        """Refuse a body without content.

        Raises
        ------
        InputError
            If there is no slurry.
        """
        require(
            math.isfinite(self.slurry_kg) and self.slurry_kg > 0.0,
            field="slurry",
            value=self.slurry_kg,
            allowed="above zero",
            remedy="Say how much slurry is in the vessel",
        )

    @property
    def heat_capacity_j_k(self) -> float:
        """Heat that warms the slurry by one kelvin [J/K]."""
        return self.slurry_kg * WATER_J_KG_K


def body_of(
    vessel: Vessel,
    *,
    slurry_m3: float,
    wrap: Wrap,
    stand: Stand,
    heater_place: str = "slurry",
) -> Body:
    """Lay out the ways for heat of a vessel.

    Parameters
    ----------
    vessel : Vessel
        Any shape; one of unknown shape counts as an upright cylinder.
    slurry_m3 : float
        Slurry in it, above zero and at most its volume [m3].
    wrap : Wrap
        Wall and insulation.
    stand : Stand
        What it stands on.
    heater_place : str
        A key of ``PLACES``: heat put in under the base or at the wall is partly lost outward.

    Returns
    -------
    Body
        With wall, lid and base as ways for heat.

    Raises
    ------
    InputError
        If the slurry doesn't fit or the place is unknown.

    Notes
    -----
    The whole wall counts as warm as the slurry, above its level too. Films are those of
    the outside's own size; corners, pipes and the heat held by wall and insulation are
    neglected.

    References
    ----------
    incropera_2007; iso_6946; iso_13370; slurry_film; mat_contact.
    """
    require(
        heater_place in PLACES,
        field="place of the heater",
        value=heater_place,
        allowed=", ".join(PLACES),
        remedy="Choose where its heat goes in",
    )
    vessel.gas_space_m3(slurry_m3)
    contact = {"side": 0.0, "base": 0.0}
    if heater_place != "slurry":
        contact["side" if heater_place == "wall" else "base"] = CONTACT_M2KW
    ways, areas = _LAYOUTS.get(vessel.shape, _upright)(vessel, wrap, stand, contact)
    inner = (LIQUID_FILM_M2KW if wrap.films else 0.0) + flat_resistance_m2kw(wrap.wall)
    name = {"base": "base", "wall": "side", "slurry": ""}[heater_place]
    return Body(
        ways,
        slurry_m3 * SLURRY_KG_M3,
        heated=name if name in areas else "",
        heated_m2=areas.get(name, 0.0),
        resistance_to_heater_m2kw=inner + CONTACT_M2KW if name else 0.0,
    )


Laid = tuple[tuple[Way, ...], dict[str, float]]


def _size(vessel: Vessel) -> tuple[float, float]:
    """Give diameter and height of an upright cylinder that stands for the vessel [m]."""
    if vessel.shape == "cylinder":
        return vessel.diameter_m, vessel.height_m
    height = vessel.table[-1][0] if vessel.shape == "table" else vessel.height_m
    if height > 0.0:
        return math.sqrt(4.0 * vessel.total_m3 / (math.pi * height)), height
    diameter = (4.0 * vessel.total_m3 / (math.pi * _SLENDERNESS)) ** (1.0 / 3.0)
    return diameter, _SLENDERNESS * diameter


def _upright(vessel: Vessel, wrap: Wrap, stand: Stand, contact: dict[str, float]) -> Laid:
    diameter, height = _size(vessel)
    area, inside = math.pi / 4.0 * diameter**2, math.pi * diameter * height
    to_heater = (_liquid(wrap) + flat_resistance_m2kw(wrap.wall) + contact["side"]) / inside
    layers = (*wrap.wall, *wrap.side)
    around = round_resistance_kw(layers, inner_radius_m=diameter / 2.0, height_m=height)
    outside = diameter + 2.0 * _thickness(layers)
    side = Surface(
        "side",
        "wall",
        math.pi * outside * height,
        height + _thickness(wrap.lid),
        around + (_liquid(wrap) + contact["side"]) / inside,
        wrap.emissivity,
        wrap.outer_film_w_m2k,
        heated_after_kw=to_heater if contact["side"] else 0.0,
    )
    lid = _flat("lid", "up", area, outside / 4.0, wrap)
    base = _base(area, math.pi * diameter, wrap, stand, contact=contact["base"])
    return (side, lid, *base), {"side": inside, "base": area}


def _box(vessel: Vessel, wrap: Wrap, stand: Stand, contact: dict[str, float]) -> Laid:
    area = vessel.length_m * vessel.width_m
    perimeter = 2.0 * (vessel.length_m + vessel.width_m)
    inside = perimeter * vessel.height_m
    inner = _liquid(wrap) + flat_resistance_m2kw(wrap.wall) + contact["side"]
    side = Surface(
        "side",
        "wall",
        inside,
        vessel.height_m + _thickness(wrap.lid),
        (inner + flat_resistance_m2kw(wrap.side)) / inside,
        wrap.emissivity,
        wrap.outer_film_w_m2k,
        heated_after_kw=inner / inside if contact["side"] else 0.0,
    )
    lid = _flat("lid", "up", area, area / perimeter, wrap)
    base = _base(area, perimeter, wrap, stand, contact=contact["base"])
    return (side, lid, *base), {"side": inside, "base": area}


def _lying(vessel: Vessel, wrap: Wrap, stand: Stand, contact: dict[str, float]) -> Laid:
    diameter, length = vessel.diameter_m, vessel.length_m
    layers = (*wrap.wall, *wrap.side)
    inside = math.pi * diameter * length
    outside = diameter + 2.0 * _thickness(layers)
    inner = (_liquid(wrap) + flat_resistance_m2kw(wrap.wall) + contact["side"]) / inside
    around = round_resistance_kw(layers, inner_radius_m=diameter / 2.0, height_m=length)
    side = Surface(
        "side",
        "lying",
        math.pi * outside * length,
        outside,
        around + (_liquid(wrap) + contact["side"]) / inside,
        wrap.emissivity,
        wrap.outer_film_w_m2k,
        heated_after_kw=inner if contact["side"] else 0.0,
    )
    ends = 2.0 * math.pi / 4.0 * diameter**2
    through = (_liquid(wrap) + flat_resistance_m2kw(layers)) / ends
    two = Surface("ends", "wall", ends, diameter, through, wrap.emissivity, wrap.outer_film_w_m2k)
    return (side, two), {"side": inside}


def _sphere(vessel: Vessel, wrap: Wrap, stand: Stand, contact: dict[str, float]) -> Laid:
    inside = math.pi * vessel.diameter_m**2
    inner = _liquid(wrap) / inside + contact["side"] / inside
    radius, through = vessel.diameter_m / 2.0, 0.0
    for layer in (*wrap.wall, *wrap.side):
        outer = radius + layer.thickness_m
        through += (1.0 / radius - 1.0 / outer) / (4.0 * math.pi * layer.k_w_mk)
        radius = outer
    side = Surface(
        "side",
        "round",
        4.0 * math.pi * radius**2,
        2.0 * radius,
        inner + through,
        wrap.emissivity,
        wrap.outer_film_w_m2k,
        heated_after_kw=inner + flat_resistance_m2kw(wrap.wall) / inside
        if contact["side"]
        else 0.0,
    )
    return (side,), {"side": inside}


def _dome(vessel: Vessel, wrap: Wrap, stand: Stand, contact: dict[str, float]) -> Laid:
    half = vessel.diameter_m / 2.0
    roof = math.pi * (half**2 + vessel.height_m**2)
    inner = _liquid(wrap) + flat_resistance_m2kw(wrap.wall) + contact["side"]
    side = Surface(
        "side",
        "round",
        roof,
        vessel.diameter_m,
        (inner + flat_resistance_m2kw(wrap.side)) / roof,
        wrap.emissivity,
        wrap.outer_film_w_m2k,
        heated_after_kw=inner / roof if contact["side"] else 0.0,
    )
    area, perimeter = math.pi * half**2, math.pi * vessel.diameter_m
    base = _base(area, perimeter, wrap, stand, contact=contact["base"])
    return (side, *base), {"side": roof, "base": area}


_LAYOUTS = {
    "box": _box,
    "lying_cylinder": _lying,
    "sphere": _sphere,
    "dome": _dome,
}


def _liquid(wrap: Wrap) -> float:
    return LIQUID_FILM_M2KW if wrap.films else 0.0


def _thickness(layers: tuple[Layer, ...]) -> float:
    return sum(layer.thickness_m for layer in layers)


def _flat(name: str, form: str, area: float, length: float, wrap: Wrap) -> Surface:
    inner = (GAS_FILM_M2KW if wrap.films else 0.0) + flat_resistance_m2kw((*wrap.wall, *wrap.lid))
    return Surface(
        name,
        form,
        area,
        length,
        inner / area,
        wrap.emissivity,
        wrap.outer_film_w_m2k,
    )


def _base(
    area: float, perimeter: float, wrap: Wrap, stand: Stand, *, contact: float
) -> tuple[Way, ...]:
    if stand.kind == "none":
        return ()
    inner = _liquid(wrap) + flat_resistance_m2kw(wrap.wall) + contact
    outside = flat_resistance_m2kw((*wrap.base, *stand.board))
    heated = inner / area if contact else 0.0
    if stand.kind == "ground":
        u = slab_transmittance_w_m2k(
            area,
            perimeter,
            ground_k_w_mk=stand.ground_k_w_mk,
            floor_m2kw=inner + outside,
            wall_m=_thickness(wrap.wall),
        )
        return (Through("base", u * area, "ground", heated),)
    return (
        Surface(
            "base",
            "down",
            area,
            area / perimeter,
            (inner + outside) / area,
            wrap.emissivity,
            # Below a table there is no wind to speak of, whatever blows around the wall.
            None,
            heated_after_kw=heated,
        ),
    )
