"""Gas holders by the mass curve, against a case worked by hand and the trade's own bands."""

from functools import cache

from marshlight.apparatus.storage import Storage, storage_needed
from published.harness import Check

HAND = "mass curve worked by hand: 0.1 m3/h made, 0.4 m3/h used in hours 6, 7, 12, 18, 19, 20"


@cache
def _day() -> Storage:
    use = [0.4 if hour in (6, 7, 12, 18, 19, 20) else 0.0 for hour in range(24)]
    return storage_needed([0.1] * 24, use)


CHECKS = [
    Check(
        "holder, m3",
        HAND,
        0.90,
        lambda: _day().volume_m3,
        1e-9,
        status="computed with reference library",
    ),
    Check(
        "holder, % of a day",
        HAND,
        37.5,
        lambda: 100.0 * _day().share_of_day,
        1e-7,
        status="computed with reference library",
    ),
    Check(
        "gas of the longest pause, 21 to 6 h, m3",
        HAND,
        0.9,
        lambda: _day().longest_pause_m3,
        1e-9,
        status="computed with reference library",
    ),
    Check(
        "sewage holders take a quarter to half a day's gas: share here",
        "Handbook figure for sewage works, 0.25 to 0.5 of a day",
        0.375,
        lambda: _day().share_of_day,
        0.125,
    ),
]
