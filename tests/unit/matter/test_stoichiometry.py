"""Theoretical gas: every element that goes in comes out, in the gas or in the liquid."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from marshlight.errors import InputError
from marshlight.matter import (
    Formula,
    chemical_oxygen_demand,
    digestible_share,
    formula,
    formula_from_mass_fractions,
    gas_from_formula,
)
from marshlight.matter.stoichiometry import METHANE_PER_COD


def balance(substance: Formula) -> np.ndarray:
    """Solve the five element balances for CH4, CO2, NH3, H2S and water taken up."""
    # Rows C, H, O, N, S; products positive, water on the left.
    matrix = np.array(
        [
            [1, 1, 0, 0, 0],
            [4, 0, 3, 2, -2],
            [0, 2, 0, 0, -1],
            [0, 0, 1, 0, 0],
            [0, 0, 0, 1, 0],
        ],
        dtype=float,
    )
    return np.linalg.solve(
        matrix, [substance.C, substance.H, substance.O, substance.N, substance.S]
    )


@given(st.floats(1, 60), st.floats(0, 2), st.floats(0, 0.8), st.floats(0, 0.3), st.floats(0, 0.05))
def test_buswell_boyle_balances_every_element(
    c: float, h: float, o: float, n: float, s: float
) -> None:
    substance = Formula(C=c, H=h * c, O=o * c, N=n * c, S=s * c)
    methane, carbon_dioxide, ammonia, sulphide, water = balance(substance)
    if methane <= 1e-6 or carbon_dioxide < 0.0:
        return
    gas = gas_from_formula(substance)
    found = np.array(
        [
            gas.methane,
            gas.carbon_dioxide,
            gas.ammonia,
            gas.hydrogen_sulphide,
            gas.water_taken_up,
        ]
    )
    expected = np.array([methane, carbon_dioxide, ammonia, sulphide, water])
    np.testing.assert_allclose(found * substance.molar_mass, expected, rtol=1e-9, atol=1e-9)


@pytest.mark.parametrize(
    "text", ["C6H10O5", "C5H7NO2", "C57H104O6", "C13H25O7N3S", "CH4O", "C2H6O"]
)
def test_methane_over_oxygen_demand_is_the_same_for_every_substance(text: str) -> None:
    substance = formula(text)
    ratio = gas_from_formula(substance).methane_m3_per_kg / chemical_oxygen_demand(substance)
    assert ratio == pytest.approx(METHANE_PER_COD, rel=1e-12)


def test_ammonia_in_the_liquid_holds_one_carbon_dioxide_each() -> None:
    free = gas_from_formula(formula("C5H7NO2"))
    held = gas_from_formula(formula("C5H7NO2"), ammonia_in_liquid=True)
    assert free.methane_share == pytest.approx(0.5)
    # 2.5 CH4 and 2.5 - 1 CO2.
    assert held.methane_share == pytest.approx(2.5 / 4.0)
    assert held.methane_m3_per_kg == free.methane_m3_per_kg


def test_ammonia_cannot_hold_more_carbon_dioxide_than_there_is() -> None:
    urea_rich = formula("CH4N1O0.2")
    held = gas_from_formula(urea_rich, ammonia_in_liquid=True)
    assert held.carbon_dioxide_m3_per_kg >= 0.0


def test_sulphur_burnt_to_sulphate_takes_two_more_oxygen() -> None:
    substance = formula("C13H25O7N3S")
    more = chemical_oxygen_demand(substance, sulphur_to_sulphate=True)
    assert more - chemical_oxygen_demand(substance) == pytest.approx(
        2 * 31.998 / substance.molar_mass
    )


@pytest.mark.parametrize("text", ["CO2", "H2O", "CH2O4"])
def test_what_can_give_no_methane_is_refused(text: str) -> None:
    with pytest.raises(InputError, match="can give methane"):
        gas_from_formula(formula(text))


def test_an_elemental_analysis_gives_the_yield_of_its_formula() -> None:
    cellulose = formula("C6H10O5")
    shares = [cellulose.mass_fraction(e) for e in "CHO"]
    analysed = formula_from_mass_fractions(carbon=shares[0], hydrogen=shares[1], oxygen=shares[2])
    assert gas_from_formula(analysed).methane_m3_per_kg == pytest.approx(
        gas_from_formula(cellulose).methane_m3_per_kg
    )


def test_a_potential_above_theory_shows_as_a_share_above_one() -> None:
    assert digestible_share(0.45, 0.4147) > 1.0
    with pytest.raises(InputError, match="theoretical"):
        digestible_share(0.3, 0.0)
