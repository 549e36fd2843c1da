"""What to do about each trouble: amounts, by when, cautions."""

from marshlight.decide.watch.buffer import Dose, bicarbonate_dose
from marshlight.decide.watch.facts import Advice, Evidence, RunFacts
from marshlight.decide.watch.figures import figure
from marshlight.decide.watch.troubles import Trouble

# Carbon dioxide share of the gas where it wasn't read: usual of a souring digester.
_CO2_SHARE = 0.45
_AIR_KPA = 101.325
_SHOWN = 3


def remedies(trouble: Trouble, facts: RunFacts) -> tuple[Advice, ...]:
    """Advice for a trouble, most urgent first.

    Parameters
    ----------
    trouble : Trouble
        What is likely wrong.
    facts : RunFacts
        What is known.

    Returns
    -------
    tuple of Advice
        One or two pieces.
    """
    why = reasons(trouble.evidence)
    if facts.in_trial and trouble.word in ("souring", "stalled"):
        return (_leave_it(trouble, why),)
    if trouble.word == "souring":
        return _against_acid(trouble, facts, why)
    if trouble.word == "cold":
        return (_warm_up(trouble, facts, why),)
    if trouble.word == "leaking":
        return _find_the_leak(trouble, facts, why)
    if trouble.word == "blocked":
        return (_free_the_outlet(trouble, why),)
    return (_wake_up(trouble, why),)


def reasons(evidence: tuple[Evidence, ...]) -> str:
    """The strongest evidence as one sentence."""
    strongest = sorted((e for e in evidence if e.weight > 0), key=lambda e: -e.weight)[:_SHOWN]
    text = "; ".join(e.text for e in strongest)
    # "pH" stays as it is.
    start = text[:1] if text[1:2].isupper() else text[:1].upper()
    return f"{start}{text[1:]}." if text else ""


def _leave_it(trouble: Trouble, why: str) -> Advice:
    return Advice(
        key="leave_bottle",
        what="Leave the bottle as it is and note what you see",
        why=why + " A dose or fresh slurry would make it another test than its replicates.",
        how_sure=trouble.how_sure,
        how_much="pH at the end, with its replicates; then decide whether it counts",
        by_when="with the next look",
        caution=(),
        source="bmp_protocol_draft",
    )


def _against_acid(trouble: Trouble, facts: RunFacts, why: str) -> tuple[Advice, ...]:
    stop = Advice(
        key="stop_feeding",
        what="Stop feeding until pH and gas are back",
        why=why,
        how_sure=trouble.how_sure,
        how_much="no feed at all",
        by_when="now",
        caution=("souring",),
        source="feed_limit_practice",
        urgent=True,
    )
    if facts.ph.latest is None or facts.ph.age(facts.day) > 2.0:
        read = Advice(
            key="read_ph_first",
            what="Read the pH before dosing anything",
            why="Without a fresh pH a dose is a guess.",
            how_sure=trouble.how_sure,
            how_much="one reading, electrode checked in a buffer",
            by_when="today",
            caution=(),
            source="gerardi_2003",
            urgent=True,
        )
        return stop, read
    dose = _dose(facts)
    if dose is None:
        return (stop,)
    return stop, _give(trouble, facts, dose)


def _dose(facts: RunFacts) -> Dose | None:
    if not facts.liquid_m3 or facts.ph.latest is None:
        return None
    share = _CO2_SHARE if facts.methane is None else max(1.0 - facts.methane.value, 0.2)
    warm = facts.slurry_c.latest
    return bicarbonate_dose(
        facts.liquid_m3,
        ph=facts.ph.latest,
        temperature_c=37.0 if warm is None or not 0.0 < warm < 60.0 else warm,
        co2_kpa=share * _AIR_KPA,
        given_kg=sum(d.amount for d in facts.doses_kg),
        sodium_kg_m3=facts.sodium_kg_m3,
    )


