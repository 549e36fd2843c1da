"""The demonstration's stories come of what was done to its drums, not of a script."""

from functools import cache

import numpy as np
import pytest

from marshlight.answers.simulate_past import liquid_of
from marshlight.demo.course import Course
from marshlight.demo.load import AIR_KPA
from marshlight.demo.played import Bend, Play, bent, played
from marshlight.demo.stories import (
    BREAD,
    DRUMS,
    LIVE,
    MANURE,
    PEELINGS,
    POMACE,
    WHEY,
    YEAST,
    Feed,
    Story,
)
from marshlight.matter import find
from marshlight.matter.mixing import Part
from marshlight.process.model import Dose, Event

_KINDS = {
    LIVE: "digester_effluent",
    MANURE: "goat manure with straw bedding",
    BREAD: "stale bread",
    WHEY: "whey_sweet",
    POMACE: "apple pomace",
    PEELINGS: "kitchen peelings",
    YEAST: "spent yeast",
}
_VESSEL_M3 = 0.025


def _liquid(feed: Feed):
    return liquid_of([Part(find(_KINDS[n]), kg) for n, kg in feed.parts.items()], feed.water_l)


def _play(story: Story, done: tuple[Event, ...] = (), *, days: float, feeds: int = 2) -> Course:
    part = Play(
        days,
        _VESSEL_M3,
        tuple((f.day, _liquid(f)) for f in story.feeds[:feeds]),
        story.slurry_c,
        done=done,
        bend=story.bend,
        escaping=story.escaping,
    )
    return played(part, np.random.default_rng(1), air_kpa=AIR_KPA)


@cache
def _soured(*, rescued: bool, overfed: bool = True) -> Course:
    story = DRUMS[1]
    doses = tuple(Dose(day, "sodium bicarbonate", grams / 1e3) for day, grams, _ in story.doses)
    return _play(story, doses if rescued else (), days=27.0, feeds=1 + overfed)


def test_the_bread_sours_the_second_drum_and_without_it_the_drum_stays_well() -> None:
    assert _soured(rescued=True).at("ph", 18.0) < 5.6
    assert _soured(rescued=False, overfed=False).ph[24:].min() > 6.5


def test_bicarbonate_rescues_it_and_without_it_the_drum_stays_sour() -> None:
    rescued, left = _soured(rescued=True), _soured(rescued=False)
    assert rescued.at("ph", 26.5) > 7.0
    assert rescued.at("methane", 26.5) > 0.55
    assert left.at("ph", 26.5) < 5.6
    gained = [c.at("gas_m3", 26.5) - c.at("gas_m3", 18.3) for c in (rescued, left)]
    assert gained[0] > 5.0 * gained[1]


def test_the_first_drum_goes_from_a_start_to_spent() -> None:
    story = DRUMS[0]
    true = _play(story, days=55.9)
    rate = np.diff(true.at("gas_m3", np.arange(0.0, 55.0)))
    assert rate[-1] < 0.05 * rate.max()
    assert true.ph.min() > 6.5
    assert 0.5 < true.methane[-1] < 0.75


def test_a_drum_is_two_thirds_full_and_its_cylinder_can_follow() -> None:
    for story in DRUMS:
        assert 0.6 < _liquid(story.feeds[0]).volume_m3 / _VESSEL_M3 < 0.7
        true = _play(story, days=10.0, feeds=1)
        # Two cylinders of 4 L a day: what visits in the morning and evening catch.
        assert np.diff(true.at("gas_m3", np.arange(0.0, 10.0))).max() < 8e-3


def test_what_escapes_is_made_but_not_caught() -> None:
    liquid = _liquid(DRUMS[0].feeds[0])
    part = Play(9.0, _VESSEL_M3, ((0.0, liquid),), ((0.0, 37.0),), escaping=((0.0, 0.5),))
    true = played(part, np.random.default_rng(1), air_kpa=AIR_KPA)
    assert true.caught_m3[-1] == pytest.approx(0.5 * true.gas_m3[-1])


def test_a_cold_week_slows_it_and_warmth_brings_it_back() -> None:
    liquid = _liquid(DRUMS[0].feeds[0])
    steady = ((0.0, 37.0),)
    week = ((0.0, 37.0), (4.0, 37.0), (4.2, 20.0), (8.0, 20.0), (8.2, 37.0))
    parts = [Play(20.0, _VESSEL_M3, ((0.0, liquid),), slurry) for slurry in (steady, week)]
    warm, cold = (played(p, np.random.default_rng(1), air_kpa=AIR_KPA) for p in parts)
    assert cold.at("gas_m3", 8.0) < 0.8 * warm.at("gas_m3", 8.0)
    assert cold.gas_m3[-1] == pytest.approx(warm.gas_m3[-1], rel=0.1)


def test_a_bend_scales_food_and_microbes_and_leaves_the_rest() -> None:
    as_recorded = _liquid(DRUMS[0].feeds[0])
    made = bent(as_recorded, Bend(food=1.2, cells=0.5))
    assert made.volume_m3 == as_recorded.volume_m3
    factors = {n: made.amounts[n] / a for n, a in as_recorded.amounts.items() if a > 0.0}
    assert factors["protein"] == pytest.approx(1.2)
    assert factors["x_acetate"] == pytest.approx(0.5)
    assert factors["inorganic_carbon"] == 1.0
