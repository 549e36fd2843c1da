"""Gas, oxygen demand and density from carbohydrate, protein, lipid, fibre and lignin."""

import pytest

from marshlight.errors import InputError
from marshlight.matter import gas_from_macromolecules, theoretical_methane
from marshlight.matter.macromolecules import MACROMOLECULES, OXYGEN_DEMAND


def test_lignin_counts_in_theory_but_gives_no_gas() -> None:
    straw = {"fibre": 0.8, "lignin": 0.2}
    assert theoretical_methane(**straw) > theoretical_methane(fibre=0.8)
    gas = gas_from_macromolecules(straw)
    assert gas.methane_m3_per_kg == pytest.approx(theoretical_methane(fibre=0.8))


def test_more_fat_makes_more_and_richer_gas() -> None:
    lean = gas_from_macromolecules({"carbohydrate": 0.9, "lipid": 0.1})
    fat = gas_from_macromolecules({"carbohydrate": 0.6, "lipid": 0.4})
    assert fat.methane_m3_per_kg > lean.methane_m3_per_kg
    assert fat.methane_share > lean.methane_share


def test_protein_enriches_the_gas_only_when_its_ammonia_stays_in_the_liquid() -> None:
    meat = {"protein": 0.8, "lipid": 0.2}
    free = gas_from_macromolecules(meat)
    held = gas_from_macromolecules(meat, ammonia_in_liquid=True)
    assert held.methane_share > free.methane_share


@pytest.mark.parametrize("shares", [{"protein": -0.1}, {"fibre": 0.8, "lipid": 0.4}, {"wax": 0.1}])
def test_shares_that_cannot_be_are_refused(shares: dict[str, float]) -> None:
    with pytest.raises(InputError, match="shares"):
        gas_from_macromolecules(shares)


def test_nothing_to_digest_is_refused() -> None:
    with pytest.raises(InputError, match="some carbohydrate"):
        gas_from_macromolecules({"lignin": 1.0})


def test_fat_floats_and_everything_else_sinks() -> None:
    for name, molecule in MACROMOLECULES.items():
        assert (molecule.density(37.0) < 1000.0) == (name == "lipid")
    assert OXYGEN_DEMAND["lipid"] > 2 * OXYGEN_DEMAND["carbohydrate"]
