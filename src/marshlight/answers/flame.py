"""Will it burn, on what, for how long? A run's gas or any gas."""

from collections.abc import Mapping
from dataclasses import dataclass

from marshlight.answers.asked import Asked, Question, ask, attempt, read_span, span_words
from marshlight.answers.flame_burner import burner_of, conversion_section, new_burner_section
from marshlight.answers.flame_sketch import BurnerSketch, burner_sketch
from marshlight.answers.flame_uses import use_sections
from marshlight.answers.run_gas import RunGas, run_gas
from marshlight.answers.told import Answer, Figure, Section, figure
from marshlight.apparatus.burner import BurnerDesign, burning, jet_diameter_m, outlook
from marshlight.decide.safety import cautions_at
from marshlight.errors import InputError
from marshlight.matter.combustion import GasQuality, gas_quality
from marshlight.measure import FlameTest
from marshlight.measure.evidence import Mixture
from marshlight.measure.flame import OUTCOMES
from marshlight.notebook.models import Run
from marshlight.units import in_unit, show

QUESTIONS = (
    Question("methane", "methane in the gas", unit="%", usual="60 %", hint="One share, or a span."),
    Question("held", "gas at hand", "volume", "L", "10 L", "What the holder holds.", low=0.0),
    Question(
        "pressure",
        "gas pressure at the burner",
        "gauge_pressure",
        "mbar",
        "10 mbar",
        low=1e-3,
        high=10.0,
    ),
    Question(
        "flow", "gas the burner takes", "flow", "L/h", "450 L/h", low=0.001 * 24, high=20.0 * 24
    ),
    Question("water", "water to boil", "volume", "L", "1 L", low=0.0, high=1.0),
    Question("port", "bore of one port", "length", "mm", "5 mm", low=0.5e-3, high=10e-3),
    Question(
        "fuel",
        "burner was made for",
        usual="C3H8",
        choices=(("C3H8", "propane"), ("C4H10", "butane"), ("CH4", "natural gas")),
    ),
    Question("jet", "its jet's hole, if known", "length", "mm", low=0.1e-3, high=8e-3),
    Question(
        "made_for",
        "pressure it was made for, if known",
        "gauge_pressure",
        "mbar",
        low=0.1,
        high=10.0,
    ),
)
LOOK = (
    "Look at it in shade or at dusk, from the side, hair tied back: a biogas flame is hard to see"
    " in daylight.",
    "Without seeing it: a cold metal lid held well above on a long handle mists over, hot air"
    " shimmers, a pinch of salt dropped in glows yellow. Never find out with your hand.",
    "If you can't tell, shut the tap, wait a minute, and begin again.",
)
_SAID = {
    "will_not_light": "won't light",
    "lights_and_dies": "lights and dies",
    "holds": "holds a flame",
}


@dataclass(frozen=True)
class FlameTold:
    """The answer with the new burner's sketch; None where none can be sized."""

    answer: Answer
    sketch: BurnerSketch | None = None


def flame(typed: Mapping[str, str], *, run: Run | None = None, system: str = "metric") -> Answer:
    """Answer as ``flame_told`` does, without its sketch."""
    return flame_told(typed, run=run, system=system).answer


def flame_told(
    typed: Mapping[str, str], *, run: Run | None = None, system: str = "metric"
) -> FlameTold:
    """Answer "will it burn, on what, for how long?".

    Parameters
    ----------
    typed : mapping
        Fields of the form by name; empty for the usual, or a run's own, values.
    run : Run, optional
        Whose gas.
    system : str
        "metric" or "us".

    Returns
    -------
    FlameTold
        With the problems of fields that can't be used.
    """
    own = None if run is None else run_gas(run)
    asked = ask(QUESTIONS, typed, known=_known(own))
    problems = dict(asked.problems)
    span = attempt(problems, "methane", lambda: _span(asked))
    sections: tuple[Section, ...] = ()
    made = None
    sentence = "Something typed cannot be used; the reason stands beside its field."
    if not problems and span is not None:
        gas_c = 20.0 if own is None else own.gas_c
        air_kpa = 101.325 if own is None else own.pressure_kpa
        middle = 0.5 * (span[0] + span[1])
        gas = gas_quality(
            middle,
            temperature_c=gas_c,
            pressure_kpa=air_kpa + asked.number("pressure"),
        )
        made = attempt(problems, "port", lambda: burner_of(asked, gas))
        sections = _sections(asked, span, gas, problems, made=made, system=system, own=own)
        sentence = _sentence(span, asked, own, gas.relative_density, system=system)
    answer = Answer.to_form(
        asked,
        problems,
        run,
        key="flame",
        title="Will it burn?",
        sentence=sentence,
        cautions=cautions_at("page:flame"),
        sections=sections,
        notes=_notes(own),
    )
    return FlameTold(answer, None if made is None else burner_sketch(made))


