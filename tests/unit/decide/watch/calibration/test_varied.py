"""Calibrated parameters do to the kernel's settings and to what is put in what they say."""

import numpy as np
import pytest

from marshlight.decide.watch.calibration.course import plan
from marshlight.decide.watch.calibration.varied import charged, poured, settings_of
from marshlight.matter import find
from marshlight.process.model import (
    Digester,
    Dose,
    DrawOff,
    Feed,
    Holder,
    SetTemperature,
    inoculum,
    liquid_from_feedstock,
    simulate,
    water,
)
from marshlight.process.model.kernel import contents, layout
from marshlight.process.model.liquid import MODEL

DRUM = Digester(0.025, Holder("floating", 0.5, gauge_kpa=0.2), temperature_c=30.0)
MEAL = liquid_from_feedstock(find("kitchen peelings"), 0.2)
CHARGE = inoculum("digested cattle manure", 0.012) + MEAL
SOLIDS = ("carbohydrate", "protein", "lipid", "fibre")
AT = layout(MODEL).state_at


def one(**values: float) -> dict[str, np.ndarray]:
    return {name: np.array([value]) for name, value in values.items()}


def test_without_parameters_a_life_is_the_models_own() -> None:
    events = (Feed(2.0, MEAL), DrawOff(3.0, 0.001), Dose(4.0, "sodium bicarbonate", 0.01))
    ready = plan(DRUM, events, start=0.0, days=[1.0, 5.0], watch=["pH", "gas_methane"])
    draws = one(food=1.0, buffer=1.0)
    course = ready.run(charged(DRUM, CHARGE, draws), settings_of(DRUM, draws), draws)
    run = simulate(DRUM, CHARGE, days=[1.0, 5.0], events=events)
    assert course["pH"][0] == pytest.approx(run["pH"], abs=1e-3)
    assert course["gas_methane"][0] == pytest.approx(run["gas_methane"], rel=2e-3)


def test_food_moves_oxygen_demand_between_what_digests_and_what_does_not() -> None:
    held = contents(MODEL, settings_of(DRUM, {})[0])[layout(MODEL).elements.index("cod")]
    plain = MEAL.vector()
    for food in (0.6, 1.1):
        bent = poured(plain[None], one(food=food))[0, 0]
        for name in SOLIDS:
            assert bent[AT[name]] == pytest.approx(food * plain[AT[name]])
        assert bent @ held == pytest.approx(plain @ held)
    # More than the inert part can give: the demand itself is larger.
    rich = poured(plain[None], one(food=3.0))[0, 0]
    assert rich[AT["particulate_inert"]] == 0.0
    assert rich @ held > plain @ held


def test_buffer_changes_alkalinity_by_its_factor() -> None:
    def alkalinity(vector: np.ndarray) -> float:
        plus = sum(vector[AT[n]] for n in ("inorganic_nitrogen", "cations", "sodium"))
        return float(plus - vector[AT["anions"]])

    plain = CHARGE.vector()
    for factor in (0.1, 0.6, 1.7):
        bent = poured(plain[None], one(buffer=factor))[0, 0]
        assert alkalinity(bent) == pytest.approx(factor * alkalinity(plain))
        assert (bent >= 0.0).all()


def test_live_cells_are_the_charges_alone() -> None:
    draws = one(cells=2.0, food=1.0)
    first = charged(DRUM, CHARGE, draws)[0]
    assert first[AT["x_acetate"]] == pytest.approx(2.0 * CHARGE.amounts["x_acetate"])
    fresh = liquid_from_feedstock(find("cattle slurry"), 1.0).vector()
    assert poured(fresh[None], draws)[0, 0] == pytest.approx(fresh)


def test_microbes_that_sit_warmer_live_as_at_that_warmth() -> None:
    watch = ["warmth_growth", "warmth_breakdown"]
    draws = one(warmth_k=4.0)
    ready = plan(DRUM, (), start=0.0, days=[0.5], watch=watch)
    offset = ready.run(charged(DRUM, CHARGE, draws), settings_of(DRUM, draws), draws)
    warm = plan(DRUM, (SetTemperature(0.0, 34.0),), start=0.0, days=[0.5], watch=watch)
    there = warm.run(charged(DRUM, CHARGE, {}), settings_of(DRUM, {}), {})
    changed = settings_of(DRUM, draws)[0] / np.maximum(settings_of(DRUM, {})[0], 1e-30)
    at = layout(MODEL).setting_at
    # What the kernel leaves at 35 degC is in the rates instead.
    for rate, factor in (("k_m_ac", "growth"), ("k_m_srb", "growth"), ("k_hyd_fi", "breakdown")):
        whole = changed[at[rate]] * offset[f"warmth_{factor}"]
        assert whole == pytest.approx(there[f"warmth_{factor}"])


def test_a_dose_is_no_food_and_stays_as_given() -> None:
    dosed = plan(
        DRUM, (Dose(1.0, "sodium bicarbonate", 0.02), Feed(1.0, MEAL)), start=0.0, days=[2.0],
        watch=["sodium", "cations"],
    )  # fmt: skip
    draws = {"food": np.array([0.5, 1.5]), "buffer": np.array([0.5, 1.5])}
    water_only = charged(DRUM, water(0.01, alkalinity=0.0), draws)
    course = dosed.run(water_only, settings_of(DRUM, draws), draws)
    assert course["sodium"][:, -1] == pytest.approx(0.02 / 84.007)
