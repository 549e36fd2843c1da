"""An invented bottle with a holder whose true life is known, and what was read of it."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import pytest

from marshlight.decide.watch.calibration import (
    Counted,
    Lives,
    Read,
    RunLog,
    dry_gas,
    lives_from_prior,
    past,
)
from marshlight.matter import find
from marshlight.process.model import (
    Digester,
    Holder,
    Liquid,
    inoculum,
    liquid_from_feedstock,
    water,
)

BOTTLE = Digester(0.012, Holder("floating", 0.5, gauge_kpa=0.2), temperature_c=35.0)


def charge(food_kg: float = 0.15, inoculum_m3: float = 0.005) -> Liquid:
    """Inoculum, water and some peelings."""
    liquid = inoculum("digested cattle manure", inoculum_m3) + water(0.002)
    return liquid + liquid_from_feedstock(find("kitchen peelings"), food_kg)


def true_life(log: RunLog, **truth: float) -> Lives:
    """Give one life with everything as believed at best, but for what is named."""
    life = lives_from_prior(log, rng=np.random.default_rng(0), members=1)
    middles = {name: prior.middle for name, prior in life.priors.items()}
    draws = np.array([[{**middles, **truth}[name] for name in life.names]])
    return replace(life, draws=draws)


@dataclass(frozen=True)
class Bottle:
    """The log that was kept, and the life that was lived."""

    log: RunLog
    life: Lives
    truth: dict[str, float]


Keep = Callable[..., Bottle]


@pytest.fixture(scope="session")
def keep() -> Keep:
    """Live a bottle's life with a given truth and read it."""

    def kept(
        *,
        days: float = 24.0,
        gas_every: float = 1.0,
        ph_every: float = 0.0,
        flames: tuple[float, ...] = (),
        seed: int = 1,
        liquid: Liquid | None = None,
        **truth: float,
    ) -> Bottle:
        rng = np.random.default_rng(seed)
        bare = RunLog(BOTTLE, charge() if liquid is None else liquid, today=days)
        life = true_life(bare, **truth)
        looks = np.arange(0.0, days + 1e-9, gas_every)
        grid = np.unique(np.concatenate([np.arange(0.0, days + 1e-9, 0.5), looks]))
        run = past(life, bare, days=grid)
        seen = dry_gas(run)[0] * life.of("gas_scale")[0] * (1.0 - life.of("leak")[0])
        came = np.diff(np.interp(looks, grid, seen))
        u = np.full(came.size, 0.02 * float(np.median(came)) + 1e-5)
        gas = Counted(
            looks[:-1], looks[1:], came + u * rng.standard_normal(u.size), u, np.zeros(u.size) > 1.0
        )
        ph = None
        if ph_every:
            at = np.arange(ph_every, days, ph_every)
            shown = np.interp(at, grid, run["pH"][0]) + 0.1 * rng.standard_normal(at.size)
            ph = Read(at, np.round(shown / 0.25) * 0.25, np.full(at.size, 0.1), 0.25)
        methane = np.interp(flames, grid, run.share("methane")[0])
        words = np.select([methane < 0.35, methane < 0.5], ["none", "dies"], "holds")
        flame = tuple((float(d), str(w)) for d, w in zip(flames, words, strict=True))
        return Bottle(replace(bare, gas=gas, ph=ph, flame=flame), life, truth)

    return kept
