"""Run a digester: a charge, what happens after, and what comes of it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from marshlight.errors import require
from marshlight.process.model.digester import Digester
from marshlight.process.model.events import Event, Flow
from marshlight.process.model.kernel import SCALAR, Program, Reals, layout, run
from marshlight.process.model.liquid import MODEL, Liquid
from marshlight.process.model.parameters import SMALL_DIGESTER, ParameterSet
from marshlight.process.model.result import DigesterRun
from marshlight.process.model.schedule import ADD, Schedule

GAS_CONSTANT = 0.083145  # bar m3/(kmol K), as in the definition
NITROGEN_IN_AIR, OXYGEN_IN_AIR = 0.7905, 0.2095


@dataclass(frozen=True)
class Prepared:
    """A run ready for the kernel: the same for one run, an ensemble or its derivatives."""

    program: Program
    settings: Reals
    start: Reals
    vectors: Reals
    schedule: Schedule
    names: tuple[str, ...]


def empty_vessel(digester: Digester) -> Reals:
    """Give the states of the vessel full of moist air, before anything is poured in."""
    place = layout(MODEL)
    states = np.zeros(len(place.states))
    kelvin = digester.temperature_c + 273.15
    vapour = 0.0313 * np.exp(5290.0 * (1.0 / 298.15 - 1.0 / kelvin))
    dry = (digester.atmosphere_kpa / 100.0 - vapour) * digester.vessel_m3
    air = dry / (GAS_CONSTANT * kelvin)
    states[place.state_at["gas_nitrogen"]] = NITROGEN_IN_AIR * air
    states[place.state_at["gas_oxygen"]] = OXYGEN_IN_AIR * air
    states[place.state_at["ln_proton"]] = -16.0
    states[place.state_at["root_ionic_strength"]] = 0.3
    return states


def charged_vessel(digester: Digester, charge: Liquid) -> Reals:
    """Give the states right after the charge: its liquid, and air above it.

    Raises
    ------
    InputError
        When the charge leaves no gas space, or has no volume.
    """
    require(
        0.0 < charge.volume_m3 < digester.vessel_m3,
        field="charge",
        value=charge.volume_m3,
        allowed=f"more than nothing and less than the vessel's {digester.vessel_m3:g} m3",
        remedy="Leave a gas space above the liquid",
    )
    states = empty_vessel(digester)
    place = layout(MODEL)
    share = 1.0 - charge.volume_m3 / digester.vessel_m3
    for name in ("gas_nitrogen", "gas_oxygen"):
        states[place.state_at[name]] *= share
    return states + charge.vector()


def prepare(
    digester: Digester,
    charge: Liquid,
    *,
    days: Sequence[float] | Reals,
    events: Sequence[Event] = (),
    parameters: ParameterSet = SMALL_DIGESTER,
    watch: Sequence[str] | None = None,
    rtol: float = 1e-4,
) -> Prepared:
    """Check a run and write it down for the kernel; see ``simulate``.

    Raises
    ------
    InputError
        When a day is out of order, an event lies outside the run, or a curve is unknown.
    """
    place = layout(MODEL)
    when = np.asarray(days, dtype=np.float64)
    require(
        when.ndim == 1 and len(when) > 0 and when[0] >= 0.0 and bool((np.diff(when) > 0.0).all()),
        field="days",
        value=list(when[:5]),
        allowed="increasing days from 0",
        remedy="List the days to report in order",
    )
    for event in events:
        require(
            0.0 <= event.day <= when[-1],
            field="event",
            value=event.day,
            allowed=f"a day from 0 to {when[-1]:g}",
            remedy="Report up to the last event, or leave it out",
        )
    names = (*place.states, *place.observables) if watch is None else tuple(watch)
    for name in names:
        require(
            name in place.watched_at,
            field="watch",
            value=name,
            allowed="a state or observable of the model",
            remedy="Look at layout('small')",
        )
    require(
        1e-12 <= rtol <= 1e-2,
        field="rtol",
        value=rtol,
        allowed="1e-12 to 1e-2",
        remedy="Leave it at 1e-5",
    )
    schedule = Schedule(MODEL, 0.0, float(when[-1]))
    for event in sorted(events, key=lambda e: e.day):
        event.enter(schedule, digester)
    settings = parameters.settings(digester.settings(parameters))
    vectors = schedule.vector_array()
    if not len(schedule.vectors):
        vectors = np.zeros((1, 1, len(place.states)))
    program = schedule.program(settings, when, names, rtol=rtol)
    return Prepared(program, settings, charged_vessel(digester, charge), vectors, schedule, names)


def simulate(
    digester: Digester,
    charge: Liquid,
    *,
    days: Sequence[float] | Reals,
    events: Sequence[Event] = (),
    parameters: ParameterSet = SMALL_DIGESTER,
    rtol: float = 1e-5,
) -> DigesterRun:
    """Run a digester from its charge on.

    Parameters
    ----------
    digester : Digester
        Vessel, holder, warmth, mixing.
    charge : Liquid
        What is in the vessel at day 0, inoculum and water included; air fills the rest.
    days : sequence of float
        Days to report, increasing, from 0 on; the last ends the run [d].
    events : sequence of Event
        Feeds, draw-offs, doses and the rest, each on its day; those of one day in their order.
        A report on an event's day shows the digester just after it.
    parameters : ParameterSet
        The small-digester set, possibly with other values.
    rtol : float
        Relative tolerance of a step, 1e-12 to 1e-2; at 1e-5 every state, trace gases included,
        is good to about 1e-4.

    Returns
    -------
    DigesterRun
        Curves by name, with gas volumes, shares and balances.

    Raises
    ------
    InputError
        When something does not fit: see the message.
    FitError
        When the integration does not succeed, for example as more liquid is drawn off than there
        is; the message says when and why.

    Notes
    -----
    Adaptive Rosenbrock method of order 4 for the differential-algebraic system, restarted at
    events. Linear balances (oxygen demand, carbon, nitrogen, sulfur, volume) are kept to rounding.

    References
    ----------
    Sources ``batstone_2002``, ``rosen_jeppsson_2006``, ``hairer_wanner_1996``.

    Examples
    --------
    >>> from marshlight.process.model import Digester, Holder, inoculum, simulate
    >>> from marshlight.process.model import liquid_from_feedstock, water
    >>> from marshlight.matter.library import find
    >>> vessel = Digester(0.012, Holder("floating", capacity_m3=0.01, gauge_kpa=0.2), 37.0)
    >>> charge = inoculum("digested cattle manure", 0.004) + water(0.002)
    >>> charge = charge + liquid_from_feedstock(find("goat manure"), 0.5)
    >>> run = simulate(vessel, charge, days=range(31))
    >>> bool(6.5 < run["pH"][-1] < 8.5)
    True
    """
    ready = prepare(digester, charge, days=days, events=events, parameters=parameters, rtol=rtol)
    outcome = run(
        ready.program, ready.settings[None], ready.start[None], ready.vectors, form=SCALAR
    )
    outcome.require_success(np.array(ready.schedule.days()))
    values: Mapping[str, Reals] = {
        name: outcome.out[0, :, i].copy() for i, name in enumerate(ready.names)
    }
    added = added_by(ready, events)
    steps, rejected, _ = (int(n) for n in outcome.counts[0])
    return DigesterRun(
        ready.program.t_out, values, steps, rejected, ready.settings, ready.start, added
    )


def added_by(ready: Prepared, events: Sequence[Event]) -> Reals:
    """Add up what was put in by each day reported, charge left out, shape (time, state)."""
    when = ready.program.t_out
    states = len(layout(MODEL).states)
    added = np.zeros((len(when), states))
    for day, kind, amount, place in ready.schedule.operations:
        if kind == ADD:
            added[when >= day] += amount * ready.vectors[0, place]
    flows = sorted((e for e in events if isinstance(e, Flow)), key=lambda e: e.day)
    for i, flow in enumerate(flows):
        until = flows[i + 1].day if i + 1 < len(flows) else np.inf
        lasted = np.clip(when, flow.day, until) - flow.day
        added += lasted[:, None] * flow.liquid.vector()
    return added
