"""Bags, counters, bottles and scales: their geometry and what they refuse."""

import math

import numpy as np
import pytest

from marshlight.apparatus import HOLDER_KINDS, Bag, Counter, MassLoss, SealedBottle
from marshlight.errors import InputError


def held(bag: Bag, value: float, way: str) -> tuple[float, float]:
    gas = bag.held(np.array([value]), way=way, temperature_c=20.0)
    return float(gas.volume_m3[0]), float(gas.u_volume_m3[0])


def test_a_balloon_is_a_sphere_of_its_girth() -> None:
    radius = 0.2
    volume, u = held(Bag(capacity_m3=0.1), 2.0 * math.pi * radius, "girth")
    assert volume == pytest.approx(4.0 / 3.0 * math.pi * radius**3)
    assert u == pytest.approx(3.0 * volume * 0.01 / (2.0 * math.pi * radius))


def test_a_full_tube_is_round_and_an_empty_one_flat() -> None:
    tube = Bag(capacity_m3=0.3, tube_length_m=2.0, tube_girth_m=1.2)
    round_again = 1.2 / math.pi
    volume, _ = held(tube, round_again, "thickness")
    assert volume == pytest.approx(2.0 * math.pi / 4.0 * round_again**2)
    assert held(tube, 0.0, "thickness")[0] == 0.0


def test_an_eye_is_worse_than_a_meter() -> None:
    bag = Bag(capacity_m3=0.3)
    assert held(bag, 0.5, "fill") == (pytest.approx(0.15), pytest.approx(0.021))
    assert held(bag, 0.15, "volume")[1] < 0.021


def test_a_taut_bag_says_that_it_is_full() -> None:
    gas = Bag(capacity_m3=0.3).held(np.array([0.5, 1.0]), way="fill", temperature_c=20.0)
    assert gas.full.tolist() == [False, True]


def test_a_thickness_needs_a_tube() -> None:
    with pytest.raises(InputError) as caught:
        held(Bag(capacity_m3=0.3), 0.1, "thickness")
    assert caught.value.field == "tube_length_m"


@pytest.mark.parametrize(
    ("make", "field"),
    [
        (lambda: Bag(capacity_m3=0.0), "capacity_m3"),
        (lambda: Bag(capacity_m3=0.1, relative_humidity=2.0), "relative_humidity"),
        (lambda: Counter(per_count_m3=-1.0), "per_count_m3"),
        (lambda: Counter(per_count_m3=1.0, relative_humidity=-1.0), "relative_humidity"),
        (lambda: SealedBottle(headspace_m3=0.0), "headspace_m3"),
        (lambda: SealedBottle(headspace_m3=1e-4, relative_humidity=9.0), "relative_humidity"),
        (lambda: MassLoss(exit_temperature_c=37.0, u_mass_kg=0.0), "u_mass_kg"),
    ],
)
def test_what_cannot_be_is_refused_by_name(make: object, field: str) -> None:
    with pytest.raises(InputError) as caught:
        make()  # type: ignore[operator]
    assert caught.value.field == field


def test_every_kind_of_holder_says_how_it_is_read() -> None:
    assert len(HOLDER_KINDS) == 6
    for kind in HOLDER_KINDS.values():
        assert kind.WAYS
