"""The order of work, with the caution at the step where the hazard arises."""

from marshlight.decide.plan.request import ChargeRequest
from marshlight.decide.plan.result import Step
from marshlight.decide.safety import Caution, cautions_at, cautions_for
from marshlight.matter.feedstock import Feedstock
from marshlight.matter.mixing import Blend
from marshlight.units import show

WATER_HEAT = 4.18  # kJ/(kg K)
SOLIDS_HEAT = 1.85  # kJ/(kg K), that of fibre at 0 degC, source choi_okos_1986
HOTTEST_WATER_C = 45.0  # source practice_water_temperature
SCREEN_M = 0.01  # source practice_screening
_Text = tuple[str, str, str]
# Hazards that only some materials bring; the others arise with every charge.
_OF_MATERIALS = frozenset(
    {
        "human_pathogens",
        "animal_by_products",
        "ammonia",
        "dust",
        "flammable_liquid",
        "souring",
        "foaming",
        "fat",
        "blockage",
        "inhibition",
    }
)


def mixing_water_c(request: ChargeRequest, mixed: Blend) -> float | None:
    """Work out how warm the mixing water should be for the slurry to start at its temperature.

    Parameters
    ----------
    request : ChargeRequest
        Wanted slurry temperature and the temperature of the materials.
    mixed : Blend
        What is mixed.

    Returns
    -------
    float or None
        Water temperature [degC], no colder than the materials and 45 at the most; None without
        water.

    Notes
    -----
    Heat of the water over the slurry's temperature makes up what the materials lack; what the cold
    vessel takes is left out.

    References
    ----------
    Sources ``choi_okos_1986``, ``practice_water_temperature``.
    """
    water = mixed.water_kg
    if water <= 0.0:
        return None
    solids = mixed.ts_kg.value
    moisture = mixed.mass_kg.value - water - solids
    lacking = (moisture * WATER_HEAT + solids * SOLIDS_HEAT) * (
        request.slurry_c - request.materials_c
    )
    wanted = request.slurry_c + lacking / (water * WATER_HEAT)
    return min(HOTTEST_WATER_C, max(wanted, request.materials_c))


def work_steps(request: ChargeRequest, mixed: Blend, water_c: float | None) -> tuple[Step, ...]:
    """List the work in order, each step with its reason and cautions.

    Parameters
    ----------
    request : ChargeRequest
        Vessel and place.
    mixed : Blend
        What is mixed.
    water_c : float, optional
        Temperature of the mixing water [degC].

    Returns
    -------
    tuple[Step, ...]
        From placing the vessel to the first flame.
    """
    used = [part.feedstock for part in mixed.parts if part.mass_kg > 0.0]
    live = [
        lot.feedstock.name
        for lot, part in zip(request.lots, mixed.parts, strict=True)
        if lot.is_inoculum and part.mass_kg > 0.0
    ]
    found = [*_before(request, mixed, water_c), *_inoculum(live), *_after(request, mixed)]
    return tuple(Step(key, text, why, _cautions(key, used)) for key, text, why in found)


def _before(request: ChargeRequest, mixed: Blend, water_c: float | None) -> list[_Text]:
    """Give key, text and reason of the steps up to an even slurry."""
    piece = show(SCREEN_M, "length", system=request.system, digits=1)
    return [
        (
            "place",
            f"Stand the vessel where it will stay: full it weighs "
            f"{show(mixed.mass_kg.value, 'mass', system=request.system, digits=2)} more than now.",
            "It must not be carried once it is filled.",
        ),
        (
            "screen",
            f"Chop or screen everything to about {piece}; soak and crush pellets; take out stones, "
            "string and plastic.",
            "Long pieces block tubes and float; small ones are digested sooner.",
        ),
        (
            "warm",
            _warm_text(request, water_c),
            "Cold slurry stands still; water hotter than the hand bears kills the microbes.",
        ),
        (
            "mix",
            "Stir the materials and the water to an even slurry in an open bucket, outdoors.",
            "What is lumpy now floats later.",
        ),
    ]


def _inoculum(live: list[str]) -> list[_Text]:
    if not live:
        return []
    return [
        (
            "inoculum",
            f"Add the live inoculum last ({', '.join(live)}), still warm, and stir gently.",
            "Air and heat harm the microbes that make methane.",
        )
    ]


def _after(request: ChargeRequest, mixed: Blend) -> list[_Text]:
    """Give key, text and reason of the steps from the slurry to the first flame."""
    slurry, vessel = (
        show(volume, "volume", system=request.system)
        for volume in (mixed.volume_m3.value, request.vessel_m3)
    )
    return [
        (
            "ph",
            "Check the pH: 6.8 to 7.8 is good. Below 6.5 add no more food; a spoonful of "
            "bicarbonate (about 14 g) in 6 to 8 litres is a usual first dose.",
            "Methane formers stop below about 6; the dose gives off carbon dioxide of its own.",
        ),
        (
            "fill",
            f"Fill to {slurry} of {vessel}, never past three quarters.",
            "Foam needs room: slurry in the gas line blocks it.",
        ),
        (
            "seal",
            "Close the vessel, open the way to the water seal and the holder, and try every "
            "joint with soapy water.",
            "Air that leaks in and gas that leaks out are both dangerous.",
        ),
        (
            "vent",
            "Let the gas of the first days out into the open air, then start measuring.",
            "It is mostly carbon dioxide and the air that was inside.",
        ),
        (
            "flame",
            "Try a flame on a small sample carried well away from the vessel.",
            "Gas that holds a flame is at about 50 to 60 % methane.",
        ),
    ]


def _warm_text(request: ChargeRequest, water_c: float | None) -> str:
    slurry = show(request.slurry_c, "temperature", system=request.system)
    if water_c is None:
        return f"Warm the slurry to {slurry} slowly, over a day."
    water = show(water_c, "temperature", system=request.system)
    if water_c >= HOTTEST_WATER_C:
        return f"Take the water at about {water}, no hotter; the heater does the rest to {slurry}."
    return f"Take the water at about {water}: it brings the slurry to {slurry}."


def _cautions(step: str, used: list[Feedstock]) -> tuple[Caution, ...]:
    here = cautions_at(f"plan:{step}")
    brought = {hazard for stock in used for hazard in stock.hazards}
    special = {c.key for c in cautions_for(brought & _OF_MATERIALS)}
    return tuple(c for c in here if c.hazard not in _OF_MATERIALS or c.key in special)
