"""Gas that left a holder through a meter: added back to what the holder holds."""

from dataclasses import replace

import numpy as np

from marshlight.apparatus import Counter, Holder, MassLoss
from marshlight.matter.gas import dry_normal_factor
from marshlight.measure.contents import Contents
from marshlight.measure.rows import Rows


def with_metered(contents: Contents, rows: Rows, holder: Holder) -> Contents:
    """Add gas that left through a meter to every later content.

    Parameters
    ----------
    contents : Contents
        Gas at each row.
    rows : Rows
        Columns in order of time, with their events.
    holder : Holder
        The apparatus; a counter and a scale have already seen that gas.

    Returns
    -------
    Contents
        With the metered gas kept in the account.

    References
    ----------
    hafner_2020_doc_201, equation 1.
    """
    if isinstance(holder, (Counter, MassLoss)) or rows.day.size == 0:
        return contents
    amount, path = contents.amount_m3.copy(), contents.path_variance.copy()
    for event, row in zip(rows.events, rows.event_at, strict=True):
        if event.metered_m3 is None:
            continue
        near = min(row, rows.day.size - 1)
        celsius = event.meter_temperature_c
        if celsius is None:
            celsius = float(rows.temperature_c[near])
        factor = dry_normal_factor(celsius, float(rows.air_kpa[near]), holder.relative_humidity)
        gas = event.metered_m3 * factor
        amount[row:] += gas
        if row < path.size:
            path[row] += (gas * event.u_metered_relative) ** 2
    return replace(contents, amount_m3=amount, path_variance=np.asarray(path))
