"""Vessels: how much they hold, and what a level in them means."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from marshlight.apparatus.limits import positive
from marshlight.errors import require
from marshlight.matter.water import Number, as_given

SHAPES = ("cylinder", "box", "lying_cylinder", "sphere", "dome", "given", "table")
# Shapes whose section changes with the level: levels are read back from a fine table.
_CURVED = ("lying_cylinder", "sphere", "dome")
_TABLE_STEPS = 2001


@dataclass(frozen=True)
class Vessel:
    """A digester vessel and its inside shape.

    Build one with ``Vessel.cylinder``, ``.box``, ``.lying_cylinder``, ``.sphere``,
    ``.dome``, ``.given`` or ``.from_table``; the plain constructor takes the same fields.

    Parameters
    ----------
    shape : str
        One of ``SHAPES``.
    diameter_m : float
        Inside diameter of a cylinder, a sphere or a dome's floor, above zero; unused
        otherwise [m].
    height_m : float
        Inside height of a cylinder or box, rise of a dome (at most its diameter), or
        height of a given vessel if known [m].
    length_m : float
        Inside length of a box or lying cylinder [m].
    width_m : float
        Inside width of a box [m].
    volume_m3 : float
        Inside volume of a given vessel [m3].
    table : tuple of (float, float)
        Fill table, level and volume, both rising from 0, 0 [m, m3].

    Raises
    ------
    InputError
        If a dimension its shape needs is missing or impossible.

    Examples
    --------
    >>> drum = Vessel.given(volume_m3=0.025, height_m=0.5)
    >>> round(drum.gas_space_m3(0.0165) * 1e3, 1)
    8.5
    """

    shape: str
    diameter_m: float = 0.0
    height_m: float = 0.0
    length_m: float = 0.0
    width_m: float = 0.0
    volume_m3: float = 0.0
    table: tuple[tuple[float, float], ...] = ()

    def __post_init__(self) -> None:
        require(
            self.shape in SHAPES,
            field="shape",
            value=self.shape,
            allowed=", ".join(SHAPES),
            remedy="Choose the nearest shape, or give a fill table",
        )
        needed = {
            "cylinder": ("diameter_m", "height_m"),
            "box": ("length_m", "width_m", "height_m"),
            "lying_cylinder": ("diameter_m", "length_m"),
            "sphere": ("diameter_m",),
            "dome": ("diameter_m", "height_m"),
            "given": ("volume_m3",),
            "table": (),
        }
        positive(self, *needed[self.shape])
        require(
            self.shape != "dome" or self.height_m <= self.diameter_m,
            field="height_m",
            value=self.height_m,
            allowed=f"up to the diameter, {self.diameter_m:g} m",
            remedy="A dome is part of a sphere over a flat floor; check both sizes",
        )
        if self.shape == "table":
            _require_table(self.table)

    @classmethod
    def cylinder(cls, *, diameter_m: float, height_m: float) -> "Vessel":
        """Make an upright cylinder from inside diameter and height [m]."""
        return cls("cylinder", diameter_m=diameter_m, height_m=height_m)

    @classmethod
    def box(cls, *, length_m: float, width_m: float, height_m: float) -> "Vessel":
        """Make a box from inside length, width and height [m]."""
        return cls("box", length_m=length_m, width_m=width_m, height_m=height_m)

    @classmethod
    def lying_cylinder(cls, *, diameter_m: float, length_m: float) -> "Vessel":
        """Make a lying cylinder with flat ends from inside diameter and length [m]."""
        return cls("lying_cylinder", diameter_m=diameter_m, length_m=length_m)

    @classmethod
    def sphere(cls, *, diameter_m: float) -> "Vessel":
        """Make a sphere from its inside diameter [m]."""
        return cls("sphere", diameter_m=diameter_m)

    @classmethod
    def dome(cls, *, diameter_m: float, height_m: float) -> "Vessel":
        """Make a dome, part of a sphere over a flat floor, from floor diameter and rise [m]."""
        return cls("dome", diameter_m=diameter_m, height_m=height_m)

    @classmethod
    def given(cls, *, volume_m3: float, height_m: float = 0.0) -> "Vessel":
        """Make a vessel of known volume [m3]; with a height [m], of constant section."""
        return cls("given", volume_m3=volume_m3, height_m=height_m)

    @classmethod
    def from_table(cls, table: tuple[tuple[float, float], ...]) -> "Vessel":
        """Make a vessel from its fill table of levels [m] and volumes [m3]."""
        return cls("table", table=table)

    @property
    def total_m3(self) -> float:
        """Inside volume [m3]."""
        if self.shape == "cylinder":
            return math.pi / 4.0 * self.diameter_m**2 * self.height_m
        if self.shape == "box":
            return self.length_m * self.width_m * self.height_m
        if self.shape == "lying_cylinder":
            return math.pi / 4.0 * self.diameter_m**2 * self.length_m
        if self.shape == "sphere":
            return math.pi / 6.0 * self.diameter_m**3
        if self.shape == "dome":
            return math.pi / 6.0 * self.height_m * (0.75 * self.diameter_m**2 + self.height_m**2)
        return self.volume_m3 if self.shape == "given" else self.table[-1][1]

    @property
    def depth_m(self) -> float:
        """Level of the liquid when full [m].

        Raises
        ------
        InputError
            If only the volume was given.
        """
        if self.shape in ("lying_cylinder", "sphere"):
            return self.diameter_m
        if self.shape == "table":
            return self.table[-1][0]
        positive(self, "height_m")
        return self.height_m

    def volume_at(self, level_m: Number) -> Number:
        """Return the liquid volume below a level.

        Parameters
        ----------
        level_m : float or array
            Liquid level above the bottom, 0 to the depth [m].

        Returns
        -------
        float or array
            Volume [m3].

        Raises
        ------
        InputError
            If the level lies outside the vessel, or its height is unknown.
        """
        levels = np.asarray(level_m, dtype=np.float64)
        _require_inside(levels, self.depth_m, "level_m", "m")
        return as_given(level_m, self._volumes(levels))

    def level_at(self, volume_m3: Number) -> Number:
        """Return the level a liquid volume stands at.

        Parameters
        ----------
        volume_m3 : float or array
            Liquid volume, 0 to the total [m3].

        Returns
        -------
        float or array
            Level above the bottom [m].

        Raises
        ------
        InputError
            If the volume doesn't fit, or the height is unknown.
        """
        volumes = np.asarray(volume_m3, dtype=np.float64)
        _require_inside(volumes, self.total_m3, "volume_m3", "m3")
        if self.shape == "table":
            levels, filled = np.array(self.table).T
            return as_given(volume_m3, np.interp(volumes, filled, levels))
        if self.shape in _CURVED:
            # Even steps of the angle are dense where the section is narrow.
            angle = np.linspace(0.0, np.pi, _TABLE_STEPS)
            grid = self.depth_m / 2.0 * (1.0 - np.cos(angle))
            return as_given(volume_m3, np.interp(volumes, self._volumes(grid), grid))
        return as_given(volume_m3, volumes / self.total_m3 * self.depth_m)

    def gas_space_m3(self, slurry_m3: Number) -> Number:
        """Return the gas space above a slurry.

        Parameters
        ----------
        slurry_m3 : float or array
            Slurry volume, 0 to the total [m3].

        Returns
        -------
        float or array
            Volume of the head-space [m3].

        Raises
        ------
        InputError
            If the slurry doesn't fit.
        """
        _require_inside(np.asarray(slurry_m3), self.total_m3, "slurry_m3", "m3")
        return self.total_m3 - slurry_m3

    def _volumes(self, levels: NDArray[np.float64]) -> NDArray[np.float64]:
        if self.shape == "table":
            heights, filled = np.array(self.table).T
            return np.asarray(np.interp(levels, heights, filled))
        if self.shape == "lying_cylinder":
            radius = self.diameter_m / 2.0
            below = np.clip((radius - levels) / radius, -1.0, 1.0)
            segment = np.arccos(below) - below * np.sqrt(1.0 - below**2)
            return np.asarray(self.length_m * radius**2 * segment)
        if self.shape in ("sphere", "dome"):
            return self._cap_below(levels)
        return np.asarray(levels / self.depth_m * self.total_m3)

    def _cap_below(self, levels: NDArray[np.float64]) -> NDArray[np.float64]:
        """Integrate the discs of a sphere cut off at the floor."""
        if self.shape == "sphere":
            radius, centre = self.diameter_m / 2.0, self.diameter_m / 2.0
        else:
            half = self.diameter_m / 2.0
            radius = (half**2 + self.height_m**2) / (2.0 * self.height_m)
            centre = self.height_m - radius
        cubes = ((levels - centre) ** 3 + centre**3) / 3.0
        return np.asarray(np.pi * (radius**2 * levels - cubes))


def _require_table(table: tuple[tuple[float, float], ...]) -> None:
    rows = np.array(table, dtype=np.float64)
    rising = rows.ndim == 2 and rows.shape[0] >= 2 and rows.shape[1] == 2
    rising = rising and bool(np.all(np.diff(rows, axis=0) > 0.0)) and bool(np.all(rows[0] == 0.0))
    require(
        rising,
        field="table",
        value=table,
        allowed="two or more pairs of level and volume, both rising from 0, 0",
        remedy="Pour in known amounts of water and note the level after each",
    )


def _require_inside(values: NDArray[np.float64], most: float, field: str, unit: str) -> None:
    inside = (values >= 0.0) & (values <= most * (1.0 + 1e-9))
    require(
        bool(np.all(inside)),
        field=field,
        value=float(values[~inside].flat[0]) if not np.all(inside) else 0.0,
        allowed=f"0 to {most:g} {unit}",
        remedy="Check the reading against the vessel's own size",
    )
