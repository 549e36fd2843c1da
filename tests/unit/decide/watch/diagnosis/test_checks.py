"""The cheapest test tells two explanations apart and puts nobody in danger."""

from itertools import permutations

import pytest

from marshlight.decide.watch.diagnosis import CAUSES, CHECKS, cheapest_check
from marshlight.decide.watch.diagnosis.checks import HARMFUL, Check
from marshlight.packaged import read_toml

CAUTIONS = set(read_toml("cautions.toml"))


PAIRS = list(permutations(CAUSES, 2))


def test_a_check_gives_different_results_for_the_two_and_is_the_cheapest() -> None:
    for one, other in PAIRS:
        check = cheapest_check(one, other, air_possible=True)
        if check is None:
            continue
        assert check.result_for(one) != check.result_for(other), (one, other)
        cheaper = [c for c in CHECKS if c.effort < check.effort and not c.burns]
        passed = [c.key for c in cheaper if c.tells_apart(one, other)]
        assert not passed or (one in HARMFUL and check.finds(one)), (one, other, passed)


@pytest.mark.parametrize("key", HARMFUL)
def test_what_can_do_harm_is_looked_for_itself(key: str) -> None:
    for other in CAUSES:
        if any(c.finds(key) and c.tells_apart(key, other) for c in CHECKS):
            check = cheapest_check(key, other, air_possible=False)
            assert check is not None
            assert check.finds(key), other


def test_most_pairs_can_be_told_apart() -> None:
    told = [cheapest_check(one, other, air_possible=True) is not None for one, other in PAIRS]
    assert sum(told) > 0.9 * len(PAIRS)


def test_no_flame_is_proposed_while_air_may_be_in_the_gas() -> None:
    for one, other in PAIRS:
        check = cheapest_check(one, other, air_possible=True)
        assert check is None or not check.burns
        if "air" in (one, other):
            plain = cheapest_check(one, other, air_possible=False)
            assert plain is None or not plain.burns


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.key)
def test_every_check_is_whole(check: Check) -> None:
    assert set(check.caution) <= CAUTIONS
    told = [key for keys in check.shows.values() for key in keys]
    assert set(told) <= set(CAUSES)
    assert len(told) == len(set(told)), "an explanation has one result"
    assert len(check.shows) > 1


@pytest.mark.parametrize("key", ["soapy_water", "seal_and_suction"])
def test_looking_for_a_leak_says_never_with_a_flame(key: str) -> None:
    check = next(c for c in CHECKS if c.key == key)
    assert "with a flame" in check.never
    assert {"explosive_gas", "hydrogen_sulfide"} <= set(check.caution)


@pytest.mark.parametrize("key", list(CAUSES))
def test_cautions_of_every_cause_exist(key: str) -> None:
    assert set(CAUSES[key].caution) <= CAUTIONS


def test_a_leak_is_told_from_health_by_soapy_water() -> None:
    check = cheapest_check("leak", "healthy", air_possible=True)
    assert check is not None
    assert check.key == "soapy_water"


def test_a_leak_is_told_from_a_wrong_ruler_by_looking_for_the_leak() -> None:
    leak = cheapest_check("leak", "ruler", air_possible=True)
    ruler = cheapest_check("ruler", "leak", air_possible=True)
    assert leak is not None
    assert ruler is not None
    assert (leak.key, ruler.key) == ("soapy_water", "read_again")
