"""From notebook rows to the engine's bottles: gas of each run, its methane, what was weighed in."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from marshlight.answers.analysis import ledger_of
from marshlight.answers.composition import composition_of
from marshlight.answers.trial_methane import BottleMethane, bottle_methane
from marshlight.answers.trial_solids import INOCULUM, solids_of
from marshlight.decide.trial import Bottle, VsContent
from marshlight.errors import InputError, MarshlightError
from marshlight.estimate import Estimate
from marshlight.matter.macromolecules import theoretical_methane
from marshlight.measure import GasLedger
from marshlight.notebook.bridge import RunRecords, feedstock_of, run_facts
from marshlight.notebook.models import Trial, TrialBottle

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class ReadBottle:
    """A bottle's row, its methane and how it was reckoned, and the engine's view by each way.

    ``bottle`` is by the trial's own way, ``other`` by the other one, None where that can't be
    gone.  ``why_not`` says why it can't be reckoned with at all, where it can't.
    """

    row: TrialBottle
    bottle: Bottle | None
    other: Bottle | None
    methane: BottleMethane | None
    why_not: str

    @property
    def biogas_m3(self) -> Floats:
        """Cumulative gas at the ledger's points [m3 dry normal]."""
        return np.zeros(0) if self.methane is None else self.methane.gas_m3


def read_bottles(trial: Trial, rows: Iterable[TrialBottle]) -> tuple[ReadBottle, ...]:
    """Work out the methane of every bottle.

    Parameters
    ----------
    trial : Trial
        Says by which way, and what its materials' solids are.
    rows : iterable of TrialBottle
        With their runs.

    Returns
    -------
    tuple of ReadBottle
        In the order given.
    """
    solids = solids_of(trial)
    return tuple(_read(trial, row, solids) for row in rows)


def _read(trial: Trial, row: TrialBottle, solids: Mapping[str, VsContent]) -> ReadBottle:
    try:
        records = run_facts(row.run)
        ledger = _ledger(records)
        methane = bottle_methane(records, ledger)
        own = trial.methane_way
        if own not in methane.by_way:
            raise InputError(
                "way of reckoning methane", own, methane.why_one_way, "Choose the other way"
            )
        made = {
            way: _bottle(row, ledger, methane, way, solids=solids, scale_u=trial.scale_u_kg or 0.0)
            for way in methane.by_way
        }
    except MarshlightError as error:
        return ReadBottle(row, None, None, None, str(error))
    other = next((b for way, b in made.items() if way != own), None)
    return ReadBottle(row, made[own], other, methane, "")


def _ledger(records: RunRecords) -> GasLedger:
    log = records.holder_log
    if log.holder is None or not log.readings:
        raise InputError(
            "readings", 0, "a gas holder that was read", "Read this bottle, or leave it out"
        )
    return ledger_of(records, log.holder, composition_of(records))


def _bottle(
    row: TrialBottle,
    ledger: GasLedger,
    methane: BottleMethane,
    way: str,
    *,
    solids: Mapping[str, VsContent],
    scale_u: float,
) -> Bottle:
    measured = solids.get(row.material)
    vs = measured.mean if measured is not None else row.substrate_vs or 0.0
    if row.role != TrialBottle.Role.BLANK and not vs:
        raise InputError(f"VS of {row.material}", vs, "above 0 %", "Measure TS and VS first")
    seed = solids.get(INOCULUM)
    seed_vs = seed.mean if seed is not None else row.inoculum_vs or 0.0
    kept = ledger.day > 1e-6
    found = methane.by_way[way]
    gas = np.maximum(np.abs(ledger.cumulative_m3), 1e-12)
    # The analyser's own error is the same in all bottles, as are barometer and gauge.
    share = methane.u_share / np.maximum(methane.made_share, 0.05)
    whole = np.hypot(ledger.u_m3 / gas, share)
    shared = np.hypot(ledger.u_shared_m3 / gas, share)
    made = Bottle(
        label=row.name,
        role=row.role,
        group=row.material,
        inoculum_kg=row.inoculum_kg,
        vs_kg=row.substrate_kg * vs if row.role != TrialBottle.Role.BLANK else 0.0,
        day=ledger.day[kept],
        methane_m3=found[kept],
        u_m3=np.abs(found * whole)[kept],
        u_shared_m3=np.abs(found * shared)[kept],
        u_scale_kg=scale_u,
        fresh_kg=row.substrate_kg,
        vs_relative_u=row.substrate_vs_relative_u,
        inoculum_vs_kg=row.inoculum_kg * seed_vs,
        block=str(row.block),
        position=row.position,
    )
    if measured is None or measured.n < 2:
        return made
    return replace(made, vs_relative_u=measured.relative_u, vs_df=measured.df)


def densities_of(rows: Iterable[TrialBottle]) -> dict[str, Estimate]:
    """Bulk density of each material as its lot fills a bucket [kg/m3], where it is known."""
    found: dict[str, Estimate] = {}
    for row in rows:
        if row.material in found or row.lot is None:
            continue
        try:
            known = feedstock_of(row.lot).get("bulk_density")
        except MarshlightError:
            continue
        if known is not None and known.value > 0.0:
            # A bucket filled twice weighs the same within some 5 %; common practice, no source.
            u = max(known.estimate.u, 0.05 * known.value)
            found[row.material] = Estimate(known.value, u)
    return found


def theory_of(rows: Iterable[TrialBottle]) -> dict[str, float]:
    """Most methane each material could give, from its make-up [m3/kg VS], where it is known."""
    found: dict[str, float] = {}
    for row in rows:
        if row.material in found or row.lot is None:
            continue
        try:
            found[row.material] = theory_of_lot(row)
        except MarshlightError:
            continue
    return found


def theory_of_lot(row: TrialBottle) -> float:
    """Give the theoretical methane of a bottle's lot, lignin left aside [m3/kg VS]."""
    material = feedstock_of(row.lot)
    names = ("carbohydrate", "protein", "lipid", "fibre")
    return theoretical_methane(**{name: material.value(name) for name in names})
