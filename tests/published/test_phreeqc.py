"""Live comparisons with PHREEQC: pH, free ammonia, and how much bicarbonate a sour slurry takes.

Tolerances come from the spread between two models of activity in PHREEQC itself, ion pairs
(phreeqc.dat) against Pitzer (pitzer.dat): 0.01 to 0.05 in pH for bicarbonate alone. Ours has
Davies activities and no ion pairs.
"""

import pytest

from marshlight.decide.watch import bicarbonate_mol_m3
from marshlight.decide.watch.steps.chemistry import Liquor, dose_to_reach, ph_after
from published.check_phreeqc_points import FREE, PLAIN, mixed
from published.phreeqc import SODA_KG, Mixture, Phreeqc

# A volume of liquor is taken for a kilogram of water: its salts make 1 % of difference at most.
SPREAD = 0.05
# Inside the spread, and what it comes to up to 20 g/L without ion pairs.
PH_NEAR = 0.03
# pH follows the logarithm of the bicarbonate, so 0.03 in pH would be 7 % of it; both ends of a dose
# are off the same way, which leaves half.
DOSE_NEAR = 0.04

Case = tuple[float, float, float, float, float]


@pytest.fixture(scope="module")
def phreeqc() -> Phreeqc:
    """Load the database once."""
    return Phreeqc()


@pytest.mark.parametrize("case", PLAIN)
def test_ph_is_phreeqc_s(phreeqc: Phreeqc, case: Case) -> None:
    found = phreeqc.settle(Mixture(*case))
    # The points written down are what the library says today.
    assert found.ph == pytest.approx(PLAIN[case], abs=1e-4)
    assert mixed(case).ph == pytest.approx(found.ph, abs=PH_NEAR)


@pytest.mark.parametrize("case", FREE)
def test_the_free_share_of_ammonia_is_phreeqc_s(phreeqc: Phreeqc, case: Case) -> None:
    nitrogen = case[3] / 14.007
    share = phreeqc.settle(Mixture(*case)).ammonia / nitrogen
    assert share == pytest.approx(FREE[case], rel=5e-3)
    # Read from ideal chemistry it would be twice as much.
    assert mixed(case).free_ammonia_share == pytest.approx(share, rel=0.06)


@pytest.mark.parametrize("soda", [0.5, 1.0, 5.0, 20.0])
def test_two_models_of_activity_span_the_tolerance(phreeqc: Phreeqc, soda: float) -> None:
    mixture = Mixture(35.0, 0.35, soda)
    apart = Phreeqc("pitzer.dat").settle(mixture).ph - phreeqc.settle(mixture).ph
    assert 0.0 < apart < SPREAD


@pytest.mark.parametrize("soda", [2.0, 5.0])
@pytest.mark.parametrize(
    ("celsius", "bar"), [(20.0, 0.35), (25.0, 0.35), (35.0, 0.30), (35.0, 0.45), (55.0, 0.35)]
)
def test_the_first_rule_for_bicarbonate_agrees(
    phreeqc: Phreeqc, celsius: float, bar: float, soda: float
) -> None:
    found = phreeqc.settle(Mixture(celsius, bar, soda))
    ours = bicarbonate_mol_m3(found.ph, celsius, 100.0 * bar)
    # 0.03 in pH is 7 % of bicarbonate.
    assert ours == pytest.approx(1000.0 * soda / SODA_KG, rel=0.07)


def _liquor(mixture: Mixture, ph: float) -> Liquor:
    return Liquor(
        ph,
        mixture.celsius,
        100.0 * mixture.carbon_dioxide_bar,
        acids_kg_m3=mixture.acid,
        ammonia_kg_m3=mixture.nitrogen,
    )


def test_five_grams_rescue_the_sour_liquor_as_phreeqc_says(phreeqc: Phreeqc) -> None:
    sour = Mixture(35.0, 0.40, 0.0, 1.0, 5.0)
    before = phreeqc.settle(sour).ph
    after = phreeqc.settle(Mixture(35.0, 0.40, 5.0, 1.0, 5.0)).ph
    assert (before, after) == pytest.approx((5.3705, 6.8496), abs=1e-4)
    assert ph_after(_liquor(sour, before), 5.0) == pytest.approx(after, abs=PH_NEAR)
    assert dose_to_reach(_liquor(sour, before), after) == pytest.approx(5.0, rel=DOSE_NEAR)


@pytest.mark.parametrize("target", [6.5, 6.9, 7.1])
@pytest.mark.parametrize(
    "sour",
    [
        Mixture(35.0, 0.40, 0.0, 1.0, 5.0),
        Mixture(37.0, 0.45, 2.0, 0.5, 3.0),
        Mixture(25.0, 0.35, 4.0, 0.3, 6.0),
        Mixture(30.0, 0.50, 1.0, 2.0, 9.0),
        Mixture(35.0, 0.35, 1.0, 0.0, 0.0),
    ],
    ids=str,
)
def test_the_dose_is_phreeqc_s(phreeqc: Phreeqc, sour: Mixture, target: float) -> None:
    wanted = phreeqc.soda_for(sour, target)
    ours = dose_to_reach(_liquor(sour, phreeqc.settle(sour).ph), target)
    assert ours == pytest.approx(wanted, rel=DOSE_NEAR, abs=0.05)
