"""The risk of souring: never finer than the lives that were counted allow."""

import numpy as np
import pytest
from scipy.stats import binom

from marshlight.decide.watch.steps import Risk, risk_of_souring
from marshlight.errors import InputError


def test_no_life_souring_is_not_no_risk() -> None:
    assert Risk(0, 200).words == "less than 2 in 100"
    assert Risk(0, 60).words == "less than 5 in 100"
    assert Risk(0, 400).words == "less than 1 in 100"
    assert Risk(200, 200).words == "more than 98 in 100"


def test_lives_that_are_worth_fewer_draws_say_less() -> None:
    assert Risk(0, 200, worth=20.0).words == "less than 14 in 100"
    wide, narrow = Risk(40, 200, worth=20.0).limits, Risk(40, 200).limits
    assert wide[0] < narrow[0] < 0.2 < narrow[1] < wide[1]


def test_one_in_a_thousand_is_never_shown_as_none() -> None:
    assert Risk(1, 1000).words.startswith("1 in 100")
    assert Risk(999, 1000).words.startswith("99 in 100")


def test_the_error_is_that_of_a_share() -> None:
    assert Risk(25, 100).error == pytest.approx(np.sqrt(0.25 * 0.75 / 100))


@pytest.mark.parametrize("truth", [0.02, 0.1, 0.5])
def test_the_limits_hold_what_they_promise(truth: float) -> None:
    counts = np.arange(201)
    chance = binom.pmf(counts, 200, truth)
    held = [r.limits[0] <= truth <= r.limits[1] for r in (Risk(int(c), 200) for c in counts)]
    assert float(chance[np.array(held)].sum()) > 0.92


def test_a_life_is_sour_below_six_and_a_half() -> None:
    found = risk_of_souring(np.array([6.49, 6.5, 7.2, 5.0]))
    assert (found.count, found.of) == (2, 4)


def test_no_lives_are_refused() -> None:
    with pytest.raises(InputError):
        risk_of_souring(np.zeros(0))
