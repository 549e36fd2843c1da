"""What walls and insulation are made of, and how well they hold heat."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from types import MappingProxyType

from marshlight.errors import InputError, require
from marshlight.packaged import read_toml

FILE = "insulation.toml"
# A conductivity this many times off what its name promises is a slip of the pen.
MOST_OFF = 3.0
_THICKEST_M = 3.0


@dataclass(frozen=True)
class Material:
    """A material of walls: thermal conductivity ``k_w_mk`` and the range to expect [W/(m K)].

    ``use`` is "insulation", "wall" or "soil"; ``source`` a key of the source records.
    """

    key: str
    name: str
    use: str
    k_w_mk: float
    low_w_mk: float
    high_w_mk: float
    source: str
    aliases: tuple[str, ...] = ()


@dataclass(frozen=True)
class Layer:
    """One layer: thickness [m] of a conductivity [W/(m K)], both above zero; a zero thickness
    is no layer and has no resistance."""

    thickness_m: float
    k_w_mk: float
    name: str = ""

    def __post_init__(self) -> None:
        """Refuse a layer that cannot be.

        Raises
        ------
        InputError
            If the thickness is negative or absurd, or the conductivity not above zero.
        """
        require(
            math.isfinite(self.thickness_m) and 0.0 <= self.thickness_m <= _THICKEST_M,
            field="thickness",
            value=self.thickness_m,
            allowed=f"0 to {_THICKEST_M:g} m",
            remedy="Give the thickness of the layer itself, in metres or with its unit",
        )
        require(
            math.isfinite(self.k_w_mk) and self.k_w_mk > 0.0,
            field="conductivity",
            value=self.k_w_mk,
            allowed="above zero",
            remedy="Give the thermal conductivity in W/(m K)",
        )


@cache
def materials() -> Mapping[str, Material]:
    """Give every material by key.

    Returns
    -------
    Mapping of str to Material
        Insulation first, then walls, then soils.
    """
    return MappingProxyType(
        {
            key: Material(
                key,
                row["name"],
                row["use"],
                row["k"],
                row["low"],
                row["high"],
                row["source"],
                tuple(row.get("aliases", ())),
            )
            for key, row in read_toml(FILE).items()
        }
    )


def find_material(text: str) -> Material:
    """Find a material by key, name, alias or a part of them.

    Parameters
    ----------
    text : str
        What a person calls it.

    Returns
    -------
    Material
        The one meant.

    Raises
    ------
    InputError
        If none or several go by that name; near names are listed.

    Examples
    --------
    >>> find_material("Styrofoam").key, find_material("straw-bale box").key
    ('eps', 'straw')
    """
    wanted = text.strip().casefold()
    names = {n: m for m in materials().values() for n in (m.key, m.name.casefold(), *m.aliases)}
    if wanted in names:
        return names[wanted]
    part = {m.key: m for n, m in names.items() if len(wanted) > 2 and wanted in n}
    if len(part) != 1:
        inside = {m.key: m for n, m in names.items() if len(n) > 3 and n in wanted}
        part = part or inside
    if len(part) == 1:
        return next(iter(part.values()))
    near = [m.name for m in part.values()] or get_close_matches(text, names, n=5, cutoff=0.4)
    raise InputError(
        "material",
        text,
        ", ".join(near or [m.name for m in materials().values()]),
        "Say which one is meant, or choose the nearest",
    )


def layer_of(name: str, thickness_m: float, *, k_w_mk: float | None = None) -> Layer:
    """Make a layer of a named material, with its usual conductivity or one of your own.

    Parameters
    ----------
    name : str
        As ``find_material`` takes it.
    thickness_m : float
        Thickness, zero or more [m].
    k_w_mk : float, optional
        Your own conductivity, within three times of what the name promises [W/(m K)].

    Returns
    -------
    Layer
        With the material's full name.

    Raises
    ------
    InputError
        If the material is unknown, or the conductivity can hardly be that of this material.

    References
    ----------
    iso_10456; ashrae_insulation; cibse_guide_a.

    Examples
    --------
    >>> layer_of("eps", 0.05).k_w_mk
    0.0355
    """
    material = find_material(name)
    low, high = material.low_w_mk / MOST_OFF, material.high_w_mk * MOST_OFF
    require(
        k_w_mk is None or low <= k_w_mk <= high,
        field="conductivity",
        value=k_w_mk,
        allowed=f"{low:.3g} to {high:.3g} W/(m K) for {material.name}",
        remedy="Check the unit: W/(m K), not W/(m2 K) nor m2 K/W",
    )
    return Layer(thickness_m, material.k_w_mk if k_w_mk is None else k_w_mk, material.name)


def flat_resistance_m2kw(layers: Sequence[Layer]) -> float:
    """Return the resistance of flat layers, films left out.

    Parameters
    ----------
    layers : sequence of Layer
        From inside to outside.

    Returns
    -------
    float
        Sum of thickness over conductivity [m2 K/W].

    References
    ----------
    incropera_2007, chapter 3.

    Examples
    --------
    >>> flat_resistance_m2kw([Layer(0.1, 0.05), Layer(0.02, 0.2)])
    2.1
    """
    return sum(layer.thickness_m / layer.k_w_mk for layer in layers)


def round_resistance_kw(
    layers: Sequence[Layer], *, inner_radius_m: float, height_m: float
) -> float:
    """Return the resistance of layers around a cylinder, films left out.

    Parameters
    ----------
    layers : sequence of Layer
        From inside to outside.
    inner_radius_m, height_m : float
        Inside radius of the first layer and height, above zero [m].

    Returns
    -------
    float
        Sum of ``ln(r2/r1)/(2 pi k H)`` [K/W].

    Raises
    ------
    InputError
        If radius or height is not above zero.

    References
    ----------
    incropera_2007, chapter 3.

    Examples
    --------
    >>> round(round_resistance_kw([Layer(0.025, 0.035)], inner_radius_m=0.11, height_m=0.263), 3)
    3.541
    """
    for field, value in (("inner_radius_m", inner_radius_m), ("height_m", height_m)):
        require(
            value > 0.0,
            field=field,
            value=value,
            allowed="above zero",
            remedy="Give the size in metres",
        )
    total, radius = 0.0, inner_radius_m
    for layer in layers:
        outside = radius + layer.thickness_m
        total += math.log(outside / radius) / (2.0 * math.pi * layer.k_w_mk * height_m)
        radius = outside
    return total


def transmittance_w_m2k(
    layers: Sequence[Layer], *, inner_film_w_m2k: float, outer_film_w_m2k: float
) -> float:
    """Return the heat transmission of flat layers between two given films.

    Parameters
    ----------
    layers : sequence of Layer
        From inside to outside.
    inner_film_w_m2k, outer_film_w_m2k : float
        Film coefficients, above zero [W/(m2 K)].

    Returns
    -------
    float
        ``1/(1/hi + sum t/k + 1/ho)`` [W/(m2 K)].

    Raises
    ------
    InputError
        If a film coefficient is not above zero.

    References
    ----------
    incropera_2007, chapter 3.

    Examples
    --------
    >>> foam = [Layer(0.1, 0.035)]
    >>> round(transmittance_w_m2k(foam, inner_film_w_m2k=300.0, outer_film_w_m2k=20.0), 4)
    0.3436
    """
    for value in (inner_film_w_m2k, outer_film_w_m2k):
        require(
            value > 0.0,
            field="film coefficient",
            value=value,
            allowed="above zero",
            remedy="Give it in W/(m2 K)",
        )
    return 1.0 / (1.0 / inner_film_w_m2k + flat_resistance_m2kw(layers) + 1.0 / outer_film_w_m2k)
