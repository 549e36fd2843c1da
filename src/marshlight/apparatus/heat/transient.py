"""Temperature through time: heater, thermostat, weather, feed and gas, hour by hour."""

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from marshlight.apparatus.heat.air import STANDARD_KPA
from marshlight.apparatus.heat.balance import DAY_S, Flows, Outside, vapour_loss_w
from marshlight.apparatus.heat.body import Body
from marshlight.apparatus.heat.heater import Heater
from marshlight.apparatus.heat.surface import Passage, Way
from marshlight.apparatus.heat.weather import Weather
from marshlight.errors import require

Floats = NDArray[np.float64]
KWH_J = 3.6e6
_CLOSE_K = 1e-9
_NODES_PER_K = 4
_MOST_STEPS = 200_000


class GasMaker(Protocol):
    """What makes gas at the slurry's temperature; it remembers what it has used up."""

    def made_m3(self, slurry_c: float, step_d: float) -> float:
        """Give the dry normal gas of one step and use up its food [m3]."""
        ...


@dataclass(frozen=True)
class HeatBook:
    """Heat of a whole course [kWh]: what the heater took and gave, and where it went.

    ``by_way`` is what passed each wall; ``stored`` what the slurry gained. Their balance is
    ``gap``, which is rounding only.
    """

    taken: float
    given: float
    by_way: dict[str, float]
    feed: float
    vapour: float
    stored: float

    @property
    def gap(self) -> float:
        """Heat given less everything it went to [kWh]."""
        return self.given - sum(self.by_way.values()) - self.feed - self.vapour - self.stored


@dataclass(frozen=True)
class Course:
    """A temperature course.

    Parameters
    ----------
    day : array, shape (n + 1,)
        Ends of the steps since the first midnight [d].
    slurry_c : array, shape (n + 1,)
        Slurry temperature at those times [degC].
    outside_c : array, shape (n,)
        Air temperature of each step [degC].
    power_w : array, shape (n,)
        Mean power the heater took in each step [W].
    duty : array, shape (n,)
        Share of each step the heater was on [-].
    gas_m3 : array, shape (n,)
        Dry normal gas made in each step [m3].
    book : HeatBook
        Heat of the whole course.
    """

    day: Floats
    slurry_c: Floats
    outside_c: Floats
    power_w: Floats
    duty: Floats
    gas_m3: Floats
    book: HeatBook

    @property
    def days(self) -> float:
        """Length of the course [d]."""
        return float(self.day[-1] - self.day[0])

    @property
    def energy_kwh_per_d(self) -> float:
        """Mean energy the heater took [kWh/d]."""
        return self.book.taken / self.days

    def reaches_day(self, slurry_c: float) -> float:
        """Give the first day at which it is as warm as asked; infinite if never [d]."""
        there = np.flatnonzero(self.slurry_c >= slurry_c - 1e-6)
        return float(self.day[there[0]]) if there.size else math.inf


@dataclass
class _Step:
    """Running sums of one step while its phases are gone through [J, s, K s]."""

    slurry_c: float
    left_s: float
    warmth_ks: float = 0.0
    given_j: float = 0.0
    on_s: float = 0.0


