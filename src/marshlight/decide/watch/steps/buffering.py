"""How much buffer to give: by acid-base chemistry and by the model, within the sodium limit."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from marshlight.decide.watch.buffer import (
    CO2_M3_PER_KG,
    FIRST_DOSE_KG_M3,
    SODIUM_LIMIT_KG_M3,
    SODIUM_SHARE,
    TARGET_PH,
)
from marshlight.decide.watch.calibration import Lives, RunLog
from marshlight.decide.watch.steps.chemistry import BICARBONATE, Liquor, dose_to_reach
from marshlight.decide.watch.steps.courses import dosing
from marshlight.decide.watch.steps.following import Followed, fewer, follow
from marshlight.decide.watch.steps.risk import Risk
from marshlight.errors import InputError, require
from marshlight.process.model import Event, SetTemperature
from marshlight.process.model.kernel import layout
from marshlight.process.model.liquid import MODEL

HORIZON_D = 30
SEARCHED_LIVES = 128
_SODIUM_KG_PER_KMOL = 22.98977
# A level teaspoon of 5 mL (source `spoon_of_bicarbonate`).
SPOON_KG = 4.6e-3
# More than these are miscounted, and are better weighed: our choice.
_MOST_TEASPOONS, _MOST_TABLESPOONS = 6.0, 20.0
_HALVINGS = 6


@dataclass(frozen=True)
class DosePlan:
    """What to give, by two ways, and what it comes to.

    ``by_chemistry_kg`` lifts the pH to 6.9 against the acid that is there now; None where even a
    very large dose would not. ``by_model_kg`` is the least in all that keeps the risk of ending
    sour within the limit, None where no dose within the sodium limit does. ``allowed_kg`` is what
    sodium leaves. ``unfed`` is the risk without a dose, ``dosed`` with ``give_kg``.
    """

    liquor: Liquor
    liquid_m3: float
    by_chemistry_kg: float | None
    by_model_kg: float | None
    allowed_kg: float
    unfed: Risk
    dosed: Risk
    give_kg: float
    portion_kg: float
    limit: float

    @property
    def portions(self) -> int:
        """Count the portions, one a day."""
        return int(np.ceil(self.give_kg / self.portion_kg - 1e-9)) if self.portion_kg > 0.0 else 0

    @property
    def carbon_dioxide_m3(self) -> float:
        """Give the most carbon dioxide that the dose itself sets free [normal m3]."""
        return self.give_kg * CO2_M3_PER_KG

    @property
    def is_needed(self) -> bool:
        """Tell whether a dose is called for at all."""
        return self.give_kg > 0.0

    @property
    def sodium_binds(self) -> bool:
        """Tell whether either way asks for more than sodium allows."""
        asked = (self.by_chemistry_kg, self.by_model_kg)
        return any(kg is None or kg > self.allowed_kg for kg in asked)


def spoons(mass_kg: float) -> tuple[float, str]:
    """Give level spoons of sodium bicarbonate, to the half: teaspoons, of much tablespoons.

    A tablespoon is three teaspoons. None where so many spoons would be miscounted.

    References
    ----------
    spoon_of_bicarbonate

    Examples
    --------
    >>> spoons(0.014), spoons(0.070), spoons(2.0)
    ((3.0, 'teaspoon'), (5.0, 'tablespoon'), (0.0, ''))
    """
    count = mass_kg / SPOON_KG
    if count <= _MOST_TEASPOONS:
        return float(np.round(2.0 * count) / 2.0), "teaspoon"
    if count / 3.0 <= _MOST_TABLESPOONS:
        return float(np.round(2.0 * count / 3.0) / 2.0), "tablespoon"
    return 0.0, ""


def sodium_kg_m3(lives: Lives) -> float:
    """Give the sodium that the slurry holds already, the upper end of the lives [kg/m3]."""
    place = layout(MODEL).state_at
    held = lives.states[:, place["sodium"]] / lives.states[:, place["volume"]]
    return float(np.quantile(held, 0.95)) * _SODIUM_KG_PER_KMOL


def liquor_now(
    lives: Lives, log: RunLog, *, ph: float | None = None, acids_kg_m3: float | None = None
) -> Liquor:
    """Describe the slurry for its chemistry: what was read, else the middle of the lives.

    Parameters
    ----------
    lives, log : Lives, RunLog
        The digester as it may be.
    ph : float, optional
        As read lately.
    acids_kg_m3 : float, optional
        Volatile acids as acetic, as titrated lately [kg/m3].

    Returns
    -------
    Liquor
        pH held to 4 to 8.5.
    """
    course = follow(lives, log, (), days=np.array([0.0, 1e-3]), seed=0).run

    def middle(values: np.ndarray) -> float:
        return float(np.median(values[:, 0]))

    found = middle(course["pH"]) if ph is None else ph
    acids = middle(course.acids_kg_m3) if acids_kg_m3 is None else acids_kg_m3
    # While air still stands above the slurry the gas that leaves it holds more carbon dioxide
    # than the gas space does; a tenth of a bar is the least that digestion gives: our choice.
    pressure = max(100.0 * middle(course["p_carbon_dioxide_bar"]), 10.0)
    return Liquor(
        float(np.clip(found, 4.0, 8.5)),
        _celsius(log),
        pressure,
        acids_kg_m3=max(acids, 0.0),
        ammonia_kg_m3=max(middle(course.ammonia_nitrogen_kg_m3), 0.0),
    )


def _celsius(log: RunLog) -> float:
    set_to = [e.celsius for e in log.events if isinstance(e, SetTemperature)]
    return set_to[-1] if set_to else log.digester.temperature_c


def dose_plan(
    lives: Lives,
    log: RunLog,
    liquor: Liquor,
    *,
    liquid_m3: float,
    limit: float,
    seed: int,
    target_ph: float = TARGET_PH,
    before_each: Callable[[], object] | None = None,
) -> DosePlan:
    """Work out a dose of sodium bicarbonate two ways, and how to give it.

    Parameters
    ----------
    lives, log : Lives, RunLog
        The digester as it may be; nothing is fed meanwhile.
    liquor : Liquor
        The slurry as its chemistry sees it; from ``liquor_now``.
    liquid_m3 : float
        Slurry, above 0 [m3].
    limit : float
        Risk of ending sour that is borne, above 0 to 0.5.
    seed : int
        Luck of the strays.
    target_ph : float
        pH that chemistry is to reach.
    before_each : callable, optional
        Called before each dose is tried; what it raises ends the search.

    Returns
    -------
    DosePlan
        What to give is the larger of both ways, never more than sodium allows; nothing where the
        risk is within the limit as it is.

    Raises
    ------
    InputError
        When a number is out of its limits.
    FitError
        When the lives cannot be run or no equilibrium is found.

    Notes
    -----
    Chemistry counts the acid that is there; the model also what is still to come and what is
    eaten, over 30 days without feed, and whether the methane formers still live to eat it. The
    dose goes in in portions of the usual first dose, a day apart.

    References
    ----------
    first_dose_practice, epa_1979_sodium, plummer_busenberg_1982, batstone_2002
    """
    require(
        liquid_m3 > 0.0 and 0.0 < limit <= 0.5,
        field="dose",
        value=(liquid_m3, limit),
        allowed="some slurry, and a risk above 0 to 50 %",
        remedy="Say how much slurry there is, and what risk is borne",
    )
    portion = FIRST_DOSE_KG_M3 * liquid_m3
    room = (SODIUM_LIMIT_KG_M3 - sodium_kg_m3(lives)) * liquid_m3 / SODIUM_SHARE
    allowed = max(room, 0.0)
    few = fewer(lives, SEARCHED_LIVES)

    def risk_with(kg: float) -> Risk:
        if before_each is not None:
            before_each()
        # Undosed is told elsewhere too, by all lives: no two risks of the same course.
        followed = few if kg > 0.0 else lives
        return _dosed(followed, log, kg, portion_kg=portion, seed=seed).risk

    unfed = risk_with(0.0)
    chemistry = _by_chemistry(liquor, target_ph, liquid_m3)
    model = 0.0 if unfed.share <= limit else _by_model(risk_with, allowed, limit)
    give = 0.0
    if unfed.share > limit:
        give = min(max(allowed if chemistry is None else chemistry, model or 0.0), allowed)
    dosed = risk_with(give) if give > 0.0 else unfed
    return DosePlan(
        liquor, liquid_m3, chemistry, model, allowed, unfed, dosed, give, portion, limit
    )


def _by_chemistry(liquor: Liquor, target_ph: float, liquid_m3: float) -> float | None:
    try:
        return dose_to_reach(liquor, target_ph) * liquid_m3
    except InputError:
        return None


def _by_model(risk_with: Callable[[float], Risk], allowed_kg: float, limit: float) -> float | None:
    if allowed_kg <= 0.0 or risk_with(allowed_kg).share > limit:
        return None
    low, high = 0.0, allowed_kg
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        low, high = (low, middle) if risk_with(middle).share <= limit else (middle, high)
    return high


def _dosed(lives: Lives, log: RunLog, kg: float, *, portion_kg: float, seed: int) -> Followed:
    events: tuple[Event, ...] = ()
    if kg > 0.0:
        portions = int(np.ceil(kg / portion_kg - 1e-9))
        events = dosing(BICARBONATE, kg, lives.day, portions=portions)
    return follow(lives, log, events, days=np.arange(HORIZON_D + 1.0), seed=seed)
