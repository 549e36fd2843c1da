"""The parts of an answer about heat: figures with equation and source, and one change compared."""

import math

import numpy as np

from marshlight.answers.heat_reading import CHANGES, HeatSetUp
from marshlight.answers.series import Table
from marshlight.answers.told import Figure, Section, figure
from marshlight.apparatus.heat import (
    HOTTEST_SAFE_C,
    Flows,
    Heater,
    Outside,
    Settled,
    Weather,
    insulation_needed_m,
    power_needed_w,
    settle,
    warm_course,
)
from marshlight.errors import FitError
from marshlight.process.heated import HeatForecast, quick_factor
from marshlight.units import number, show, show_range

COLD_NIGHT_K, COLD_NIGHT_D = 10.0, 0.5
# A heater half as strong again as it must be is on two thirds of the coldest hour.
ROOM_FOR_POWER = 1.5
_LONGEST_D = 60.0


def settled_gas_m3_per_d(set_up: HeatSetUp, slurry_c: float) -> float:
    """Give the gas of a day at a steady temperature [m3/d]."""
    return set_up.gas_m3_per_d * quick_factor(slurry_c)


def flows_at(set_up: HeatSetUp, slurry_c: float) -> Flows:
    """Give feed and gas at a steady temperature."""
    gas = settled_gas_m3_per_d(set_up, slurry_c)
    return Flows(set_up.flows.feed_kg_per_d, set_up.flows.feed_c, gas)


def settled(set_up: HeatSetUp, outside: Outside | None = None) -> Settled:
    """Settle with the gas that the temperature itself allows."""
    where = set_up.usual if outside is None else outside
    body = set_up.body
    first = settle(body, set_up.heater, where, flows_at(set_up, set_up.wanted_c))
    return settle(body, set_up.heater, where, flows_at(set_up, first.slurry_c))


def warm_enough(set_up: HeatSetUp, found: Settled, seen: HeatForecast, *, system: str) -> Section:
    """Say what temperature it settles at, how it swings, and when it is warm."""
    cold = settled(set_up, set_up.coldest)

    def warm(value: float) -> str:
        return show(value, "temperature", system=system)

    course = seen.middle
    last = course.slurry_c[course.day >= course.day[-1] - 1.0]
    span = float(np.ptp(last))
    swing = "steady within the day"
    if span >= 0.05:
        text = show(span, "temperature_difference", system=system, digits=2)
        swing = f"swings by {text} within the day"
    figures = [
        figure(
            "settles at",
            warm(found.slurry_c) if found.slurry_c < 100.0 else "it boils",
            f"with {warm(set_up.usual.air_c)} around it",
            equation="heat in = heat through wall, lid and base + feed + vapour",
            by="lumped_balance churchill_chu_1975 mcadams_1954 stefan_boltzmann",
        ),
        figure(
            "if the coldest hour lasted",
            warm(cold.slurry_c),
            f"with {warm(set_up.coldest.air_c)} around it",
            equation="the same, at the coldest of a usual day",
            by="lumped_balance",
        ),
        figure(
            f"in {set_up.days:.0f} days",
            end_words(seen, system=system),
            f"19 in 20; {swing}",
            equation="C dT/dt = heat in - heat out, hour by hour",
            by="lumped_balance heat_spread",
        ),
        _time_to_warm(set_up, system=system),
    ]
    return Section("Will it be warm enough?", tuple(figures))


def end_words(seen: HeatForecast, *, system: str) -> str:
    """Say where the temperature is at the end, as a range or held."""
    low, high = float(seen.slurry_c.low95[-1]), float(seen.slurry_c.high95[-1])
    if high - low < 0.05:
        return f"held at {show(high, 'temperature', system=system)}"
    return show_range(low, high, "temperature", system=system)


def _time_to_warm(set_up: HeatSetUp, *, system: str) -> Figure:
    wanted = show(set_up.wanted_c, "temperature", system=system)
    name = f"warm ({wanted})"
    aim = set_up.heater.set_point_c
    goal = set_up.wanted_c if aim is None else min(aim, set_up.wanted_c)
    equation = "t = (C/UA) ln((Tend - T0)/(Tend - T1)), here hour by hour"
    if set_up.start_c >= set_up.wanted_c - 0.05:
        return figure(name, "now", equation=equation, by="lumped_balance")
    course = warm_course(
        set_up.body,
        set_up.heater,
        set_up.air,
        days=_LONGEST_D,
        start_c=set_up.start_c,
        flows=set_up.flows,
        step_h=2.0,
    )
    day = course.reaches_day(goal - 0.05)
    if goal < set_up.wanted_c - 0.05 or math.isinf(day):
        return figure(name, "never, as it is", equation=equation, by="lumped_balance")
    text = f"in {day * 24.0:.0f} hours" if day < 3.0 else f"in {day:.0f} days"
    note = f"from {show(set_up.start_c, 'temperature', system=system)}"
    return figure(name, text, note, equation=equation, by="lumped_balance water_heat")


