"""One methane share from any evidence, surer with more and wider where it disagrees."""

import numpy as np
import pytest

from marshlight.errors import InputError
from marshlight.estimate import Estimate
from marshlight.measure import (
    AirShare,
    AlkaliCapture,
    AlkaliTitration,
    Analyser,
    Co2Absorption,
    Evidence,
    FlameTest,
    GasDensity,
    methane_share,
)

LYE = Co2Absorption(Estimate(0.39, 0.012))
HOLDS, DIES, DARK = (FlameTest(o) for o in ("holds", "lights_and_dies", "will_not_light"))


def width(*evidence: Evidence) -> float:
    found = methane_share(evidence).methane
    return found.high - found.low


def test_with_no_evidence_the_share_is_wide_open_and_says_so() -> None:
    found = methane_share([])
    assert found.methane.low < 0.05
    assert found.methane.high > 0.7
    assert "nothing was tested yet" in found.reason


def test_a_held_flame_points_above_half_and_a_dark_one_below() -> None:
    assert methane_share([HOLDS]).methane.value > 0.55
    assert 0.3 < methane_share([DIES]).methane.value < 0.5
    assert methane_share([DARK]).methane.high < 0.45


def test_the_trades_rule_holds_at_about_50_to_60_percent() -> None:
    # Common practice, no source: gas that holds a flame is at about 50 to 60 % methane.
    held = methane_share([HOLDS]).methane
    assert 0.40 < held.low < 0.50
    shares = np.linspace(0.3, 0.7, 5)
    chance = [
        methane_share([HOLDS, Analyser("CH4", float(x), 0.005)]).methane.value for x in shares
    ]
    assert np.all(np.diff(chance) > 0.0)


def test_more_evidence_narrows_the_interval() -> None:
    assert width(HOLDS, LYE) < min(width(HOLDS), width(LYE))
    assert width(HOLDS, LYE, Analyser("CH4", 0.60, 0.02)) < width(HOLDS, LYE)


def test_lye_alone_cannot_tell_methane_from_air() -> None:
    found = methane_share([LYE])
    assert found.methane.value == pytest.approx(0.58, abs=0.02)
    assert found.methane.low < 0.45
    assert found.methane.high < 0.65


def test_a_dark_flame_beside_little_carbon_dioxide_points_to_air_and_warns() -> None:
    found = methane_share([DARK, LYE])
    assert not found.conflict
    assert found.air.value > 0.2
    assert "do not light it" in found.reason


def test_known_air_is_taken_off() -> None:
    found = methane_share([LYE, AirShare(Estimate(0.20, 0.01))])
    assert found.methane.value == pytest.approx(0.41, abs=0.015)
    assert found.air_free.value == pytest.approx(0.41 / 0.80, abs=0.02)


def test_oxygen_stands_for_air() -> None:
    found = methane_share([LYE, Analyser("O2", 0.012, 0.0005)])
    assert found.air.value == pytest.approx(0.0573, abs=0.004)


def test_evidence_that_disagrees_widens_the_interval_and_says_so() -> None:
    high, low = Analyser("CH4", 0.70, 0.01), Analyser("CH4", 0.50, 0.01)
    found = methane_share([high, low])
    assert found.conflict
    assert "disagree" in found.reason
    assert width(high, low) > 3.0 * width(high)
    assert found.methane.low < 0.55
    assert found.methane.high > 0.65


def test_shares_that_cannot_add_up_disagree() -> None:
    assert methane_share([Analyser("CH4", 0.58, 0.01), Analyser("CO2", 0.60, 0.01)]).conflict


def test_evidence_that_agrees_is_not_widened() -> None:
    found = methane_share([HOLDS, LYE, Analyser("CH4", 0.60, 0.01)])
    assert found.widened == 1.0
    assert "disagree" not in found.reason


def test_asking_the_same_flame_twice_makes_it_no_surer() -> None:
    assert width(HOLDS, HOLDS, HOLDS) == width(HOLDS)


def test_a_wet_reading_is_made_dry() -> None:
    wet = Analyser("CH4", 0.58, 0.005, wet=True, temperature_c=35.0)
    assert wet.share.value == pytest.approx(0.61412, abs=1e-5)
    assert Analyser("CH4", 0.58, 0.005).share.value == 0.58


def test_alkali_and_syringe_tell_the_same() -> None:
    moles = 0.39 * 1e-3 * 0.88749 / 22.263e-3
    acid = 1000.0
    alkali = AlkaliTitration(first_m3=20e-6, total_m3=20e-6 + moles / acid, acid_mol_m3=acid)
    capture = AlkaliCapture(alkali, 1e-3, 25.0, 101.325)
    assert capture.share.value == pytest.approx(0.39, abs=1e-4)
    by_alkali = methane_share([capture]).methane
    assert by_alkali.value == pytest.approx(methane_share([LYE]).methane.value, abs=0.01)


def test_spent_alkali_gives_only_a_lower_bound_of_carbon_dioxide() -> None:
    spent = AlkaliTitration(first_m3=2e-6, total_m3=12e-6, acid_mol_m3=1000.0)
    capture = AlkaliCapture(spent, 1e-3, 25.0, 101.325)
    assert "at least" in capture.says
    found = methane_share([capture]).methane
    assert found.low < 0.05
    assert found.high < 1.0 - capture.share.value + 0.03


def test_light_gas_is_rich_gas() -> None:
    def weighed(kilograms: float) -> GasDensity:
        volume = Estimate(1e-3, 5e-6)
        return GasDensity(Estimate(kilograms, 1e-5), volume, 30.0, 101.325)

    heavy, light = methane_share([weighed(1.40e-3)]), methane_share([weighed(1.20e-3)])
    assert light.methane.value > heavy.methane.value + 0.1


def test_the_estimate_and_the_interval_agree() -> None:
    found = methane_share([Analyser("CH4", 0.60, 0.01), HOLDS])
    low, high = found.estimate.interval()
    assert (low, high) == pytest.approx((found.methane.low, found.methane.high), abs=0.01)


def test_intervals_hold_the_truth_as_often_as_they_claim() -> None:
    rng = np.random.default_rng(20261125)
    hits = 0
    for _ in range(300):
        free, air = rng.uniform(0.3, 0.72), rng.exponential(0.03)
        truth, co2 = free * (1.0 - air), (1.0 - free) * (1.0 - air)
        seen: list[Evidence] = [Co2Absorption(Estimate(rng.normal(co2, 0.012), 0.012))]
        if rng.random() < 0.5:
            seen.append(Analyser("CH4", float(np.clip(rng.normal(truth, 0.02), 0, 1)), 0.02))
        found = methane_share(seen).methane
        hits += found.low <= truth <= found.high
    assert 0.93 <= hits / 300 <= 1.0


@pytest.mark.parametrize(
    ("make", "field"),
    [
        (lambda: FlameTest("blue"), "flame"),
        (lambda: Analyser("N2", 0.5, 0.01), "gas"),
        (lambda: Analyser("CH4", 58.0, 0.01), "reading"),
        (lambda: GasDensity(Estimate(1.0, 0.1), Estimate(0.0, 0.0), 30.0, 101.0), "volume_dry"),
        (lambda: methane_share([], level=95.0), "level"),
    ],
)
def test_what_cannot_be_is_refused_by_name(make: object, field: str) -> None:
    with pytest.raises(InputError) as caught:
        make()  # type: ignore[operator]
    assert caught.value.field.startswith(field)