def warm_course(
    body: Body,
    heater: Heater,
    air: Weather,
    *,
    days: float,
    start_c: float,
    start_day: float = 0.0,
    ground: Weather | None = None,
    flows: Flows | None = None,
    gas: GasMaker | None = None,
    step_h: float = 1.0,
    loss_factor: float = 1.0,
    pressure_kpa: float = STANDARD_KPA,
) -> Course:
    """Follow the slurry's temperature through time.

    Parameters
    ----------
    body : Body
        The vessel, laid out for the heater's place.
    heater : Heater
        With or without a thermostat.
    air, ground : Weather
        Around and under the vessel; the ground at the air's mean if left out.
    days : float
        Length, above zero [d].
    start_c : float
        Slurry temperature at the start [degC].
    start_day : float
        Start after the first midnight [d].
    flows : Flows, optional
        Feed, spread over the day, and steady gas where ``gas`` is not given.
    gas : GasMaker, optional
        Makes gas from each step's temperature; used up by the course.
    step_h : float
        Step, above 0 to 24 [h].
    loss_factor : float
        Times the computed conductance of every way; 1 unless its doubt is followed [-].
    pressure_kpa : float
        Air pressure [kPa].

    Returns
    -------
    Course
        Temperatures, power, gas and the heat book.

    Raises
    ------
    InputError
        If length or step is impossible.

    Notes
    -----
    Within a step the conductances stand still and the balance is solved exactly, with
    the moments at which an ideal thermostat switches; so heat is neither lost nor
    made, and long steps stay stable. A real thermostat swings by its dead band
    around the same mean.

    References
    ----------
    lumped_balance; water_heat; vapour_heat.
    """
    count = _steps(days, step_h)
    flows = Flows() if flows is None else flows
    dt = days * DAY_S / count
    ends = start_day + np.linspace(0.0, days, count + 1)
    middles = 0.5 * (ends[1:] + ends[:-1])
    airs = air.at(middles)
    grounds = np.full(count, air.mean_c) if ground is None else ground.at(middles)
    temperature = np.full(count + 1, float(start_c))
    power, duty, made = np.zeros(count), np.zeros(count), np.zeros(count)
    walls = _walls_of(body, pressure_kpa)
    tally = _Tally(dict.fromkeys((way.name for way in body.ways), 0.0))
    outsides = zip(airs.tolist(), grounds.tolist(), strict=True)
    for i, (air_c, ground_c) in enumerate(outsides):
        now = float(temperature[i])
        gas_m3 = flows.gas_m3_per_d * dt / DAY_S if gas is None else gas.made_m3(now, dt / DAY_S)
        wet_w = walls.vapour_w(gas_m3 * DAY_S / dt, now)
        passages = walls.passages(now, Outside(air_c, ground_c), loss_factor)
        loss = sum(p.conductance_w_k for p in passages.values()) + flows.feed_w_k
        gain = loss * now - sum(p.heat_w for p in passages.values())
        gain -= flows.feed_w_k * (now - flows.feed_c) + wet_w
        rated_w = heater.power_at_w(float(middles[i]))
        step = _Step(now, dt)
        balance = (loss, gain, body.heat_capacity_j_k)
        _go(step, heater, balance, rated_w * heater.share_in(body, passages))
        temperature[i + 1], duty[i], made[i] = step.slurry_c, step.on_s / dt, gas_m3
        taken_j = step.on_s * rated_w if rated_w > 0.0 else max(step.given_j, 0.0)
        power[i] = taken_j / dt
        drift = step.warmth_ks - now * dt
        for name, passage in passages.items():
            tally.by_way[name] += passage.heat_w * dt + passage.conductance_w_k * drift
        tally.feed += flows.feed_w_k * (step.warmth_ks - flows.feed_c * dt)
        tally.vapour += wet_w * dt
        tally.given += step.given_j
        tally.taken += taken_j
    stored = body.heat_capacity_j_k * float(temperature[-1] - temperature[0])
    return Course(ends, temperature, airs, power, duty, made, tally.book(stored))


class _Walls:
    """Passages of all walls and the vapour of the gas, each worked out once a quarter kelvin.

    A film changes by some thousandths over a quarter kelvin; heat is still the exact conductance
    times the exact difference, so that no balance notices.
    """

    def __init__(self, body: Body, pressure_kpa: float) -> None:
        self.body, self.pressure_kpa = body, pressure_kpa
        self.conductance: dict[tuple[int, int, int], float] = {}
        self.wet: dict[int, float] = {}

    def passages(self, slurry_c: float, outside: Outside, factor: float) -> dict[str, Passage]:
        """Give the heat passing each way now, losses taken so many times."""
        found = {}
        inside = round(slurry_c * _NODES_PER_K)
        for place, way in enumerate(self.body.ways):
            beyond = outside.facing(way.faces)
            node = (place, inside, round(beyond * _NODES_PER_K))
            known = self.conductance.get(node)
            if known is None:
                known = self._at(way, node)
            conductance = known * factor
            found[way.name] = Passage(conductance * (slurry_c - beyond), conductance, beyond)
        return found

    def _at(self, way: Way, node: tuple[int, int, int]) -> float:
        passage = way.passage(
            node[1] / _NODES_PER_K, node[2] / _NODES_PER_K, pressure_kpa=self.pressure_kpa
        )
        self.conductance[node] = passage.conductance_w_k
        return passage.conductance_w_k

    def vapour_w(self, gas_m3_per_d: float, slurry_c: float) -> float:
        """Give the heat leaving as vapour in the gas [W]."""
        node = round(slurry_c * _NODES_PER_K)
        if node not in self.wet:
            self.wet[node] = vapour_loss_w(1.0, node / _NODES_PER_K, self.pressure_kpa)
        return gas_m3_per_d * self.wet[node]


@lru_cache(maxsize=32)
def _walls_of(body: Body, pressure_kpa: float) -> _Walls:
    """Keep what was worked out for a vessel: a page follows the same one many times."""
    return _Walls(body, pressure_kpa)


