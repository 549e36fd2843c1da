"""Where the heat goes, month by month, and whether it is worth its energy."""

import numpy as np

from marshlight.answers.heat_parts import flows_at, settled_gas_m3_per_d
from marshlight.answers.heat_reading import HeatSetUp
from marshlight.answers.told import Section, figure
from marshlight.apparatus.heat import Heater, Settled, Weather, Worth, settle, warm_course, worth
from marshlight.apparatus.heat.films import SOURCE_OF_FORM
from marshlight.apparatus.heat.surface import Surface
from marshlight.units import show


def where_section(set_up: HeatSetUp, found: Settled) -> Section:
    """Say where the heat goes."""
    lost = found.losses
    total = max(lost.total_w, 1e-12)
    forms = {way.name: way for way in set_up.body.ways}
    figures = []
    for name, passage in lost.passages.items():
        way = forms[name]
        still = isinstance(way, Surface) and way.film_w_m2k is None
        by = f"{SOURCE_OF_FORM[way.form]} stefan_boltzmann" if still else "iso_6946"
        if not isinstance(way, Surface):
            by = "iso_13370"
        figures.append(
            figure(
                f"through the {name}",
                f"{passage.heat_w:.2g} W ({100 * passage.heat_w / total:.0f} %)",
                equation="(T - Ta) / (film + wall + insulation + film)",
                by=by,
            )
        )
    if set_up.flows.feed_kg_per_d > 0.0:
        figures.append(
            figure(
                "into the feed",
                f"{lost.feed_w:.2g} W ({100 * lost.feed_w / total:.0f} %)",
                equation="m cp (T - Tfeed)",
                by="water_heat",
            )
        )
    if set_up.gas_m3_per_d > 0.0:
        figures.append(
            figure(
                "away with the gas",
                f"{lost.vapour_w:.2g} W ({100 * lost.vapour_w / total:.0f} %)",
                equation="gas x water content x heat of evaporation",
                by="vapour_heat",
            )
        )
    return Section("Where the heat goes", tuple(figures))


def _unheated_c(set_up: HeatSetUp) -> float:
    """Give where the slurry settles without heating [degC]."""
    return settle(set_up.body, Heater(), set_up.usual, flows_at(set_up, 20.0)).slurry_c


def worth_of(set_up: HeatSetUp, found: Settled) -> Worth | None:
    """Set heat beside gas; None where no gas is counted."""
    if set_up.gas_m3_per_d <= 0.0 or set_up.heater.kind == "none":
        return None
    unheated = _unheated_c(set_up)
    taken = found.power_w * 0.024 if set_up.heater.electric else 0.0
    return worth(
        taken,
        settled_gas_m3_per_d(set_up, found.slurry_c) * set_up.methane,
        unheated_methane_m3_per_d=settled_gas_m3_per_d(set_up, unheated) * set_up.methane,
    )


def worth_section(set_up: HeatSetUp, found: Settled, *, system: str) -> Section:
    """Say whether heating is worth its energy."""
    account = worth_of(set_up, found)
    if account is None:
        return Section(
            "Is it worth the energy?",
            before=("Give the gas of a day and a heater, and this is weighed up.",),
        )

    cold = settled_gas_m3_per_d(set_up, _unheated_c(set_up))
    gained = settled_gas_m3_per_d(set_up, found.slurry_c) - cold

    def daily(kwh: float) -> str:
        return f"{show(kwh, 'energy', system=system)} a day"

    return Section(
        "Is it worth the energy?",
        (
            figure(
                "heater takes",
                daily(account.taken_kwh_per_d),
                equation="power times time",
                by="lumped_balance",
            ),
            figure(
                "gas holds",
                daily(account.gas_kwh_per_d),
                "net heating value of its methane",
                equation="9.97 kWh a normal cubic metre",
                by="iso_6976_2016 coolprop_2014",
            ),
            figure(
                "gas without heating",
                daily(account.unheated_gas_kwh_per_d),
                equation="gas at 38 °C times the temperature factor",
                by="rosso_1993",
            ),
            figure(
                "gas gained by heating",
                show(gained, "flow", system=system, digits=2).replace("/d", " a day"),
                "dry normal; once it has settled, by the temperature alone",
                equation="gas at 38 °C times the difference of temperature factors",
                by="rosso_1993",
            ),
        ),
        before=(account.sentence,),
    )


def year_section(set_up: HeatSetUp, *, system: str) -> Section | None:
    """Give energy by the month; None without monthly means."""
    if not set_up.months_c or set_up.heater.kind == "none":
        return None
    half = 0.5 * (set_up.air.warmest_c - set_up.air.coldest_c)
    year = Weather.monthly(set_up.months_c, half_swing_k=half)
    course = warm_course(
        set_up.body,
        set_up.heater,
        year,
        days=365.0,
        start_c=set_up.wanted_c,
        flows=flows_at(set_up, set_up.wanted_c),
    )
    ends = np.cumsum([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
    names = "January February March April May June July August September October November December"
    figures, begun = [], 0
    for name, until in zip(names.split(), ends.tolist(), strict=True):
        here = (course.day[1:] > begun) & (course.day[1:] <= until)
        energy = float(course.power_w[here].sum()) * 0.001
        low = float(course.slurry_c[1:][here].min())
        figures.append(
            figure(
                name,
                f"{show(energy, 'energy', system=system)}",
                f"never below {show(low, 'temperature', system=system)}",
                equation="C dT/dt, hour by hour",
                by="lumped_balance",
            )
        )
        begun = until
    total = show(course.book.taken, "energy", system=system)
    return Section("A year", tuple(figures), before=(f"{total} in all.",))