def _known(own: RunGas | None) -> dict[str, str]:
    if own is None:
        return {}
    known = {"methane": span_words(own.methane.low, own.methane.high)}
    if own.held_m3 is not None:
        known["held"] = show(max(own.held_m3, 0.0), "volume")
    if own.gauge_kpa is not None:
        known["pressure"] = show(own.gauge_kpa, "gauge_pressure", unit="mbar")
    return known


def _notes(own: RunGas | None) -> tuple[str, ...]:
    if own is None:
        return ()
    notes = []
    if not own.methane_tested:
        notes.append("The gas was not tested yet: the span of methane is what biogas may be.")
    if own.held_m3 is None:
        notes.append("The holder was not read: 10 L at hand is only an example.")
    if own.gauge_kpa is None:
        notes.append("The holder's pressure is not known: 10 mbar is only an example.")
    return tuple(notes)


def _span(asked: Asked) -> tuple[float, float]:
    low, high = read_span(str(asked.values["methane"] or ""), "methane in the gas")
    if high < 0.01:
        raise InputError(
            "methane in the gas",
            f"{100 * high:g} %",
            "1 % and more",
            "Gas without methane can't burn",
        )
    return low, high


def _sections(
    asked: Asked,
    span: tuple[float, float],
    gas: GasQuality,
    problems: dict[str, InputError],
    *,
    made: BurnerDesign | None,
    system: str,
    own: RunGas | None,
) -> tuple[Section, ...]:
    told = [
        _will_it_burn(span, own, system),
        *use_sections(asked, span, gas, system),
        None if "port" in problems else new_burner_section(made, asked, gas),
        attempt(problems, "jet", lambda: conversion_section(asked, gas, system)),
        _the_gas(gas, system),
    ]
    return tuple(section for section in told if section is not None)


def _sentence(
    span: tuple[float, float], asked: Asked, own: RunGas | None, density: float, *, system: str
) -> str:
    low, high = (outlook(end) for end in span)
    seen = f"Methane {span_words(*span)}: "
    said = low.sentence if low.word == high.word else _between(low.word, high.word)
    tested = ""
    if own is not None and own.flame in _SAID:
        tested = f" The last flame test: {_SAID[str(own.flame)]}."
    held = show(asked.number("held"), "volume", system=system, digits=2)
    minutes = asked.number("held") / (asked.number("flow") / 24.0) * 60.0
    lasts = ""
    if high.word != "no":
        jet = jet_diameter_m(
            asked.number("flow") / 24.0,
            pressure_kpa=asked.number("pressure"),
            relative_density=density,
        )
        lasts = f" {held} would last {_time(minutes)} on a burner with a jet of {1e3 * jet:.1f} mm."
    return f"{seen}{said[0].lower()}{said[1:]}{tested}{lasts}"


def _between(low: str, high: str) -> str:
    words = {
        "no": "hold no flame",
        "weak": "burn weakly",
        "marginal": "only just hold",
        "yes": "hold a flame",
    }
    return f"It may {words[low]} or {words[high]}: test it before you count on it."


def _time(minutes: float) -> str:
    if minutes < 2.0:
        return f"{60.0 * minutes:.0f} s"
    return f"{minutes:.0f} min" if minutes < 120.0 else f"{minutes / 60.0:.1f} h"


def _will_it_burn(span: tuple[float, float], own: RunGas | None, system: str) -> Section:
    figures = [_expected_answers(span)]
    low, high = max(span[0], 0.30), span[1]
    if high >= 0.30:
        slow, fast = burning(low), burning(high)
        figures.append(
            figure(
                "burning velocity",
                f"{_ends(100 * slow.velocity_m_s, 100 * fast.velocity_m_s)} cm/s",
                f"computed, {_ends(100 * slow.of_methane, 100 * fast.of_methane)} % of"
                " methane's; a flame holds where the gas leaves no faster than it burns",
                equation="flat flame in the air it needs, 25 °C",
                by="flame_speed_computed gri_mech_3",
            )
        )
        figures.append(
            figure(
                "hottest flame",
                _hot(slow.flame_c, fast.flame_c, system),
                "no heat lost",
                equation="adiabatic, just enough air",
                by="flame_speed_computed gri_mech_3",
            )
        )
    said = [
        figure(
            f"at {100 * end:.0f} % methane",
            outlook(end).sentence,
            equation="bands of methane share",
            by="gtz_flame_50 harris_biogas_safety flame_bands",
        )
        for end in dict.fromkeys(span)
    ]
    if own is not None and own.flame in _SAID:
        said.append(
            figure(
                "last flame test",
                _SAID[str(own.flame)],
                equation="as it was written down",
                by="flame_practice",
            )
        )
    return Section("Will it light and hold?", (*said, *figures), after=LOOK)


