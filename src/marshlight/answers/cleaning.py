"""How is the gas cleaned? Sulphide out by iron or a little air, washing, drying."""

import math
from collections.abc import Mapping

from marshlight.answers.asked import Asked, Question, ask, attempt
from marshlight.answers.gas_space_run import sulphide_by_model
from marshlight.answers.run_gas import RunGas, run_gas
from marshlight.answers.told import Answer, Figure, Section, figure
from marshlight.apparatus.cleaning import (
    REGENERATION_HAZARD,
    air_dose,
    dry_gas,
    iron_bed,
    scrub,
)
from marshlight.apparatus.cleaning.micro_aeration import LEAST_METHANE
from marshlight.decide.safety import (
    WIDEST,
    cautions_at,
    dilution_needed,
    exposure,
    exposure_limits,
)
from marshlight.errors import InputError
from marshlight.notebook.models import Run
from marshlight.units import show, show_range

QUESTIONS = (
    Question("gas", "gas a day", "flow", "L/d", "1 m3/d", low=1e-6, high=1e5),
    Question("h2s", "hydrogen sulphide in it", "fraction", "ppm", "2000 ppm", low=1e-6, high=0.05),
    Question("methane", "methane in it", "fraction", "%", "60 %", low=0.01, high=0.99),
    Question("days", "a bed is to last", "time", "d", "90 d", low=1.0, high=1000.0),
    Question("air", "air dose", "fraction", "%", "4 %", hint="Of the biogas.", low=0.0, high=1.0),
    Question("space", "gas space that is aerated", "volume", "L", "8 L", low=1e-6, high=1e5),
    Question(
        "warm", "gas leaves the slurry at", "temperature", "degC", "38 degC", low=-20.0, high=90.0
    ),
    Question(
        "cold", "coldest place of the pipe", "temperature", "degC", "15 degC", low=-20.0, high=90.0
    ),
    Question("water", "washing water is at", "temperature", "degC", "10 degC", low=1.0, high=60.0),
)


def cleaning(typed: Mapping[str, str], *, run: Run | None = None, system: str = "metric") -> Answer:
    """Answer "how is the gas cleaned?".

    Parameters
    ----------
    typed : mapping
        Fields of the form by name.
    run : Run, optional
        Whose gas.
    system : str
        "metric" or "us".

    Returns
    -------
    Answer
        A dose of more than 10 % air is refused beside its field.
    """
    own = None if run is None else run_gas(run)
    by_model = None if own is None or own.h2s is not None else sulphide_by_model(own)
    asked = ask(QUESTIONS, typed, known=_known(own, by_model), system=system)
    problems = dict(asked.problems)
    sections: tuple[Section, ...] = ()
    if not problems:
        made = [
            _sulphide(asked),
            attempt(problems, "h2s", lambda: _iron(asked, system)),
            attempt(problems, "air", lambda: _air(asked)),
            attempt(problems, "water", lambda: _washing(asked, system)),
            attempt(problems, "cold", lambda: _drying(asked, system)),
        ]
        sections = tuple(section for section in made if section is not None)
    return Answer.to_form(
        asked,
        problems,
        run,
        key="cleaning",
        title="How is the gas cleaned?",
        sentence=_sentence(asked, problems),
        cautions=cautions_at("page:cleaning"),
        sections=sections,
        notes=_notes(own, by_model),
    )


def _notes(own: RunGas | None, by_model: tuple[float, float, float] | None) -> tuple[str, ...]:
    if own is None or own.h2s is not None:
        return ()
    if by_model is None:
        return ("No hydrogen sulphide was read in this run: 2000 ppm is only an example.",)
    low, middle, high = (f"{float(f'{1e6 * share:.2g}'):.0f}" for share in by_model)
    return (
        f"No hydrogen sulphide was read in this run. The process model says {middle} ppm"
        f" ({low} to {high}); reckoned with is its upper end. It can be wrong tenfold, and stirring"
        " frees more: read a tube.",
    )


