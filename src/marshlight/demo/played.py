"""What truly happens in a demonstration drum or barrel, played by the project's process model.

The same model that later reads the log; so nothing in these readings speaks for or against it.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from marshlight.demo.course import STEP_D, Course, Floats, Knots, knots, weather
from marshlight.process.model import (
    SMALL_DIGESTER,
    Digester,
    Event,
    Feed,
    Holder,
    Liquid,
    SetTemperature,
    simulate,
)
from marshlight.process.model.kernel import layout
from marshlight.process.model.liquid import MODEL

_DIGESTIBLE = ("carbohydrate", "protein", "lipid", "fibre")
_PACES = ("k_hyd_ch", "k_hyd_pr", "k_hyd_li", "k_hyd_fi")
# Cells go by this name in the model.
_CELLS = "x_"
# The slurry's warmth is followed in steps no smaller than this [K].
_STEP_K = 0.25
_TOLERANCE = 1e-4


@dataclass(frozen=True)
class Bend:
    """How a vessel differs from the model's usual set, invented: each a factor on what it says.

    ``food`` is what digests of all that went in, ``pace`` how fast it breaks down, ``cells`` how
    many live microbes came with the charge.
    """

    food: float = 1.0
    pace: float = 1.0
    cells: float = 1.0


AS_THE_MODEL_SAYS = Bend()


@dataclass(frozen=True)
class Play:
    """One vessel's part: its liquids by day, the charge first, and what else was done."""

    days: float
    vessel_m3: float
    poured: tuple[tuple[float, Liquid], ...]
    slurry_c: Knots
    done: tuple[Event, ...] = ()
    bend: Bend = AS_THE_MODEL_SAYS
    escaping: Knots = ((0.0, 0.0),)
    swing_c: float = 0.4


def played(play: Play, rng: np.random.Generator, *, air_kpa: float) -> Course:
    """Play a vessel's part.

    Parameters
    ----------
    play : Play
        The part.
    rng : numpy.random.Generator
        For the weather.
    air_kpa : float
        Usual air pressure on the spot [kPa].

    Returns
    -------
    Course
        Hour by hour; its gas is what left the slurry, air pushed out of the vessel not counted
        twice.

    Raises
    ------
    KernelMissing
        When this installation was built without a C compiler.
    """
    day = np.arange(0.0, play.days + STEP_D / 2.0, STEP_D)
    slurry = knots(day, play.slurry_c)
    steps = _warmth(day, slurry)
    # Gas passes on as it is made: what collects it is the keeper's business.
    vessel = Digester(
        play.vessel_m3, Holder("bag"), temperature_c=steps[0].celsius, atmosphere_kpa=air_kpa
    )
    pace = {name: SMALL_DIGESTER[name] * play.bend.pace for name in _PACES}
    charge, *meals = (Feed(when, bent(liquid, play.bend)) for when, liquid in play.poured)
    happened: list[Event] = [*steps[1:], *play.done, *meals]
    run = simulate(
        vessel,
        charge.liquid,
        days=day,
        events=sorted((e for e in happened if e.day <= day[-1]), key=lambda e: e.day),
        parameters=SMALL_DIGESTER.with_values(**pace),
        rtol=_TOLERANCE,
    )
    gas = np.sum([run.given_off(name) for name in layout(MODEL).gases], axis=0)
    caught = np.cumsum(np.diff(gas, prepend=0.0) * (1.0 - knots(day, play.escaping)))
    room, air = weather(day, rng, air_kpa)
    return Course(
        day=day,
        gas_m3=gas,
        caught_m3=caught,
        slurry_c=slurry + play.swing_c * np.sin(2.0 * np.pi * (day - 0.45)),
        ph=run["pH"],
        methane=run.share("methane"),
        room_c=room,
        air_kpa=air,
    )


def bent(liquid: Liquid, bend: Bend) -> Liquid:
    """Let a liquid hold more or less food and microbes than its record says."""
    amounts = dict(liquid.amounts)
    for name in amounts:
        if name in _DIGESTIBLE:
            amounts[name] *= bend.food
        elif name.startswith(_CELLS):
            amounts[name] *= bend.cells
    return Liquid(liquid.volume_m3, amounts)


def _warmth(day: Floats, slurry: Floats) -> Sequence[SetTemperature]:
    """Follow the slurry in steps; the first holds from the start."""
    kept = [SetTemperature(0.0, float(slurry[0]))]
    for when, celsius in zip(day[1:].tolist(), slurry[1:].tolist(), strict=True):
        if abs(celsius - kept[-1].celsius) >= _STEP_K:
            kept.append(SetTemperature(when, celsius))
    return kept
