"""Does it leak? A leak test from falling pressure or level, ready for page and terminal."""

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from marshlight.answers.asked import Asked, Question, ask, attempt
from marshlight.answers.run_gas import RunGas, run_gas
from marshlight.answers.told import Answer, Figure, Section, figure
from marshlight.apparatus import Holder
from marshlight.apparatus.floating import FloatingCylinder
from marshlight.apparatus.leak import LeakTest, leak_at_pressure, level_decay, pressure_decay
from marshlight.decide.safety import cautions_at, cautions_for
from marshlight.errors import InputError, require
from marshlight.estimate import Estimate
from marshlight.notebook.bridge import holder_of
from marshlight.notebook.models import Holder as HolderRow
from marshlight.notebook.models import Run
from marshlight.notebook.setting_up import found
from marshlight.units import parse, show, show_estimate, show_range

WAYS = (
    ("pressure", "falling pressure in a rigid space"),
    ("level", "a holder that sinks"),
)
QUESTIONS = (
    Question("way", "what is read", choices=WAYS, usual="pressure"),
    Question(
        "readings",
        "readings",
        hint="0 200; 6 188; 24 150: hours, then pressure over the air's (mm water) or holder level "
        "(mm); then, if read, gas temperature (°C) and barometer (kPa).",
        long=True,
    ),
    Question("space", "gas space shut in", "volume", "L", hint="For pressure.", low=1e-6),
    Question("holder", "holder", hint="For a level: its name."),
    Question("temperature", "gas at, where not read", "temperature", "degC", "20 °C", low=-30),
    Question("barometer", "air pressure, where not read", "pressure", "kPa", "101.3 kPa", low=50),
    Question("accepted", "leak that would not matter", "flow", "L/d", "0.2 L/d", low=1e-9,
             hint="Such as 2 % of a day's gas."),
    Question("made", "gas made meanwhile", "flow", "L/d", hint="Empty: the digester is shut off.",
             low=0.0),
    Question("working", "ordinary working pressure", "gauge_pressure", "mmH2O",
             hint="Says what the leak is in use.", low=0.0),
)  # fmt: skip
# What comes while testing is known no better than this: our choice.
_MADE_RELATIVE_U = 0.3
# A leak of this share of a day's gas does not matter: our choice.
_ACCEPTED = 0.02
_MOST_READINGS = 500


def leak(typed: Mapping[str, str], *, run: Run | None = None, system: str = "metric") -> Answer:
    """Answer "does it leak?".

    Parameters
    ----------
    typed : mapping
        Field name to text.
    run : Run, optional
        Whose holder, gas space and daily gas are taken.
    system : str
        "metric" or "us".

    Returns
    -------
    Answer
        The verdict first; without sections while a field cannot be used or nothing was read.
    """
    asked = ask(
        QUESTIONS, typed, known={} if run is None else _known(run_gas(run), system), system=system
    )
    problems = dict(asked.problems)
    result = None
    if not problems and str(asked.values["readings"] or "").strip():
        result = attempt(problems, "readings", lambda: _test(asked, problems))
    blank = Answer.to_form(
        asked,
        problems,
        run,
        key="leak",
        title="Does it leak?",
        sentence="Something typed cannot be used; the reason stands beside its field."
        if problems
        else "Leave the digester's relief free, shut the tap between it and what is tested, write "
        "down pressure or level with the time, and look again later.",
        cautions=(*cautions_at("log:leak"), *cautions_for(["pressure"])),
        sections=(),
    )
    if result is None:
        return blank
    test, mean_kpa = result
    return replace(
        blank,
        sentence=test.sentence,
        sections=(_section(test, mean_kpa, asked, system=system),),
        notes=_notes(asked),
    )


def _test(asked: Asked, problems: dict[str, InputError]) -> tuple[LeakTest, float] | None:
    rows = _rows(str(asked.values["readings"]), asked)
    hours, second, warm, air = (list(column) for column in zip(*rows, strict=True))
    made = asked.values["made"]
    shared: dict[str, Any] = {
        "gas_c": warm,
        "barometer_kpa": air,
        "allowed_m3_per_d": asked.number("accepted"),
        "made_m3_per_d": None if not made else Estimate(float(made), _MADE_RELATIVE_U * made),
    }
    if asked.values["way"] == "pressure":
        space = attempt(problems, "space", lambda: _space(asked))
        if space is None:
            return None
        test = pressure_decay(hours, second, volume_m3=space, **shared)
        return test, sum(second) / len(second)
    holder = attempt(problems, "holder", lambda: _holder(str(asked.values["holder"] or "")))
    if holder is None:
        return None
    volumes = [float(holder.gas_volume_m3(level)) for level in second]
    gauges = [float(holder.gauge_pressure_kpa(level)) for level in second]
    gauge = sum(gauges) / len(gauges)
    ruler = holder.area_m2 * holder.u_level_m
    test = level_decay(hours, volumes, gauge_kpa=gauge, u_volume_m3=ruler, **shared)
    return test, gauge