def _known(
    own: RunGas | None, by_model: tuple[float, float, float] | None = None
) -> dict[str, str]:
    if own is None:
        return {}
    known = {}
    if own.methane_tested:
        known["methane"] = f"{100 * min(max(own.methane.value, 0.01), 0.99):.0f} %"
    if own.gas_m3_d:
        known["gas"] = show(own.gas_m3_d, "flow")
    if own.h2s is not None:
        known["h2s"] = f"{1e6 * own.h2s:.0f} ppm"
    elif by_model is not None:
        known["h2s"] = f"{max(1e6 * by_model[2], 1.0):.0f} ppm"
    if own.gas_space_m3 is not None:
        known["space"] = show(own.gas_space_m3, "volume")
    if own.slurry_c is not None:
        known["warm"] = show(own.slurry_c, "temperature")
    return known


def _sentence(asked: Asked, problems: Mapping[str, InputError]) -> str:
    if asked.problems:
        return "Something typed cannot be used; the reason stands beside its field."
    if "air" in problems:
        return str(problems["air"].remedy) + "."
    ppm = 1e6 * asked.number("h2s")
    return (
        f"Gas with {ppm:.0f} ppm of hydrogen sulphide: an iron bed takes it out of a small plant's"
        " gas with least risk; air dosing needs a pump that cannot give too much."
    )


def _sulphide(asked: Asked) -> Section:
    share = asked.number("h2s")
    raw = exposure("H2S", share)
    limit = exposure_limits("H2S")[0]
    figures = (
        figure(
            "breathed raw",
            raw.effect or "it can be smelt",
            f"{raw.times_over:.0f} times the limit of {limit.ppm:g} ppm"
            f" ({limit.authority}, {limit.as_of})",
            equation="y / limit; effects as published",
            by=limit.source,
        ),
        figure(
            "fresh air to thin a litre of it to that limit",
            show(1e-3 * dilution_needed(share), "volume"),
            equation="y / limit - 1",
            by=limit.source,
        ),
        figure(
            "raw biogas usually holds", "80 to 4000 ppm", equation="as published", by="dti_2014"
        ),
    )
    return Section("What is in it", figures)


def _iron(asked: Asked, system: str) -> Section:
    days = asked.number("days")
    bed = iron_bed(asked.number("gas"), asked.number("h2s"), days=days)
    full = iron_bed(asked.number("gas"), asked.number("h2s"), days=days, used=1.0)
    bound = "its contact time of 60 s" if bed.bed_m3 > bed.by_capacity_m3 else "what it can hold"
    figures = (
        figure(
            "hydrogen sulphide a day",
            show(bed.h2s_kg_d, "mass", system=system),
            equation="p q y / (R T) M",
            by="codata_2018",
        ),
        figure(
            "bed of iron sponge",
            show(bed.bed_m3, "volume", system=system),
            f"bound by {bound}; half of its iron used",
            equation="m t / (0.640 × 140 kg/m³ × use)",
            by="iron_sponge_stoichiometry iron_sponge_design sponge_bed_memory",
        ),
        figure(
            "it lasts",
            f"{bed.life_d:.0f} days",
            f"at full use {full.life_d * bed.bed_m3 / full.bed_m3:.0f}; field beds with little iron"
            " took out 33 % on average",
            equation="bed's iron × use / sulphide a day",
            by="sponge_bed_memory energies_2020_4793",
        ),
        figure(
            "bore of the bed",
            show_range(bed.narrowest_m, bed.widest_m, "length", system=system),
            "gas passes at 0.6 to 3 m/min",
            equation="d = √(4 q / (π v))",
            by="iron_sponge_design abdel_aal_2003",
        ),
        figure(
            "or home-made iron filings",
            show(bed.filings_kg, "mass", system=system),
            "20 g of sulphur to 100 g; a third weaker after each regeneration, one or two of them",
            equation="sulphur a day × days / (20 g per 100 g)",
            by="maryland_iron_2018",
        ),
    )
    return Section("A bed of iron", figures, warning=REGENERATION_HAZARD)


