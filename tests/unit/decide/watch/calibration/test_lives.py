"""Lives run on from where they stand, feeds and strays included."""

from dataclasses import replace

import numpy as np
import pytest

from marshlight.decide.watch.calibration import (
    RunLog,
    ahead,
    dry_gas,
    lives_from_prior,
    past,
)
from marshlight.errors import FitError, InputError
from marshlight.matter import find
from marshlight.process.model import (
    Digester,
    DrawOff,
    Feed,
    Holder,
    SetTemperature,
    Vent,
    inoculum,
    liquid_from_feedstock,
    water,
)

MEAL = liquid_from_feedstock(find("kitchen peelings"), 0.2)
LOG = RunLog(
    Digester(0.025, Holder("floating", 0.5, gauge_kpa=0.2), temperature_c=35.0),
    inoculum("digested cattle manure", 0.012) + water(0.002),
    today=12.0,
    events=(Feed(3.0, MEAL), SetTemperature(5.0, 30.0), Feed(9.0, MEAL), Vent(10.0)),
)


def test_going_on_from_a_day_is_the_same_as_never_having_stopped() -> None:
    half = lives_from_prior(LOG.until(6.0), rng=np.random.default_rng(3), members=12)
    events = [event for event in LOG.events if event.day > 6.0]
    on = ahead(half, LOG.until(6.0), days=[8.0, 12.0], events=events)
    whole = past(half, LOG, days=[6.0, 8.0, 12.0])
    assert on["pH"] == pytest.approx(whole["pH"][:, 1:], abs=2e-3)
    since = dry_gas(whole)[:, 1:] - dry_gas(whole)[:, :1]
    assert dry_gas(on) == pytest.approx(since, rel=5e-3, abs=1e-7)
    assert on.biogas_m3 == pytest.approx(
        whole.biogas_m3[:, 1:] - whole.biogas_m3[:, :1], rel=5e-3, abs=1e-7
    )


def test_more_food_in_a_life_is_more_gas_from_the_same_meal() -> None:
    lives = lives_from_prior(LOG, rng=np.random.default_rng(3), members=40)
    plain = dry_gas(ahead(lives, LOG, days=[30.0]))[:, -1]
    fed = dry_gas(ahead(lives, LOG, days=[30.0], events=[Feed(13.0, MEAL)]))[:, -1]
    assert (fed > plain).all()
    assert np.corrcoef(fed - plain, lives.of("food"))[0, 1] > 0.8


def test_lives_show_ph_and_methane_with_what_the_model_is_off_by() -> None:
    lives = lives_from_prior(LOG, rng=np.random.default_rng(3), members=6)
    offsets = np.isin(lives.names, ("ph_model", "methane_model"))
    bare = replace(lives, draws=np.where(offsets, 0.0, lives.draws))
    one, other = (ahead(some, LOG, days=[13.0, 15.0]) for some in (lives, bare))
    assert one["pH"] - other["pH"] == pytest.approx(np.tile(lives.of("ph_model")[:, None], 2))
    biogas = other.share("methane") + other.share("carbon_dioxide")
    moved = lives.of("methane_model")[:, None] * biogas
    assert one.share("methane") - other.share("methane") == pytest.approx(moved)
    assert one.share("carbon_dioxide") - other.share("carbon_dioxide") == pytest.approx(-moved)
    assert dry_gas(one) == pytest.approx(dry_gas(other))


def test_impossible_doings_are_refused_or_told() -> None:
    lives = lives_from_prior(LOG, rng=np.random.default_rng(3), members=8)
    with pytest.raises(FitError, match="could not be run"):
        ahead(lives, LOG, days=[14.0], events=[DrawOff(13.0, 0.5)])
    with pytest.raises(InputError) as early:
        ahead(lives, LOG, days=[14.0], events=[DrawOff(11.0, 0.001)])
    assert early.value.field == "events"
    with pytest.raises(InputError) as backward:
        ahead(lives, LOG, days=[11.0, 14.0])
    assert backward.value.field == "days"
    with pytest.raises(InputError) as unknown:
        ahead(lives, LOG, days=[14.0], watch=["luck"])
    assert unknown.value.field == "watch"
    with pytest.raises(InputError) as none:
        lives_from_prior(LOG, rng=np.random.default_rng(3), members=0)
    assert none.value.field == "members"
