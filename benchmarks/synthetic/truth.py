"""What is really so, and the keeper does not know: food, microbes, warmth, and what wanders."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np
from benchmarks.synthetic.digesters import Setup
from numpy.typing import NDArray

from marshlight.process.model import SMALL_DIGESTER, Digester, Event, Liquid, SetTemperature
from marshlight.process.model.parameters import draw_between
from marshlight.process.model.schedule import Schedule

Floats = NDArray[np.float64]
DIGESTIBLE = ("carbohydrate", "protein", "lipid", "fibre")
BREAKDOWN = ("k_hyd_ch", "k_hyd_pr", "k_hyd_li", "k_hyd_fi")
# Constants that ship without a spread, given one here so that the truth strays from the model in
# more than what a calibration moves: our choice, about what separates published sets.
ALSO_WRONG = (
    *(f"k_m_{group}" for group in ("su", "aa", "fa", "c4", "pro", "ac", "h2")),
    *(f"K_S_{group}" for group in ("su", "aa", "fa", "c4", "pro", "ac", "h2")),
    "k_dec",
)
_ALSO_SPREAD = 0.25
# How far the make-up of a food strays from the library's, each of its kinds: the library's own
# ranges give a quarter either way, 95 %.
_SPLIT_SPREAD = 0.125


@dataclass(frozen=True)
class SetSetting(Event):
    """A constant of the model has another value from the day on."""

    name: str = ""
    value: float = 0.0

    def enter(self, schedule: Schedule, digester: Digester) -> None:
        """Set it."""
        schedule.set(self.day, self.name, self.value)


@dataclass(frozen=True)
class Change:
    """From ``day`` on something is ``value``; used for shares of gas lost and for instruments."""

    day: float
    value: float


@dataclass(frozen=True)
class Instruments:
    """How readings come about: relative scale of the gas, random doubt, strips, biases.

    ``gas_u`` is relative to the gas of a usual visit, ``gas_scale`` wrong in all readings; the
    changes set in on their day (a ruler moved, a pH probe that drifts off, a holder that sticks at
    a share of what comes). ``unsaid`` is error on top of what the log says, plain and relative, by
    quantity; ``slips`` the share of readings plainly wrong; ``late_d`` how far off the noted time
    of a gas reading is, standard.
    """

    gas_scale: float = 1.0
    gas_u: float = 0.02
    ph_bias: float = 0.0
    ph_u: float = 0.1
    ph_step: float = 0.0
    methane_bias: float = 0.0
    methane_u: float = 0.02
    temperature_bias: float = 0.0
    temperature_u: float = 0.3
    titration_u: float = 0.1
    unsaid: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    slips: float = 0.0
    late_d: float = 0.0
    gas_scale_later: tuple[Change, ...] = ()
    ph_bias_later: tuple[Change, ...] = ()
    temperature_bias_later: tuple[Change, ...] = ()


@dataclass(frozen=True)
class Truth:
    """The digester as it is; ``leak`` is the share of gas lost, ``fault`` and ``since`` its name.

    ``hidden`` are events that nobody wrote down; ``food`` multiplies what digests of the charge,
    ``fed_food`` of each feed in turn, ``split`` each kind of it, ``warmth_k`` is added to every
    temperature of the log.
    """

    parameters: Mapping[str, float] = field(default_factory=dict)
    cells: float = 1.0
    food: float = 1.0
    fed_food: Floats = field(default_factory=lambda: np.ones(0))
    split: Mapping[str, float] = field(default_factory=dict)
    buffer: float = 1.0
    warmth_k: float = 0.0
    leak: tuple[Change, ...] = ()
    hidden: tuple[Event, ...] = ()
    instruments: Instruments = field(default_factory=Instruments)
    fault: str = ""
    since: float = float("nan")
    severity: float = 0.0

    def with_hidden(self, *events: Event) -> "Truth":
        """Add events that nobody wrote down."""
        return replace(self, hidden=(*self.hidden, *events))


def draw_truth(setup: Setup, rng: np.random.Generator, *, misfit: bool = True) -> Truth:
    """Draw a healthy truth for a digester.

    Parameters
    ----------
    setup : Setup
        What the keeper knows.
    rng : numpy.random.Generator
        The state to draw from.
    misfit : bool
        Let every uncertain constant of the model, daily warmth and the pace of breakdown stray
        too, and not only food, microbes, buffer and instruments.

    Notes
    -----
    Spreads are our choice: food 20 %, its make-up 12.5 %, a feed 8 %, buffer 15 %, warmth 1 K,
    daily swings as the setup has them that last 2 d, pace of breakdown 15 % that lasts 5 d.
    """
    low, high = setup.lively
    feeds = sum(event.__class__.__name__ == "Feed" for event in setup.events)
    food = float(np.exp(rng.normal(0.0, 0.2)))
    truth = Truth(
        cells=float(draw_between(1.0, low, high, rng=rng, members=1)[0]),
        food=food if not feeds else float(np.exp(rng.normal(0.0, 0.2))),
        fed_food=food * np.exp(rng.normal(0.0, 0.08 if misfit else 0.0, feeds)),
        buffer=float(np.exp(rng.normal(0.0, 0.15))),
        warmth_k=float(rng.normal(0.0, 1.0)),
        leak=(Change(0.0, float(abs(rng.normal(0.0, 0.02)))),),
        instruments=_draw_instruments(setup, rng),
    )
    if not misfit:
        rate = float(np.exp(rng.normal(0.0, 0.35)))
        return replace(truth, parameters={k: SMALL_DIGESTER[k] * rate for k in BREAKDOWN})
    parameters = {k: float(v[0]) for k, v in SMALL_DIGESTER.draw(rng, 1).items()}
    for name in ALSO_WRONG:
        parameters[name] = SMALL_DIGESTER[name] * float(np.exp(rng.normal(0.0, _ALSO_SPREAD)))
    split = {name: float(np.exp(rng.normal(0.0, _SPLIT_SPREAD))) for name in DIGESTIBLE}
    truth = replace(truth, parameters=parameters, split=split)
    return truth.with_hidden(*_wander(setup, truth, rng))


def _draw_instruments(setup: Setup, rng: np.random.Generator) -> Instruments:
    if setup.dense:
        return Instruments(
            gas_scale=float(np.exp(rng.normal(0.0, 0.03))),
            gas_u=float(rng.choice([0.01, 0.03])),
            ph_bias=float(rng.normal(0.0, 0.07)),
            methane_bias=float(rng.normal(0.0, 0.01)),
            temperature_bias=float(rng.normal(0.0, 0.3)),
        )
    return Instruments(
        gas_scale=float(np.exp(rng.normal(0.0, 0.04))),
        gas_u=float(rng.choice([0.03, 0.06])),
        ph_bias=float(rng.normal(0.0, 0.12)),
        ph_u=0.15,
        ph_step=float(rng.choice([0.25, 0.5])),
        temperature_bias=float(rng.normal(0.0, 0.5)),
        temperature_u=0.7,
    )


def _wander(setup: Setup, truth: Truth, rng: np.random.Generator) -> list[Event]:
    """Let warmth and the pace of breakdown stray from day to day."""
    days = np.arange(0.0, setup.length_d, 1.0)
    warm = (
        setup.digester.temperature_c + truth.warmth_k + _lasting(rng, days.size, 2.0, setup.swing_k)
    )
    pace = np.exp(_lasting(rng, days.size, 5.0, 0.15))
    found: list[Event] = []
    for day, celsius, factor in zip(days, warm, pace, strict=True):
        found.append(SetTemperature(float(day), float(np.clip(celsius, 2.0, 60.0))))
        found += [SetSetting(float(day), k, truth.parameters[k] * float(factor)) for k in BREAKDOWN]
    return found


def _lasting(rng: np.random.Generator, count: int, memory_d: float, spread: float) -> Floats:
    """Noise of each day that is forgotten over some days."""
    keep, out = np.exp(-1.0 / memory_d), np.empty(count)
    state = rng.standard_normal()
    for i in range(count):
        out[i] = state
        state = keep * state + np.sqrt(1.0 - keep**2) * rng.standard_normal()
    return spread * out


def with_food(liquid: Liquid, factor: float, split: Mapping[str, float] | None = None) -> Liquid:
    """Let so many times as much of a liquid's solids digest, each kind by its own factor too."""
    amounts = dict(liquid.amounts)
    for name in DIGESTIBLE:
        if name in amounts:
            amounts[name] *= factor * (split or {}).get(name, 1.0)
    return Liquid(liquid.volume_m3, amounts)


def with_buffer(liquid: Liquid, factor: float) -> Liquid:
    """Let a liquid hold so many times its alkalinity: bicarbonate and the ions that keep it."""
    amounts = {"cations": 0.0, "anions": 0.0, "inorganic_carbon": 0.0, **liquid.amounts}
    held = amounts["cations"] + amounts.get("sodium", 0.0) - amounts["anions"]
    alkalinity = max(held + amounts.get("inorganic_nitrogen", 0.0), 0.0)
    more = (factor - 1.0) * alkalinity
    amounts["inorganic_carbon"] = max(amounts["inorganic_carbon"] + more, 0.0)
    amounts["cations"] += max(more, 0.0)
    amounts["anions"] += max(-more, 0.0)
    return Liquid(liquid.volume_m3, amounts)
