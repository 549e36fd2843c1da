"""What a charge should do: gas in the end, how fast, when it starts and when it burns."""

from math import inf, isfinite

from marshlight.decide.plan.measures import Floats, LotNumbers
from marshlight.decide.plan.request import ChargeRequest
from marshlight.decide.plan.result import Expectation
from marshlight.decide.plan.startup import LONGEST_D, Course, charge_facts, courses, half_rate
from marshlight.decide.plan.words import day_range
from marshlight.estimate import Estimate, Range
from marshlight.matter.mixing import Blend
from marshlight.units import number, show, show_range

LEVEL = 0.95
# No potential or rate is known better than replicate bottles agree, source bmp_replicates.
LEAST_RELATIVE_U = 0.06
SLOW = 0.8  # below this share of the rate at 35 degC the card says so
SOURS = 0.8  # acid over buffer at which digesters fail, source acid_ratio


def expectation(
    request: ChargeRequest,
    numbers: LotNumbers,
    mixed: Blend,
    amounts: Floats,
    *,
    factor: float,
    acid: float,
) -> Expectation | None:
    """Work out what a mix should do.

    Parameters
    ----------
    request : ChargeRequest
        Vessel, place and holder.
    numbers : LotNumbers
        What a kilogram of each lot brings.
    mixed : Blend
        The mix.
    amounts : Floats
        Lots, then water [kg], shape (lots + 1,).
    factor : float
        Rates at the slurry's temperature over those at 35 degC [1/1].
    acid : float
        Acid expected at its worst over the buffer then present [kg/kg].

    Returns
    -------
    Expectation or None
        None where a lot in the mix has no methane potential, rate or make-up [m3, d].

    Notes
    -----
    Ultimate gas from the lots' potentials; the course of the start from ``courses``. Gas in the
    end counts everything that can be digested, which a batch approaches over weeks to months.

    References
    ----------
    Sources ``buswell_boyle_1977``, ``inoculum_activity``, ``practice_first_gas``.
    """
    methane, share = mixed.methane_m3, mixed.methane_share
    kilograms = [float(kg) for kg in amounts[:-1]]
    rate = half_rate(numbers, kilograms)
    if methane is None or share is None or rate is None or mixed.rate is None:
        return None
    activity = mixed.methanogenic_activity or Estimate(0.0, 0.0)
    room = request.vessel_m3 - mixed.volume_m3.value
    found = courses(
        charge_facts(
            numbers,
            kilograms,
            activity=activity.scaled(mixed.vs_kg.value),
            rooms_m3=(mixed.volume_m3.value, room),
            factor=factor,
        )
    )
    biogas = methane.value / share.value
    relative = max((methane.relative_u**2 + share.relative_u**2) ** 0.5, LEAST_RELATIVE_U)
    rate_u = rate * max(mixed.rate.relative_u, LEAST_RELATIVE_U)
    first = _range([c.first_gas_d for c in found])
    flame = _range([c.flame_d for c in found])
    best = _best_gas(found, relative)
    return Expectation(
        methane_m3=methane,
        biogas_m3=Estimate(biogas, biogas * relative),
        methane_share=share,
        rate_per_d=Estimate(rate, rate_u).scaled(factor),
        lag_d=_lag(found),
        first_gas_day=first,
        flame_day=flame,
        best_day=_range([c.best_day_d for c in found]),
        best_day_biogas_m3=best,
        gas_space_m3=room,
        holder_fills_on_best_day=None
        if request.holder_m3 is None
        else best.value / request.holder_m3,
        basis=_basis(activity, request),
        sentences=(
            *_sentences(request, first, flame, best, mixed.volume_m3.value),
            *_slowness(factor, request),
            *_acid_warning(acid),
        ),
    )


def _range(values: list[float]) -> Range:
    low, middle, high = sorted(values)
    return Range(low, middle, high, LEVEL)


def _best_gas(found: tuple[Course, ...], relative: float) -> Range:
    low, middle, high = sorted(c.best_m3_per_d for c in found)
    return Range(low * max(0.0, 1.0 - 2.0 * relative), middle, high * (1.0 + 2.0 * relative), LEVEL)


def _lag(found: tuple[Course, ...]) -> Estimate:
    low, middle, high = sorted(c.lag_d if c.best_m3_per_d > 0.0 else LONGEST_D for c in found)
    # A quarter of a day is the step of the course itself: the lag is never better known.
    return Estimate(middle, max((high - low) / 4.0, 0.25))


def _basis(activity: Estimate, request: ChargeRequest) -> str:
    if activity.value <= 0.0:
        return (
            "No lot brings live microbes, so nothing can be said of the start; add digested or "
            "one to two days old manure."
        )
    seeded = [lot.feedstock.name for lot in request.lots if lot.is_inoculum]
    carrier = "the live inoculum" if seeded else "fresh manure alone, which carries few microbes"
    return (
        f"The start rests on {carrier}: days are a range from few microbes growing slowly to many "
        "growing fast, by published ranges, and the first readings count for more."
    )


def _slowness(factor: float, request: ChargeRequest) -> tuple[str, ...]:
    if factor >= SLOW:
        return ()
    slurry, at_35, usual = (
        show(t, "temperature", system=request.system) for t in (request.slurry_c, 35.0, 38.0)
    )
    return (
        f"At {slurry} everything goes at about {number(factor * 100, 2)} % of the speed at "
        f"{at_35}; near {usual} is usual.",
    )


def _acid_warning(acid: float) -> tuple[str, ...]:
    if acid <= SOURS:
        return ()
    return (
        "More acid is to be expected than the buffer can hold: the charge may sour and stall "
        "before it burns. The days above hold only if it does not; add live inoculum, or less "
        "that degrades easily.",
    )


def _sentences(
    request: ChargeRequest, first: Range, flame: Range, best: Range, slurry_m3: float
) -> tuple[str, ...]:
    system = request.system
    found = [
        f"First gas: {day_range(first.low, first.high)}. It is mostly carbon dioxide with the air "
        "that was inside, and will not hold a flame: let it out.",
        f"Gas that holds a flame: {day_range(flame.low, flame.high)}.",
        f"On the best day {show_range(best.low, best.high, 'volume', system=system)} of gas, "
        f"{best.value / slurry_m3:.1f} times the slurry's own volume.",
    ]
    if not isfinite(first.low) or best.value <= 0.0:
        found = ["No gas that burns is to be expected: there are no live microbes in this mix."]
    if request.holder_m3 is not None and best.value > request.holder_m3:
        times = best.high / request.holder_m3
        found.append(
            f"The holder of {show(request.holder_m3, 'volume', system=system)} fills up to "
            f"{times:.0f} times on such a day: read and empty it that often, or use a larger one."
        )
    return tuple(found) if flame.low < inf else tuple(found[:1])