def _give(trouble: Trouble, facts: RunFacts, dose: Dose) -> Advice:
    litres = 1000 * (facts.liquid_m3 or 0.0)
    grams = 1000 * dose.now_kg
    if dose.allowed_kg <= 0.0:
        return Advice(
            key="swap_slurry",
            what="Give no more bicarbonate; draw off a third and replace it with active slurry",
            why="The doses so far bring the sodium to its limit of 3.5 g/L. "
            + trouble_words(facts),
            how_sure=trouble.how_sure,
            how_much=f"about {figure(litres / 3)} L",
            by_when="today",
            caution=("hydrogen_sulfide", "pathogens"),
            source="epa_1979_sodium",
            urgent=True,
        )
    need = dose.need_kg
    later = ""
    if need is not None and need > 1.5 * dose.now_kg:
        later = (
            f" To reach pH 6.9 takes at least {figure(1000 * need)} g in all, more with much acid:"
            " in steps a day apart, pH read before each."
        )
    return Advice(
        key="dose",
        what="Stir bicarbonate of soda, dissolved in warm water, into the slurry",
        why=(
            f"pH {facts.ph.latest:.1f} holds the methane formers back.{later} "
            f"The dose gives off up to {figure(1000 * dose.co2_m3)} L of carbon dioxide itself: "
            "a jump in gas after it is not recovery, a rising pH and a holding flame are."
        ),
        how_sure=trouble.how_sure,
        how_much=f"{figure(grams)} g for {figure(litres)} L",
        by_when="today, outlet open",
        caution=("sealed_pressure", "explosive_gas"),
        source="first_dose_practice",
        urgent=True,
    )


def trouble_words(facts: RunFacts) -> str:
    """The pH in a few words."""
    return f"pH is {facts.ph.latest:.1f}." if facts.ph.latest is not None else ""


def _warm_up(trouble: Trouble, facts: RunFacts, why: str) -> Advice:
    aim = 37.0 if facts.set_point_c is None else facts.set_point_c
    return Advice(
        key="warm_up",
        what="Find out why it is cold: heater, thermostat, lid, insulation",
        why=why + " Cold gas comes later; it is not lost. Feed less until it is warm.",
        how_sure=trouble.how_sure,
        how_much=f"back to {aim:.0f} degC, no faster than a degree or two a day",
        by_when="today",
        caution=("mains_heater",),
        source="rosso_1993",
        urgent=False,
    )


def _find_the_leak(trouble: Trouble, facts: RunFacts, why: str) -> tuple[Advice, ...]:
    gathers = " Gas that is lost gathers somewhere: air the room before anything else."
    soap = Advice(
        key="find_leak",
        what="Look for a leak with soapy water at lid, joints, hose and holder, outdoors or aired",
        why=why + gathers,
        how_sure=trouble.how_sure,
        how_much=(
            "every joint from the lid to the holder, and every tap: is one open? Shut the one to "
            "the burner only"
        ),
        by_when="now",
        caution=("explosive_gas", "hydrogen_sulfide", "sealed_pressure"),
        source="leak_signs_practice",
        urgent=True,
    )
    if facts.sealed or not facts.holder_capacity_m3:
        return (soap,)
    mark = Advice(
        key="watch_overnight",
        what="Mark the holder in the evening, use no gas overnight, read it again in the morning",
        why=(
            "It should rise as it did on nights before the fall. If it stands or sinks, gas is "
            "lost. Shut the tap to the burner only: the way from vessel to holder stays open."
        ),
        how_sure=trouble.how_sure,
        how_much="two readings, as far apart as the night is long",
        by_when="tonight",
        caution=("explosive_gas", "sealed_pressure"),
        source="leak_signs_practice",
    )
    return soap, mark


def _free_the_outlet(trouble: Trouble, why: str) -> Advice:
    return Advice(
        key="free_outlet",
        what="Check the outlet for foam, water in a low hose, a kink or a frozen seal",
        why=why + " Never loosen a lid or clamp under pressure: open the gas side first.",
        how_sure=trouble.how_sure,
        how_much="the whole way from vessel to holder",
        by_when="now",
        caution=("sealed_pressure", "explosive_gas", "hydrogen_sulfide"),
        source="leak_signs_practice",
        urgent=True,
    )


def _wake_up(trouble: Trouble, why: str) -> Advice:
    return Advice(
        key="add_live_slurry",
        what="Stir in slurry from a working digester, or manure a day or two old",
        why=why + " Too few live microbes came with the charge.",
        how_sure=trouble.how_sure,
        how_much="about a tenth of the liquid, keeping the vessel under three quarters full",
        by_when="in the next days",
        caution=("pathogens", "hydrogen_sulfide"),
        source="starts_within_days",
    )