def heater_section(set_up: HeatSetUp, seen: HeatForecast, *, system: str) -> Section:
    """Say power and insulation needed, duty, energy and cost."""
    at_wanted = flows_at(set_up, set_up.wanted_c)
    needed = power_needed_w(
        set_up.body, set_up.wanted_c, set_up.coldest, heater=set_up.heater, flows=at_wanted
    )
    wanted = show(set_up.wanted_c, "temperature", system=system)
    figures = [
        figure(
            f"power that holds {wanted}",
            show(needed, "power", system=system, digits=2),
            f"at the coldest of a usual day; choose about {ROOM_FOR_POWER * needed:.2g} W",
            equation="loss at the coldest, over the share that reaches the slurry",
            by="lumped_balance",
        )
    ]
    if set_up.heater.electric:
        figures.append(_insulation(set_up, at_wanted, system=system))
    course = seen.middle
    if set_up.heater.kind != "none":
        tail = course.day[1:] > course.day[-1] - 1.0
        duty = float(np.mean(course.duty[tail]))
        daily = float(np.mean(course.power_w[tail])) * 0.024
        figures.append(
            figure(
                "heater on",
                f"{100 * duty:.0f} % of the time",
                "on the last day shown",
                equation="energy taken over rated energy",
                by="lumped_balance",
            )
        )
        figures.append(
            figure(
                "energy",
                f"{show(daily, 'energy', system=system)} a day",
                "heat given" if not set_up.heater.electric else "electricity",
                equation="sum over the hours",
                by="lumped_balance",
            )
        )
        if set_up.price is not None and set_up.heater.electric:
            figures.append(
                figure(
                    "cost",
                    f"{number(daily * set_up.price, 2)} a day, "
                    f"{number(30.4 * daily * set_up.price, 2)} a month",
                    equation="energy times price",
                    by="lumped_balance",
                )
            )
    return Section("The heater", tuple(figures))


def _insulation(set_up: HeatSetUp, flows: Flows, *, system: str) -> Figure:
    whole = set_up if set_up.wrap.side else set_up.changed("double").changed("lid_and_base")
    thickness = insulation_needed_m(
        lambda t: whole.insulated(t).body,
        set_up.wanted_c,
        set_up.coldest,
        power_w=set_up.heater.power_w,
        heater=set_up.heater,
        flows=flows,
    )
    name = (whole.wrap.side[0].name or "insulation").split(",")[0]
    if math.isinf(thickness):
        value, note = "none is enough", "feed and what is not insulated take too much"
    elif thickness == 0.0:
        value, note = "none", "this heater does without"
    else:
        value, note = show(thickness, "length", system=system, digits=2), f"of {name}"
    return figure(
        "insulation with which this heater does",
        value,
        note,
        equation="the thickness at which loss at the coldest equals what reaches the slurry",
        by="incropera_2007 iso_10456",
    )


def trouble_section(set_up: HeatSetUp, found: Settled, *, system: str) -> Section:
    """Say what a cold night, a power cut and a stuck thermostat do."""
    start = min(found.slurry_c, 95.0)
    cold = set_up.coldest.air_c - COLD_NIGHT_K
    night = Weather.constant(max(cold, -55.0))
    body = set_up.body

    def end(heater: Heater) -> str:
        course = warm_course(
            body, heater, night, days=COLD_NIGHT_D, start_c=start, flows=set_up.flows
        )
        return show(float(course.slurry_c[-1]), "temperature", system=system)

    figures = [
        figure(
            "a cold night",
            f"down to {end(set_up.heater)}",
            f"12 hours at {show(cold, 'temperature', system=system)}, heater working",
            equation="C dT/dt = heat in - heat out",
            by="lumped_balance",
        ),
        figure(
            "and the power fails",
            f"down to {end(Heater())}",
            "the same night without heat",
            equation="C dT/dt = - heat out",
            by="lumped_balance",
        ),
    ]
    figures += _stuck(set_up, found, start, system=system)
    return Section("When something goes wrong", tuple(figures))


def _stuck(set_up: HeatSetUp, found: Settled, start_c: float, *, system: str) -> list[Figure]:
    """Say what a heater does that is always on."""
    if set_up.heater.kind in ("none", "sun"):
        return []
    figures = []
    stuck = _always_on_c(set_up, start_c)
    text = show(stuck, "temperature", system=system)
    figures.append(
        figure(
            "always on" if not set_up.heater.regulated else "thermostat stuck on",
            "it boils" if stuck >= 100.0 else f"up to {text}",
            "in the warmest of a usual day; must stay below "
            + show(HOTTEST_SAFE_C, "temperature", system=system),
            equation="always on: Tend = Ta + share P / UA",
            by="thermostat_sticks lumped_balance",
        )
    )
    if set_up.heater.electric:
        figures.append(
            figure(
                "hottest wall",
                show(found.hottest_c, "temperature", system=system),
                "at the heater while it is on",
                equation="T + q r: heat flux times film, wall and contact",
                by="slurry_film mat_contact",
            )
        )
    return figures


def _always_on_c(set_up: HeatSetUp, usual_c: float) -> float:
    """Give where it ends with the thermostat stuck; infinite where no balance is found [degC]."""
    hot = Outside(set_up.air.warmest_c, set_up.air.warmest_c)
    try:
        return settle(
            set_up.body, set_up.heater.always_on(), hot, flows_at(set_up, usual_c)
        ).slurry_c
    except FitError:
        return math.inf


def comparison(set_up: HeatSetUp, found: Settled, change: str, *, system: str) -> Table | None:
    """Set one change beside how it is; None where it would change nothing."""
    other = set_up.changed(change)
    if other == set_up:
        return None
    beside = settled(other)

    def column(state: HeatSetUp, end: Settled) -> tuple[str, ...]:
        cold = settled(state, state.coldest)
        gas = settled_gas_m3_per_d(state, end.slurry_c)
        return (
            show(end.slurry_c, "temperature", system=system),
            show(cold.slurry_c, "temperature", system=system),
            f"{show(end.power_w * 0.024, 'energy', system=system)} a day",
            f"{100 * end.duty:.0f} %",
            show(gas, "flow", system=system, digits=2) if state.gas_m3_per_d else "not counted",
        )

    names = ("settles at", "at the coldest", "energy", "heater on", "gas")
    rows = zip(names, column(set_up, found), column(other, beside), strict=True)
    return Table(
        "As it is, and with one change", ("figure", "as it is", CHANGES[change]), tuple(rows)
    )
