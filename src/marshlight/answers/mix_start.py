"""From a mix to a run: the plan kept with the run, the amounts written as its charge."""

from datetime import datetime

from django.db import transaction

from marshlight.answers.mix import MixAnswer
from marshlight.errors import InfeasibleError, InputError
from marshlight.notebook.models import Person, Run, Vessel
from marshlight.notebook.recording import record_event
from marshlight.notebook.setting_up import set_up


def start_from_mix(
    answer: MixAnswer,
    *,
    name: str,
    vessel: str,
    holder: str = "",
    heater: str = "",
    at: datetime | str | None = None,
    by: Person | None = None,
) -> Run:
    """Start a run with this mix as its charge; all of it is kept, or nothing.

    Parameters
    ----------
    answer : MixAnswer
        The mix as shown.
    name : str
        Name of the new run.
    vessel, holder, heater : str
        Names of what it uses; the vessel must be set up.
    at : datetime or str, optional
        When it is charged; now if left out.
    by : Person, optional
        Who charges it.

    Returns
    -------
    Run
        With its plan and its charge.

    Raises
    ------
    InputError
        If the vessel is only a volume, or something given cannot be used.
    InfeasibleError
        If the mix keeps not every firm limit: it is shown to be changed, not to be filled.
    """
    if not answer.feasible:
        raise InfeasibleError(f"{answer.sentence} {answer.conflict}")
    if not Vessel.objects.in_use().filter(name__icontains=vessel.strip()).exists():
        raise InputError(
            "vessel",
            vessel,
            "a vessel that is set up",
            "Set the vessel up first, then start the run in it",
        )
    with transaction.atomic():
        given = {"name": name, "vessel": vessel, "holder": holder, "heater": heater}
        run = set_up("run", given, by=by)
        assert isinstance(run, Run)
        run.plan = _plan(answer)
        run.save(by=by, why="planned on the mixing page")
        detail = {"parts": list(answer.charge_parts), "water": answer.water}
        kept = record_event(run, "charge", at=at, detail=detail, by=by)
        run.refresh_from_db()
        if run.started_at is None:
            run.started_at = kept.record.at
            run.save(by=by, why="charged")
    return run


def _plan(answer: MixAnswer) -> dict[str, object]:
    return {
        "sentence": answer.sentence,
        "amounts": [{"name": a.name, "mass_kg": a.mass_kg} for a in answer.amounts],
        "water": answer.water,
        "expectation": {line.what: line.value for line in answer.expectation},
        "basis": answer.basis,
    }
