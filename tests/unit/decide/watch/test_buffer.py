"""The bicarbonate dose: practice, carbonate arithmetic, sodium."""

import pytest

from marshlight.decide.watch import bicarbonate_dose, bicarbonate_mol_m3
from marshlight.errors import InputError


def dose(liquid: float = 0.007, ph: float | None = 6.3, given: float = 0.0, sodium: float = 0.2):
    return bicarbonate_dose(
        liquid, ph=ph, temperature_c=37.0, co2_kpa=40.0, given_kg=given, sodium_kg_m3=sodium
    )


@pytest.mark.parametrize("litres", [6.0, 7.0, 8.0])
def test_the_first_dose_is_about_fourteen_grams_in_six_to_eight_litres(litres: float) -> None:
    assert 0.012 <= dose(litres / 1000).now_kg <= 0.016


def test_no_ph_gives_the_usual_dose() -> None:
    assert dose(ph=None).now_kg == pytest.approx(0.014)
    assert dose(ph=None).need_kg is None


def test_a_nearly_good_ph_needs_less_than_the_usual_dose() -> None:
    assert 0.0 < dose(ph=6.85).now_kg < 0.014
    assert dose(ph=7.2).now_kg == 0.0


def test_sodium_is_never_passed() -> None:
    limit_kg = (3.5 - 0.2) * 0.007 / 0.27367
    assert dose(given=limit_kg - 0.005).now_kg == pytest.approx(0.005)
    assert dose(given=2 * limit_kg).now_kg == 0.0


def test_the_lower_the_ph_the_more_is_needed() -> None:
    needs = [dose(ph=ph).need_kg for ph in (6.7, 6.3, 5.5)]
    assert needs == sorted(needs)


def test_a_ph_no_slurry_has_is_refused() -> None:
    with pytest.raises(InputError, match="pH"):
        bicarbonate_mol_m3(2.0, 37.0, 40.0)
    with pytest.raises(InputError, match="liquid"):
        dose(liquid=0.0)
