"""What a run's own recipe leads one to expect, before and beside its readings."""

from dataclasses import dataclass

from marshlight.decide.plan import ChargeRequest, LotAtHand, plan_charge
from marshlight.decide.plan.result import Expectation
from marshlight.errors import MarshlightError
from marshlight.notebook.bridge import RunRecords

# Asked only where neither a thermometer nor a thermostat says anything.
_USUAL_SLURRY_C = 20.0
_LIMIT_C = (4.0, 60.0)


@dataclass(frozen=True)
class FromRecipe:
    """The recipe's expectation, or why there is none."""

    expectation: Expectation | None
    why_not: str = ""


def slurry_temperature(records: RunRecords) -> float:
    """Give the slurry's temperature to plan with [degC]: read, else set, else of the room."""
    read = records.series.get("slurry_temperature")
    if read is not None and read.day.size:
        return float(read.value.mean())
    heater = records.run.heater
    if heater is not None and heater.set_point_c is not None:
        return float(heater.set_point_c)
    room = records.run.site.room_temperature_c
    return _USUAL_SLURRY_C if room is None else float(room)


def expected_from_recipe(records: RunRecords) -> FromRecipe:
    """Ask the planner what the charge that went in should do.

    Parameters
    ----------
    records : RunRecords
        The run's log; the first charge with its parts is the recipe.

    Returns
    -------
    FromRecipe
        The same expectation the mixing page shows for this mix, or the reason for none.
    """
    charge = records.first_charge
    if charge is None:
        return FromRecipe(None, "What went in at the start was not written down.")
    if charge.blend is None:
        return FromRecipe(None, charge.why_unknown)
    lots = tuple(
        LotAtHand(part.feedstock, part.mass_kg, key=f"part-{i}", fixed_kg=part.mass_kg)
        for i, part in enumerate(charge.parts)
        if part.mass_kg > 0.0
    )
    low, high = _LIMIT_C
    try:
        plan = plan_charge(
            ChargeRequest(
                vessel_m3=records.run.vessel.volume_m3,
                lots=lots,
                slurry_c=min(max(slurry_temperature(records), low), high),
                water_fixed_kg=charge.water_kg,
            )
        )
    except MarshlightError as error:
        return FromRecipe(None, str(error))
    if plan.expected is None:
        return FromRecipe(None, "A lot that went in lacks its methane potential, rate or make-up.")
    return FromRecipe(plan.expected)
