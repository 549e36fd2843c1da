"""What a keeper does, as events: the vessel never overflows, and the inoculum stays."""

import pytest

from marshlight.decide.watch.steps import FULLEST, dosing, feeding, refilling
from marshlight.errors import InputError
from marshlight.process.model import DrawOff, Feed, Liquid


def test_a_full_vessel_is_drawn_off_before_it_is_fed() -> None:
    events = feeding(Liquid(0.002), [0.0, 1.0, 2.0], level_m3=0.018, vessel_m3=0.02)
    assert [type(e) for e in events] == [DrawOff, Feed] * 3
    level = 0.018
    for event in events:
        level += event.liquid.volume_m3 if isinstance(event, Feed) else -event.volume_m3
        assert level <= FULLEST * 0.02 + 1e-12


def test_refilling_keeps_the_level_unless_told() -> None:
    out, fresh = refilling(2.0, 0.25, Liquid(3.0, {"carbohydrate": 6.0}), level_m3=0.016)
    assert isinstance(out, DrawOff)
    assert isinstance(fresh, Feed)
    assert out.volume_m3 == pytest.approx(0.004)
    assert fresh.liquid.volume_m3 == pytest.approx(0.004)
    assert fresh.liquid.amounts["carbohydrate"] == pytest.approx(0.008)
    assert len(refilling(2.0, 0.5, Liquid(1.0), level_m3=0.016, to_m3=0.008)) == 1


def test_the_last_of_the_slurry_stays() -> None:
    with pytest.raises(InputError, match="microbes"):
        refilling(0.0, 0.95, Liquid(1.0), level_m3=0.016)
    with pytest.raises(InputError):
        refilling(0.0, 0.5, Liquid(0.0), level_m3=0.016)


def test_portions_add_up_a_day_apart() -> None:
    doses = dosing("sodium bicarbonate", 0.06, 5.0, portions=3)
    assert [dose.day for dose in doses] == [5.0, 6.0, 7.0]
    assert sum(dose.mass_kg for dose in doses) == pytest.approx(0.06)
