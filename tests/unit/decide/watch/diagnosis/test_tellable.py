"""The benchmark tells faults that could not be seen, or did no harm, from missed ones."""

import numpy as np
import pytest
from benchmarks.diagnosing.tellable import could_be_told
from benchmarks.synthetic.faults import draw_case
from benchmarks.synthetic.logbook import write_log


@pytest.mark.parametrize(("dense", "told"), [(False, False), (True, True)])
def test_air_is_told_only_where_gas_was_lit_or_analysed(dense: bool, told: bool) -> None:
    rng = np.random.default_rng(1)
    case = draw_case("batch bottle", rng, dense=dense, fault="air drawn in", severity=0.8)
    log = write_log(case, rng)
    assert could_be_told(case, log, case.truth.since + 9.0) is told


def test_a_feast_counts_only_while_acids_stand() -> None:
    rng = np.random.default_rng(5)
    case = draw_case("batch drum", rng, dense=True, fault="overfed", severity=0.5)
    log, acids = write_log(case, rng), case.life.run.acids_kg_m3
    after = case.life.day > case.truth.since
    worst = float(case.life.day[after][np.argmax(acids[after])])
    assert could_be_told(case, log, worst) is bool(acids[after].max() > 2.0)


def test_what_is_healthy_has_nothing_to_tell() -> None:
    rng = np.random.default_rng(2)
    case = draw_case("fed drum", rng, dense=True)
    assert not could_be_told(case, write_log(case, rng), 20.0)