def _space(asked: Asked) -> float:
    require(
        asked.values["space"] is not None,
        field="gas space shut in",
        value="",
        allowed="a volume such as 8 L",
        remedy="Add up head-space, hoses and whatever else is shut in",
    )
    return asked.number("space")


def _holder(text: str) -> FloatingCylinder:
    rows = HolderRow.objects.in_use().filter(name__icontains=text.strip() or "?")
    require(
        rows.exists(),
        field="holder",
        value=text,
        allowed="the name of a floating cylinder that is set up",
        remedy="Name it, or set it up first",
    )
    holder: Holder = holder_of(found("holder", text))
    if not isinstance(holder, FloatingCylinder):
        raise InputError(
            "holder",
            text,
            "a floating cylinder",
            "Test other holders by pressure, with the gas space shut in",
        )
    return holder


def _rows(text: str, asked: Asked) -> list[tuple[float, float, float, float]]:
    lines = [line.strip() for line in re.split(r"[\n;]+", text) if line.strip()]
    require(
        len(lines) <= _MOST_READINGS,
        field="readings",
        value=len(lines),
        allowed=f"up to {_MOST_READINGS}",
        remedy="Leave some out",
    )
    return [_row(line, asked) for line in lines]


def _row(line: str, asked: Asked) -> tuple[float, float, float, float]:
    words = line.split("," if "," in line else None)
    require(
        2 <= len(words) <= 4,
        field="readings",
        value=line,
        allowed="two to four numbers to a line: hours, reading, gas temperature, barometer",
        remedy="Write for example 6 180 19.5 101.2",
    )
    hours = 24.0 * parse(words[0], "time", field="readings, hours", unit="h", minimum=0.0)
    if asked.values["way"] == "pressure":
        second = parse(words[1], "gauge_pressure", field="readings, pressure", unit="mmH2O")
    else:
        second = parse(words[1], "length", field="readings, level", unit="mm", minimum=0.0)
    warm, air = asked.number("temperature"), asked.number("barometer")
    if len(words) > 2:
        warm = parse(words[2], "temperature", field="readings, gas temperature", unit="degC")
    if len(words) > 3:
        air = parse(words[3], "pressure", field="readings, barometer", unit="kPa", minimum=50.0)
    return hours, second, warm, air


def _section(test: LeakTest, mean_kpa: float, asked: Asked, *, system: str) -> Section:
    equation = "n = (p - pw) V / (R T) at each reading; straight line by least squares"
    figures: list[Figure] = [
        figure(
            "leak",
            f"{show_estimate(test.leak_m3_per_d, 'flow', system=system)}",
            f"95 %, dry normal gas, at {show(mean_kpa, 'gauge_pressure', system=system)}",
            equation=equation,
            by="pressure_decay iapws_sr1_86",
        ),
        figure(
            "of the gas shut in",
            f"{test.share_per_d:.1%} a day",
            f"of {show(test.enclosed_m3, 'volume', system=system)}",
            equation="leak over gas at the start",
            by="pressure_decay",
        ),
        figure("verdict", test.verdict, equation="95 % interval beside what would not matter",
               by="pressure_decay"),
    ]  # fmt: skip
    working = asked.values["working"]
    if working and mean_kpa > 0.0 and test.leak_m3_per_d.value > 0.0:
        low, high = leak_at_pressure(test, tested_kpa=mean_kpa, working_kpa=float(working))
        figures.append(
            figure(
                "in ordinary use",
                show_range(low, high, "flow", system=system),
                f"at {show(float(working), 'gauge_pressure', system=system)}",
                equation="between the root of the pressure and in proportion to it",
                by="leak_scaling",
            )
        )
    return Section("What the readings say", tuple(figures))


def _notes(asked: Asked) -> tuple[str, ...]:
    notes = ["Find it with soapy water at joints, lid and tap, never with a flame."]
    if "\n" not in str(asked.values["readings"]) and ";" not in str(asked.values["readings"]):
        notes.append("One reading says nothing; write several, each with its time.")
    if asked.values["made"]:
        notes.append("What is made meanwhile counts as known within 30 %: shut it off instead.")
    return tuple(notes)


def _known(gas: RunGas, system: str) -> dict[str, str]:
    """Say what a run's records know, as it would be typed."""
    known = {}
    if gas.gas_space_m3 is not None:
        known["space"] = show(gas.gas_space_m3, "volume", system=system)
    if gas.run.holder is not None:
        known["holder"] = gas.run.holder.name
    known["temperature"] = show(gas.gas_c, "temperature", system=system)
    known["barometer"] = show(gas.pressure_kpa, "pressure", system=system)
    if gas.gas_m3_d:
        known["accepted"] = show(_ACCEPTED * gas.gas_m3_d, "flow", system=system)
    if gas.gauge_kpa is not None:
        # Written as it is typed: units are read with plain digits.
        shown = show(gas.gauge_kpa, "gauge_pressure", system=system)
        known["working"] = shown.replace("₂", "2")
    return known
