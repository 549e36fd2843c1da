"""What can go wrong with an invented digester: each fault with a severity 0 to 1 and a first day.

A fault changes what is really so, what the keeper did, or what his instruments show; what he
writes down follows from it. Severity 0 is hardly to be noticed, 1 as bad as it comes.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np
from benchmarks.synthetic.digesters import Setup, draw_setup, food
from benchmarks.synthetic.life import Life, live
from benchmarks.synthetic.truth import Change, SetSetting, Truth, draw_truth

from marshlight.process.model import (
    SMALL_DIGESTER,
    Dose,
    DrawOff,
    Event,
    Feed,
    SetTemperature,
)

_COOLING_D = 1.5


@dataclass(frozen=True)
class Case:
    """An invented digester with all that is so of it, and what came of it."""

    setup: Setup
    truth: Truth
    life: Life

    @property
    def fault(self) -> str:
        """Name the fault, empty when healthy."""
        return self.truth.fault


Injected = tuple[Setup, Truth]
Injector = Callable[[Setup, Truth, Life, np.random.Generator], Injected]


def draw_case(
    kind: str,
    rng: np.random.Generator,
    *,
    dense: bool,
    fault: str = "",
    severity: float | None = None,
    misfit: bool = True,
) -> Case:
    """Draw a digester, its truth and, when named, a fault of ``FAULTS``; then let it live.

    ``severity`` 0 to 1, drawn evenly when not given; the fault sets in between 30 and 60 % of the
    run, or at its start where it lies in the charge.
    """
    setup = draw_setup(kind, rng, dense=dense)
    truth = draw_truth(setup, rng, misfit=misfit)
    well = live(setup, truth)
    while fault and not _is_well(well):
        setup = draw_setup(kind, rng, dense=dense)
        truth = draw_truth(setup, rng, misfit=misfit)
        well = live(setup, truth)
    if not fault:
        return Case(setup, truth, well)
    bad = float(rng.random()) if severity is None else severity
    truth = replace(truth, fault=fault, severity=bad, since=_first_day(setup, well, rng))
    setup, truth = FAULTS[fault](setup, truth, well, rng)
    return Case(setup, truth, live(setup, truth))


def _is_well(life: Life) -> bool:
    """Tell whether a digester is well, so that a fault has something to spoil."""
    return float(life.run["pH"].min()) > 6.5 and float(life.run.share("methane")[-1]) > 0.4


def _first_day(setup: Setup, well: Life, rng: np.random.Generator) -> float:
    """Draw the first day of a fault: while there is gas to lose, and something was read before."""
    if setup.is_fed:
        return float(rng.uniform(0.3, 0.6)) * setup.length_d
    made = np.interp(rng.uniform(0.25, 0.6), well.gas_m3 / well.gas_m3[-1], well.day)
    return float(np.clip(made, 4.0, 0.6 * setup.length_d))


def _leak(setup: Setup, truth: Truth, well: Life, rng: np.random.Generator) -> Injected:
    share = 0.15 + 0.55 * truth.severity
    return setup, replace(truth, leak=(*truth.leak, Change(truth.since, share)))


def _tap_open(setup: Setup, truth: Truth, well: Life, rng: np.random.Generator) -> Injected:
    share = 0.90 + 0.10 * truth.severity
    flow = 0.1 * _rate(well, truth.since)
    breathing = SetSetting(truth.since, "air_exchange_m3_per_d", flow)
    opened = replace(truth, leak=(*truth.leak, Change(truth.since, share)))
    return setup, opened.with_hidden(breathing)


def _air_in(setup: Setup, truth: Truth, well: Life, rng: np.random.Generator) -> Injected:
    """Air comes in as fast as a share of the gas, and as much leaves: pumped or sucked through."""
    flow = (0.1 + 0.9 * truth.severity) * _rate(well, truth.since)
    return setup, truth.with_hidden(SetSetting(truth.since, "air_exchange_m3_per_d", flow))


def _rate(life: Life, day: float) -> float:
    """Give the gas of a day around ``day`` [m3/d]."""
    before, after = np.interp([day - 2.0, day + 2.0], life.day, life.gas_m3)
    return float(after - before) / 4.0


def _cold(setup: Setup, truth: Truth, well: Life, rng: np.random.Generator) -> Injected:
    """Heat is lost: the slurry nears the room's warmth within days."""
    at = setup.digester.temperature_c + truth.warmth_k
    fall = (0.3 + 0.7 * truth.severity) * (at - min(setup.room_c, at - 6.0))

    def cooled(day: float, celsius: float) -> SetTemperature:
        gone = fall * (1.0 - np.exp(-max(day - truth.since, 0.0) / _COOLING_D))
        return SetTemperature(day, float(max(celsius - gone, 2.0)))

    held = [e for e in truth.hidden if isinstance(e, SetTemperature)]
    others = [e for e in truth.hidden if not isinstance(e, SetTemperature)]
    if not held:
        held = [SetTemperature(float(d), at) for d in np.arange(0.0, setup.length_d, 1.0)]
    return setup, replace(truth, hidden=(*others, *(cooled(e.day, e.celsius) for e in held)))


