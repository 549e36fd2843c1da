"""How much buffer to give: the section of the best next step."""

from marshlight.answers.simulate_words import MODEL
from marshlight.answers.told import Section, figure
from marshlight.decide.safety import all_cautions
from marshlight.decide.watch.buffer import SODIUM_LIMIT_KG_M3, TARGET_PH
from marshlight.decide.watch.steps import DosePlan, spoons
from marshlight.units import show

# Less than this is no part of the limit: our choice [kg/m3].
_SEEN_SODIUM_KG_M3 = 0.05
_CHEMISTRY = "plummer_busenberg_1982 davies_1962 hafner_bisogni_2009"


def by_weight(kg: float, system: str) -> str:
    """Say a dose in grams and in level spoons."""
    count, spoon = spoons(kg)
    words = show(kg, "mass", system=system, digits=2)
    if count < 0.5:
        return words
    return f"{words} (about {count:g} level {spoon}{'' if count == 1.0 else 's'})"


def dose_section(plan: DosePlan, *, ph_read: str, sodium_kg_m3: float, system: str) -> Section:
    """Tell the dose both ways, what sodium allows, and how to give it."""
    figures = (
        figure(
            "by chemistry",
            _way(plan.by_chemistry_kg, plan, system),
            f"to pH {TARGET_PH} against the acid that is there now; {ph_read}",
            equation="charge balance at the gas's carbon dioxide, Davies activities",
            by=_CHEMISTRY,
        ),
        figure(
            "by the model",
            _way(plan.by_model_kg, plan, system),
            f"the least that keeps the risk of souring within {100.0 * plan.limit:.0f} in 100 over"
            " 30 days without feed",
            by=MODEL,
        ),
        figure(
            "sodium allows",
            by_weight(plan.allowed_kg, system),
            f"up to {SODIUM_LIMIT_KG_M3:g} g/L of sodium; {_held_words(sodium_kg_m3)}",
            by="epa_1979_sodium",
        ),
        figure("risk of souring without", plan.unfed.words, by=MODEL),
        *(
            (
                figure("risk of souring with", plan.dosed.words, by=MODEL),
                figure(
                    "carbon dioxide it gives off",
                    f"up to {show(plan.carbon_dioxide_m3, 'volume', system=system, digits=2)}",
                    "gas that follows a dose is this, not recovery: a rising pH and a holding flame"
                    " are",
                    equation="one molecule for each of bicarbonate",
                    by="iupac_2021_masses",
                ),
            )
            if plan.is_needed
            else ()
        ),
    )
    return Section(
        "Buffer",
        figures,
        before=(give_words(plan, system),),
        after=(
            "A level teaspoon (5 mL) is taken as 4.6 g and may hold 4 to 6 g; a tablespoon is"
            " three. Weigh it where you can.",
        ),
        warning=all_cautions()["alkali"].text,
    )


def _held_words(sodium_kg_m3: float) -> str:
    """Say what sodium the slurry holds already, as far as any is written down."""
    known = "none is written down so far"
    if sodium_kg_m3 >= _SEEN_SODIUM_KG_M3:
        known = f"the doses so far brought up to {sodium_kg_m3:.2g} g/L"
    return f"{known}. Salt that came with feed or water is not counted and leaves less room"


def give_words(plan: DosePlan, system: str) -> str:
    """Say what to give and how."""
    if plan.unfed.share <= plan.limit:
        return "No dose is called for: left alone the risk of souring is within the limit."
    if plan.allowed_kg <= 0.0:
        return (
            "No more bicarbonate: sodium is at its limit. Draw off a third and replace it with"
            " active slurry."
        )
    if not plan.is_needed:
        return (
            "Soda is not the remedy: the pH stands where a dose would bring it, and by the model no"
            " dose that sodium allows brings the risk within the limit. Do not feed; read the pH"
            " tomorrow, and bring in active slurry if it falls."
        )
    each = by_weight(plan.give_kg / plan.portions, system)
    words = f"Give {by_weight(plan.give_kg, system)} of sodium bicarbonate"
    if plan.portions > 1:
        words += f" in {plan.portions} portions of {each}, a day apart"
    words += (
        ", dissolved in warm water, outlet open. Stop feeding. Read the pH before each portion and"
        f" stop once it stands at {TARGET_PH}."
    )
    if plan.by_model_kg is None:
        words += (
            " It may not be enough: by the model no dose that sodium allows brings the risk within"
            f" the limit; with this one it is {plan.dosed.words}. Active slurry in place of a third"
            " of it helps where soda cannot."
        )
    return words


def _way(kg: float | None, plan: DosePlan, system: str) -> str:
    if kg is None:
        return "more than sodium allows"
    if kg <= 0.0:
        return "none"
    words = by_weight(kg, system)
    return f"{words}: more than sodium allows" if kg > plan.allowed_kg else words
