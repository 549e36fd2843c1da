"""Readings that share a time: merged by a stated rule, never dropped in silence."""

from dataclasses import fields, replace

import numpy as np

from marshlight.measure.contents import Contents
from marshlight.measure.rows import Rows
from marshlight.measure.walk import LedgerNote

AGREES_WITHIN = 3.0


def merge_contradictions(rows: Rows, contents: Contents) -> tuple[Rows, Contents, list[LedgerNote]]:
    """Merge rows that bear one time with no event between them.

    Parameters
    ----------
    rows : Rows
        Columns in order of time.
    contents : Contents
        Gas at each row.

    Returns
    -------
    rows, contents : Rows, Contents
        With one row for each time.
    notes : list of LedgerNote
        One for each pair or group that disagreed.

    Notes
    -----
    Within three standard uncertainties the mean weighted by inverse variance is
    taken; otherwise the plain mean with half the spread as its uncertainty.
    """
    plain = rows.state_of < 0
    same = np.zeros(rows.day.size, dtype=np.bool_)
    same[1:] = (np.diff(rows.day) == 0.0) & plain[1:] & plain[:-1]
    same[[row for row in rows.event_at if row < same.size]] = False
    if not np.any(same):
        return rows, contents, []
    amount, variance = contents.amount_m3.copy(), contents.variance.copy()
    space, shared = contents.headspace_m3.copy(), contents.shared.copy()
    path, unseen = contents.path_variance.copy(), contents.unseen.copy()
    notes = []
    group = np.cumsum(~same) - 1
    for number in np.unique(group[same]):
        members = np.flatnonzero(group == number)
        first, values = members[0], contents.amount_m3[members]
        weights = 1.0 / np.maximum(contents.variance[members], 1e-30)
        spread = float(np.ptp(values))
        if spread > AGREES_WITHIN * float(np.sqrt(np.sum(contents.variance[members]))):
            weights = np.ones_like(weights)
            variance[first] = (spread / 2.0) ** 2
            day = float(rows.day[first])
            notes.append(LedgerNote(day, _disagreement(rows, members), "contradiction"))
        else:
            variance[first] = 1.0 / np.sum(weights)
        amount[first] = np.average(values, weights=weights)
        space[first] = np.average(contents.headspace_m3[members], weights=weights)
        shared[first] = np.average(contents.shared[members], axis=0, weights=weights)
        path[first] = np.sum(contents.path_variance[members])
        unseen[first] = np.any(contents.unseen[members])
    keep = ~same
    kept_before = np.concatenate([[0], np.cumsum(keep)])
    merged = Contents(
        amount[keep],
        space[keep],
        variance[keep],
        path[keep],
        shared[keep],
        unseen[keep],
        {int(group[row]): why for row, why in contents.why.items()},
    )
    columns = {
        f.name: getattr(rows, f.name)[keep]
        for f in fields(rows)
        if isinstance(getattr(rows, f.name), np.ndarray)
    }
    event_at = tuple(int(kept_before[row]) for row in rows.event_at)
    return replace(rows, **columns, event_at=event_at), merged, notes


def _disagreement(rows: Rows, members: "np.ndarray[tuple[int, ...], np.dtype[np.int64]]") -> str:
    read = zip(rows.value[members], rows.way[members], strict=True)
    shown = " and ".join(f"{value:g} by {way}" for value, way in read)
    return (
        f"Readings at one time disagree ({shown}): their mean is used, "
        "with half the difference as its uncertainty."
    )
