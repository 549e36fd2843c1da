"""A few lives stand for all of them, the likelier ones picked more often and counting for less."""

import numpy as np
import pytest

from marshlight.decide.watch.diagnosis.sampling import everyone, sample


def _uneven(rng: np.random.Generator, count: int = 60) -> np.ndarray:
    """A few lives that fit, many that hardly do, in no order."""
    near = np.exp(3.0 * rng.standard_normal(count))
    return np.asarray(near / near.sum())


@pytest.mark.parametrize("count", [1, 8, 40, 59])
def test_as_many_different_lives_are_picked_as_asked_for(
    count: int, rng: np.random.Generator
) -> None:
    some = sample(_uneven(rng), count)
    assert len(some.kept) == len(set(some.kept.tolist())) == count
    assert np.all(some.share > 0.0)


def test_all_lives_are_taken_where_there_are_no_more(rng: np.random.Generator) -> None:
    some = sample(_uneven(rng, 5), 8)
    assert some.kept.tolist() == [0, 1, 2, 3, 4]
    assert some.share == pytest.approx(everyone(5).share)


def test_the_picked_estimate_the_mean_over_all_without_bias(rng: np.random.Generator) -> None:
    near, value = _uneven(rng), rng.random(60)
    found = []
    for _ in range(4000):
        order = rng.permutation(60)
        some = sample(near[order], 8)
        found.append(float(some.share @ value[order][some.kept]))
    wrong = np.std(found) / np.sqrt(len(found))
    assert np.mean(found) == pytest.approx(value.mean(), abs=4.0 * wrong)


def test_what_follows_the_readings_is_estimated_far_better_than_by_any_eight(
    rng: np.random.Generator,
) -> None:
    near = _uneven(rng)
    fits = near * np.exp(0.5 * rng.standard_normal(60))
    ours, any_eight = [], []
    for _ in range(500):
        order = rng.permutation(60)
        some = sample(near[order], 8)
        ours.append(float(some.share @ fits[order][some.kept]))
        any_eight.append(float(fits[order][:8].mean()))
    assert np.std(ours) < 0.3 * np.std(any_eight)
