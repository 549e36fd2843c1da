"""The safety sheet of one run: its hazards in its own numbers, when to stop, who to ask."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from marshlight.answers.asked import Asked, Question, ask, attempt
from marshlight.answers.reader import in_reader_units
from marshlight.answers.room_words import ROOM_QUESTIONS, known_room, room_section
from marshlight.answers.run_gas import RunGas, run_gas
from marshlight.answers.told import Answer, Figure, Section, figure
from marshlight.decide.safety import (
    Refusal,
    Room,
    SafetySheet,
    SheetFacts,
    SheetNumber,
    StopCondition,
    refusal_of,
    refusals,
    safety_sheet,
)
from marshlight.notebook.bridge import always_on_c
from marshlight.notebook.models import Person, Run
from marshlight.units import show, show_range

QUESTIONS = (
    Question("people", "who is near it", hint="By role, such as keeper, pupils."),
    Question("act", "something you mean to do", hint="In plain words; some acts are refused."),
    *ROOM_QUESTIONS,
)

_TEXTS = ("act", "says", "why", "instead")


@dataclass(frozen=True)
class SafetySheetPage:
    """The answer, the sheet itself, what was refused, and all refusals."""

    answer: Answer
    sheet: SafetySheet
    stops: tuple[StopCondition, ...]
    materials: tuple[str, ...]
    people: tuple[str, ...]
    asked_act: str
    refused: Refusal | None
    refusals: tuple[Refusal, ...]


def safety_sheet_page(
    typed: Mapping[str, str], *, run: Run | None = None, system: str = "metric"
) -> SafetySheetPage:
    """Write the safety sheet of a run, or the general one.

    Parameters
    ----------
    typed : mapping
        Room, leak, people, and an act to ask about.
    run : Run, optional
        Whose sheet.
    system : str
        "metric" or "us".

    Returns
    -------
    SafetySheetPage
        Everything to print, and what is refused.
    """
    own = None if run is None else run_gas(run)
    asked = ask(QUESTIONS, typed, known=_known(own))
    problems = dict(asked.problems)
    facts = _facts(own, asked)
    sheet = safety_sheet(facts)
    span = (0.5, 0.7) if own is None else (own.methane.low, own.methane.high)
    room = None
    if not problems:
        room = attempt(problems, "leak", lambda: room_section(asked, span, system, brief=True))
    act = str(asked.values.get("act") or "")
    met = refusal_of(act) if act else None
    answer = Answer.to_form(
        asked,
        problems,
        run,
        key="safety-sheet",
        title="Safety sheet" if run is None else f"Safety sheet: {run.name}",
        sentence=_sentence(sheet),
        cautions=sheet.cautions,
        sections=tuple(s for s in (_numbers(sheet, system), room) if s is not None),
        notes=tuple(f"Not known: {words}." for words in sheet.unknown),
    )
    return SafetySheetPage(
        answer,
        sheet,
        tuple(StopCondition(in_reader_units(stop.when, system), stop.then) for stop in sheet.stops),
        facts.materials,
        facts.people,
        act,
        None if met is None else _spoken(met, system),
        tuple(_spoken(refusal, system) for refusal in refusals().values()),
    )


def _spoken(refusal: Refusal, system: str) -> Refusal:
    """Write a refusal in the reader's units."""
    texts = {name: in_reader_units(getattr(refusal, name), system) for name in _TEXTS}
    return replace(refusal, **texts)


def _known(own: RunGas | None) -> dict[str, str]:
    if own is None:
        return {}
    known = known_room(own.run.site)
    if own.gas_m3_d:
        known["leak"] = show(own.gas_m3_d, "flow", unit="L/h")
    if own.h2s is not None:
        known["h2s"] = f"{1e6 * own.h2s:.0f} ppm"
    names = Person.objects.in_use().order_by("name").values_list("name", flat=True)
    known["people"] = ", ".join(names)
    return known


def _facts(own: RunGas | None, asked: Asked) -> SheetFacts:
    people = tuple(p.strip() for p in str(asked.values.get("people") or "").split(",") if p.strip())
    room = None
    if "room" in asked.values and "changes" in asked.values:
        room = Room(asked.number("room"), asked.number("changes"))
    if own is None:
        return SheetFacts("any vessel", room=room, people=people)
    parts = [part for charge in own.analysis.records.charges for part in charge.parts]
    stocks = {part.feedstock.name: part.feedstock for part in parts}
    heater = own.run.heater
    return SheetFacts(
        name=own.run.name,
        materials=tuple(stocks),
        hazards=tuple(dict.fromkeys(h for s in stocks.values() for h in s.hazards)),
        slurry_m3=own.analysis.slurry_m3,
        gas_space_m3=own.gas_space_m3,
        holder_m3=own.holder_m3,
        gas_m3_d=own.gas_m3_d,
        methane=own.methane.value if own.methane_tested else None,
        h2s=own.h2s if own.h2s is not None else asked.values.get("h2s"),
        slurry_c=own.slurry_c,
        heater_w=None if heater is None else heater.power_w,
        protection="" if heater is None else heater.protection,
        stuck_c=always_on_c(own.run),
        relief=own.run.vessel.relief,
        relief_m=own.run.vessel.relief_depth_m,
        outlet=own.run.site.gas_let_out,
        room=room,
        people=people,
    )


def _sentence(sheet: SafetySheet) -> str:
    worst = sheet.cautions[0].text
    return f"{worst} Hang this sheet where the vessel stands; local law decides over it."


def _numbers(sheet: SafetySheet, system: str) -> Section:
    figures = tuple(_figure(number, system) for number in sheet.numbers)
    return Section("In its own numbers", figures)


def _figure(number: SheetNumber, system: str) -> Figure:
    if isinstance(number.value, tuple):
        value = show_range(*number.value, number.quantity, system=system)
    else:
        value = show(number.value, number.quantity, system=system, digits=2)
    return figure(number.name, value, number.note, equation=number.equation, by=number.source)
