"""Heat against gas: a small vessel's heat costs more than it gives, and it is said."""

from dataclasses import replace

import numpy as np
import pytest

from marshlight.apparatus import Vessel
from marshlight.apparatus.heat import Flows, Outside, Stand, Wrap, body_of, losses
from marshlight.decide.watch.calibration import Lives, RunLog
from marshlight.decide.watch.steps import Place, Warmer, warmer
from marshlight.errors import InputError

Made = tuple[Lives, RunLog]


@pytest.fixture
def place() -> Place:
    """Stand the drum bare in a cool shed."""
    body = body_of(
        Vessel.cylinder(diameter_m=0.28, height_m=0.406),
        slurry_m3=0.0153, wrap=Wrap(), stand=Stand(),
    )  # fmt: skip
    return Place(body, Outside(15.0, 15.0), Flows())


def weigh(made: Made, place: Place, kelvin: float = 2.0) -> Warmer:
    lives, log = made
    return warmer(lives, log, place, from_c=37.0, kelvin=kelvin, slurry_kg=15.3, seed=1)


def test_a_bare_drum_takes_more_heat_than_its_gas_gives(sound: Made, place: Place) -> None:
    found = weigh(sound, place)
    assert found.verdict == "costs more than it gives"
    assert found.heat_kwh_d > 0.0
    assert found.held_kwh_d > found.heat_kwh_d


def test_the_heat_is_the_difference_of_the_losses(sound: Made, place: Place) -> None:
    now, then = (losses(place.body, c, place.outside, place.flows).total_w for c in (37.0, 39.0))
    assert weigh(sound, place).heat_kwh_d == pytest.approx((then - now) * 0.024)
    assert weigh(sound, place).heat_kwh_d_k == pytest.approx((then - now) * 0.012)


def test_a_verdict_is_only_given_where_all_lives_agree(sound: Made, place: Place) -> None:
    found = weigh(sound, place)
    assert replace(found, heat_kwh_d=-1.0).verdict == "pays"
    assert replace(found, heat_kwh_d=float(np.mean(found.gas_kwh_d))).verdict == "cannot be told"


def test_hotter_than_the_microbes_bear_is_refused(sound: Made, place: Place) -> None:
    with pytest.raises(InputError, match="45"):
        weigh(sound, place, kelvin=10.0)
