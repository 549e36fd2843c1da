"""What the gas at hand does: pots, meals, lamps, engines, as sections of the flame answer."""

from marshlight.answers.asked import Asked
from marshlight.answers.told import Figure, Section, figure
from marshlight.apparatus.burner import (
    POT_EFFICIENCY,
    GasUse,
    gas_for_water_m3,
    gas_uses,
    heat_input_w,
    hours_from,
)
from marshlight.matter.combustion import GasQuality
from marshlight.units import show, show_range

_COLD_C, _BOILING_C = 20.0, 100.0
_LEAST_ENGINE = 0.45


def use_sections(
    asked: Asked, span: tuple[float, float], gas: GasQuality, system: str
) -> tuple[Section, ...]:
    """Say what the gas at hand does.

    Parameters
    ----------
    asked : Asked
        Gas at hand, burner and water.
    span : tuple of float
        Methane share, low and high [-].
    gas : GasQuality
        The gas at the middle of the span.
    system : str
        "metric" or "us".

    Returns
    -------
    tuple of Section
        With the gas at hand; other uses.
    """
    held, flow, water = (asked.number(name) for name in ("held", "flow", "water"))
    litre = gas_for_water_m3(1.0, from_c=_COLD_C, to_c=_BOILING_C, net_mj_m3=gas.net_as_is_mj_m3)
    needed = litre * water * 1e3
    power = heat_input_w(flow / 24.0, net_mj_m3=gas.net_as_is_mj_m3)
    pot = 60.0 * needed / (flow / 24.0)
    at_hand = (
        figure(
            "burner runs for",
            _minutes(hours_from(held, flow / 24.0)),
            equation="gas / flow",
            by="gtz_gas_use",
        ),
        figure(
            "burner gives",
            show(power, "power"),
            "of which about half reaches the pot",
            equation="flow × net heat",
            by="iso_6976_2016 stove_efficiency_memory",
        ),
        figure(
            f"to boil {show(water, 'volume', system=system, digits=2)}",
            f"{show(needed, 'volume', system=system, digits=2)}, {_minutes(pot / 60.0)}",
            f"from {show(_COLD_C, 'temperature', system=system, digits=2)},"
            f" {100 * POT_EFFICIENCY:.0f} % into the pot; published: 30 to 40 L a litre",
            equation="m c ΔT / (η heat)",
            by="gtz_gas_use stove_efficiency_memory",
        ),
        figure(
            "water the gas at hand boils",
            show(held / litre / 1e3, "volume", system=system, digits=2),
            equation="gas / gas for a litre",
            by="stove_efficiency_memory",
        ),
    )
    uses = tuple(_use(use, held, system) for use in gas_uses().values() if use.key != "boil_litre")
    warning = ""
    if span[0] < _LEAST_ENGINE:
        warning = "An engine wants about 45 % methane and more; this gas may be too poor for it."
    after = (
        "A boiler or engine is a licensed fitter's work: flame guard, flue, sulphide taken out of"
        " the gas, exhaust led outdoors.",
    )
    return (
        Section("With the gas at hand", at_hand),
        Section("Lamps, meals, engines", uses, after=after, warning=warning),
    )


def _use(use: GasUse, held_m3: float, system: str) -> Figure:
    span = (
        show_range(24.0 * use.low, 24.0 * use.high, "flow", unit="L/h")
        if use.hourly
        else show_range(use.low, use.high, "volume", system=system)
    )
    if use.low == use.high:
        span = span.split(" to ")[1]
    few, many = held_m3 / use.high, held_m3 / use.low
    if use.hourly:
        ends = dict.fromkeys((_minutes(few), _minutes(many)))
        note = f"gas at hand lasts {' to '.join(ends)}"
    elif many >= 1.0:
        note = f"gas at hand is enough for {few:.1f} to {many:.1f}"
    else:
        note = f"gas at hand is {_percent(few, many)} of one"
    extra = f"; {use.note}" if use.note else ""
    return figure(use.name, span, f"{note}{extra}", equation="gas use as published", by=use.source)


def _percent(few: float, many: float) -> str:
    if many < 0.01:
        return "less than 1 %"
    ends = (f"{100 * few:.0f}", f"{100 * many:.0f}")
    return f"{ends[1]} %" if ends[0] == ends[1] else f"{ends[0]} to {ends[1]} %"


def _minutes(hours: float) -> str:
    if hours < 1.0 / 30.0:
        return f"{3600 * hours:.0f} s"
    return f"{60 * hours:.0f} min" if hours < 2.0 else f"{hours:.1f} h"
