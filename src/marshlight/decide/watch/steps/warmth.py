"""Heat or insulate: gas that a warmer slurry gives, against the heat that it takes."""

from dataclasses import dataclass

import numpy as np

from marshlight.apparatus.heat import Body, Flows, Outside, losses, warming_energy_kwh
from marshlight.decide.watch.calibration import Lives, RunLog
from marshlight.decide.watch.steps.following import TOO_WARM_C, follow, span
from marshlight.decide.watch.steps.risk import Risk
from marshlight.errors import require
from marshlight.matter.combustion import METHANE_KWH_PER_NORMAL_M3
from marshlight.process.model import SetTemperature

HORIZON_D = 30
_DAY_KWH_PER_W = 0.024


@dataclass(frozen=True)
class Place:
    """The vessel as ways for heat, where it stands, and what flows through it."""

    body: Body
    outside: Outside
    flows: Flows


@dataclass(frozen=True)
class Warmer:
    """What so many kelvin more bring and take; energies of a day [kWh/d].

    ``gas_kwh_d`` is the energy of the methane gained (``span`` of the lives); ``heat_kwh_d`` the
    further heat to hold it, ``once_kwh`` that to get there, and ``held_kwh_d`` what the
    present temperature takes.
    """

    kelvin: float
    from_c: float
    methane_m3_d: tuple[float, float, float]
    gas_kwh_d: tuple[float, float, float]
    heat_kwh_d: float
    held_kwh_d: float
    once_kwh: float
    risk: Risk
    risk_as_it_is: Risk

    @property
    def gain_kwh_d_k(self) -> float:
        """Give the gas energy gained by each kelvin, middle of the lives [kWh/(d K)]."""
        return self.gas_kwh_d[1] / self.kelvin

    @property
    def heat_kwh_d_k(self) -> float:
        """Give the heat each kelvin takes [kWh/(d K)]."""
        return self.heat_kwh_d / self.kelvin

    @property
    def verdict(self) -> str:
        """Say "pays", "costs more than it gives", or "cannot be told" where the lives differ."""
        low, _, high = self.gas_kwh_d
        if low > self.heat_kwh_d:
            return "pays"
        return "costs more than it gives" if high < self.heat_kwh_d else "cannot be told"


def warmer(
    lives: Lives,
    log: RunLog,
    place: Place,
    *,
    from_c: float,
    kelvin: float,
    slurry_kg: float,
    seed: int,
) -> Warmer:
    """Weigh holding the slurry some kelvin warmer.

    Parameters
    ----------
    lives, log : Lives, RunLog
        The digester as it may be.
    place : Place
        Vessel, surroundings and flows.
    from_c : float
        Slurry temperature now, 1 to 60 [degC].
    kelvin : float
        How much warmer, above 0; 45 degC at most in the end [K].
    slurry_kg : float
        Slurry that is warmed once [kg].
    seed : int
        Luck of the strays, shared by both courses.

    Returns
    -------
    Warmer
        Over 30 days without further feed.

    Raises
    ------
    InputError
        When it would be warmer than the model's microbes bear.
    FitError
        When the lives cannot be run.

    Notes
    -----
    Net heating value of the methane. Heat counts as it arrives in the slurry: a stove or heater
    takes more. In a batch warmth brings gas earlier rather than more of it, so over long times the
    gain shrinks.

    References
    ----------
    lumped_balance; water_heat; rosso_1993; iso_6976_2016
    """
    require(
        kelvin > 0.0 and from_c >= 1.0 and from_c + kelvin <= TOO_WARM_C,
        field="warmer by",
        value=kelvin,
        allowed=f"more than 0 K, to {TOO_WARM_C:.0f} °C at most",
        remedy="Warm it by less",
    )
    days = np.arange(HORIZON_D + 1.0)
    as_it_is = follow(lives, log, (), days=days, seed=seed)
    warm = follow(lives, log, (SetTemperature(lives.day, from_c + kelvin),), days=days, seed=seed)
    more = warm.burnable_m3_d - as_it_is.burnable_m3_d
    low, middle, high = span(more)
    now = losses(place.body, from_c, place.outside, place.flows).total_w
    then = losses(place.body, from_c + kelvin, place.outside, place.flows).total_w
    return Warmer(
        kelvin=kelvin,
        from_c=from_c,
        methane_m3_d=(low, middle, high),
        gas_kwh_d=(
            low * METHANE_KWH_PER_NORMAL_M3,
            middle * METHANE_KWH_PER_NORMAL_M3,
            high * METHANE_KWH_PER_NORMAL_M3,
        ),
        heat_kwh_d=(then - now) * _DAY_KWH_PER_W,
        held_kwh_d=max(now, 0.0) * _DAY_KWH_PER_W,
        once_kwh=warming_energy_kwh(slurry_kg, from_c, from_c + kelvin),
        risk=warm.risk,
        risk_as_it_is=as_it_is.risk,
    )
