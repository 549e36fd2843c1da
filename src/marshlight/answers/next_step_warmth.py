"""Heat or insulate: the section of the best next step."""

from marshlight.answers.heat_parts import flows_at
from marshlight.answers.heat_reading import HeatSetUp
from marshlight.answers.simulate_lives import Grounds
from marshlight.answers.simulate_words import MODEL
from marshlight.answers.told import Section, figure
from marshlight.apparatus.heat import losses
from marshlight.decide.safety import all_cautions
from marshlight.decide.watch.steps import Place, Warmer, warmer
from marshlight.units import show

_KG_M3 = 1000.0
_DAY_KWH_PER_W = 0.024
# A wrap of usual foam, where there is none yet; else as much again (as the heat page's change).
_WRAP_M = 0.04


def weigh(grounds: Grounds, set_up: HeatSetUp, *, kelvin: float, seed: int) -> Warmer:
    """Weigh some kelvin more, or less where the model's microbes would not bear it."""
    from_c = grounds.past.celsius
    return warmer(
        grounds.lives,
        grounds.log,
        Place(set_up.body, set_up.usual, flows_at(set_up, from_c)),
        from_c=from_c,
        kelvin=kelvin,
        slurry_kg=_KG_M3 * grounds.past.liquid_m3,
        seed=seed,
    )


def warmth_section(found: Warmer, set_up: HeatSetUp, system: str) -> Section:
    """Tell what each kelvin gives and takes, and what a wrap saves."""

    def daily(kwh: float) -> str:
        held = max(kwh, 0.0)
        unit = None if held >= 0.1 else "Wh"
        return f"{show(held, 'energy', system=system, unit=unit, digits=2)} a day"

    low, middle, high = found.gas_kwh_d
    bare, wrapped = (
        losses(body, found.from_c, set_up.usual, flows_at(set_up, found.from_c)).total_w
        for body in (set_up.body, _wrapped(set_up).body)
    )
    saved = max(bare - wrapped, 0.0) * _DAY_KWH_PER_W
    figures = (
        figure(
            f"gas gained by {found.kelvin:.3g} K more",
            _signed_span(low, middle, high),
            f"{_signed(found.gain_kwh_d_k)} a day for each kelvin; net heating value of its"
            " methane",
            by=f"{MODEL} iso_6976_2016 rosso_1993",
        ),
        figure(
            "heat that takes",
            daily(found.heat_kwh_d),
            f"{daily(found.heat_kwh_d_k)} for each kelvin, and"
            f" {show(found.once_kwh, 'energy', system=system, digits=2)} once to get there",
            equation="losses at the warmer slurry less losses now",
            by="lumped_balance water_heat",
        ),
        figure("heat it takes as it is", daily(found.held_kwh_d), by="lumped_balance"),
        figure(
            _wrap_words(set_up, system),
            f"saves {daily(saved)}",
            "at the present temperature, without any running cost",
            by="lumped_balance",
        ),
        figure("risk of souring warmer", found.risk.words, f"as it is: {found.risk_as_it_is.words}",
               by=MODEL),
    )  # fmt: skip
    return Section(
        "Heat or insulate",
        figures,
        before=(verdict_words(found, saved, set_up),),
        after=(
            "In a batch warmth brings gas earlier rather than more of it. Bought electricity is"
            " worth more than the same energy as gas. Never more than a degree or two a day.",
        ),
        warning=all_cautions()["mains_heater"].text,
    )


def verdict_words(found: Warmer, saved_kwh_d: float, set_up: HeatSetUp) -> str:
    """Say plainly whether it pays."""
    insulate = ""
    if set_up.heater.kind == "none":
        insulate = " Without a heater a wrap evens out day and night; it does not warm."
    elif saved_kwh_d > 0.0:
        insulate = " Insulate before heating more: that saves at once."
    if found.verdict == "pays":
        return f"Warmer pays: the gas it brings holds more energy than the heat takes.{insulate}"
    if found.verdict == "cannot be told":
        return (
            "Whether warmer pays cannot be told: in some lives the gas is worth the heat, in others"
            f" it is not.{insulate}"
        )
    return f"Heating costs more than it gives: more heat goes in than gas comes of it.{insulate}"


def _wrapped(set_up: HeatSetUp) -> HeatSetUp:
    now = set_up.wrap.side[0].thickness_m if set_up.wrap.side else 0.0
    return set_up.insulated(2.0 * now if now > 0.0 else _WRAP_M)


def _wrap_words(set_up: HeatSetUp, system: str) -> str:
    now = set_up.wrap.side[0].thickness_m if set_up.wrap.side else 0.0
    if now > 0.0:
        return "as much insulation again"
    return f"a wrap of {show(_WRAP_M, 'length', system=system, digits=2)}"


def _signed_span(low: float, middle: float, high: float) -> str:
    """Write a gain of a day with its span, all in the unit that suits the largest."""
    unit, per = ("kWh", 1.0) if max(abs(low), abs(high)) >= 0.1 else ("Wh", 1000.0)
    return f"{per * middle:+.2g} {unit} a day ({per * low:+.2g} to {per * high:+.2g} {unit})"


def _signed(kwh: float) -> str:
    """Write a gain or loss, small ones in watt-hours."""
    return f"{kwh:+.2g} kWh" if abs(kwh) >= 0.1 else f"{1000.0 * kwh:+.2g} Wh"
