"""Counter registers: roll-over, reset, and counts that fall for no stated reason."""

import numpy as np

from marshlight.apparatus import Counter
from marshlight.measure.rows import Rows
from marshlight.measure.surroundings import BoolArray, FloatArray


def counted(
    holder: Counter, rows: Rows
) -> tuple[FloatArray, BoolArray, dict[int, tuple[str, str]]]:
    """Return counts that only rise, whatever the register did.

    Parameters
    ----------
    holder : Counter
        The meter.
    rows : Rows
        Columns in order of time; states hold what the register was set to.

    Returns
    -------
    counts : array, shape (n,)
        Counts since the first row [-].
    unseen : array of bool, shape (n,)
        True where counts may be missing before the row.
    why : dict
        Kind and text of what was noted at a row.

    Notes
    -----
    A register that falls by more than half its range has rolled over once. One that
    falls otherwise, with no reset stated, is taken to have started again from zero:
    what it shows has certainly passed, what passed before the reset is unseen.
    """
    raw = np.where(rows.way == "volume", rows.value / holder.per_count_m3, rows.value)
    step = np.diff(raw, prepend=raw[:1])
    unseen = np.zeros(raw.size, dtype=np.bool_)
    why: dict[int, tuple[str, str]] = {}
    for i in np.flatnonzero(rows.state_of >= 0):
        step[i] = 0.0
    for i in np.flatnonzero(step < 0.0):
        rolled = holder.roll_over_at - raw[i - 1] + raw[i]
        if holder.roll_over_at > 0.0 and raw[i - 1] - raw[i] > holder.roll_over_at / 2.0:
            step[i] = rolled
            why[int(i)] = ("rolled_over", "The counter rolled over once.")
        else:
            step[i] = raw[i]
            unseen[i] = True
            why[int(i)] = (
                "fell",
                "The counter fell with no reset stated: taken to have started again from zero.",
            )
    return np.cumsum(step), unseen, why
