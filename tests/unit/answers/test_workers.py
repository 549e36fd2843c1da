"""One setting moves an ensemble to a cluster; the results stay the same."""

import os
import signal
from collections.abc import Iterator
from concurrent.futures import Executor

import numpy as np
import pytest

from marshlight.answers.workers import workers
from marshlight.errors import InputError
from marshlight.matter import find
from marshlight.process.model import (
    SMALL_DIGESTER,
    Digester,
    Ensemble,
    EnsembleCancelled,
    Holder,
    ensemble,
    inoculum,
    liquid_from_feedstock,
)
from marshlight.process.model.ensemble import CHUNK

MEMBERS = 2500
DRUM = Digester(0.012, Holder("floating", capacity_m3=0.05, gauge_kpa=0.2), 36.0)
CHARGE = inoculum("digested cattle manure", 0.005) + liquid_from_feedstock(find("goat manure"), 0.3)


def go(executor: Executor | None, **more: object) -> Ensemble:
    draws = SMALL_DIGESTER.draw(np.random.default_rng(3), MEMBERS)
    return ensemble(
        DRUM,
        CHARGE,
        days=np.linspace(0.0, 60.0, 13),
        draws=draws,
        watch=("pH", "gas_methane"),
        executor=executor,
        **more,  # type: ignore[arg-type]
    )


@pytest.fixture(scope="module")
def cluster() -> Iterator[Executor]:
    with workers("local:2") as executor:
        assert executor is not None
        yield executor


def test_without_the_setting_this_machine_does_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("MARSHLIGHT_CLUSTER", raising=False)
    with workers() as executor:
        assert executor is None


@pytest.mark.parametrize("setting", ["local:", "local:none", "local:0"])
def test_a_setting_that_says_nothing_is_refused(setting: str) -> None:
    with pytest.raises(InputError, match="MARSHLIGHT_CLUSTER"), workers(setting):
        pass


@pytest.mark.slow
def test_a_cluster_gives_the_same_results_bit_for_bit(cluster: Executor) -> None:
    told: list[int] = []
    here = go(None)
    there = go(cluster, progress=lambda done, _: told.append(done))
    assert np.array_equal(here.values, there.values)
    assert told == sorted(told)
    assert told[-1] == MEMBERS


@pytest.mark.slow
def test_a_worker_killed_midway_loses_nothing(cluster: Executor) -> None:
    here = go(None)
    # One of the two processes that this test's own cluster started.
    victim = cluster.submit(os.getpid).result()
    assert victim != os.getpid()
    killed: list[int] = []

    def kill_one(done: int, _: int) -> None:
        if done > CHUNK and not killed:
            killed.append(done)
            os.kill(victim, signal.SIGKILL)

    there = go(cluster, progress=kill_one)
    assert 0 < killed[0] < MEMBERS / 2
    assert np.array_equal(here.values, there.values)


@pytest.mark.slow
def test_a_cancel_is_heard_and_work_still_to_do_is_called_back(cluster: Executor) -> None:
    with pytest.raises(EnsembleCancelled, match=f"of {MEMBERS} members"):
        go(cluster, cancelled=lambda: True)
