"""Is it clean enough for food crops? What law asks, and what digestion really does."""

from collections.abc import Mapping

from marshlight.answers.asked import Asked, Question, ask
from marshlight.answers.reader import in_reader_units
from marshlight.answers.run_gas import run_gas
from marshlight.answers.told import Answer, Section, figure
from marshlight.decide.safety import (
    cautions_at,
    crop_rules,
    germs,
    hold_time,
    log_reduction,
    refusals,
    treatments,
)
from marshlight.decide.safety.hygiene import LOWEST_C
from marshlight.errors import InputError
from marshlight.notebook.models import Run
from marshlight.units import show

# Falls were followed over a few powers of ten; beyond these a figure says nothing. Our choice.
_MOST_POWERS = 4.0
QUESTIONS = (
    Question("temperature", "slurry at", "temperature", "degC", "38 degC", low=0.0, high=95.0),
    Question("days", "it stays", "time", "d", "30 d", low=0.0, high=2000.0),
    Question(
        "way",
        "vessel",
        usual="fed",
        choices=(("fed", "stirred and fed"), ("batch", "batch, nothing added")),
    ),
    Question("hold", "held hot, every part", "time", "h", "0 h", low=0.0, high=1000.0),
    Question("solids", "solids (TS)", "fraction", "%", "5 %", low=0.0, high=0.4),
    Question("piece", "largest piece", "length", "mm", "12 mm", low=0.0, high=1.0),
)


def hygiene(typed: Mapping[str, str], *, run: Run | None = None, system: str = "metric") -> Answer:
    """Answer "is it clean enough for food crops?".

    Parameters
    ----------
    typed : mapping
        Fields of the form by name.
    run : Run, optional
        Whose slurry.
    system : str
        "metric" or "us".

    Returns
    -------
    Answer
        Below 50 degC no time is given by any rule.
    """
    known: dict[str, str] = {}
    if run is not None:
        own = run_gas(run)
        known["way"] = "batch" if run.mode == Run.Mode.BATCH else "fed"
        if own.slurry_c is not None:
            known["temperature"] = show(min(max(own.slurry_c, 0.0), 95.0), "temperature")
        known["days"] = f"{max(own.analysis.last_day, 0.0):.0f} d"
    asked = ask(QUESTIONS, typed, known=known, system=system)
    problems = dict(asked.problems)
    sections: tuple[Section, ...] = ()
    sentence = "Something typed cannot be used; the reason stands beside its field."
    if not problems:
        sections = (_rules(asked, system), _germs(asked, system), _crops(), _by_products())
        sentence = _sentence(asked, system)
    return Answer.to_form(
        asked,
        problems,
        run,
        key="hygiene",
        title="Is it clean enough for food crops?",
        sentence=sentence,
        cautions=cautions_at("page:hygiene"),
        sections=sections,
    )


def _sentence(asked: Asked, system: str) -> str:
    celsius = asked.number("temperature")
    at = show(celsius, "temperature", system=system)
    if celsius < LOWEST_C:
        return (
            f"No: at {at} no rule calls slurry hygienic, however long it stays. Keep digestate off"
            " what is eaten raw."
        )
    if any(_met(asked)):
        return (
            f"The hold of {show(asked.number('hold'), 'time', unit='h')} at {at} reaches the"
            " figures of a rule below. Whether it counts, your authority says: it asks for proof"
            " that no part was colder or shorter, records and lab tests."
        )
    return f"Not by any rule below: the hold at {at} is too short, or the pieces too large."


def _met(asked: Asked) -> list[bool]:
    celsius, hours = asked.number("temperature"), 24.0 * asked.number("hold")
    found = [t.met_by(celsius, hours, asked.number("piece")) for t in treatments()]
    asked_d = hold_time(celsius, solids=asked.number("solids")).asked_d
    return [*found, hours / 24.0 >= asked_d]


