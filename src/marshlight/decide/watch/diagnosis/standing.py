"""Which earlier lives a diagnosis should start from."""

from collections.abc import Sequence

# How long before today the lives should stand, so that a trouble is not learned as a habit, and
# half its age of a young run: our choice, two or three looks of a keeper who looks every other day.
HELD_BACK_D = 5.0
# Older lives than this have strayed too far from the digester to judge its newest week.
LONGEST_D = 16.0
# While trouble is at least this likely, lives from before it began are kept to.
SUSPECTED = 0.3


def stand_on(
    kept: Sequence[float], today: float, *, suspected_since: float | None = None
) -> float | None:
    """Choose among the days that lives were calibrated for.

    Parameters
    ----------
    kept : sequence of float
        Days for which there are lives [d].
    today : float
        Day of the look [d].
    suspected_since : float, optional
        First day of the present row of looks at which trouble was at least `SUSPECTED` likely [d].

    Returns
    -------
    float or None
        The newest day that lies far enough back, before any suspicion, and not too long ago; the
        oldest that is left where there is none; None without any.

    Examples
    --------
    >>> stand_on([0.0, 8.0, 12.0, 16.0], 19.0)
    12.0
    >>> stand_on([0.0, 8.0, 12.0, 16.0], 22.0, suspected_since=17.0)
    8.0
    """
    before = [day for day in kept if day < today]
    if not before:
        return None
    begun = today if suspected_since is None else min(suspected_since, today)
    fresh = [day for day in before if today - day <= LONGEST_D] or [max(before)]
    far = [day for day in fresh if day <= begun - min(HELD_BACK_D, 0.5 * begun)]
    return max(far) if far else min(fresh)
