"""What the watch says of runs in each state; every number here is invented."""

from dataclasses import replace

import numpy as np
import pytest

from marshlight.decide.safety import all_cautions
from marshlight.decide.watch import Advice, Amount, GasRecord, RunFacts, Track, assess
from marshlight.errors import InputError
from marshlight.estimate import Estimate, Range
from marshlight.process import CurvePrior, Forecast, curve, fit_curve, forecast
from marshlight.sources import source

PRIOR = CurvePrior(Estimate(0.3, 0.03), Estimate(0.12, 0.02), Estimate(2.0, 0.7))
SHAPE = [0.3, 0.02, 2.0]
STATES = {
    "starting", "climbing", "steady", "fading", "spent", "souring", "cold", "leaking", "blocked",
    "stalled", "not enough known",
}  # fmt: skip


@pytest.fixture(scope="module")
def seen() -> Forecast:
    return forecast(PRIOR, np.arange(0.0, 80.0, 0.5), rng=np.random.default_rng(1), draws=400)


@pytest.fixture(scope="module")
def learned() -> Forecast:
    """What ten good days and the recipe let expect."""
    gas = gas_until(10.0)
    fit = fit_curve(gas.day, gas.total_m3, gas.u_m3, prior=PRIOR)
    return forecast(fit, np.arange(0.0, 80.0, 0.5), rng=np.random.default_rng(1), draws=400)


def gas_until(day: float, factor: float = 1.0, change_day: float = 0.0) -> GasRecord:
    days = np.arange(0.0, day + 1e-9, 1.0)
    step = np.diff(curve("gompertz").value(days, SHAPE), prepend=0.0)
    step[days > change_day] *= factor
    return GasRecord(days, np.cumsum(step), np.full(days.size, 2e-4), np.zeros(days.size, bool))


def healthy(day: float, seen: Forecast, **changes: object) -> RunFacts:
    days = tuple(np.arange(0.0, day + 0.5, 1.0))
    facts = RunFacts(
        day=day,
        gas=gas_until(day),
        forecast=seen,
        expected=seen,
        ph=Track(days, (7.2,) * len(days)),
        slurry_c=Track(days, (37.0,) * len(days)),
        set_point_c=37.0,
        flame=((day - 1.0, "holds"),),
        liquid_m3=0.0165,
    )
    return replace(facts, **changes)


def whats(advice: tuple[Advice, ...]) -> str:
    return " | ".join(a.what for a in advice)


@pytest.mark.parametrize(
    ("day", "word"), [(4.0, "climbing"), (9.0, "steady"), (18.0, "fading"), (40.0, "spent")]
)
def test_a_healthy_batch_goes_through_its_states(learned: Forecast, day: float, word: str) -> None:
    found = assess(healthy(day, learned))
    assert found.state_word == word


def test_silence_is_an_answer_with_the_next_look(seen: Forecast) -> None:
    found = assess(healthy(9.0, seen))
    assert found.advice == ()
    assert found.sentence.endswith("Nothing to do; next look tomorrow.")
    assert found.next_look_day == 10.0


def test_two_low_readings_and_a_falling_ph_are_souring(seen: Forecast) -> None:
    ph = Track((6.0, 7.0, 8.0, 9.0), (7.1, 6.9, 6.6, 6.3))
    found = assess(healthy(9.0, seen, ph=ph, gas=gas_until(9.0, 0.2, 7.0)))
    assert found.state_word == "souring"
    assert "pH 6.3" in found.sentence
    assert found.advice[0].what.startswith("Stop feeding")
    assert found.advice[0].urgent
    assert "bicarbonate" in whats(found.advice)


def test_the_dose_follows_practice_and_warns_of_its_own_gas(seen: Forecast) -> None:
    ph = Track((8.0, 9.0), (6.5, 6.2))
    found = assess(healthy(9.0, seen, ph=ph, liquid_m3=0.007, gas=gas_until(9.0, 0.2, 7.0)))
    dose = next(a for a in found.advice if "bicarbonate" in a.what)
    assert dose.how_much == "14 g for 7 L"
    assert "3.7 L of carbon dioxide" in dose.why
    assert "not recovery" in dose.why
    assert "explosive_gas" in dose.caution


