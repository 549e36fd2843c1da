"""The mixing answer: typed lots in, amounts with limits and a card out, errors by field."""

from datetime import date

import pytest

from marshlight.answers.mix import MixAsk, MixLot, mix
from marshlight.answers.mix_start import start_from_mix
from marshlight.errors import InputError, InputErrors
from marshlight.notebook.models import Event
from marshlight.notebook.setting_up import set_up

pytestmark = pytest.mark.django_db
TODAY = date(2026, 5, 2)
LOTS = (
    MixLot("goat manure with straw", "20 kg"),
    MixLot("digester_effluent", "10 kg"),
    MixLot("stale bread", "2 kg"),
)


@pytest.fixture
def drum() -> None:
    set_up("site", {"name": "Barn", "altitude": "640 m"})
    set_up("vessel", {"name": "Drum 1", "volume": "25 L"})


def test_an_ordinary_charge_keeps_every_limit_and_says_when_to_expect_a_flame() -> None:
    answer = mix(MixAsk("25 L", LOTS, holder="4 L"), today=TODAY)
    assert answer.feasible
    assert all(limit.state != "missed" for limit in answer.limits)
    assert {"first gas", "gas that holds a flame", "gas in the end"} <= {
        line.what for line in answer.expectation
    }
    assert answer.binding
    assert any("gas" in caution.text for caution in answer.cautions)


def test_limits_are_drawn_between_zero_and_one() -> None:
    answer = mix(MixAsk("25 L", LOTS), today=TODAY)
    for limit in answer.limits:
        assert 0.0 <= limit.low_at <= limit.high_at <= 1.0
        assert 0.0 <= limit.at <= 1.0


def test_a_fixed_amount_is_kept_and_us_units_reach_the_card() -> None:
    lots = (*LOTS[:2], MixLot("stale bread", "2 kg", "0.5 lb"))
    answer = mix(MixAsk("6.6 gal", lots), today=TODAY, system="us")
    bread = next(a for a in answer.amounts if "bread" in a.name)
    assert bread.mass_kg == pytest.approx(0.226796, rel=1e-4)
    assert bread.mass == "8.00 oz"
    assert "gal" in answer.together


def test_a_lot_ages_until_the_day_it_is_mixed(drum: None) -> None:
    lot = {"name": "Old heap", "feedstock": "goat manure with straw", "storage": "open"}
    set_up("lot", lot | {"amount": "20 kg", "gathered_on": "2026-03-01"})
    answer = mix(MixAsk("Drum 1", (MixLot("Old heap"), LOTS[1])), today=TODAY)
    assert answer.ageing[0].startswith("Old heap: ")


def test_every_bad_field_is_named_at_once() -> None:
    lots = (MixLot("plutonium"), MixLot("stale bread", "minus two"))
    with pytest.raises(InputErrors) as refused:
        mix(MixAsk("25 L", lots), today=TODAY)
    assert len(refused.value.problems) == 2
    with pytest.raises(InputErrors) as refused:
        mix(MixAsk("nowhere", LOTS, slurry="warm"), today=TODAY)
    assert {p.field for p in refused.value.problems} == {"vessel", "slurry temperature"}


def test_nothing_at_hand_is_refused() -> None:
    with pytest.raises(InputError, match="materials at hand"):
        mix(MixAsk("25 L", (MixLot(" "),)), today=TODAY)


def test_an_own_limit_binds_and_overfilling_is_refused() -> None:
    thin = mix(MixAsk("25 L", LOTS, limits={"solids": ("", "5 %")}), today=TODAY)
    solids = next(limit for limit in thin.limits if limit.key == "solids")
    assert solids.allowed == "3.0 % to 5.0 %"
    with pytest.raises(InputError, match="foam"):
        mix(MixAsk("25 L", LOTS, limits={"fill": ("", "90 %")}), today=TODAY)


def test_a_run_started_from_a_mix_is_charged_with_it(drum: None) -> None:
    answer = mix(MixAsk("Drum 1", LOTS), today=TODAY)
    run = start_from_mix(answer, name="First", vessel="Drum 1", at="2026-05-02 09:00")
    charge = Event.objects.get(run=run, kind="charge")
    assert charge.value == pytest.approx(
        sum(a.mass_kg for a in answer.amounts if a.role != "water") + _water(answer.water), rel=1e-4
    )
    assert run.started_at == charge.at
    assert run.plan["sentence"] == answer.sentence


def _water(text: str) -> float:
    return float(text.removesuffix(" L"))


def test_a_run_needs_a_vessel_that_is_set_up(drum: None) -> None:
    answer = mix(MixAsk("25 L", LOTS), today=TODAY)
    with pytest.raises(InputError, match="Set the vessel up first"):
        start_from_mix(answer, name="First", vessel="25 L")