def _air(asked: Asked) -> Section:
    methane = asked.number("methane")
    if methane < LEAST_METHANE:
        return Section(
            "A little air instead",
            warning=f"Not into gas of {100 * methane:.0f} % methane: a starting or failing digester"
            " may be near its explosive range already.",
        )
    dose = air_dose(asked.number("air"), h2s_share=asked.number("h2s"), methane=methane)
    figures = [
        figure(
            "air the sulphide needs",
            f"{100 * dose.needed_share:.2f} % of the biogas",
            "in theory; practice doses 2 to 6 %",
            equation="y / 2 / 0.2095",
            by="micro_aeration_stoichiometry zicari_2003",
        ),
        figure(
            "oxygen left in the gas",
            f"up to {100 * dose.oxygen_left:.1f} %",
            "the slurry takes up more",
            equation="0.2095 air - y / 2, over gas and air",
            by="micro_aeration_stoichiometry",
        ),
        figure(
            "methane afterwards",
            f"{100 * dose.methane_after:.0f} %",
            "nitrogen thins it",
            equation="x / (1 + air)",
            by="micro_aeration_stoichiometry",
        ),
        figure(
            "taken out, as published",
            "91.5 % in 2 h, 99.8 % in 4 h",
            "stay of the gas above the slurry",
            equation="as published",
            by="energies_2020_4793",
        ),
        _runs_on(asked),
    ]
    warning = (
        "A pump that runs on when the gas stops makes the gas space explosive: choose one that"
        " cannot give more than the dose, and stop it with the gas."
    )
    after = ("That is more than practice doses.",) if dose.unusual else ()
    return Section("A little air instead", tuple(figures), after=after, warning=warning)


def _runs_on(asked: Asked) -> Figure:
    """Say how soon the pump alone walks the gas space into the widest limits."""
    limits = WIDEST.gas_limits(asked.number("methane"))
    pump = asked.number("gas") * asked.number("air")
    if limits is None or pump <= 0.0:
        return figure("if the pump runs on alone", "nothing known", by="well_mixed_purge")
    share = 1.0 / (1.0 + asked.number("air"))
    hours = 24.0 * asked.number("space") / pump * math.log(share / limits[1])
    text = f"{hours:.0f} h" if hours < 72.0 else f"{hours / 24.0:.0f} days"
    return figure(
        "if the pump runs on alone, explosive after",
        text,
        "well mixed; sooner near the inlet",
        equation="V/q ln(g/g_U)",
        by="well_mixed_purge flame_temperature_envelope",
    )


def _washing(asked: Asked, system: str) -> Section:
    found = scrub(asked.number("methane"), temperature_c=asked.number("water"))
    low, high = found.real_water_m3
    figures = (
        figure(
            "water for 1 m³ of gas",
            show(found.least_water_m3, "volume", system=system),
            "at the least, at the pressure of the air",
            equation="y / V / (H y p)",
            by="iapws_g7_04",
        ),
        figure(
            "real columns take",
            show_range(low, high, "volume", system=system),
            equation="1.2 to 2 times the least",
            by="scrubber_memory",
        ),
        figure(
            "methane lost with it",
            f"{100 * found.methane_lost:.1f} %",
            equation="H(CH₄) / H(CO₂) × CO₂ ÷ CH₄",
            by="iapws_g7_04",
        ),
        figure(
            "gas after which a 2 L jar is used up",
            show(2e-3 * found.jar_gas_m3_per_m3, "volume", system=system, digits=2),
            "bubbling through a jar can't lift the methane share for long",
            equation="2 L / least water",
            by="iapws_g7_04",
        ),
    )
    return Section(
        "Washing carbon dioxide out with water",
        figures,
        after=(
            "The water gives it all off again, hydrogen sulphide and methane too: let it out"
            " outdoors only.",
        ),
    )


def _drying(asked: Asked, system: str) -> Section:
    dried = dry_gas(
        asked.number("gas"),
        from_c=asked.number("warm"),
        to_c=asked.number("cold"),
        days=asked.number("days"),
    )
    figures = (
        figure(
            "water it carries",
            f"{1e3 * dried.carried_kg_m3:.0f} g/m³",
            "per dry normal cubic metre",
            equation="p_sat / (p - p_sat) × M / V",
            by="iapws_sr1_86",
        ),
        figure(
            "drops out in the pipe",
            show(dried.condensate_kg_d, "mass", system=system) + " a day",
            "slope the pipe to a trap, whose leg is deeper than the gas pressure",
            equation="gas × (water warm - water cold)",
            by="iapws_sr1_86",
        ),
        figure(
            "silica gel for the rest",
            show(dried.silica_kg, "mass", system=system),
            f"for {asked.number('days'):.0f} days; dried again outdoors",
            equation="water left × days / what gel holds",
            by="silica_gel_memory",
        ),
    )
    return Section("Drying", figures)
