"""Results of one's own trials beside what is published, and keeping one for planning."""

from dataclasses import dataclass

from django.db.models import Min

from marshlight.answers.trial_result import trial_result
from marshlight.decide.trial import Drawn, OwnResult, drawn_toward
from marshlight.errors import InputError, MarshlightError
from marshlight.matter.feedstock import Property
from marshlight.notebook.bridge.feedstocks import MEASURED, library_feedstock
from marshlight.notebook.models import Lot, Person, Trial
from marshlight.notebook.moments import site_zone


@dataclass(frozen=True)
class Found:
    """What one trial found of one lot [m3/kg VS]."""

    lot: Lot
    trial: str
    began: str
    own: OwnResult

    @property
    def words(self) -> str:
        """Say it with its date and how many bottles it rests on."""
        found = _span(self.own.value, self.own.u)
        return f"{found} in {self.trial}, {self.began}, {self.own.bottles} bottles"


@dataclass(frozen=True)
class OwnLine:
    """One lot: its own trials with dates, the published range, and the value to plan with."""

    lot: str
    lot_name: str
    material: str
    trials: tuple[str, ...]
    own: str
    spread: str
    published: str
    used: str
    weight: str
    in_use: str
    value: float
    low: float
    high: float


@dataclass(frozen=True)
class OwnMaterial:
    """One library material over all its lots: what trials found, what to expect of a new lot."""

    found: tuple[str, ...]
    used: str
    weight: str


def own_results() -> tuple[OwnLine, ...]:
    """Gather the potentials that trials found for each lot, in NmL/g VS.

    Returns
    -------
    tuple of OwnLine
        Lots whose material has a published potential, by name.  Results of trials that miss a
        required criterion are left out, as are bottles flagged in them where enough remain.
    """
    by_lot: dict[str, list[Found]] = {}
    for one in _found():
        by_lot.setdefault(str(one.lot.pk), []).append(one)
    lines = (_line(found) for found in by_lot.values())
    return tuple(sorted((x for x in lines if x is not None), key=lambda x: x.lot_name))


def own_by_material() -> dict[str, OwnMaterial]:
    """Gather what trials found over all lots of each library material, under its key."""
    by_key: dict[str, list[Found]] = {}
    for one in _found():
        by_key.setdefault(_based_on(one.lot), []).append(one)
    made = {key: _material(key, found) for key, found in by_key.items()}
    return {key: own for key, own in made.items() if own is not None}


def _material(key: str, found: list[Found]) -> OwnMaterial | None:
    published = _published(key)
    if published is None:
        return None
    drawn = drawn_toward(published.estimate, [one.own for one in found])
    words = tuple(f"{one.lot.name}: {one.words}" for one in found)
    return OwnMaterial(words, _span(drawn.used.value, drawn.used.u), _weight(drawn))


def _found() -> list[Found]:
    """List what every trial that meets the requirements found, oldest first."""
    listed = []
    trials = Trial.objects.in_use().select_related("site")
    for trial in trials.annotate(began=Min("bottles__run__started_at")).order_by("began"):
        assessed = trial_result(trial)
        result = assessed.result
        if result is None or any(
            c.met is False for c in result.criteria if c.required and c.key != "leaks"
        ):
            continue
        began = trial.began.astimezone(site_zone(trial.site.time_zone)).date().isoformat()
        lots = {row.material: row.lot for row in assessed.rows if row.lot is not None}
        for p in (result.without_flagged or result.result).potentials:
            lot = lots.get(p.group)
            if p.role == "sample" and lot is not None and p.standard_error > 0.0:
                # Instruments err alike in all bottles, but not alike in all trials.
                u = (p.standard_error**2 + p.s4**2) ** 0.5
                listed.append(Found(lot, trial.name, began, OwnResult(p.mean, u, p.n, began)))
    return listed


def _based_on(lot: Lot) -> str:
    return lot.library_key or (lot.feedstock.based_on if lot.feedstock else "")


def _published(key: str) -> Property | None:
    try:
        return library_feedstock(key).get("methane_potential")
    except MarshlightError:
        return None


def _line(found: list[Found]) -> OwnLine | None:
    lot = Lot.objects.select_related("feedstock").get(pk=found[0].lot.pk)
    published = _published(_based_on(lot))
    if published is None:
        return None
    drawn = drawn_toward(published.estimate, [one.own for one in found])
    kept = lot.measured.get("methane_potential", {}).get("value")
    value, u = drawn.used.value, drawn.used.u
    return OwnLine(
        str(lot.pk),
        lot.name,
        library_feedstock(_based_on(lot)).name,
        tuple(one.words for one in found),
        _span(drawn.own.value, drawn.own.u),
        f"{drawn.between_u * 1e3:.0f}",
        f"{published.value * 1e3:.0f} ({published.low * 1e3:.0f} to {published.high * 1e3:.0f})",
        _span(value, u),
        _weight(drawn),
        f"{kept * 1e3:.0f}" if kept else "published",
        round(value, 4),
        round(max(value - 2.0 * u, 0.0), 4),
        round(value + 2.0 * u, 4),
    )


def _span(value: float, u: float) -> str:
    return f"{value * 1e3:.0f} ± {2.0 * u * 1e3:.0f}"


def _weight(drawn: Drawn) -> str:
    trials = "one trial" if drawn.trials == 1 else f"{drawn.trials} trials"
    return f"{drawn.own_weight * 100:.0f} % your own, {trials}"


def keep_own(lot_id: str, *, by: Person | None) -> str:
    """Let planning use the value that trials found for a lot, with its range.

    The lot's history keeps why.

    Raises
    ------
    InputError
        If no trial has a result for the lot.
    """
    line = next((x for x in own_results() if x.lot == lot_id), None)
    if line is None:
        raise InputError("lot", lot_id, "a lot that a trial has a result for", "Finish a trial")
    why = f"From {'; '.join(line.trials)}: {line.own} NmL/g VS, drawn toward the published range."
    lot = Lot.objects.get(pk=lot_id)
    kept = {"value": line.value, "low": line.low, "high": line.high, "source": MEASURED}
    lot.measured = {**lot.measured, "methane_potential": kept}
    lot.save(by=by, why=why[:400])
    return f"{line.lot_name}: plans now use {line.value * 1e3:.0f} NmL/g VS."
