"""Small digesters whose lives the steps are tried on."""

import pytest

from drums import drum_with
from marshlight.decide.watch.calibration import Lives, RunLog
from marshlight.matter import find
from marshlight.process.model import Liquid, liquid_from_feedstock, water

Made = tuple[Lives, RunLog]


@pytest.fixture(scope="session")
def sound() -> Made:
    """Give a drum that hardly any life of sours."""
    return drum_with(0.05)


@pytest.fixture(scope="session")
def doubtful() -> Made:
    """Give a drum that some lives of sour."""
    return drum_with(0.3)


@pytest.fixture(scope="session")
def lost() -> Made:
    """Give a drum that most lives of have soured."""
    return drum_with(0.6, today=12.0)


@pytest.fixture(scope="session")
def bread() -> Liquid:
    """Give a kilogram of bread as it is poured."""
    return liquid_from_feedstock(find("bread stale"), 1.0) + water(0.004)
