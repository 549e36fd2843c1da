"""Gas mixtures and their normal volumes, against a reference library asked live."""

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI

from marshlight.errors import InputError
from marshlight.matter.gas import (
    GASES,
    IDEAL_MOLAR_VOLUME_M3_MOL,
    biogas_density_kg_m3,
    dissolved_normal_m3_per_m3,
    dry_normal_density_kg_m3,
    dry_normal_factor,
    neutral_methane_share,
)
from marshlight.sources import source

NAMES = {
    "CH4": "Methane",
    "CO2": "CarbonDioxide",
    "N2": "Nitrogen",
    "O2": "Oxygen",
    "H2S": "HydrogenSulfide",
    "H2": "Hydrogen",
    "air": "Air",
}


@pytest.mark.parametrize("gas", sorted(GASES))
def test_a_pure_gas_has_the_density_and_mass_of_the_reference_library(gas: str) -> None:
    density = PropsSI("D", "T", 273.15, "P", 101325.0, NAMES[gas])
    assert GASES[gas].density_kg_m3 == pytest.approx(density, rel=5e-5)
    mass = PropsSI("M", NAMES[gas])
    assert GASES[gas].molar_mass_kg_mol == pytest.approx(mass, rel=1e-5)
    assert source(GASES[gas].source)


@pytest.mark.parametrize("share", [0.4, 0.6, 0.8])
@pytest.mark.parametrize(("celsius", "kpa"), [(0.0, 101.325), (35.0, 101.325), (60.0, 200.0)])
def test_dry_biogas_is_as_dense_as_the_reference_mixture(
    share: float, celsius: float, kpa: float
) -> None:
    mixture = f"Methane[{share}]&CarbonDioxide[{1.0 - share}]"
    reference = PropsSI("D", "T", celsius + 273.15, "P", kpa * 1e3, mixture)
    ours = biogas_density_kg_m3(
        share, temperature_c=celsius, pressure_kpa=kpa, relative_humidity=0.0
    )
    assert ours == pytest.approx(reference, rel=2.5e-3)


def test_moist_biogas_is_lighter_than_dry_at_the_same_state() -> None:
    dry, wet = (
        biogas_density_kg_m3(0.6, temperature_c=35.0, pressure_kpa=100.0, relative_humidity=rh)
        for rh in (0.0, 1.0)
    )
    assert wet < dry


def test_gas_poorer_than_the_neutral_share_sinks() -> None:
    neutral = neutral_methane_share()
    assert dry_normal_density_kg_m3(neutral) == pytest.approx(GASES["air"].density_kg_m3)
    assert dry_normal_density_kg_m3(neutral - 0.1) > GASES["air"].density_kg_m3


def test_air_in_the_gas_counts_in_its_density() -> None:
    assert dry_normal_density_kg_m3(0.0, air=1.0) == pytest.approx(GASES["air"].density_kg_m3)


def test_forgetting_the_vapour_overstates_the_gas() -> None:
    assert dry_normal_factor(35.0, 101.325, 0.0) > 1.05 * dry_normal_factor(35.0, 101.325)


def test_the_ideal_molar_volume_is_the_defined_one() -> None:
    # CODATA 2018: 22.413 969 54 L/mol.
    assert pytest.approx(22.41396954e-3, rel=1e-9) == IDEAL_MOLAR_VOLUME_M3_MOL


def test_a_pressure_below_the_vapours_own_is_refused() -> None:
    with pytest.raises(InputError, match="barometer plus gauge"):
        dry_normal_factor(55.0, 10.0)


@pytest.mark.parametrize("wrong", [-0.1, 1.1, float("nan")])
def test_an_impossible_share_is_refused(wrong: float) -> None:
    with pytest.raises(InputError) as caught:
        dry_normal_density_kg_m3(wrong)
    assert caught.value.field == "methane"


def test_an_impossible_moisture_is_refused() -> None:
    with pytest.raises(InputError) as caught:
        dry_normal_factor(20.0, 101.325, 1.5)
    assert caught.value.field == "relative_humidity"


def test_an_unknown_dissolved_gas_is_refused() -> None:
    with pytest.raises(InputError):
        dissolved_normal_m3_per_m3("Xe", 1.0, partial_pressure_kpa=1.0)


def test_arrays_broadcast() -> None:
    factors = dry_normal_factor(np.array([10.0, 20.0]), np.array([100.0, 101.0]))
    assert factors.shape == (2,)
