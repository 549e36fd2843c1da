"""Is it explosive in there? The way of the gas space on the triangle, and what opening does."""

from collections.abc import Mapping
from dataclasses import dataclass

from marshlight.answers.asked import Asked, Question, ask, attempt, read_span, span_words
from marshlight.answers.gas_space_path import KINDS, RunPaths, emptied_since, whole_range
from marshlight.answers.gas_space_run import BY, BY_MODEL, OwnWay, own_way
from marshlight.answers.gas_space_words import (
    Caught,
    boundary_section,
    first_section,
    holder_section,
    inside_section,
    opening_section,
    worst,
)
from marshlight.answers.room_chart import room_chart
from marshlight.answers.room_words import ROOM_QUESTIONS, known_room, room_section
from marshlight.answers.run_gas import RunGas, run_gas
from marshlight.answers.series import Chart
from marshlight.answers.told import Answer, Section
from marshlight.answers.triangle import Spot, TrianglePicture, triangle
from marshlight.decide.safety import GasPath, cautions_at, gas_space_path, holder_mixture
from marshlight.errors import InputError
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
RUN_QUESTIONS = (
    Question("by", "make-up of the gas from", choices=BY, usual=BY_MODEL,
             hint="The model where the log allows it."),
    *QUESTIONS,
)  # fmt: skip


@dataclass(frozen=True)
class GasSpace:
    """The answer with its picture and the room's air; None where something can't be used."""

    answer: Answer
    picture: TrianglePicture | None
    room: Chart | None = None


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
    known = _known(own)
    asked = ask(QUESTIONS if run is None else RUN_QUESTIONS, typed, known=known)
    problems = dict(asked.problems)
    span = attempt(
        problems,
        "methane",
        lambda: read_span(str(asked.values["methane"] or ""), "methane in the gas made"),
    )
    sections: tuple[Section, ...] = ()
    sentence = "Something typed cannot be used; the reason stands beside its field."
    picture = way = room = None
    if not problems and span is not None:
        if own is not None and not _replaced(typed, known):
            way = own_way(own, str(asked.values["by"]))
        seen = None if way is None else way.seen
        paths = _typed_paths(asked, span) if seen is None else seen.paths
        caught = _caught(own, paths, followed=seen is not None)
        sections = _sections(asked, span, paths, caught, problems, by_days=seen is not None,
                             system=system)  # fmt: skip
        if own is not None and way is not None and seen is not None:
            sections = (*sections, *way.sections(own, system))
        sentence = _sentence(paths, seen)
        picture = _picture(paths, seen, caught)
        room = attempt(problems, "leak", lambda: room_chart(asked, span))
    answer = Answer.to_form(
        asked,
        problems,
        run,
        key="gas-space",
        title="Is it explosive in there?",
        sentence=sentence,
        cautions=cautions_at("page:gas_space"),
        sections=sections,
        notes=_notes(own, way, system),
    )
    return GasSpace(answer, picture, room)


def _replaced(typed: Mapping[str, str], known: Mapping[str, str]) -> bool:
    """Say whether figures of the gas were typed that differ from the run's own."""
    own = ("methane", "space", "made")
    return any(name in typed and typed[name] != known.get(name, "") for name in own)


def _caught(own: RunGas | None, paths: tuple[GasPath, ...], *, followed: bool) -> Caught | None:
    """Give what the holder holds on each path; None where a run has none or nothing left."""
    if own is None or own.holder_m3 is None or not followed:
        return None
    day, passed = emptied_since(own, paths[0])
    try:
        held = tuple(holder_mixture(path, from_turnover=passed) for path in paths)
    except InputError:
        return None
    return Caught(held, day)


def _picture(
    paths: tuple[GasPath, ...], seen: RunPaths | None, caught: Caught | None
) -> TrianglePicture:
    likely = paths[len(paths) // 2]
    foreseen = seen is not None and seen.foreseen
    spots = ()
    if caught is not None and not foreseen:
        held = caught.held[len(caught.held) // 2]
        spots = (Spot("holder", held.co2, held.methane),)
    return triangle(
        paths,
        _labels(paths),
        now=likely.last,
        start_words="air",
        now_words="foreseen" if foreseen else "now",
        more=spots,
    )


def _labels(paths: tuple[GasPath, ...]) -> tuple[str, ...]:
    return KINDS if len(paths) == len(KINDS) else ("this gas",)


def _known(own: RunGas | None) -> dict[str, str]:
    if own is None:
        return {}
    share = whole_range(own)
    known = {"methane": span_words(share.low, share.high), **known_room(own.run.site)}
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
    caught: Caught | None,
    problems: dict[str, InputError],
    *,
    by_days: bool,
    system: str,
) -> tuple[Section, ...]:
    labels = _labels(paths)
    space = asked.number("space")
    made = [
        inside_section(paths, labels, by_days=by_days),
        None if caught is None else holder_section(caught),
        opening_section(paths, labels, space, system),
        first_section(span, space, system),
        attempt(problems, "leak", lambda: room_section(asked, span, system)),
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


def _notes(own: RunGas | None, way: OwnWay | None, system: str) -> tuple[str, ...]:
    if own is None:
        return ()
    seen = None if way is None else way.seen
    if way is None or seen is None:
        return (
            "The figures typed are reckoned with: the run's own way is replaced by them, or its"
            " gas space or gas is not known.",
        )
    notes = list(way.notes(system))
    if seen.opened_day is not None:
        notes.append(
            f"The seal stood open on day {seen.opened_day:.1f}: from there the inside is"
            " reckoned as air again."
        )
    if not seen.tested and way.model is None:
        notes.append("The gas was not tested yet: poor, likely and rich gas lie far apart.")
    notes.append(
        "Drawing slurry off sucks gas, or air, back in; that is not in the path. Oxygen that"
        " the slurry takes up is not reckoned either."
    )
    return tuple(notes)
