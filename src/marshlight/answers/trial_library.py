"""Results of one's own trials beside what is published, and keeping one for planning."""

from dataclasses import dataclass

from marshlight.answers.trial_result import trial_result
from marshlight.decide.trial import Drawn, OwnResult, drawn_toward
from marshlight.errors import InputError, MarshlightError
from marshlight.notebook.bridge.feedstocks import library_feedstock
from marshlight.notebook.models import Lot, Person, Trial
from marshlight.notebook.setting_up import change


@dataclass(frozen=True)
class OwnLine:
    """One material: its own trials, the published range, and the value to plan with."""

    lot: str
    lot_name: str
    material: str
    trials: str
    own: str
    published: str
    used: str
    weight: str
    in_use: str
    value_nml: float


def own_results() -> tuple[OwnLine, ...]:
    """Gather the potentials that trials found for each lot, in NmL/g VS.

    Returns
    -------
    tuple of OwnLine
        Lots whose material has a published potential, by name.  Results of trials that miss a
        required criterion are left out, as are bottles flagged in them where enough remain.
    """
    found: dict[str, list[tuple[str, OwnResult]]] = {}
    for trial in Trial.objects.in_use():
        assessed = trial_result(trial)
        result = assessed.result
        if result is None or any(
            c.met is False for c in result.criteria if c.required and c.key != "leaks"
        ):
            continue
        lots = {row.material: row.lot for row in assessed.rows if row.lot is not None}
        for p in (result.without_flagged or result.result).potentials:
            lot = lots.get(p.group)
            if p.role == "sample" and lot is not None and p.standard_error > 0.0:
                own = OwnResult(p.mean, p.standard_error, p.n)
                found.setdefault(str(lot.pk), []).append((trial.name, own))
    lines = (_line(key, results) for key, results in found.items())
    return tuple(sorted((x for x in lines if x is not None), key=lambda x: x.lot_name))


def _line(key: str, results: list[tuple[str, OwnResult]]) -> OwnLine | None:
    lot = Lot.objects.select_related("feedstock").get(pk=key)
    based = lot.library_key or (lot.feedstock.based_on if lot.feedstock else "")
    try:
        published = library_feedstock(based).get("methane_potential")
    except MarshlightError:
        return None
    if published is None:
        return None
    drawn = drawn_toward(published.estimate, [own for _, own in results])
    kept = lot.measured.get("methane_potential", {}).get("value")
    return OwnLine(
        key,
        lot.name,
        library_feedstock(based).name,
        ", ".join(name for name, _ in results),
        _span(drawn.own.value, drawn.own.u),
        f"{published.value * 1e3:.0f} ({published.low * 1e3:.0f} to {published.high * 1e3:.0f})",
        _span(drawn.used.value, drawn.used.u),
        _weight(drawn),
        f"{kept * 1e3:.0f}" if kept else "published",
        round(drawn.used.value * 1e3, 1),
    )


def _span(value: float, u: float) -> str:
    return f"{value * 1e3:.0f} ± {2.0 * u * 1e3:.0f}"


def _weight(drawn: Drawn) -> str:
    trials = "one trial" if drawn.trials == 1 else f"{drawn.trials} trials"
    return f"{drawn.own_weight * 100:.0f} % your own, {trials}"


def keep_own(lot_id: str, *, by: Person | None) -> str:
    """Let planning use the value that trials found for a lot; the lot's history keeps why.

    Raises
    ------
    InputError
        If no trial has a result for the lot.
    """
    line = next((x for x in own_results() if x.lot == lot_id), None)
    if line is None:
        raise InputError("lot", lot_id, "a lot that a trial has a result for", "Finish a trial")
    why = f"From {line.trials}: {line.own} NmL/g VS, drawn toward the published range."
    lot = Lot.objects.get(pk=lot_id)
    change(lot, {"methane_potential": f"{line.value_nml:g} NmL/g VS"}, by=by, why=why)
    return f"{line.lot_name}: plans now use {line.value_nml:.0f} NmL/g VS."
