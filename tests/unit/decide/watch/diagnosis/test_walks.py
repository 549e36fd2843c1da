"""A small piece of the benchmark of diagnoses: few false alarms, the right name among two."""

import pytest
from benchmarks.diagnosing.cases import Walked, walk_case
from benchmarks.diagnosing.scores import NAMES, NO_TROUBLE, healthy_rows

pytestmark = pytest.mark.slow


def _hit(case: Walked) -> bool:
    last = case.looks[-1]
    first_two = [key for key in last.ranked if key not in NO_TROUBLE][:2]
    return last.alarm and bool({*first_two} & {*NAMES[case.fault]})


def test_healthy_digesters_raise_no_more_alarms_than_two_in_three_months() -> None:
    months = [walk_case("", number, baseline=False) for number in (1, 3, 5)]
    alarms = next(iter(healthy_rows(months))).value
    # At the 0.2 a month that is aimed at, more than two in three months come once in 40 times.
    assert alarms <= 2 / 3 + 1e-9


def test_most_severe_faults_are_alarmed_of_and_named_among_two() -> None:
    faults = ("tap left open", "cold", "overfed", "weak inoculum", "holder stuck")
    cases = [walk_case(fault, 1, least=0.8, baseline=False) for fault in faults]
    assert sum(map(_hit, cases)) >= 4
