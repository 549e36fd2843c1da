"""Vessels: levels, volumes and the gas space above a slurry."""

import math

import numpy as np
import pytest
from fluids.geometry import V_from_h

from marshlight.apparatus import Vessel
from marshlight.errors import InputError

DRUM = Vessel.cylinder(diameter_m=0.30, height_m=0.40)
BOX = Vessel.box(length_m=2.0, width_m=1.0, height_m=1.5)
PIPE = Vessel.lying_cylinder(diameter_m=1.0, length_m=4.0)
BALL = Vessel.sphere(diameter_m=1.2)
DOME = Vessel.dome(diameter_m=2.0, height_m=0.7)
TABLE = Vessel.from_table(((0.0, 0.0), (0.1, 0.005), (0.4, 0.025)))


@pytest.mark.parametrize(
    ("vessel", "volume"),
    [
        (DRUM, math.pi / 4 * 0.09 * 0.4),
        (BOX, 3.0),
        (PIPE, math.pi),
        (BALL, math.pi / 6 * 1.2**3),
        (Vessel.dome(diameter_m=2.0, height_m=1.0), math.pi * 2 / 3),
        (Vessel.given(volume_m3=0.025), 0.025),
        (TABLE, 0.025),
    ],
)
def test_a_vessel_holds_what_its_shape_says(vessel: Vessel, volume: float) -> None:
    assert vessel.total_m3 == pytest.approx(volume)


@pytest.mark.parametrize("vessel", [DRUM, BOX, PIPE, BALL, DOME, TABLE])
def test_level_and_volume_are_each_others_inverse(vessel: Vessel) -> None:
    levels = np.linspace(0.0, vessel.depth_m, 17)
    back = vessel.level_at(vessel.volume_at(levels))
    assert np.allclose(back, levels, atol=2e-6 * vessel.depth_m)


def test_a_half_full_lying_cylinder_holds_half() -> None:
    assert PIPE.volume_at(0.5) == pytest.approx(PIPE.total_m3 / 2.0)


@pytest.mark.parametrize("level", [0.05, 0.3, 0.9])
def test_a_lying_cylinder_agrees_with_the_reference_library(level: float) -> None:
    reference = V_from_h(h=level, D=1.0, L=4.0, horizontal=True)
    assert PIPE.volume_at(level) == pytest.approx(reference, rel=1e-9)


@pytest.mark.parametrize("level", [0.1, 0.6, 1.1])
def test_a_sphere_agrees_with_the_reference_library(level: float) -> None:
    reference = V_from_h(
        h=level, D=1.2, L=0.0, horizontal=False, sideA="spherical", sideB="spherical",
        sideA_a=0.6, sideB_a=0.6,
    )  # fmt: skip
    assert BALL.volume_at(level) == pytest.approx(reference, rel=1e-9)


def test_a_half_dome_is_the_upper_half_of_its_sphere() -> None:
    half = Vessel.dome(diameter_m=1.2, height_m=0.6)
    above = BALL.volume_at(0.9) - BALL.volume_at(0.6)
    assert half.volume_at(0.3) == pytest.approx(above)


def test_gas_space_and_slurry_make_the_whole() -> None:
    assert DRUM.gas_space_m3(0.01) + 0.01 == pytest.approx(DRUM.total_m3)


def test_a_fill_table_is_read_between_its_rows() -> None:
    assert TABLE.volume_at(0.25) == pytest.approx(0.015)


@pytest.mark.parametrize(
    ("make", "field"),
    [
        (lambda: Vessel("cone"), "shape"),
        (lambda: Vessel("sphere"), "diameter_m"),
        (lambda: Vessel.dome(diameter_m=1.0, height_m=1.5), "height_m"),
        (lambda: Vessel.cylinder(diameter_m=0.0, height_m=1.0), "diameter_m"),
        (lambda: Vessel.box(length_m=1.0, width_m=-1.0, height_m=1.0), "width_m"),
        (lambda: Vessel.given(volume_m3=float("nan")), "volume_m3"),
        (lambda: Vessel.from_table(((0.0, 0.0),)), "table"),
        (lambda: Vessel.from_table(((0.0, 0.0), (0.2, 0.1), (0.1, 0.2))), "table"),
        (lambda: DRUM.volume_at(0.5), "level_m"),
        (lambda: DRUM.level_at(-0.1), "volume_m3"),
        (lambda: DRUM.gas_space_m3(0.1), "slurry_m3"),
        (lambda: Vessel.given(volume_m3=0.025).volume_at(0.1), "height_m"),
    ],
)
def test_what_cannot_be_is_refused_by_name(make: object, field: str) -> None:
    with pytest.raises(InputError) as caught:
        make()  # type: ignore[operator]
    assert caught.value.field == field
