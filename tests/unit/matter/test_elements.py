"""Formulas are read as chemists write them, and refused where they are not formulas."""

import pytest

from marshlight.errors import InputError
from marshlight.matter import Formula, formula, formula_from_mass_fractions


@pytest.mark.parametrize(
    ("text", "counts"),
    [
        ("C6H10O5", (6, 10, 5, 0, 0)),
        ("CH3COOH", (2, 4, 2, 0, 0)),
        ("CH3(CH2)14COOH", (16, 32, 2, 0, 0)),
        ("C5H7NO2", (5, 7, 2, 1, 0)),
        ("CH1.8O0.5N0.2", (1, 1.8, 0.5, 0.2, 0)),
        ("C13H25O7N3S", (13, 25, 7, 3, 1)),
        ("(CH2O)6", (6, 12, 6, 0, 0)),
        ("C(CH3)4", (5, 12, 0, 0, 0)),
        ("C6 H12 O6", (6, 12, 6, 0, 0)),
        ("C₆H₁₂O₆", (6, 12, 6, 0, 0)),
    ],
)
def test_a_formula_is_read_with_groups_fractions_and_subscripts(
    text: str, counts: tuple[float, ...]
) -> None:
    found = formula(text)
    assert pytest.approx(counts) == (found.C, found.H, found.O, found.N, found.S)


@pytest.mark.parametrize("text", ["", "6", "C6H10O5)", "(C6H10O5", "c6h10o5", "C6-H10", "()"])
def test_what_is_not_a_formula_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(InputError, match="C6H10O5"):
        formula(text)


def test_an_element_that_makes_no_gas_is_named() -> None:
    with pytest.raises(InputError, match="Leave out Cl"):
        formula("CCl4")


def test_an_element_count_below_nothing_is_refused() -> None:
    with pytest.raises(InputError, match="none negative"):
        Formula(C=1.0, H=-4.0, O=0.0)


def test_mass_fractions_and_counts_are_two_views_of_one_formula() -> None:
    protein = formula("C5H7NO2")
    shares = {e: protein.mass_fraction(e) for e in "CHON"}
    again = formula_from_mass_fractions(
        carbon=shares["C"], hydrogen=shares["H"], oxygen=shares["O"], nitrogen=shares["N"]
    )
    assert pytest.approx(7 / 5) == again.H / again.C
    assert pytest.approx(1 / 5) == again.N / again.C
    assert sum(shares.values()) == pytest.approx(1.0)


def test_an_analysis_that_sums_to_more_than_one_is_refused() -> None:
    with pytest.raises(InputError, match="elemental analysis"):
        formula_from_mass_fractions(carbon=0.6, hydrogen=0.1, oxygen=0.5)
