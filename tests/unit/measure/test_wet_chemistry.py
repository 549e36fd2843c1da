"""Burette arithmetic: lye, alkali, alkalinity and volatile acids."""

import pytest

from marshlight.errors import InputError
from marshlight.matter.water import FRESH_WATER
from marshlight.measure import (
    AlkaliTitration,
    absorbed_share,
    co2_loss_upper_m3,
    two_point_titration,
)


def test_both_methods_find_the_same_carbon() -> None:
    hydroxide, carbonate, acid = 3e-3, 1e-3, 100.0
    total = (hydroxide + 2.0 * carbonate) / acid
    two = AlkaliTitration((hydroxide + carbonate) / acid, total, acid)
    barium = AlkaliTitration(hydroxide / acid, total, acid, barium=True)
    assert two.carbon_mol == pytest.approx(carbonate)
    assert barium.carbon_mol == pytest.approx(carbonate)
    assert not two.spent
    assert not barium.spent


def test_carbonate_beside_bicarbonate_is_all_counted_and_the_alkali_is_spent() -> None:
    carbonate, bicarbonate, acid = 1e-3, 2e-3, 100.0
    found = AlkaliTitration(carbonate / acid, (2.0 * carbonate + bicarbonate) / acid, acid)
    assert found.carbon_mol == pytest.approx(carbonate + bicarbonate)
    assert found.spent


def test_carbonate_already_in_the_alkali_is_taken_off() -> None:
    clean, old = (AlkaliTitration(4e-5, 5e-5, 100.0, blank_mol=b) for b in (0.0, 2e-4))
    assert clean.carbon_mol - old.carbon_mol == pytest.approx(2e-4)


def test_the_dead_volume_of_the_tube_matters() -> None:
    blind = absorbed_share(10e-6, 6e-6, temperature_c=20.0)
    told = absorbed_share(10e-6, 6e-6, temperature_c=20.0, dead_m3=3e-6)
    assert told.value == pytest.approx(4.0 / 13.0)
    assert blind.value > told.value


def test_a_small_syringe_is_less_sure() -> None:
    small, large = (absorbed_share(v, 0.6 * v, temperature_c=20.0).u for v in (10e-6, 100e-6))
    assert small > 5.0 * large


def test_other_samples_and_strengths_scale_to_the_reference() -> None:
    reference = two_point_titration(9e-6, 10e-6, sample_m3=20e-6, acid_mol_m3=100.0)
    half = two_point_titration(4.5e-6, 5e-6, sample_m3=10e-6, acid_mol_m3=100.0)
    strong = two_point_titration(4.5e-6, 5e-6, sample_m3=20e-6, acid_mol_m3=200.0)
    assert half == strong
    assert half.ratio == pytest.approx(reference.ratio)


def test_acids_are_never_negative() -> None:
    found = two_point_titration(9e-6, 9.01e-6, sample_m3=20e-6, acid_mol_m3=100.0)
    assert found.volatile_acids_kg_m3 == 0.0


def test_open_water_passes_carbon_dioxide_on_for_as_long_as_it_stands() -> None:
    def lost(days: float) -> float:
        return co2_loss_upper_m3(
            FRESH_WATER,
            0.005,
            co2_share=0.4,
            temperature_c=20.0,
            pressure_kpa=95.0,
            open_area_m2=0.005,
            days=days,
        )

    assert lost(20.0) - lost(10.0) == pytest.approx(lost(10.0) - lost(0.0))


def test_no_carbon_dioxide_means_only_the_alkalinity_can_bind() -> None:
    found = co2_loss_upper_m3(
        FRESH_WATER, 1.0, co2_share=0.0, temperature_c=20.0, pressure_kpa=95.0
    )
    assert found == pytest.approx(FRESH_WATER.alkalinity_mol_m3 * 22.263e-3, rel=1e-4)


@pytest.mark.parametrize(
    ("make", "field"),
    [
        (lambda: AlkaliTitration(5e-6, 4e-6, 100.0), "first_m3"),
        (lambda: AlkaliTitration(4e-6, 5e-6, 0.0), "acid_mol_m3"),
        (lambda: AlkaliTitration(4e-6, 5e-6, 100.0, blank_mol=-1.0), "blank_mol"),
        (lambda: absorbed_share(0.0, 0.0, temperature_c=20.0), "before_m3"),
        (lambda: absorbed_share(10e-6, 20e-6, temperature_c=20.0), "after_m3"),
        (
            lambda: two_point_titration(9e-6, 8e-6, sample_m3=2e-5, acid_mol_m3=100.0),
            "acid_to_ph44_m3",
        ),
        (
            lambda: two_point_titration(8e-6, 9e-6, sample_m3=0.0, acid_mol_m3=100.0),
            "sample_m3",
        ),
        (
            lambda: two_point_titration(0.0, 1e-6, sample_m3=2e-5, acid_mol_m3=100.0).ratio,
            "alkalinity",
        ),
        (
            lambda: co2_loss_upper_m3(
                FRESH_WATER, 1.0, co2_share=1.5, temperature_c=20.0, pressure_kpa=95.0
            ),
            "co2_share",
        ),
        (
            lambda: co2_loss_upper_m3(
                FRESH_WATER, -1.0, co2_share=0.5, temperature_c=20.0, pressure_kpa=95.0
            ),
            "liquid_m3",
        ),
    ],
)
def test_what_cannot_be_is_refused_by_name(make: object, field: str) -> None:
    with pytest.raises(InputError) as caught:
        make()  # type: ignore[operator]
    assert caught.value.field == field


def test_the_doubt_of_a_syringe_is_that_of_its_two_readings() -> None:
    found = absorbed_share(50e-6, 50e-6, temperature_c=20.0, u_temperature_c=0.0)
    assert found.value == 0.0
    assert found.u == pytest.approx(2.0**0.5 * 0.01)
