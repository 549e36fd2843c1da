"""From set-up records to the section that is drawn."""

import math

import pytest

from marshlight.answers.drawn import section
from marshlight.answers.picture import HolderPicture, VesselPicture
from marshlight.errors import InputError
from marshlight.notebook.models import Vessel


def _vessel(shape: str, volume: float, **sizes: float) -> Vessel:
    return Vessel(name="v", shape=shape, volume_m3=volume, dimensions=sizes)


def test_a_known_vessel_is_drawn_by_its_dimensions() -> None:
    assert section(_vessel("cylinder", 0.025, diameter_m=0.28, height_m=0.406)) == (0.28, 0.406)
    assert section(_vessel("box", 1.0, length_m=2.0, width_m=1.0, height_m=0.5)) == (2.0, 0.5)
    assert section(_vessel("lying_cylinder", 1.0, length_m=2.0, diameter_m=0.8)) == (2.0, 0.8)


def test_a_vessel_of_known_height_gets_the_width_its_volume_asks_for() -> None:
    width, height = section(_vessel("given", 0.2, height_m=0.9))
    assert math.pi / 4 * width**2 * height == pytest.approx(0.2)


def test_a_vessel_known_by_volume_alone_still_holds_that_volume() -> None:
    width, height = section(_vessel("given", 0.22))
    assert math.pi / 4 * width**2 * height == pytest.approx(0.22)
    assert height > width


def test_a_holder_says_how_full_it_stands() -> None:
    assert HolderPicture("cylinder", 0.15, 0.25, level_m=0.10).raised == pytest.approx(0.4)
    assert HolderPicture("cylinder", 0.15, 0.25, level_m=-0.01).raised == 0.0
    assert HolderPicture("bag", 0.9, 0.5, fill=1.3).raised == 1.0
    assert HolderPicture("cylinder", 0.15, 0.25).raised is None


def test_the_words_name_the_holder_and_what_it_holds() -> None:
    bag = HolderPicture("bag", 0.9, 0.5, fill=0.6, volume_text="180 L")
    words = VesselPicture("Barrel", "barrel", 0.6, 0.9, 0.6, bag).in_words
    assert "gas bag holding 180 L" in words
    assert "slurry to 67% of its height" in words


def test_an_unknown_kind_of_holder_or_flame_is_refused() -> None:
    with pytest.raises(InputError, match="kind"):
        HolderPicture("balloon animal", 0.1, 0.1)
    with pytest.raises(InputError, match="flame"):
        VesselPicture("Drum", "drum", 0.3, 0.4, flame="blue")
