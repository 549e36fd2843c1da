"""Refusing what would hurt someone, where it is set up: the rules are the engine's."""

from typing import Any

from marshlight.decide.safety import require_heater, require_outdoors, require_relief

from ..bridge.heating import dangers_of_heater, dangers_of_set_up
from ..models import Heater, Holder, Run, Site, Vessel

# Bottles made to be read by their pressure are small: our choice, as the drawing tells them apart.
_BOTTLE_M3 = 5e-3


def refuse_dangers(row: Any) -> None:
    """Refuse a record that describes a dangerous act.

    Parameters
    ----------
    row
        A set-up record, as it would be kept.

    Raises
    ------
    InputError
        In the words of the list of refusals: a rigid vessel without a relief, gas let out indoors,
        a heater that can pass 60 degC unregulated, is set above it, is not protected, or is
        improvised.
    """
    if isinstance(row, Site) and row.gas_let_out:
        require_outdoors(row.gas_let_out)
    if isinstance(row, Vessel):
        require_relief(sealed=row.relief == "none", relief=False)
    if isinstance(row, Heater):
        require_heater(dangers_of_heater(row))
    if isinstance(row, Run):
        _refuse_run(row)
    elif isinstance(row, (Vessel, Heater, Holder)) and not row._state.adding:
        for run in row.runs.in_use().filter(ended_at__isnull=True).select_related():
            _refuse_run(_with(run, row))


def _with(run: Run, row: Vessel | Heater | Holder) -> Run:
    """Give a run as it would be with a changed part."""
    setattr(run, str(row._meta.model_name), row)
    return run


def _refuse_run(run: Run) -> None:
    if run.holder is not None and run.holder.kind == Holder.Kind.SEALED:
        large = run.vessel.volume_m3 > _BOTTLE_M3
        require_relief(sealed=large, relief=run.vessel.relief in ("seal", "soft"))
    if run.heater is not None:
        require_heater(dangers_of_set_up(run.vessel, run.heater, run.site))
