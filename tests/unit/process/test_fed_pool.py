"""Feeds followed as one pool give what the sum over feeds gives."""

from itertools import pairwise

import numpy as np
import pytest

from marshlight.estimate import Estimate
from marshlight.process.curves import curve
from marshlight.process.fed_curve import DrawOff, FedCurve, Feed

FEEDS = tuple(Feed(day, Estimate(gas, 0.1)) for day, gas in ((0.0, 2.0), (3.0, 0.5), (7.5, 0.4)))
DRAW_OFFS = (DrawOff(3.0, 0.1), DrawOff(6.0, 0.3), DrawOff(6.0, 0.05), DrawOff(11.0, 1.0))
DAYS = np.array([0.0, 0.4, 3.0, 3.1, 6.0, 9.0, 11.0, 20.0])


def _summed(p: np.ndarray) -> np.ndarray:
    """Take the sum over feeds, written out: each feed's gas, cut at every draw-off."""
    kernel = curve("first_order")
    total = np.zeros(DAYS.size)
    for feed in FEEDS:
        edges = [feed.day, *(d.day for d in DRAW_OFFS if d.day >= feed.day), np.inf]
        left = 1.0
        for i, (start, end) in enumerate(pairwise(edges)):
            if i:
                left *= 1.0 - [d for d in DRAW_OFFS if d.day >= feed.day][i - 1].share
            low, high = (np.clip(edge, None, DAYS).clip(min=feed.day) for edge in (start, end))
            step = kernel.value(high - feed.day, p) - kernel.value(low - feed.day, p)
            total += left * feed.ultimate_m3.value * np.maximum(step, 0.0)
    return total


@pytest.mark.parametrize("p", [(1.0, 0.2), (0.7, 0.9), (1.6, 0.01)])
def test_the_pool_gives_the_sum_over_feeds(p: tuple[float, float]) -> None:
    fed = FedCurve(curve("first_order"), FEEDS, DRAW_OFFS)
    np.testing.assert_allclose(fed.value(DAYS, p), _summed(np.array(p)), rtol=1e-12, atol=1e-15)


def test_many_draws_at_once_give_each_ones_own() -> None:
    fed = FedCurve(curve("first_order"), FEEDS, DRAW_OFFS)
    drawn = np.array([[1.0, 0.2], [0.7, 0.9]])
    both = fed.value(DAYS, drawn)
    np.testing.assert_allclose(both, [fed.value(DAYS, row) for row in drawn], rtol=1e-14)


def test_slopes_are_those_of_differences() -> None:
    fed = FedCurve(curve("first_order"), FEEDS, DRAW_OFFS)
    p = np.array([0.8, 0.3])
    found = fed.slopes(DAYS, p)
    for i in range(2):
        step = np.zeros(2)
        step[i] = 1e-6
        difference = (fed.value(DAYS, p + step) - fed.value(DAYS, p - step)) / 2e-6
        np.testing.assert_allclose(found[:, i], difference, rtol=1e-6, atol=1e-9)
