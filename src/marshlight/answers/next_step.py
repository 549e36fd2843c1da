"""The best next step for a run: feed, draw off and refill, dose, warm; by its lives."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from marshlight.answers.analysis import Analysis
from marshlight.answers.asked import Asked, Question
from marshlight.answers.heat_known import known_of
from marshlight.answers.heat_reading import heat_form
from marshlight.answers.next_step_dose import dose_section, give_words
from marshlight.answers.next_step_feed import (
    Fed,
    each_time,
    feed_section,
    flow,
    flow_unit,
    often,
    rations,
)
from marshlight.answers.next_step_refill import due_words, refill_section
from marshlight.answers.next_step_warmth import warmth_section, weigh
from marshlight.answers.reader import in_reader_units
from marshlight.answers.simulate import ground_section
from marshlight.answers.simulate_lives import Grounds, grounds_of, seed_of
from marshlight.answers.simulate_opened import SETTLED, Opened, opened
from marshlight.answers.simulate_try import Larder, fresh_of
from marshlight.answers.stopping import still_wanted
from marshlight.answers.told import Answer, Section
from marshlight.answers.words import SECONDS_A_DAY
from marshlight.decide.watch.steps import (
    DosePlan,
    RefillPlan,
    dose_plan,
    liquor_now,
    refill_plan,
    sodium_kg_m3,
)
from marshlight.errors import InputError, MarshlightError
from marshlight.notebook.models import Run
from marshlight.units import show

PARTS = 6
# A reading older than this says little of an acid that rises by the day: our choice, as in advice.
_FRESH_D = 2.0
Progress = Callable[[int, int], None]


@dataclass(frozen=True)
class _Asked:
    """What was asked: the lot, the risk that is borne, what is at hand, refill and warmth."""

    lot: str
    limit: float
    stock_kg: float | None
    refill: str
    kelvin: float


def next_step(
    typed: Mapping[str, str],
    *,
    run: Run,
    now: datetime,
    system: str = "metric",
    progress: Progress | None = None,
) -> Answer:
    """Answer "what is the best next step?".

    Parameters
    ----------
    typed : mapping
        ``lot``, ``risk``, ``at_hand``, ``refill``, ``warm`` as typed; what is missing is usual.
    run : Run
        Whose log is followed up to now.
    now : datetime
        The moment of asking.
    system : str
        "metric" or "us".
    progress : callable, optional
        Called with parts done and parts in all.

    Returns
    -------
    Answer
        Without figures where the log does not allow them, and says why.
    """
    begun = opened(
        typed,
        run=run,
        now=now,
        system=system,
        key="next-step",
        title="The best next step",
        questions=_questions,
    )
    told = begun.told
    if begun.asked.problems:
        return told
    if run.ended_at is not None and run.ended_at <= now:
        return replace(told, sentence="This run has ended: there is no next step to it.")
    if hasattr(run, "trial_bottle"):
        return replace(told, sentence=_IN_TRIAL)
    try:
        still_wanted()
        grounds = grounds_of(begun.analysis, now)
        return _whole(begun, grounds, _read(begun.asked), system=system, now=now, progress=progress)
    except MarshlightError as problem:
        return replace(told, sentence=f"The model cannot say. {problem}")


_IN_TRIAL = (
    "Leave it as it is: it is a bottle of a trial, and whatever is put in or taken out makes it"
    " another test than its replicates."
)


def _questions(larder: Larder) -> tuple[Question, ...]:
    lots = tuple((name, name) for name in larder.lots)
    charged = (("as charged", "as it was charged, without inoculum"),) if larder.charged else ()
    refills = (*charged, *lots) or (("water", "water"),)
    return (
        Question("lot", "what can be fed", choices=lots or (("", "nothing known"),),
                 usual=_usual(larder)),
        Question("risk", "risk of souring you would bear", "fraction", "%", "5 %",
                 low=0.005, high=0.5, hint="Over 30 days. A first run at it bears 2 to 5 %."),
        Question("at_hand", "at hand", "mass", "kg", low=0.0, high=1e6,
                 hint="Of what can be fed. Empty: no end of it."),
        Question("refill", "refill with", choices=refills, usual=refills[0][0]),
        Question("warm", "warmer by", "temperature_difference", "K", "5 K", low=0.5, high=40.0,
                 hint="To see whether heat pays."),
    )  # fmt: skip


def _usual(larder: Larder) -> str:
    """Take what it was fed last, else charged with, else the first at hand."""
    parts = larder.charged if larder.habit is None else larder.habit.charge.parts
    by_material = {feedstock.name: lot for lot, feedstock in reversed(larder.lots.items())}
    names = [by_material.get(part.feedstock.name) for part in parts]
    return next((name for name in names if name), next(iter(larder.lots), ""))


def _read(asked: Asked) -> _Asked:
    values = asked.values
    stock = values["at_hand"]
    return _Asked(
        str(values["lot"]),
        asked.number("risk"),
        None if stock is None else float(stock),
        str(values["refill"]),
        asked.number("warm"),
    )


def _whole(
    begun: Opened,
    grounds: Grounds,
    asked: _Asked,
    *,
    system: str,
    now: datetime,
    progress: Progress | None,
) -> Answer:
    told, analysis, larder = begun.told, begun.analysis, begun.larder
    seed, done = seed_of(told.run_id), _counter(progress)
    dose, dosed = _dose(analysis, grounds, asked, seed=seed, system=system, now=now)
    done()
    fresh, name = fresh_of(asked.refill, larder)
    refill = refill_plan(
        grounds.lives, grounds.log, fresh, level_m3=grounds.past.liquid_m3, limit=asked.limit,
        seed=seed, before_each=still_wanted,
    )  # fmt: skip
    done()
    fed = None
    if asked.lot:
        fed = rations(
            grounds, asked.lot, larder.lots[asked.lot], limit=asked.limit,
            stock_kg=asked.stock_kg, seed=seed, done=done,
        )  # fmt: skip
    warm = _warmth(analysis, grounds, asked, seed=seed, system=system)
    done()
    sections = [refill_section(refill, name, grounds.past.liquid_m3, system), dosed, warm]
    if fed is not None:
        sections.insert(0, feed_section(fed, system))
    rests = ground_section(analysis, grounds, system)
    sections.append(replace(rests, after=_WRONG))
    notes = (
        f"{len(grounds.lives)} lives, or an even pick of them where many courses are compared; "
        "in brackets where 95 of 100 lie.",
        *(in_reader_units(note, system) for note in grounds.notes),
    )
    sentence = _sentence(fed, refill, dose, system)
    if not grounds.calibrated:
        sentence = f"By the recipe alone, so only a guess. {sentence}"
    if begun.holds:
        sentence = f"{SETTLED}{sentence[:1].lower()}{sentence[1:]}"
    return replace(told, sentence=sentence, sections=tuple(sections), notes=notes)


_WRONG = (
    "A risk counts lives of this model; it is not the risk that the model is wrong. What sours only"
    " after the days looked at is not in it.",
)


def _counter(progress: Progress | None) -> Callable[[], None]:
    count = 0

    def done() -> None:
        nonlocal count
        still_wanted()
        count += 1
        if progress is not None:
            progress(min(count, PARTS), PARTS)

    return done


def _dose(
    analysis: Analysis,
    grounds: Grounds,
    asked: _Asked,
    *,
    seed: int,
    system: str,
    now: datetime,
) -> tuple[DosePlan, Section]:
    ph = _fresh(analysis, "ph", now)
    acids = _fresh(analysis, "acids", now)
    liquor = liquor_now(grounds.lives, grounds.log, ph=ph, acids_kg_m3=acids)
    plan = dose_plan(
        grounds.lives, grounds.log, liquor, liquid_m3=grounds.past.liquid_m3, limit=asked.limit,
        seed=seed, before_each=still_wanted,
    )  # fmt: skip
    if ph is None:
        read = f"pH {liquor.ph:.1f} by the model: read it before dosing, else a dose is a guess"
    else:
        read = f"pH {ph:.1f} as read"
    return plan, dose_section(
        plan, ph_read=read, sodium_kg_m3=sodium_kg_m3(grounds.lives), system=system
    )


def _fresh(analysis: Analysis, kind: str, now: datetime) -> float | None:
    reading = analysis.latest.get(kind)
    if reading is None or reading.value is None:
        return None
    age = (now - reading.at).total_seconds() / SECONDS_A_DAY
    return float(reading.value) if age <= _FRESH_D else None


def _warmth(
    analysis: Analysis, grounds: Grounds, asked: _Asked, *, seed: int, system: str
) -> Section:
    title = "Heat or insulate"
    _, set_up = heat_form({}, known=known_of(analysis.records.run, analysis, system))
    if set_up is None:
        return Section(title, (), ("Complete vessel and room on the heat page to weigh this.",))
    try:
        found = weigh(grounds, set_up, kelvin=asked.kelvin, seed=seed)
    except InputError as problem:
        return Section(title, (), (str(problem),))
    return warmth_section(found, set_up, system)


def _sentence(fed: Fed | None, refill: RefillPlan, dose: DosePlan, system: str) -> str:
    if dose.unfed.share > dose.limit:
        return (
            f"Do not feed: left alone it ends sour in {dose.unfed.words} lives."
            f" {give_words(dose, system)}"
        )
    said = [f"Left alone its risk of souring is {dose.unfed.words}."]
    unit = None if fed is None else flow_unit(fed, system)
    if fed is not None and unit is not None and fed.best.best.amount_kg > 0.0:
        best = fed.best
        said.append(
            f"It bears {each_time(fed, best.best.amount_kg, system, of=f' of {fed.name}')},"
            f" {often(best.every_d)}: methane {flow(best.best.burnable_m3_d, unit)} at a risk of"
            f" {best.best.risk.words}."
        )
    if refill.best is not None:
        gas = max(refill.best.mean_m3_d, 0.0)
        said.append(
            f"Or draw off {100.0 * refill.best.share:.0f} % and refill every"
            f" {refill.best.days:.0f} days, the first time {due_words(refill)}: "
            f"{show(gas, 'flow', system=system, unit=unit, digits=2)} of methane in the long run."
        )
    return " ".join(said)
