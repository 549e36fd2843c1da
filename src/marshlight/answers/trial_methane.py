"""Methane of a trial's bottle from its ledger and analyses, by either published way."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from marshlight.answers.composition import composition_of
from marshlight.apparatus import Counter, MassLoss, SealedBottle
from marshlight.decide.trial import (
    BottleGas,
    mass_loss_volume,
    methane_as_made,
    methane_by_content,
    mixture_density_kg_m3,
)
from marshlight.errors import InputError
from marshlight.matter.gas import dry_normal_density_kg_m3, vapour_carried_kg_m3
from marshlight.measure import GasLedger
from marshlight.notebook.bridge import RunRecords
from marshlight.notebook.models import Trial

Floats = NDArray[np.float64]
# Where no gas was analysed the composition stands in, with this doubt; common practice, no source.
_UNREAD_U = 0.05
# A hand-held analyser's usual specification for a ratio of two cells; common practice, no source.
_ANALYSED_U = 0.01
_LEAST_ANALYSES = 2


def _nothing() -> Floats:
    return np.zeros(0)


@dataclass(frozen=True)
class BottleMethane:
    """A bottle's methane at the ledger's points [m3], and all that it was reckoned from.

    ``gas_m3`` is cumulative biogas; ``made_share`` methane over methane and carbon dioxide;
    ``content_share`` the methane share with air counted in, empty where it isn't known;
    ``analyses`` counts the days of analysis; ``by_way`` holds cumulative methane by each way
    that could be gone.
    """

    gas_m3: Floats
    gas: BottleGas
    made_share: Floats
    content_share: Floats
    analyses: int
    u_share: float
    words: str
    why_one_way: str
    by_way: dict[str, Floats] = field(default_factory=dict)


@dataclass(frozen=True)
class _Analyses:
    """Days of analyses with methane and carbon dioxide as shown, air counted in."""

    day: Floats
    methane: Floats
    carbon_dioxide: Floats

    @property
    def made(self) -> Floats:
        return np.asarray(self.methane / (self.methane + self.carbon_dioxide))

    def content_at(self, day: Floats) -> tuple[Floats, Floats]:
        """Shares at days, by straight lines from a gas space that began without biogas."""
        known = np.r_[0.0, self.day]
        return (
            np.interp(day, known, np.r_[0.0, self.methane]),
            np.interp(day, known, np.r_[0.0, self.carbon_dioxide]),
        )


def bottle_methane(records: RunRecords, ledger: GasLedger) -> BottleMethane:
    """Reckon a bottle's methane by every way its log allows.

    Parameters
    ----------
    records : RunRecords
        The bottle's log.
    ledger : GasLedger
        Its gas.

    Returns
    -------
    BottleMethane
        At the ledger's points.

    Raises
    ------
    InputError
        If nothing is known of the gas's methane.
    """
    found = _analyses(records)
    share, u_share, words = _made_share(records, found, ledger.day)
    let_off = isinstance(records.holder_log.holder, SealedBottle)
    as_made = _gas(records, ledger, made=(share, 1.0 - share), let_off=let_off)
    gas_m3 = ledger.cumulative_m3
    if isinstance(records.holder_log.holder, MassLoss):
        gas_m3 = as_made.passed_m3 + as_made.held_m3 - as_made.held_m3[:1]
    by_way = {Trial.MethaneWay.AS_MADE.value: methane_as_made(gas_m3, share)}
    why = _why_one_way(records, ledger, found)
    if why:
        return BottleMethane(
            gas_m3, as_made, share, _nothing(), found.day.size, u_share, words, why, by_way
        )
    x, y = found.content_at(ledger.day)
    gas = _gas(records, ledger, made=(x, y), let_off=let_off)
    by_way[Trial.MethaneWay.BY_CONTENT.value] = methane_by_content(gas, x)
    return BottleMethane(gas_m3, gas, share, x, found.day.size, u_share, words, "", by_way)


def _analyses(records: RunRecords) -> _Analyses:
    rows = []
    for reading in records.of_kind("analyser"):
        other = reading.detail.get("carbon_dioxide")
        if reading.value and other is not None and reading.value + float(other) > 0.1:
            rows.append((reading.day, reading.value, float(other)))
    return _Analyses(*np.array(rows, dtype=np.float64).reshape(-1, 3).T)


def _made_share(records: RunRecords, found: _Analyses, day: Floats) -> tuple[Floats, float, str]:
    """Share of methane in the gas as made, air and water left aside, at each day."""
    if found.day.size:
        words = "analysed, methane over methane and carbon dioxide"
        return np.interp(day, found.day, found.made), _ANALYSED_U, words
    tests = composition_of(records)
    if tests is not None:
        value = tests.air_free.value
        return np.full(day.size, value), tests.estimate.u, "from the newest tests of its gas"
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


def _why_one_way(records: RunRecords, ledger: GasLedger, found: _Analyses) -> str:
    """Say why methane can't be reckoned by content, or nothing if it can."""
    if found.day.size < _LEAST_ANALYSES:
        return "its gas was analysed less than twice"
    if not ledger.held_m3.size or not np.any(ledger.held_m3 > 0.0):
        return "its gas space is not known"
    if isinstance(records.holder_log.holder, SealedBottle | MassLoss | Counter):
        return ""
    return "gas is kept in a holder, where it mixes with that of the days before"


def _gas(
    records: RunRecords, ledger: GasLedger, *, made: tuple[Floats, Floats], let_off: bool
) -> BottleGas:
    """Give what passed and what was held; by weight, with the density of each interval's gas."""
    holder = records.holder_log.holder
    held = ledger.held_m3 if ledger.held_m3.size else np.zeros_like(ledger.day)
    if not isinstance(holder, MassLoss):
        return BottleGas(ledger.passed_m3, held, let_off)
    # The ledger weighed all gas with one methane share: take it back to mass, and weigh anew.
    vapour = vapour_carried_kg_m3(
        holder.exit_temperature_c, records.barometer.pressure_kpa + holder.exit_gauge_kpa
    )
    share = composition_of(records)
    if share is None:
        raise InputError(
            "methane share", "unknown", "an analysis of the gas", "Analyse this bottle's gas"
        )
    one = dry_normal_density_kg_m3(share.estimate.value)
    lost = np.diff(ledger.passed_m3, prepend=ledger.passed_m3[:1]) * (one + vapour)
    volume = mass_loss_volume(lost, mixture_density_kg_m3(*made), vapour)
    return BottleGas(np.cumsum(volume), held, let_off)
