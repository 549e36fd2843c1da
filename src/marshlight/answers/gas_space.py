"""Is it explosive in there? The way of the gas space on the triangle, and what opening does."""

from collections.abc import Mapping
from dataclasses import dataclass

from marshlight.answers.asked import Asked, Question, ask, attempt, read_span, span_words
from marshlight.answers.gas_space_path import KINDS, RunPaths, run_paths, whole_range
from marshlight.answers.gas_space_words import (
    boundary_section,
    first_section,
    inside_section,
    opening_section,
    worst,
)
from marshlight.answers.room_words import ROOM_QUESTIONS, room_section
from marshlight.answers.run_gas import RunGas, run_gas
from marshlight.answers.told import Answer, Section
from marshlight.answers.triangle import TrianglePicture, triangle
from marshlight.decide.safety import GasPath, cautions_at, gas_space_path
from marshlight.notebook.models import Run
from marshlight.units import show

QUESTIONS = (
    Question(
        "methane", "methane in the gas made", unit="%", usual="50 to 65 %", hint="Without air."
    ),
    Question("space", "gas space above the slurry", "volume", "L", "8 L", low=1e-6, high=1e5),
    Question("made", "gas made since it was closed", "volume", "L", "20 L", low=0.0, high=1e6),
    *ROOM_QUESTIONS,
)


@dataclass(frozen=True)
class GasSpace:
    """The answer with its picture; None where something typed can't be used."""

    answer: Answer
    picture: TrianglePicture | None


def gas_space(
    typed: Mapping[str, str], *, run: Run | None = None, system: str = "metric"
) -> GasSpace:
    """Answer "is it explosive in there?".

    Parameters
    ----------
    typed : mapping
        Fields of the form by name.
    run : Run, optional
        Whose gas space; then its own log gives the way, unless gas is typed.
    system : str
        "metric" or "us".

    Returns
    -------
    GasSpace
        Cautions first; no word in it means safe.
    """
    own = None if run is None else run_gas(run)
    asked = ask(QUESTIONS, typed, known=_known(own))
    problems = dict(asked.problems)
    span = attempt(
        problems,
        "methane",
        lambda: read_span(str(asked.values["methane"] or ""), "methane in the gas made"),
    )
    sections: tuple[Section, ...] = ()
    sentence = "Something typed cannot be used; the reason stands beside its field."
    picture = None
    seen = None
    if not problems and span is not None:
        seen = None if own is None or "made" in typed else run_paths(own)
        paths = _typed_paths(asked, span) if seen is None else seen.paths
        sections = _sections(asked, span, paths, seen, problems, system=system)
        sentence = _sentence(paths, seen)
        likely = paths[len(paths) // 2]
        labels = _labels(paths)
        picture = triangle(paths, labels, now=likely.last, start_words="air")
    answer = Answer.to_form(
        asked,
        problems,
        run,
        key="gas-space",
        title="Is it explosive in there?",
        sentence=sentence,
        cautions=cautions_at("page:gas_space"),
        sections=sections,
        notes=_notes(own, seen),
    )
    return GasSpace(answer, picture)


def _labels(paths: tuple[GasPath, ...]) -> tuple[str, ...]:
    return KINDS if len(paths) == len(KINDS) else ("this gas",)


def _known(own: RunGas | None) -> dict[str, str]:
    if own is None:
        return {}
    share = whole_range(own)
    known = {"methane": span_words(share.low, share.high)}
    if own.gas_space_m3 is not None:
        known["space"] = show(own.gas_space_m3, "volume")
    ledger = own.analysis.ledger
    if ledger is not None and ledger.day.size > 1:
        known["made"] = show(max(ledger.total.value, 0.0), "volume")
    if own.gas_m3_d:
        known["leak"] = show(own.gas_m3_d, "flow", unit="L/h")
    if own.h2s is not None:
        known["h2s"] = f"{1e6 * own.h2s:.0f} ppm"
    return known


def _typed_paths(asked: Asked, span: tuple[float, float]) -> tuple[GasPath, ...]:
    """Follow gas of a steady make-up, at both ends and in the middle of what is known."""
    turns = asked.number("made") / asked.number("space")
    low, high = span
    shares = (low,) if low == high else (low, 0.5 * (low + high), high)
    return tuple(gas_space_path([0.0, 1.0], [0.0, turns], [x, x]) for x in shares)


def _sections(
    asked: Asked,
    span: tuple[float, float],
    paths: tuple[GasPath, ...],
    seen: RunPaths | None,
    problems: dict[str, object],
    *,
    system: str,
) -> tuple[Section, ...]:
    labels = _labels(paths)
    space = asked.number("space")
    made = [
        inside_section(paths, labels, by_days=seen is not None),
        opening_section(paths, labels, space, system),
        first_section(span, space, system),
        attempt(problems, "leak", lambda: room_section(asked, span, system)),  # type: ignore[arg-type]
        boundary_section(),
    ]
    return tuple(section for section in made if section is not None)


def _sentence(paths: tuple[GasPath, ...], seen: RunPaths | None) -> str:
    word = worst([path.last.word for path in paths])
    crossed = any(path.spans for path in paths)
    if seen is not None and seen.foreseen:
        return (
            "No gas was read yet. By what is foreseen its gas space will pass through explosive"
            " mixtures: treat the inside as explosive."
        )
    if word == "explosive":
        return "The gas inside is explosive by these figures: keep it closed and every spark away."
    if word == "uncertain":
        return "The gas inside may be explosive: sources disagree here. Treat it as explosive."
    if word == "too rich":
        way = (
            "It passed through explosive mixtures to get there, and opening it"
            if crossed
            else ("Opening it")
        )
        return (
            "By these figures the gas inside is now too rich to burn as it is."
            f" {way} walks back through them: treat the inside as explosive."
        )
    if word == "too little gas":
        return (
            "There is little gas inside yet: the way ahead leads through explosive mixtures. Treat"
            " the inside as explosive."
        )
    return (
        "By these figures there is too much carbon dioxide inside to burn; they may be wrong and"
        " richer gas follows. Treat the inside as explosive."
    )


def _notes(own: RunGas | None, seen: RunPaths | None) -> tuple[str, ...]:
    if own is None:
        return ()
    notes = []
    if seen is None:
        notes.append(
            "The run's own way is not known: its gas space or its gas is missing. Figures typed"
            " here are reckoned with instead."
        )
    else:
        if seen.opened_day is not None:
            notes.append(
                f"The seal stood open on day {seen.opened_day:.1f}: from there the inside is"
                " reckoned as air again."
            )
        if not seen.tested:
            notes.append("The gas was not tested yet: poor, likely and rich gas lie far apart.")
        notes.append(
            "Drawing slurry off sucks gas, or air, back in; that is not in the path. Oxygen that"
            " the slurry takes up is not reckoned either."
        )
    return tuple(notes)