def test_sodium_ends_the_dosing(seen: Forecast) -> None:
    ph = Track((8.0, 9.0), (6.5, 6.2))
    given = (Amount(7.0, 0.0165 * 13.0),)
    found = assess(healthy(9.0, seen, ph=ph, doses_kg=given, gas=gas_until(9.0, 0.2, 7.0)))
    assert "no more bicarbonate" in whats(found.advice)


def test_without_a_fresh_ph_the_watch_asks_for_it_before_any_dose(seen: Forecast) -> None:
    facts = healthy(
        9.0, seen, ph=Track(), gas=gas_until(9.0, 0.2, 7.0),
        flame=((6.0, "holds"), (9.0, "dies")), methane=Range(0.3, 0.4, 0.45, 0.95),
        feeds_m3=(Amount(8.0, 0.01),),
    )  # fmt: skip
    found = assess(facts)
    assert found.state_word == "souring"
    assert "Read the pH before dosing" in whats(found.advice)
    assert "Stir bicarbonate" not in whats(found.advice)


def test_an_early_dip_of_ph_alone_is_no_souring(seen: Forecast) -> None:
    ph = Track((1.0, 2.0, 3.0), (7.1, 6.95, 6.8))
    found = assess(healthy(3.0, seen, ph=ph, flame=()))
    assert found.state_word in {"starting", "climbing"}
    assert "Stop feeding" not in whats(found.advice)


def test_low_gas_with_steady_ph_and_warmth_is_a_leak(learned: Forecast) -> None:
    found = assess(healthy(12.0, learned, gas=gas_until(12.0, 0.45, 10.0)))
    assert found.state_word == "leaking"
    assert "leak" in found.advice[0].what
    assert {"explosive_gas", "hydrogen_sulfide"} <= set(found.advice[0].caution)


def test_a_holder_that_sinks_by_itself_leaks(seen: Forecast) -> None:
    found = assess(healthy(12.0, seen, gas=gas_until(12.0, 0.6, 10.0), holder_fell_m3=0.002))
    assert found.state_word == "leaking"
    assert "2 L" in " ".join(e.text for e in found.evidence)


def test_gas_that_stops_at_once_under_rising_pressure_is_blocked(seen: Forecast) -> None:
    found = assess(healthy(12.0, seen, gas=gas_until(12.0, 0.0, 11.0), pressure_rose=True))
    assert found.state_word == "blocked"
    assert "sealed_pressure" in found.advice[0].caution
    assert "under pressure" in found.advice[0].why


def test_a_cold_vessel_is_cold_and_not_leaking(learned: Forecast) -> None:
    cold = Track((0.0, 5.0, 10.0, 11.0, 12.0), (37.0, 37.0, 37.0, 24.0, 23.0))
    found = assess(healthy(12.0, learned, slurry_c=cold, gas=gas_until(12.0, 0.5, 10.0)))
    assert found.state_word == "cold"
    assert "% of its pace" in found.sentence
    assert "mains_heater" in found.advice[0].caution


def test_a_charge_without_live_microbes_is_stalled(seen: Forecast) -> None:
    found = assess(healthy(12.0, seen, gas=gas_until(12.0, 0.03), flame=()))
    assert found.state_word == "stalled"
    assert "working digester" in whats(found.advice)


def test_a_wide_expectation_makes_no_leak_out_of_the_same_gas(seen: Forecast) -> None:
    found = assess(healthy(12.0, seen, gas=gas_until(12.0, 0.8, 10.0)))
    assert found.state_word == "fading"