def _ends(low: float, high: float) -> str:
    """Write a span without repeating one number."""
    few, many = f"{low:.0f}", f"{high:.0f}"
    return few if few == many else f"{few} to {many}"


def _hot(low_c: float, high_c: float, system: str) -> str:
    """Write flame temperatures, no closer than they are known."""
    ends = [f"{in_unit(c, 'degF' if system == 'us' else 'degC', 'temperature'):.2e}"
            for c in (low_c, high_c)]  # fmt: skip
    few, many = (f"{float(end):.0f}" for end in ends)
    return f"{few if few == many else f'{few} to {many}'} {'°F' if system == 'us' else '°C'}"


def _expected_answers(span: tuple[float, float]) -> Figure:
    """Say how often each of the three flame answers is to be expected over the span."""
    import numpy as np

    share = np.linspace(span[0], span[1], 21)
    gas = Mixture(share, 1.0 - share, np.zeros_like(share))
    chance = {
        word: float(np.mean(np.exp(FlameTest(word).log_likelihood(gas, 1.0)))) for word in OUTCOMES
    }
    text = ", ".join(f"{_SAID[word]} {100 * chance[word]:.0f} %" for word in OUTCOMES)
    return figure(
        "of a hundred flame tests",
        text,
        "wind, a wet or a wrong jet are among them",
        equation="logistic about 35 and 50 % methane",
        by="flame_practice",
    )


def _the_gas(gas: GasQuality, system: str) -> Section:
    return Section("The gas as a fuel", (*_heat(gas), *_other(gas, system)))


def _heat(gas: GasQuality) -> tuple[Figure, ...]:
    """Give its heat, each time with the reference state."""
    return (
        figure(
            "net heat, 15 °C / 15 °C, dry",
            f"{gas.net_mj_m3:.1f} MJ/m³",
            "combustion / volume at 101.325 kPa; the water leaves as vapour",
            equation="x ΔH / V",
            by="iso_6976_2016",
        ),
        figure(
            "gross heat, 15 °C / 15 °C, dry",
            f"{gas.gross_mj_m3:.1f} MJ/m³",
            equation="x ΔH gross / V",
            by="iso_6976_2016",
        ),
        figure(
            "net heat, 25 °C / 0 °C, dry",
            f"{gas.net_normal_kwh_m3:.2f} kWh/m³",
            "the usual normal cubic metre",
            equation="x ΔH / V, real gas",
            by="iso_6976_2016",
        ),
        figure(
            "net heat as it is, moist",
            f"{gas.net_as_is_mj_m3:.1f} MJ/m³",
            "at its own temperature and pressure",
            equation="dry heat × (p - p_sat) / p × 288.15 / T",
            by="iso_6976_2016 iapws_sr1_86",
        ),
        figure(
            "Wobbe index, gross / net, 15 °C / 15 °C",
            f"{gas.wobbe_gross_mj_m3:.1f} / {gas.wobbe_net_mj_m3:.1f} MJ/m³",
            "heat through one jet; natural gas has about 50",
            equation="heat / √density",
            by="iso_6976_2016",
        ),
    )


def _other(gas: GasQuality, system: str) -> tuple[Figure, ...]:
    """Give density, air and dew point."""
    rises = "rises" if gas.relative_density < 1.0 else "sinks"
    return (
        figure(
            "density over air's",
            f"{gas.relative_density:.2f}",
            f"dry; it {rises}, but treat every gas as able to do either",
            equation="M / 28.9626",
            by="coolprop_2014",
        ),
        figure(
            "density, moist",
            show(gas.density_kg_m3, "density", system=system),
            equation="p M / (R T), moist",
            by="iapws_sr1_86",
        ),
        figure(
            "air it needs",
            f"{gas.air_need_m3_m3:.1f} m³/m³",
            equation="2 x / 0.2095",
            by="iso_6976_2016 sasse_1991",
        ),
        figure(
            "dew point",
            show(gas.dew_point_c, "temperature", system=system),
            "colder pipes collect water: slope them to a trap",
            equation="where p_sat falls to the gas's own vapour",
            by="iapws_sr1_86",
        ),
    )