def _rules(asked: Asked, system: str) -> Section:
    celsius = asked.number("temperature")
    figures = [
        figure(
            t.name,
            f"{show(t.celsius, 'temperature', system=system)} for {t.hours:g} h, pieces to"
            f" {show(t.piece_m, 'length', unit='mm', digits=2)}",
            t.note,
            equation="as the law has it",
            by=t.source,
        )
        for t in treatments()
    ]
    warning = ""
    try:
        held = hold_time(celsius, solids=asked.number("solids"))
    except InputError:
        refusal = refusals()["cool_pasteurising"]
        warning = in_reader_units(f"{refusal.says} {refusal.why}", system)
    else:
        hours = 24.0 * held.asked_d
        figures.append(
            figure(
                f"US rule for sludge at {show(celsius, 'temperature', system=system)}",
                f"{hours:.1f} h" if hours >= 2.0 else f"{60 * hours:.0f} min",
                f"{held.rule}{', the rule’s shortest time' if held.floored else ''}; faecal"
                " coliforms below 1000 MPN/g or salmonella below 3 MPN/4 g besides",
                equation="D = 131,700,000 (or 50,070,000) / 10^(0.14 t)",
                by=held.source,
            )
        )
    return Section("Time and temperature that laws accept", tuple(figures), warning=warning)


def _germs(asked: Asked, system: str) -> Section:
    celsius, days = asked.number("temperature"), asked.number("days")
    mixed = asked.values["way"] == "fed"
    figures = []
    for germ in germs().values():
        tenfold = germ.tenfold_d(celsius)
        if tenfold is None:
            continue
        powers = log_reduction(days, tenfold, mixed=mixed)
        fed = log_reduction(days, tenfold, mixed=True)
        name = "fed and stirred" if mixed else "batch"
        figures.append(
            figure(
                germ.name,
                _powers(powers),
                name if mixed else f"{name}; a vessel fed as long: {_powers(fed)}",
                equation="log₁₀(1 + k t)" if mixed else "t / T₉₀",
                by=f"{germ.source} first_order_cstr",
            )
        )
    before = (
        ()
        if figures
        else (
            in_reader_units(
                "Tenfold times were measured at 35 and 53 degC; they are not stretched beyond, and"
                " not to this temperature.",
                system,
            ),
        )
    )
    after = (
        "A fall is not freedom: spores, worm eggs, short cuts and regrowth are not in these"
        " figures. In a fed vessel some of today's feed leaves today.",
    )
    return Section("What the digester does", tuple(figures), before=before, after=after)


def _powers(powers: float) -> str:
    """Write a fall; past what was measured a larger figure would only look like certainty."""
    if powers > _MOST_POWERS:
        return f"more than {_MOST_POWERS:g} powers of ten on paper, survivors not counted"
    return f"{powers:.1f} powers of ten"


def _crops() -> Section:
    figures = tuple(
        figure(
            rule.name,
            f"{rule.days} days" if rule.days else "see note",
            rule.text,
            equation="as the law has it",
            by=rule.source,
        )
        for rule in crop_rules()
    )
    return Section(
        "On food crops",
        figures,
        before=(
            "Digestate of manure, night soil or waste counts as untreated unless a treatment above"
            " is proven.",
        ),
        after=("Your own country's rule counts, not these examples.",),
    )


def _by_products() -> Section:
    law = "practice_by_products"
    figures = (
        figure(
            "slaughter waste, meat, catering waste",
            "permit first",
            "usually hot treatment in small pieces, separate handling, records; no feeding, no"
            " spreading otherwise",
            equation="as the law has it",
            by="eu_142_2011",
        ),
        figure(
            "night soil",
            "only where permitted",
            "usually barred from food crops unless treated hotter than a warm digester",
            equation="as the law has it",
            by=f"olsen_larsen_1987 {law}",
        ),
        figure(
            "own manure on own land",
            "ask all the same",
            "limits on amount, season and distance to water are common",
            equation="as the law has it",
            by=law,
        ),
    )
    return Section("Animal by-products and night soil: what law usually restricts", figures)
