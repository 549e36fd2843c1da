"""The newest stretch takes what was read after a day, short gas intervals added up."""

import numpy as np
import pytest
from tests.unit.decide.watch.diagnosis.conftest import CHARGE, DRUM

from marshlight.decide.watch.calibration import Counted, Read, RunLog
from marshlight.decide.watch.diagnosis.newest import newest
from marshlight.decide.watch.diagnosis.standing import stand_on


def _log(*, linked: bool) -> RunLog:
    day = np.arange(0.0, 10.01, 0.25)
    gas = np.full(40, 0.001)
    gas[-4:] = 0.0
    return RunLog(
        DRUM,
        CHARGE,
        today=10.0,
        gas=Counted(
            day[:-1], day[1:], gas, np.full(40, 1e-4), np.zeros(40, bool), np.full(40, linked)
        ),
        ph=Read(np.array([9.0, 2.0, 7.0]), np.array([7.3, 7.0, 7.2]), np.full(3, 0.1)),
        flame=((3.0, "dies"), (8.0, "holds")),
    )


def test_only_what_came_after_counts_in_order() -> None:
    seen = newest(_log(linked=False), 6.0)
    assert seen.reads["pH"].value.tolist() == [7.2, 7.3]
    assert seen.flame == ((8.0, "holds"),)
    assert seen.kinds == {"pH", "gas", "flame"}
    assert seen.days()[0] == 6.0
    assert seen.days()[-1] == 10.0


def test_short_intervals_are_added_up_and_keep_their_gas() -> None:
    seen = newest(_log(linked=False), 6.0)
    assert seen.gas is not None
    assert (seen.gas.end_d - seen.gas.start_d).min() >= 0.7
    assert seen.gas.gas_m3.sum() == pytest.approx(0.012)
    assert seen.still[-1]
    assert not any(seen.still[:-1])


def test_the_error_of_a_reading_between_falls_out_of_a_sum() -> None:
    apart, joined = (newest(_log(linked=linked), 6.0).gas for linked in (False, True))
    assert apart is not None
    assert joined is not None
    assert np.all(joined.u_m3 < apart.u_m3)
    assert joined.u_m3[0] == pytest.approx(1e-4)


def test_a_log_without_readings_leaves_nothing() -> None:
    seen = newest(RunLog(DRUM, CHARGE, today=5.0), 1.0)
    assert seen.kinds == frozenset()
    assert seen.gas is None


def test_lives_from_before_a_suspicion_are_kept_to() -> None:
    kept = [0.0, 3.0, 8.0, 13.0, 18.0]
    assert stand_on(kept, 20.0) == 13.0
    assert stand_on(kept, 22.0, suspected_since=14.0) == 8.0
    assert stand_on(kept, 60.0) == 18.0
    assert stand_on([], 5.0) is None
    assert stand_on([0.0], 2.0) == 0.0
