"""A digester as each life has it: settings, charge and feeds bent by the calibrated parameters."""

from collections.abc import Mapping, Sequence

import numpy as np

from marshlight.decide.watch.calibration.log import Floats
from marshlight.process.model import SMALL_DIGESTER, Digester, Liquid
from marshlight.process.model.kernel import layout
from marshlight.process.model.liquid import MODEL
from marshlight.process.model.simulate import empty_vessel

# Those that change the course of a life; the others only how it is seen.
COURSE = ("food", "rate", "cells", "vigour", "buffer", "tolerance", "warmth_k")
_DIGESTIBLE = ("carbohydrate", "protein", "lipid", "fibre")
_BREAKDOWN = ("k_hyd_ch", "k_hyd_pr", "k_hyd_li", "k_hyd_fi")
_UPTAKE = ("k_m_ac", "k_m_pro", "k_m_c4", "k_m_fa", "k_m_h2")
# As in `liquid_from_feedstock`: a little dissolved carbon dioxide beside the bicarbonate.
_CARBON_PER_ALKALINITY = 1.07

# The kernel's rates of growth are those at this temperature.
_BASE_C = 35.0

Draws = Mapping[str, Floats]


def settings_of(digester: Digester, draws: Draws) -> Floats:
    """Give the kernel's settings of each life, shape (member, setting).

    Parameters
    ----------
    digester : Digester
        As recorded.
    draws : mapping of arrays
        Values by name of ``COURSE``; a name left out stays as the set has it.

    Returns
    -------
    array
        Settings.

    Notes
    -----
    Microbes that sit warmer than is logged are written as microbes whose temperatures of growth
    lie as much lower. The kernel's rates are those at 35 degC, so that they follow; rates of
    breakdown and decay rise by their own exponential. The chemistry stays at the logged
    temperature, which a few kelvin hardly move.

    References
    ----------
    rosso_1993.
    """
    place = layout(MODEL).setting_at
    base = SMALL_DIGESTER.settings(digester.settings(SMALL_DIGESTER))
    settings = np.tile(base, (_members(draws), 1))
    warmer = draws.get("warmth_k")
    for name in _BREAKDOWN:
        settings[:, place[name]] *= draws.get("rate", 1.0)
    for name in _UPTAKE:
        settings[:, place[name]] *= draws.get("vigour", 1.0)
    settings[:, place["K_I_nh3"]] *= draws.get("tolerance", 1.0)
    if warmer is not None:
        for name in ("growth_t_min", "growth_t_opt", "growth_t_max", "hydrolysis_t_max"):
            settings[:, place[name]] -= warmer
        for name in (*_UPTAKE, "k_m_su", "k_m_aa", "k_m_srb"):
            settings[:, place[name]] *= _growth(_BASE_C + warmer) / _growth(np.array([_BASE_C]))
        grown = np.exp(SMALL_DIGESTER["hydrolysis_theta"] * warmer)
        for name in _BREAKDOWN:
            settings[:, place[name]] *= grown
        settings[:, place["k_dec"]] *= np.exp(SMALL_DIGESTER["decay_theta"] * warmer)
    return settings


def _growth(celsius: Floats) -> Floats:
    """Give growth relative to its best by the cardinal curve of the parameter set."""
    low, best, high = (SMALL_DIGESTER[f"growth_t_{which}"] for which in ("min", "opt", "max"))
    t = np.clip(celsius, low, high)
    below = (best - low) * (t - best) - (best - high) * (best + low - 2.0 * t)
    # Where nothing grows, a trace of growth keeps the rates finite.
    return np.asarray(np.maximum((t - high) * (t - low) ** 2 / ((best - low) * below), 1e-6))


def charged(digester: Digester, charge: Liquid, draws: Draws) -> Floats:
    """Give the states of each life right after the charge, shape (member, state)."""
    place = layout(MODEL).state_at
    states = np.tile(empty_vessel(digester), (_members(draws), 1))
    share = 1.0 - charge.volume_m3 / digester.vessel_m3
    for name in ("gas_nitrogen", "gas_oxygen"):
        states[:, place[name]] *= share
    brought = poured(charge.vector()[None], draws)[:, 0]
    live = draws.get("cells")
    if live is not None:
        alive = [at for name, at in place.items() if name.startswith("x_")]
        brought[:, alive] *= live[:, None]
    return states + brought


def poured(vectors: Floats, draws: Draws) -> Floats:
    """Give what liquids bring in each life.

    Parameters
    ----------
    vectors : array, shape (liquid, state)
        As recorded.
    draws : mapping of arrays
        ``food`` moves what digests out of the inert part or into it; ``buffer`` changes the
        alkalinity.

    Returns
    -------
    array, shape (member, liquid, state)
        As each life has it.

    Notes
    -----
    Where more digests than the inert part can give, the oxygen demand itself is larger: the
    record of solids can be wrong too.
    """
    place = layout(MODEL).state_at
    states = np.tile(vectors, (_members(draws), 1, 1))
    food, buffer = draws.get("food"), draws.get("buffer")
    if food is not None:
        solids = [place[name] for name in _DIGESTIBLE]
        inert = place["particulate_inert"]
        moved = (food[:, None] - 1.0) * vectors[:, solids].sum(axis=1)
        states[:, :, solids] *= food[:, None, None]
        states[:, :, inert] = np.maximum(states[:, :, inert] - moved, 0.0)
    if buffer is not None:
        _buffer(states, buffer[:, None])
    return states


def _buffer(states: Floats, factor: Floats) -> None:
    """Change alkalinity by a factor: bicarbonate with strong cations, or without them."""
    place = layout(MODEL).state_at
    cations, anions = place["cations"], place["anions"]
    charge = states[..., place["inorganic_nitrogen"]] + states[..., place["sodium"]]
    alkalinity = np.maximum(charge + states[..., cations] - states[..., anions], 0.0)
    more = (factor - 1.0) * alkalinity
    carbon = place["inorganic_carbon"]
    states[..., carbon] = np.maximum(states[..., carbon] + _CARBON_PER_ALKALINITY * more, 0.0)
    given_up = np.minimum(np.maximum(-more, 0.0), states[..., cations])
    states[..., cations] += np.maximum(more, 0.0) - given_up
    states[..., anions] += np.maximum(-more, 0.0) - given_up


def _members(draws: Draws) -> int:
    return len(next(iter(draws.values()))) if draws else 1


def as_draws(names: Sequence[str], values: Floats) -> dict[str, Floats]:
    """Name the columns of an array of draws, shape (member, name)."""
    return {name: values[:, i] for i, name in enumerate(names)}
