"""pH and free ammonia of a liquid under gas of known carbon dioxide."""

from dataclasses import dataclass

import numpy as np

from marshlight.errors import FitError, require
from marshlight.process.model.kernel import SCALAR, layout, run
from marshlight.process.model.liquid import MODEL, Liquid
from marshlight.process.model.parameters import SMALL_DIGESTER, ParameterSet
from marshlight.process.model.schedule import Schedule

WATCHED = ("pH", "bicarbonate", "ammonia", "ammonium", "root_ionic_strength")
MEMBERS = 65


@dataclass(frozen=True)
class Speciation:
    """What dissolved matter is made of; concentrations in kmol/m3 of liquid."""

    ph: float
    bicarbonate: float
    ammonia: float
    ammonium: float
    ionic_strength: float
    inorganic_carbon: float

    @property
    def free_ammonia_share(self) -> float:
        """Give free ammonia over total ammonia, 0 to 1."""
        whole = self.ammonia + self.ammonium
        return self.ammonia / whole if whole > 0.0 else 0.0


def equilibrium(
    liquid: Liquid,
    *,
    temperature_c: float,
    carbon_dioxide_kpa: float,
    parameters: ParameterSet = SMALL_DIGESTER,
) -> Speciation:
    """Bring a liquid into equilibrium with gas of a given carbon dioxide pressure.

    Parameters
    ----------
    liquid : Liquid
        Its inorganic carbon is replaced by what the gas sets.
    temperature_c : float
        Temperature, 1 to 65 [degC].
    carbon_dioxide_kpa : float
        Partial pressure of carbon dioxide, 0.01 to 200 [kPa].
    parameters : ParameterSet
        Sets the acids' pKa.

    Returns
    -------
    Speciation
        pH (activity scale) and concentrations [kmol/m3].

    Raises
    ------
    InputError
        When a number is out of its limits.
    FitError
        When no equilibrium is found between 1e-9 and 30 kmol/m3 of inorganic carbon.

    Notes
    -----
    Davies activities, ammonium's by its own ion size; carbonate constants of Plummer & Busenberg.
    Ion pairs are left out, which shows pH up to 0.03 high at 20 g/L of sodium bicarbonate.

    References
    ----------
    Sources ``davies_1962``, ``kielland_1937``, ``plummer_busenberg_1982``, ``hafner_bisogni_2009``.

    Examples
    --------
    >>> from marshlight.process.model.liquid import Liquid, dose
    >>> soda = Liquid(1.0) + dose("sodium bicarbonate", 5.0)
    >>> found = equilibrium(soda, temperature_c=35.0, carbon_dioxide_kpa=35.0)
    >>> round(found.ph, 1)
    7.0
    """
    require(
        1.0 <= temperature_c <= 65.0 and 0.01 <= carbon_dioxide_kpa <= 200.0,
        field="equilibrium",
        value=(temperature_c, carbon_dioxide_kpa),
        allowed="1 to 65 degC and 0.01 to 200 kPa",
        remedy="Check temperature and pressure",
    )
    place = layout(MODEL)
    settings = parameters.settings({"temperature_c": temperature_c, "vessel_m3": 1e6})
    names = (*WATCHED, "carbon_dioxide", "henry_carbon_dioxide", "inorganic_carbon")
    program = Schedule(MODEL, 0.0, 0.0).program(settings, [0.0], names, rtol=1e-4)
    low, high = np.log(1e-9), np.log(30.0)
    start = liquid.scaled(1.0 / liquid.volume_m3).vector()
    start[place.state_at["ln_proton"]] = -16.0
    start[place.state_at["root_ionic_strength"]] = 0.3
    rows = np.empty((1, 1, len(names)))
    for _ in range(9):
        # Sixty-five trials at once, nine times over: the bracket shrinks 64-fold each time.
        trials = np.linspace(low, high, MEMBERS)
        starts = np.tile(start, (MEMBERS, 1))
        starts[:, place.state_at["inorganic_carbon"]] = np.exp(trials)
        vectors = np.zeros((1, 1, len(place.states)))
        outcome = run(program, settings[None], starts, vectors, form=SCALAR)
        outcome.require_success()
        rows = outcome.out[:, 0]
        wanted = rows[:, 6] * carbon_dioxide_kpa / 100.0
        above = int(np.searchsorted(rows[:, 5] - wanted, 0.0))
        if not 0 < above < MEMBERS:
            raise FitError("No acid-base equilibrium was found: check the liquid's ions and acids.")
        low, high = trials[above - 1], trials[above]
    ph, bicarbonate, ammonia, ammonium, root, _, _, carbon = (float(v) for v in rows[above])
    return Speciation(ph, bicarbonate, ammonia, ammonium, root**2, carbon)
