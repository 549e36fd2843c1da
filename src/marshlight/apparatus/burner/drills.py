"""The drill nearest to a wanted hole: metric, by number and in fractions of an inch."""

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import ClassVar

from marshlight.errors import require
from marshlight.packaged import read_toml

INCH_M = 0.0254
_SMALLEST_M, _LARGEST_M = 0.34e-3, 13e-3


@dataclass(frozen=True)
class Drill:
    """One drill: how it is called and its bore [m]."""

    name: str
    diameter_m: float

    def off_by(self, wanted_m: float) -> float:
        """Give how far its area is from the wanted hole's, as a share [-]."""
        return (self.diameter_m / wanted_m) ** 2 - 1.0


@dataclass(frozen=True)
class Drills:
    """The nearest drill of each series to a hole [m]."""

    SOURCES: ClassVar[tuple[str, ...]] = ("twist_drill_sizes",)

    wanted_m: float
    metric: Drill
    number: Drill | None
    fraction: Drill

    @property
    def all(self) -> tuple[Drill, ...]:
        """Every drill that comes near."""
        return tuple(d for d in (self.metric, self.number, self.fraction) if d is not None)


def nearest_drills(hole_m: float) -> Drills:
    """Return the drills nearest to a hole.

    Parameters
    ----------
    hole_m : float
        Bore wanted, 0.34e-3 to 13e-3 [m].

    Returns
    -------
    Drills
        Metric, number (up to 5.8 mm) and fraction of an inch [m].

    Raises
    ------
    InputError
        If no ordinary drill is near.

    References
    ----------
    twist_drill_sizes.

    Examples
    --------
    >>> found = nearest_drills(2.044e-3)
    >>> found.metric.name, found.number.name, found.fraction.name
    ('2.05 mm', 'no. 46', '5/64 in')
    """
    require(
        _SMALLEST_M <= hole_m <= _LARGEST_M,
        field="hole",
        value=hole_m,
        allowed="0.34 to 13 mm",
        remedy="For a larger jet take two burners; for a smaller one raise the flow",
    )
    number = _nearest(_numbers(), hole_m) if hole_m <= 5.9e-3 else None
    return Drills(hole_m, _nearest(_metric(), hole_m), number, _nearest(_fractions(), hole_m))


def _nearest(drills: tuple[Drill, ...], hole_m: float) -> Drill:
    return min(drills, key=lambda drill: abs(drill.diameter_m - hole_m))


@cache
def _metric() -> tuple[Drill, ...]:
    """Steps of 0.05 mm to 3 mm, of 0.1 mm beyond, as shops keep them."""
    steps = [k * 0.05 for k in range(7, 61)] + [3.0 + k * 0.1 for k in range(1, 101)]
    return tuple(Drill(f"{mm:.2f}".rstrip("0").rstrip(".") + " mm", mm / 1e3) for mm in steps)


@cache
def _numbers() -> tuple[Drill, ...]:
    rows = read_toml("drill_sizes.toml")["number_in"]
    return tuple(Drill(f"no. {name}", float(inches) * INCH_M) for name, inches in rows.items())


@cache
def _fractions() -> tuple[Drill, ...]:
    parts = (Fraction(k, 64) for k in range(1, 33))
    return tuple(Drill(f"{part} in", float(part) * INCH_M) for part in parts)