@dataclass
class _Tally:
    """Running sums of a course [J]."""

    by_way: dict[str, float]
    feed: float = 0.0
    vapour: float = 0.0
    given: float = 0.0
    taken: float = 0.0

    def book(self, stored_j: float) -> HeatBook:
        """Close the book [kWh]."""
        return HeatBook(
            self.taken / KWH_J,
            self.given / KWH_J,
            {name: heat / KWH_J for name, heat in self.by_way.items()},
            self.feed / KWH_J,
            self.vapour / KWH_J,
            stored_j / KWH_J,
        )


def _steps(days: float, step_h: float) -> int:
    require(
        math.isfinite(days) and days > 0.0,
        field="days",
        value=days,
        allowed="above zero",
        remedy="Say how many days to look ahead",
    )
    count = max(math.ceil(days * 24.0 / step_h - 1e-9), 1) if 0.0 < step_h <= 24.0 else 0
    require(
        0 < count <= _MOST_STEPS,
        field="step",
        value=step_h,
        allowed="above 0 to 24 h, and not too short for the length",
        remedy="Use an hour, or minutes for a few days",
    )
    return count


Constants = tuple[float, float, float]


@dataclass(frozen=True)
class _Heat:
    """A heater in one step: the balance while it is on, its power [W] and its water [W/K, degC]."""

    on: Constants
    power_w: float
    wet_w_k: float
    supply_c: float


def _go(step: _Step, heater: Heater, off: Constants, power_w: float) -> None:
    """Go through one step, switching where the thermostat does."""
    wet = heater.conductance_w_k if heater.kind in ("bath", "coil") else 0.0
    loss, gain, capacity = off
    on = (loss + wet, gain + power_w + wet * heater.supply_c, capacity)
    heat = _Heat(on, power_w, wet, heater.supply_c)
    wanted = heater.set_point_c
    while step.left_s > 0.0:
        if heater.kind == "none":
            _phase(step, off, step.left_s)
        elif wanted is None:
            _heated(step, heat, step.left_s)
        elif step.slurry_c < wanted - _CLOSE_K:
            _heated(step, heat, min(_time_to(step.slurry_c, wanted, on), step.left_s))
        elif step.slurry_c > wanted + _CLOSE_K:
            _phase(step, off, min(_time_to(step.slurry_c, wanted, off), step.left_s))
        else:
            _at_set_point(step, heat, off)


def _at_set_point(step: _Step, heat: _Heat, off: Constants) -> None:
    """Hold, drift up where it is warm outside, or fall where the power does not suffice."""
    wanted = step.slurry_c
    needed = off[0] * wanted - off[1]
    most = heat.power_w + heat.wet_w_k * (heat.supply_c - wanted)
    if needed <= 0.0:
        _phase(step, off, step.left_s)
    elif needed <= most:
        step.given_j += needed * step.left_s
        step.on_s += needed / most * step.left_s
        step.warmth_ks += wanted * step.left_s
        step.left_s = 0.0
    else:
        _heated(step, heat, step.left_s)


def _heated(step: _Step, heat: _Heat, length_s: float) -> None:
    before = step.warmth_ks
    _phase(step, heat.on, length_s)
    step.given_j += heat.power_w * length_s
    step.given_j += heat.wet_w_k * (heat.supply_c * length_s - (step.warmth_ks - before))
    step.on_s += length_s


def _phase(step: _Step, constants: Constants, length_s: float) -> None:
    """Let the temperature run toward its end for a while, exactly."""
    loss, gain, capacity = constants
    if loss <= 0.0:
        rise = gain * length_s / capacity
        step.warmth_ks += (step.slurry_c + 0.5 * rise) * length_s
        step.slurry_c += rise
    else:
        end, turns = gain / loss, loss * length_s / capacity
        gap = step.slurry_c - end
        gone = -math.expm1(-turns)
        step.warmth_ks += end * length_s + gap * gone * capacity / loss
        step.slurry_c -= gap * gone
    step.left_s -= length_s
    if step.left_s < 1e-6:
        step.left_s = 0.0


def _time_to(from_c: float, to_c: float, constants: Constants) -> float:
    loss, gain, capacity = constants
    if loss <= 0.0:
        reached = gain * (to_c - from_c) > 0.0
        return capacity * (to_c - from_c) / gain if reached else math.inf
    end = gain / loss
    if end == to_c:
        return math.inf
    ratio = (end - from_c) / (end - to_c)
    return capacity / loss * math.log(ratio) if ratio >= 1.0 else math.inf
