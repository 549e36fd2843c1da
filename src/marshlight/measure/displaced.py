"""Air in the vessel's head-space, and how the run's own gas pushes it out."""

import numpy as np

from marshlight.measure.contents import Contents
from marshlight.measure.summing import Sum
from marshlight.measure.surroundings import FloatArray
from marshlight.measure.walk import Walk


def displaced_air(
    contents: Contents, path: Walk, total: Sum, *, starts_as_air: bool
) -> tuple[FloatArray, FloatArray]:
    """Return the air pushed out so far and the air still left, at each point.

    Parameters
    ----------
    contents : Contents
        Gas at each row, with its part in the head-space.
    path : Walk
        Says where the gas space stood open.
    total : Sum
        Cumulative gas at each point.
    starts_as_air : bool
        False if the head-space was flushed before the start.

    Returns
    -------
    displaced_m3, left_m3 : array, shape (n,)
        Air, dry normal [m3].

    Notes
    -----
    The head-space is taken as well mixed: what is left of the air falls as
    ``exp(-V/V0)`` with the gas ``V`` produced since it was last open. Oxygen used up
    by microbes in the first hours is neglected: the nitrogen stays.

    References
    ----------
    mixed_headspace.
    """
    count = total.row.size
    pushed, left = np.zeros(count), np.zeros(count)
    if count == 0:
        return pushed, left
    openings = np.cumsum(path.opened)[total.row]
    space = contents.headspace_m3
    carried = 0.0
    for number in np.unique(openings):
        here = np.flatnonzero(openings == number)
        first = here[0]
        air = float(space[total.row[first]]) if number or starts_as_air else 0.0
        origin = total.cumulative_m3[first] if number else total.cumulative_m3[0]
        produced = np.maximum(total.cumulative_m3[here] - origin, 0.0)
        size = np.maximum(space[total.row[here]], 1e-12)
        left[here] = air * np.exp(-produced / size)
        pushed[here] = carried + air - left[here]
        carried = float(pushed[here[-1]])
    return pushed, left