def test_a_fall_that_stays_is_a_leak_even_after_the_forecast_has_bent_to_it() -> None:
    gas = gas_until(22.0, 0.45, 13.0)
    fit = fit_curve(gas.day, gas.total_m3, gas.u_m3, prior=PRIOR)
    bent = forecast(fit, np.arange(0.0, 80.0, 0.5), rng=np.random.default_rng(1), draws=400)
    found = assess(healthy(22.0, bent, gas=gas, holder_capacity_m3=0.01))
    assert found.state_word == "leaking"
    assert "between day 13 and day 14" in found.sentence
    share = float(found.sentence.split("gas fell by ")[1].split(" %")[0])
    assert share == pytest.approx(55.0, abs=5.0)
    assert "soapy water" in found.advice[0].what
    assert found.advice[1].what.startswith("Mark the holder")
    assert "the way from vessel to holder stays open" in found.advice[1].why


def test_the_same_fall_with_a_low_ph_or_a_cold_vessel_is_no_leak(learned: Forecast) -> None:
    days = tuple(np.arange(0.0, 23.0))
    fallen = healthy(22.0, learned, gas=gas_until(22.0, 0.45, 13.0), expected=None, forecast=None)
    sour = replace(fallen, ph=Track(days, (7.2,) * 13 + (6.4,) * 10))
    cold = replace(fallen, slurry_c=Track(days, (37.0,) * 13 + (25.0,) * 10))
    assert assess(fallen).state_word == "leaking"
    assert assess(sour).state_word != "leaking"
    assert assess(cold).state_word != "leaking"


def test_a_fall_in_the_last_drops_of_a_spent_run_is_no_leak(learned: Forecast) -> None:
    assert assess(healthy(60.0, learned, gas=gas_until(60.0, 0.1, 55.0))).state_word == "spent"


def test_a_bottle_of_a_trial_is_neither_renewed_nor_dosed_nor_vented(learned: Forecast) -> None:
    spent = healthy(40.0, learned, sealed=True, in_trial=True)
    assert "Draw off" not in whats(assess(spent).advice)
    young = healthy(3.0, learned, sealed=True, in_trial=True, flame=())
    assert "first gas" not in whats(assess(young).advice)
    sour = healthy(9.0, learned, gas=gas_until(9.0, 0.2, 7.0), in_trial=True,
                   ph=Track((7.0, 8.0, 9.0), (6.9, 6.5, 6.1)))  # fmt: skip
    found = assess(sour)
    assert found.state_word == "souring"
    assert found.advice[0].what.startswith("Leave the bottle as it is")
    assert "bicarbonate" not in whats(found.advice)


def test_a_holder_is_emptied_only_when_it_would_fill_before_the_next_look(seen: Forecast) -> None:
    roomy = healthy(9.0, seen, holder_capacity_m3=0.06, holder_content_m3=0.002, night_d=1.0)
    assert "Empty the holder" not in whats(assess(roomy).advice)
    away = replace(roomy, night_d=5.0)
    assert "Empty the holder" in whats(assess(away).advice)
    assert "3 % full" in next(a.why for a in assess(away).advice if a.what == "Empty the holder")


def test_unseen_gas_is_no_evidence_of_a_leak(learned: Forecast) -> None:
    gas = gas_until(12.0, 0.45, 10.0)
    unseen = gas.unseen.copy()
    unseen[-2:] = True
    found = assess(healthy(12.0, learned, gas=replace(gas, unseen=unseen)))
    assert found.state_word != "leaking"
    assert "unseen" in found.sentence


def test_a_spent_batch_is_to_be_renewed_in_part(seen: Forecast) -> None:
    found = assess(healthy(40.0, seen))
    assert "Draw off a part" in whats(found.advice)
    assert found.advice[0].how_much == "5.5 to 8.2 L"


def test_first_gas_is_let_out_outside_until_a_flame_holds(seen: Forecast) -> None:
    found = assess(healthy(5.0, seen, flame=((4.0, "none"),)))
    advice = next(a for a in found.advice if "first gas" in a.what)
    assert "first_gas" in advice.caution
    assert "carbon dioxide" in advice.why
    after = assess(healthy(5.0, seen))
    assert "first gas" not in whats(after.advice)


def test_a_filling_holder_is_to_be_emptied_by_an_hour(seen: Forecast) -> None:
    found = assess(healthy(9.0, seen, holder_capacity_m3=0.03, holder_content_m3=0.02))
    advice = next(a for a in found.advice if a.what == "Empty the holder")
    assert advice.by_when.startswith("within")
    full = assess(healthy(9.0, seen, holder_capacity_m3=0.03, holder_content_m3=0.0299))
    assert next(a for a in full.advice if a.what == "Empty the holder").urgent