def _meals(setup: Setup, truth: Truth, name: str, organic_kg: float, count: int) -> Injected:
    """Give some large meals from the fault's day on, written down, level held by drawing off."""
    found: list[Event] = []
    for i in range(count):
        day = float(min(truth.since + 2.0 * i, setup.length_d - 0.5))
        meal = food(name, organic_kg / count)
        found += [DrawOff(day, min(meal.volume_m3, 0.3 * setup.charge.volume_m3)), Feed(day, meal)]
    events = sorted((*setup.events, *found), key=lambda event: event.day)
    fed = [e for e in events if isinstance(e, Feed)]
    usual, extra = iter(truth.fed_food), {id(e) for e in found}
    shares = [1.0 if id(e) in extra else float(next(usual)) for e in fed]
    return replace(setup, events=tuple(events)), replace(truth, fed_food=np.array(shares))


def _overfed(setup: Setup, truth: Truth, well: Life, rng: np.random.Generator) -> Injected:
    organic = (15.0 + 45.0 * truth.severity) * setup.charge.volume_m3
    return _meals(setup, truth, str(rng.choice(["stale bread", "apple pomace"])), organic, 2)


def _ammonia(setup: Setup, truth: Truth, well: Life, rng: np.random.Generator) -> Injected:
    organic = (15.0 + 35.0 * truth.severity) * setup.charge.volume_m3
    setup, truth = _meals(setup, truth, "blood", organic, 4)
    # Microbes that are as little used to ammonia as the set knows of.
    tight = SMALL_DIGESTER.parameters["K_I_nh3"]
    return setup, replace(
        truth, parameters={**truth.parameters, "K_I_nh3": (tight.low * tight.value) ** 0.5}
    )


def _spent(setup: Setup, truth: Truth, well: Life, rng: np.random.Generator) -> Injected:
    """Feeding ends, or the batch runs on until its food is gone."""
    if setup.is_fed:
        kept = tuple(event for event in setup.events if event.day < truth.since)
        feeds = sum(isinstance(event, Feed) for event in kept)
        return replace(setup, events=kept), replace(truth, fed_food=truth.fed_food[:feeds])
    gone = np.flatnonzero(well.gas_m3 >= (0.80 + 0.15 * truth.severity) * well.gas_m3[-1])
    return setup, replace(truth, since=float(well.day[gone[0]]))


def _layer(setup: Setup, truth: Truth, well: Life, rng: np.random.Generator) -> Injected:
    """Solids float up out of reach, and gas is held up."""
    reached = 0.8 - 0.7 * truth.severity
    release = truth.parameters.get("kLa", SMALL_DIGESTER["kLa"]) * 0.2
    return setup, truth.with_hidden(
        SetSetting(truth.since, "access", reached), SetSetting(truth.since, "kLa", release)
    )


def _weak(setup: Setup, truth: Truth, well: Life, rng: np.random.Generator) -> Injected:
    """Hardly any live microbes: below what the keeper's record allows for."""
    cells = setup.lively[0] * (0.5 - 0.45 * truth.severity)
    return setup, replace(truth, cells=cells, since=0.0)


def _ruler(setup: Setup, truth: Truth, well: Life, rng: np.random.Generator) -> Injected:
    """Gas read wrong by a factor from the day on, or the pH by an offset."""
    kit, step = truth.instruments, 0.15 + 0.35 * truth.severity
    sign = float(rng.choice([-1.0, 1.0]))
    if rng.random() < 0.5:
        kit = replace(kit, gas_scale_later=(Change(truth.since, 1.0 + sign * step),))
    else:
        kit = replace(kit, ph_bias_later=(Change(truth.since, sign * 2.0 * step),))
    return setup, replace(truth, instruments=kit)


def _stuck(setup: Setup, truth: Truth, well: Life, rng: np.random.Generator) -> Injected:
    """The holder jams: most gas passes by; now and then it moves freely for a visit."""
    later = [day for day in setup.looks.gas if day >= truth.since]
    free = 0.25 - 0.2 * truth.severity
    shares = [1.0 if rng.random() < free else float(rng.uniform(0.0, 0.3)) for _ in later]
    changes = tuple(Change(float(d) - 1e-6, s) for d, s in zip(later, shares, strict=True))
    return setup, replace(truth, instruments=replace(truth.instruments, gas_scale_later=changes))


def _bicarbonate(setup: Setup, truth: Truth, well: Life, rng: np.random.Generator) -> Injected:
    """It sours by a large meal; a dose follows, and its gas looks like a recovery."""
    organic = 45.0 * setup.charge.volume_m3
    setup, truth = _meals(setup, truth, "stale bread", organic, 1)
    day = min(truth.since + 6.0, setup.length_d - 2.0)
    mass = (3.0 + 9.0 * truth.severity) * setup.charge.volume_m3
    events = sorted((*setup.events, Dose(day, "sodium bicarbonate", mass)), key=lambda e: e.day)
    return replace(setup, events=tuple(events)), replace(truth, since=day)


FAULTS: Mapping[str, Injector] = {
    "leak": _leak,
    "tap left open": _tap_open,
    "air drawn in": _air_in,
    "cold": _cold,
    "overfed": _overfed,
    "ammonia": _ammonia,
    "spent": _spent,
    "floating layer": _layer,
    "weak inoculum": _weak,
    "ruler or sensor": _ruler,
    "holder stuck": _stuck,
    "bicarbonate gas": _bicarbonate,
}
