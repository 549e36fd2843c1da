"""From notebook rows to the engine's bottles: gas of each run, its methane, what was weighed in."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from marshlight.answers.analysis import ledger_of
from marshlight.answers.composition import composition_of
from marshlight.decide.trial import Bottle
from marshlight.errors import InputError, MarshlightError
from marshlight.matter.macromolecules import theoretical_methane
from marshlight.measure import GasLedger
from marshlight.notebook.bridge import RunRecords, feedstock_of, run_facts
from marshlight.notebook.models import TrialBottle

Floats = NDArray[np.float64]
# Where no gas was analysed the composition stands in, with this doubt; common practice, no source.
_UNREAD_U = 0.05


@dataclass(frozen=True)
class ReadBottle:
    """A bottle's row, its gas [m3 dry normal], its methane share by day, and the engine's view.

    ``why_not`` says why it can't be reckoned with, where it can't.
    """

    row: TrialBottle
    bottle: Bottle | None
    biogas_m3: Floats
    methane_share: Floats
    share_words: str
    why_not: str


def read_bottles(rows: Iterable[TrialBottle]) -> tuple[ReadBottle, ...]:
    """Work out the methane of every bottle.

    Parameters
    ----------
    rows : iterable of TrialBottle
        With their runs.

    Returns
    -------
    tuple of ReadBottle
        In the order given.
    """
    return tuple(_read(row) for row in rows)


def _read(row: TrialBottle) -> ReadBottle:
    nothing = np.zeros(0)
    try:
        records = run_facts(row.run)
        ledger = _ledger(records)
        share, u_share, words = _methane(records, ledger.day)
        bottle = _bottle(row, ledger, share, u_share)
    except MarshlightError as error:
        return ReadBottle(row, None, nothing, nothing, "", str(error))
    return ReadBottle(row, bottle, ledger.cumulative_m3, share, words, "")


def _ledger(records: RunRecords) -> GasLedger:
    log = records.holder_log
    if log.holder is None or not log.readings:
        raise InputError(
            "readings", 0, "a gas holder that was read", "Read this bottle, or leave it out"
        )
    return ledger_of(records, log.holder, composition_of(records))


def _methane(records: RunRecords, day: Floats) -> tuple[Floats, float, str]:
    """Share of methane in the gas as made, air and water left aside, at each day."""
    days, shares = [], []
    for reading in records.of_kind("analyser"):
        other = reading.detail.get("carbon_dioxide")
        if reading.value and other is not None and reading.value + float(other) > 0.1:
            days.append(reading.day)
            shares.append(reading.value / (reading.value + float(other)))
    if days:
        words = f"analysed on {len(days)} days, methane over methane and carbon dioxide"
        return np.interp(day, days, shares), 0.01, words
    found = composition_of(records)
    if found is not None:
        value = found.air_free.value
        return np.full(day.size, value), found.estimate.u, "from the newest tests of its gas"
    charge = records.first_charge
    mixed = charge.blend if charge is not None else None
    if mixed is None or mixed.methane_share is None:
        raise InputError(
            "methane share",
            "unknown",
            "an analysis of the gas, or a known charge",
            "Analyse this bottle's gas",
        )
    words = "not analysed: taken from what went in"
    return np.full(day.size, mixed.methane_share.value), _UNREAD_U, words


def _bottle(row: TrialBottle, ledger: GasLedger, share: Floats, u_share: float) -> Bottle:
    if row.role != TrialBottle.Role.BLANK and not row.substrate_vs:
        raise InputError(
            f"VS of {row.material}", row.substrate_vs, "above 0 %", "Measure TS and VS first"
        )
    steps = np.diff(ledger.cumulative_m3, prepend=0.0)
    # Gas of an interval holds what the share was on average between its ends.
    between = np.concatenate([share[:1], (share[1:] + share[:-1]) / 2.0])
    methane = np.cumsum(steps * between)
    kept = ledger.day > 1e-6
    relative = np.hypot(
        ledger.u_m3 / np.maximum(ledger.cumulative_m3, 1e-12), u_share / np.maximum(share, 0.05)
    )
    return Bottle(
        label=row.name,
        role=row.role,
        group=row.material,
        inoculum_kg=row.inoculum_kg,
        vs_kg=row.substrate_kg * (row.substrate_vs or 0.0),
        day=ledger.day[kept],
        methane_m3=methane[kept],
        u_m3=(methane * relative)[kept],
        fresh_kg=row.substrate_kg,
        vs_relative_u=row.substrate_vs_relative_u,
        inoculum_vs_kg=row.inoculum_kg * (row.inoculum_vs or 0.0),
        block=str(row.block),
        position=row.position,
    )


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
