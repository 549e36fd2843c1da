"""What a holder would show of gas to come: strays, leak and gauge, and warmth that swings."""

from dataclasses import replace

import numpy as np
import pytest

from marshlight.decide.watch.calibration import Lives, RunLog, lives_from_prior, observed_gas
from marshlight.decide.watch.calibration.counting import HELD_PER_K, SWING
from marshlight.process.model import SMALL_DIGESTER, Digester, Holder, inoculum, water
from marshlight.process.model.kernel import layout

MEMBERS = 800
LOG = RunLog(
    Digester(0.025, Holder("floating", 0.5, gauge_kpa=0.2), temperature_c=35.0),
    inoculum("digested cattle manure", 0.012) + water(0.002),
    today=12.0,
)
TODAY = LOG.today


@pytest.fixture(scope="module")
def lives() -> Lives:
    return lives_from_prior(LOG, rng=np.random.default_rng(3), members=MEMBERS)


def still(lives: Lives) -> Lives:
    """Let the same lives stray by nothing."""
    draws = np.where(np.array(lives.names) == "stray", 1e-9, lives.draws)
    return replace(lives, stray_now=np.zeros(len(lives)), draws=draws)


def slurry_of(lives: Lives) -> np.ndarray:
    return lives.states[:, layout("small").state_at["volume"]]


def test_what_a_holder_shows_is_scaled_leaks_and_strays(lives: Lives) -> None:
    day = TODAY + np.arange(7.0)
    gas = np.tile(np.arange(7.0), (MEMBERS, 1))
    shown = observed_gas(still(lives), day, gas, rng=np.random.default_rng(1))
    factor = lives.of("gas_scale") * (1.0 - lives.of("leak"))
    most = 6.0 * SWING * float(slurry_of(lives).max())
    assert shown[:, -1] == pytest.approx(6.0 * factor, abs=most)
    strays = observed_gas(lives, day, gas, rng=np.random.default_rng(1))[:, 1] / factor
    assert np.std(strays) == pytest.approx(np.sqrt(np.mean(lives.of("stray") ** 2)), rel=0.15)
    assert (np.diff(strays) < 2.0).all()


def test_gas_that_the_slurry_takes_up_and_gives_back_swings_without_adding_up(
    lives: Lives,
) -> None:
    day = TODAY + np.array([0.0, 1.0, 4.0, 28.0])
    shown = observed_gas(lives, day, np.zeros((MEMBERS, 4)), rng=np.random.default_rng(1))
    spread = np.std(shown / slurry_of(lives)[:, None], axis=0) / SWING
    assert spread[0] == 0.0
    assert spread[1:] == pytest.approx(
        np.sqrt(2.0 - 2.0 * np.exp(-np.array([1, 4, 28]) / 2)), rel=0.1
    )


def test_warmth_that_was_above_its_usual_brings_less_gas_to_come(lives: Lives) -> None:
    day = TODAY + np.array([0.0, 30.0, 31.0])
    gas = np.tile(np.array([0.0, 30.0, 31.0]), (MEMBERS, 1))
    usual = observed_gas(still(lives), day, gas, rng=np.random.default_rng(1))
    # Far less than the swing of a log, so that what is left is the way back.
    warm = replace(still(lives), warmth_told=(1.5, 1e-9))
    back = observed_gas(warm, day, gas, rng=np.random.default_rng(1))
    last = np.median((back[:, 2] - back[:, 1]) / (usual[:, 2] - usual[:, 1]))
    assert last == pytest.approx(np.exp(-1.5 * SMALL_DIGESTER["hydrolysis_theta"]), rel=0.02)


def test_a_log_that_follows_swings_widens_what_is_to_come(lives: Lives) -> None:
    day = TODAY + np.array([0.0, 20.0])
    none = np.zeros((MEMBERS, 2))
    swings = replace(lives, warmth_told=(0.0, 1.0))
    shown = observed_gas(swings, day, none, rng=np.random.default_rng(1))[:, 1]
    # What nobody tells swings on beside it, from where it stands.
    wanted = np.sqrt(HELD_PER_K**2 + 2.0 * SWING**2)
    assert np.std(shown / slurry_of(lives)) == pytest.approx(wanted, rel=0.1)