def test_feed_beyond_a_fortieth_of_the_liquid_a_day_is_too_much(seen: Forecast) -> None:
    liquid = 0.2
    feeds = tuple(Amount(float(d), 0.008) for d in range(2, 10))
    found = assess(healthy(9.0, seen, fed=True, liquid_m3=liquid, feeds_m3=feeds))
    advice = next(a for a in found.advice if a.what == "Feed less")
    assert advice.how_much == "at most 5 L a day"
    modest = tuple(Amount(float(d), 0.0045) for d in range(2, 10))
    calm = assess(healthy(9.0, seen, fed=True, liquid_m3=liquid, feeds_m3=modest))
    assert "Feed less" not in whats(calm.advice)


def test_a_jump_after_a_dose_is_not_called_recovery(seen: Forecast) -> None:
    gas = gas_until(9.0, 2.5, 8.0)
    found = assess(healthy(9.0, seen, gas=gas, doses_kg=(Amount(8.5, 0.03),)))
    assert "Don't take the jump in gas for recovery" in whats(found.advice)


def test_a_temperature_above_sixty_is_never_trusted(seen: Forecast) -> None:
    hot = Track((8.0, 9.0), (37.0, 68.0))
    found = assess(healthy(9.0, seen, slurry_c=hot))
    assert found.advice[0].what.startswith("Switch the heater off")
    assert found.advice[0].urgent
    assert found.state_word == "steady"


def test_little_known_asks_for_the_reading_that_tells_most() -> None:
    found = assess(RunFacts(day=9.0))
    assert found.state_word == "not enough known"
    assert found.advice[0].what.startswith("Read gas next")


def test_never_more_than_three_and_the_most_urgent_first(seen: Forecast) -> None:
    facts = healthy(
        9.0, seen, ph=Track((8.0, 9.0), (6.4, 6.0)), gas=gas_until(9.0, 0.1, 7.0), fed=True,
        slurry_c=Track((9.0,), (70.0,)), holder_capacity_m3=0.01, holder_content_m3=0.01,
        flame=((1.0, "none"),), feeds_m3=(Amount(8.0, 0.05),),
    )  # fmt: skip
    found = assess(facts)
    assert len(found.advice) == 3
    urgent = [a.urgent for a in found.advice]
    assert urgent == sorted(urgent, reverse=True)


def test_every_advice_names_known_cautions_and_a_source_and_every_state_is_one_of_the_words(
    seen: Forecast,
) -> None:
    rng = np.random.default_rng(5)
    for _ in range(150):
        day = float(rng.integers(2, 45))
        facts = healthy(
            day, seen, gas=gas_until(day, float(rng.uniform(0, 1.5)), float(rng.uniform(0, day))),
            ph=Track((day - 2, day), tuple(rng.uniform(5.5, 7.5, 2))),
            slurry_c=Track((day,), (float(rng.uniform(10, 75)),)),
            feeds_m3=(Amount(day - 1, float(rng.uniform(0, 0.01))),),
            doses_kg=(Amount(day - 1, float(rng.uniform(0, 0.3))),),
            flame=((day, str(rng.choice(["none", "dies", "holds"]))),),
            holder_capacity_m3=0.05, holder_content_m3=float(rng.uniform(0, 0.05)),
            fed=bool(rng.random() < 0.3), pressure_rose=bool(rng.random() < 0.1),
        )  # fmt: skip
        found = assess(facts)
        assert found.state_word in STATES
        assert len(found.advice) <= 3
        for advice in found.advice:
            assert source(advice.source)
            assert set(advice.caution) <= set(all_cautions())
            assert all((advice.what, advice.why, advice.how_sure, advice.how_much, advice.by_when))


def test_an_unknown_flame_outcome_is_refused() -> None:
    with pytest.raises(InputError, match="flame"):
        RunFacts(day=1.0, flame=((1.0, "blue"),))
